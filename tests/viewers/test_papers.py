"""What is printed, read by a PDF viewer's engine: its figures are the report's and can be searched."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from app.commands.lesson import sheet_of
from app.pages.lesson.comparison_sheet import rows_of, save_comparison
from app.pages.lesson.sheet_pdf import save_sheet
from core.base.words import say
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.report.report import report
from core.report.schema import flat
from tests.viewers.papers import Paper, papers, printed, unknown_characters

pytestmark = pytest.mark.usefixtures("window_app")
SIZES = {"A4": (595.0, 842.0), "Letter": (612.0, 792.0)}
FIGURE = r"([−+]?\d+(?:\.\d+)?)( \([^)]*\))?"


def lies_well(page: Paper, size: tuple[float, float]) -> None:
    """All words are known characters, stand within the margins, and are seen."""
    assert page.size == pytest.approx(size, abs=1.0)
    assert unknown_characters(page.words) == set()
    for left, bottom, right, top in page.boxes:
        assert left > 20.0 and bottom > 20.0 and right < size[0] - 20.0 and top < size[1] - 20.0
    border = page.picture.copy()
    border[26:-26, 26:-26] = 255
    assert border.min() == 255 and (page.picture.min(axis=2) < 128).mean() > 0.005


@pytest.mark.parametrize(("id", "paper"), [("slack-table", "A4"), ("flame-cut-plate", "Letter")])
def test_the_comparison_says_what_both_reports_say(id: str, paper: str, tmp_path: Path) -> None:
    setup = resolved(example(id).setup())
    save_comparison(setup, rows_of(setup), tmp_path / "both.pdf", "metric", paper=paper)
    (page,) = papers(tmp_path / "both.pdf")
    lies_well(page, SIZES[paper])
    both = [dict(flat(report(setup.facing(direction)))) for direction in ("climb", "conventional")]
    compared = 0
    for row in rows_of(setup):
        label = re.escape(say("comparison_label", row.key))
        line = next(each for each in page.lines if re.match(f"{label} ", each))
        figures = re.match(f"{label} {FIGURE} {FIGURE} ", line)
        if figures is None:
            continue
        for text, ends, told in zip(figures.groups()[::2], figures.groups()[1::2], both, strict=True):
            value, half = printed(text)
            if ends and value:
                # With a wide range two digits count.
                half = max(half, 0.05 * 10.0 ** math.floor(math.log10(abs(value))))
            # Digits that do not count are left out of small figures.
            whole = float(told[row.key]) * (100.0 if line.rstrip().endswith(" %") else 1.0)
            assert value == pytest.approx(whole, abs=1.01 * half), row.key
            compared += 1
    assert compared >= 20
    assert all(each.split(".")[0] in page.words for each in (say("report", "cautions"), both[0]["sentence"]))


@pytest.mark.parametrize(("paper", "seed"), [("A4", "Ann"), ("Letter", "17")])
def test_a_key_says_what_the_report_says_and_the_sheet_does_not(paper: str, seed: str, tmp_path: Path) -> None:
    sheet = sheet_of("chip-thinning", seed, "metric", None)
    save_sheet(sheet, tmp_path / "sheet.pdf", paper=paper, key=False)
    save_sheet(sheet, tmp_path / "key.pdf", paper=paper, key=True)
    blank, key = papers(tmp_path / "sheet.pdf"), papers(tmp_path / "key.pdf")
    for page in (*blank, *key):
        lies_well(page, SIZES[paper])
    asked, told = (" ".join(page.words for page in each) for each in (blank, key))
    assert say("worksheet", "name") in asked and seed in told
    compared = 0
    for number, question in enumerate(sheet.questions, 1):
        words = " ".join(question.answer.split())
        assert words in told and words not in asked
        assert f"{number}. " in asked and " ".join(question.ask.split()) in asked
        if question.kind == "estimate" and question.key:
            value, half = printed(re.search(r"[−+]?\d+(?:\.\d+)?", words)[0])  # type: ignore[index]
            whole = float(dict(flat(report(question.setup)))[question.key])
            shown = whole * (100.0 if words.rstrip(".").endswith("%") else 1.0)
            assert value == pytest.approx(shown, abs=1.01 * half), question.key
            compared += 1
    assert compared >= 3
