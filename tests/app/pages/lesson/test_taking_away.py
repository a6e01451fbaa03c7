"""What is taken home: the page that compares, films by an encoder, the motion as a page; through real files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QGuiApplication

from app.commands.lesson import run
from app.kit.look import look
from app.pages.arc.arc_page import ArcPage
from app.pages.film import frames
from app.pages.lesson.comparison_sheet import KEYS, MARGIN, fitting_table, rows_of, save_comparison, sources_of
from app.pages.lesson.lesson_page import LessonPage
from app.pages.lesson.sheet_pdf import PdfPages
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.words import words
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.report.report import report
from core.report.schema import flat
from tests.app.windows import laid_out_on, until

pytestmark = pytest.mark.usefixtures("window_app")
TWO_WAYS = ("boss", "slack-table", "flame-cut-plate", "long-reach")
"""With few figures and with many, skin, slack, chatter, a tolerance."""


def test_the_figures_of_the_comparison_are_those_of_both_reports() -> None:
    setup = resolved(example("slack-table").setup())
    climb, conventional = (dict(flat(report(setup.facing(d)))) for d in ("climb", "conventional"))
    rows = rows_of(setup)
    assert len(rows) >= 10
    for row in rows:
        for got, whole in ((row.climb, climb), (row.conventional, conventional)):
            assert got == (
                pytest.approx(whole[row.key], rel=1e-3, abs=1e-9) if isinstance(got, float) else whole[row.key]
            )
    told = sources_of(rows, setup)
    assert "Left out:" in told and "force.source" not in told and "Martellotti" in told


@pytest.mark.parametrize(("place", "id"), list(enumerate(TWO_WAYS)))
def test_the_comparison_is_one_page_and_no_cell_is_cut(place: int, id: str, tmp_path: Path) -> None:
    paper, units = ("A4", "metric") if place % 2 else ("Letter", "inch")
    setup, file = resolved(example(id).setup()), tmp_path / "page.pdf"
    rows = rows_of(setup)
    save_comparison(setup, rows, file, units, paper=paper)  # type: ignore[arg-type]
    data = file.read_bytes()
    assert data.count(b"/Type /Page\n") == 1 and b"/Subtype /Image" not in data
    pdf = PdfPages(paper, "x", MARGIN)
    pdf.painter.end()
    table, widths = fitting_table(rows, units, pdf.rect.width(), look("print"))  # type: ignore[arg-type]
    assert sum(widths) <= pdf.rect.width() + 1e-6 and len(table) >= 10


def test_every_figure_of_the_comparison_has_its_words() -> None:
    assert set(words()["comparison_label"]) == set(KEYS)


def test_a_straddling_cut_is_not_compared(tmp_path: Path) -> None:
    with pytest.raises(ChiparcError, match="straddling"):
        save_comparison(example("slot-steel").setup(), (), tmp_path / "page.pdf", "metric", paper="A4")


@pytest.fixture
def arc() -> ArcPage:
    page = ArcPage(Workbench(example("boss").setup()), ViewState())
    page.show(page.workbench.resolved)
    return page


def test_without_an_encoder_it_is_said_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(ChiparcError, match=r"no ffmpeg.*\.html"):
        run(["motion", "shared/setups/boss.toml", "--out", str(tmp_path / "turn.gif")])


def test_a_frame_is_what_the_page_paints(arc: ArcPage) -> None:
    first = next(frames(arc, QSize(700, 600), "print", "metric"))
    assert len(first) == 700 * 600 * 4 and arc.undo_state() == 0.0


def test_the_motion_page_from_the_command_line(tmp_path: Path) -> None:
    out = tmp_path / "turn.html"
    assert run(["motion", "shared/setups/left-hand.toml", "--out", str(out), "--units", "inch"]) == 0
    page = out.read_text("utf-8")
    assert (
        "Mirror bracket with a left-hand cutter" in page
        and '"side": -1.0' in page
        and not re.search("@[A-Z]+@", page)
    )
    with pytest.raises(ChiparcError, match="html"):
        run(["motion", "shared/setups/boss.toml", "--out", str(tmp_path / "turn.avi")])


def test_from_the_window_without_a_word_to_a_class(tmp_path: Path) -> None:
    with laid_out_on(example("flame-cut-plate").setup()) as window:
        window.turn_to("lesson")
        page = window.page
        assert isinstance(page, LessonPage)
        window.motion_files.save_page(tmp_path / "turn.html")
        assert "Flame-cut edge" in (tmp_path / "turn.html").read_text("utf-8")
        page.stack.take_away.compare(tmp_path / "both.pdf")
        until((tmp_path / "both.pdf").exists)
        assert (tmp_path / "both.pdf").read_bytes().startswith(b"%PDF") and "both.pdf" in page.stack.list.told.text()
        window.motion_files.save_page(tmp_path / "none" / "turn.html")
        assert "turn.html" in window.sentence.label.text() and "Not saved" in window.sentence.label.text()


def test_the_page_is_copied_as_a_picture() -> None:
    with laid_out_on(example("boss").setup()) as window:
        QGuiApplication.clipboard().clear()
        window.menus.by_id["copy_picture"].trigger()
        image = QGuiApplication.clipboard().image()
        assert (image.width(), image.height()) == (1600, 1000)
        assert len({image.pixel(x, 500) for x in range(0, 1600, 3)}) > 5
