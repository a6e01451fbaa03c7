"""``python3 app lesson``: a list, a check, and worksheets as PDF files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from core.base.places import ROOT
from tests.commands.calling import call, process

pytestmark = pytest.mark.usefixtures("window_app")


def test_list_and_check() -> None:
    listed = call("lesson", "list")
    assert listed.returncode == 0 and "slack-table: The slack table, 16 minutes" in listed.stdout.decode()
    checked = call("lesson", "check", "thickest-chip")
    assert (
        checked.returncode == 0
        and "7 scenes" in checked.stdout.decode()
        and "Nothing to refuse" in checked.stdout.decode()
    )


def test_a_wrong_lesson_is_refused_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "wrong.toml"
    text = (ROOT / "shared/lessons/thickest-chip.toml").read_text("utf-8")
    file.write_text(text.replace("h_max_mm < setup", "h_max_mm > setup", 1), "utf-8")
    refused = call("lesson", "check", str(file))
    line = text[: text.index("h_max_mm < setup")].count("\n") + 1
    assert refused.returncode == 2 and f"wrong.toml:{line}: scene.4.holds" in refused.stderr.decode()
    assert b"Traceback" not in refused.stderr


@pytest.mark.parametrize(
    ("name", "more", "box"),
    [
        ("which-way-is-which", (), (595, 842)),
        ("shared/setups/boss.toml", ("--units", "inch", "--paper", "Letter"), (612, 792)),
    ],
)
def test_a_worksheet_and_its_key(name: str, more: tuple[str, ...], box: tuple[int, int], tmp_path: Path) -> None:
    out, key = tmp_path / "sheet.pdf", tmp_path / "key.pdf"
    # The one by a process without a display.
    how = process if more else call
    done = how("lesson", "worksheet", name, "--seed", "anna", "--out", str(out), "--key", str(key), *more, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    for file in (out, key):
        data = file.read_bytes()
        assert data.startswith(b"%PDF") and data.rstrip().endswith(b"%%EOF")
        width, height = map(float, re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", data).groups())  # type: ignore[union-attr]
        assert (round(width), round(height)) == box
        # Vector throughout: letters of the shipped typeface, and no picture.
        assert b"/FontFile" in data and b"/Subtype /Image" not in data


def test_wrong_endings_and_places_are_refused_in_words(tmp_path: Path) -> None:
    for out in ("sheet.txt", str(tmp_path / "none" / "sheet.pdf")):
        done = call("lesson", "worksheet", "thickest-chip", "--out", out)
        assert done.returncode == 2 and b"Traceback" not in done.stderr and b"--out" in done.stderr
    assert call("lesson", "worksheet", "no-such-lesson", "--out", str(tmp_path / "a.pdf")).returncode == 2
