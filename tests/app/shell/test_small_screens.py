"""The window on the screen of a small projector, and what a page says of both directions at once."""

from __future__ import annotations

import pytest

from app.kit.label_layout import text_size
from app.kit.look import look
from app.pages.page_list import PAGES
from app.pages.path.path_layout import PathLayout
from app.pages.path.tables import AFTER, column_widths
from tests.app.windows import boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def test_every_page_fits_a_small_projector_in_pair_and_inch() -> None:
    with window_on(boss(), (1024, 768), theme="projector", pair=True, units="inch") as window:
        for page in PAGES:
            window.turn_to(page.id)
            settle()
            assert (window.width(), window.height()) == (1024, 768), page.id
        layout = window.pages.page("path").widget()
        assert isinstance(layout, PathLayout)
        # A program with a long name must not make the window wider.
        layout.state.set("program_file", "/" + 80 * "long & wide" + ".nc")
        layout.state.set("source", "program")
        settle()
        assert window.width() == 1024
        assert "&&" in layout.choices.program.text(), "an & in a file's name underlines no letter"


def test_the_whole_title_comes_before_the_line_about_the_cutter() -> None:
    with window_on(boss(), (1280, 800)) as window:
        header = window.header
        assert header.title.text() == boss().title and not header.about.text()
        window.resize(1700, 800)
        settle()
        assert header.title.text() == boss().title and header.about.text()


def test_in_pair_what_is_the_same_of_both_is_said_once() -> None:
    with window_on(boss(), pair=True) as window:
        for id in ("figures", "lesson", "chatter"):
            window.turn_to(id)
            settle()
            lines = window.sentence.label.text().split("\n")
            assert len(lines) == 1 and lines[0], id


@pytest.mark.parametrize("room", [243.0, 400.0])
def test_the_columns_of_a_table_hold_their_widest_words(room: float) -> None:
    theme = look("projector")
    rows: list[tuple[str, ...]] = [("ae", "arc", "corner", "chip", "corner")]
    rows.append(("0.236", "90°", "168°", "0.0024", "0.0024"))
    widths = column_widths(rows, room, theme)
    assert sum(widths) == pytest.approx(room)
    for i, row in enumerate(rows):
        font = theme.font("small", bold=i == 0)
        assert all(text_size(font, t).width() + AFTER <= w for t, w in zip(row, widths, strict=True))
