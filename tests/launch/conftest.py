"""One environment for the tests of the launcher: each making costs seconds."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tests.launch.checkout import ODD, Checkout


def pair_of_starts(checkout: Checkout) -> list[subprocess.Popen[str]]:
    """Two starts in the same instant."""
    return [
        subprocess.Popen(
            checkout.command("one", "two words"),
            cwd=checkout.elsewhere,
            env=checkout.env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Checkout:
    """Under a name full of odd signs, by two starts at once, one of which makes it while the other waits."""
    made = Checkout(tmp_path_factory.mktemp("launch"), ODD)
    pair = pair_of_starts(made)
    said = [p.communicate(timeout=600) for p in pair]
    assert [p.returncode for p in pair] == [5, 5], said
    assert [out for out, _ in said] == ["answer 1.0 ['report', 'one', 'two words']\n"] * 2
    assert sum("making its environment in .venv" in err and "tinypin" in err for _, err in said) == 1
    return made


@pytest.fixture(scope="session")
def kept_pip(made_once: Checkout) -> Path:
    """The pip that its first environment got from Python, whatever is done to that environment later."""
    kept = made_once.keep_pip()
    made_once.lend_pip(kept)
    return kept


@pytest.fixture
def checkout(made_once: Checkout, kept_pip: Path) -> Checkout:
    """Whole, whatever the test before has done to it; its environment is made anew with the pip it had first."""
    assert made_once.start().returncode == 5
    return made_once
