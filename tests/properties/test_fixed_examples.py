"""The examples of ``python3 tests`` are the same whatever has been loaded: green or red for a reason."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.conftest import FIXED


def drawn() -> list[tuple[float, int]]:
    """What a property would see."""
    seen: list[tuple[float, int]] = []

    @given(st.floats(0.0, 1e6), st.integers(0, 10**9))
    @settings(max_examples=200)
    def look(a: float, b: int) -> None:
        seen.append((a, b))

    look()
    return seen


@pytest.mark.skipif(not FIXED, reason="new examples are wanted")
def test_a_module_loaded_meanwhile_changes_no_example(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = drawn()
    file = tmp_path / "constants_of_ours.py"
    file.write_text("A = [" + ", ".join(f"{i}.25, {i}" for i in range(1000, 100_000, 333)) + "]\n", "utf-8")
    spec = importlib.util.spec_from_file_location(file.stem, file)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    monkeypatch.setitem(sys.modules, file.stem, module)
    spec.loader.exec_module(module)
    assert drawn() == before and len(before) == 200
