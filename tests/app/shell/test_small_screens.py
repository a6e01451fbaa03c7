"""The window on the screen of a small projector, and what a page says of both directions at once."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt

from app.controls.sentence_bar import MOST
from app.kit.label_layout import text_size
from app.kit.look import look, themed
from app.pages.arc.arc_layout import LEAST_PAIR_BESIDE_REASONS, LEAST_STRIPS
from app.pages.arc.strip_places import type_share
from app.pages.page_list import PAGES
from app.pages.path.path_choices import LEAST_CHOICE
from app.pages.path.path_layout import PathLayout
from app.pages.path.tables import AFTER, column_widths
from core.base.language import ENGLISH, LANGUAGES, speak
from core.documents.setup_examples import example
from core.report.sentence import sentence_lines
from tests.app import steps
from tests.app.windows import at_rest, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def test_every_page_fits_a_small_projector_in_pair_and_inch() -> None:
    with laid_out_on(boss(), (1024, 768), theme="projector", pair=True, units="inch") as window:
        for page in PAGES:
            window.turn_to(page.id)
            settle()
            assert (window.width(), window.height()) == (1024, 768), page.id
        layout = window.pages.page("path").widget()
        assert isinstance(layout, PathLayout)
        # A program with a long name must not make the window wider.
        layout.state.set("program_file", "/" + 80 * "long & wide" + ".nc")
        settle()
        # Before it is read: there is no such file, and then its name is gone again.
        assert "&&" in layout.choices.program.text(), "an & in a file's name underlines no letter"
        layout.state.set("source", "program")
        settle()
        assert window.width() == 1024


def test_the_whole_title_comes_before_the_line_about_the_cutter() -> None:
    with laid_out_on(boss(), (1280, 800)) as window:
        header = window.header
        assert header.title.text() == boss().title and not header.about.text()
        window.resize(1700, 800)
        settle()
        assert header.title.text() == boss().title and header.about.text()


def test_in_pair_what_is_the_same_of_both_is_said_once() -> None:
    with laid_out_on(boss(), pair=True) as window:
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


@pytest.mark.parametrize("size", [(1024, 768), (1280, 720), (960, 540)], ids=str)
def test_in_a_classs_type_pair_and_which_way_fit_the_screen_and_no_word_is_cut(size: tuple[int, int]) -> None:
    theme = themed("projector", size[1])
    with laid_out_on(boss(), size, theme=theme, pair=True, why=True) as window:
        told = window.sentence
        for name in ("boss", "slack-table", "runout-two-teeth", "long-reach", "facing-cast-iron"):
            window.workbench.propose(example(name).setup(), steps.ANOTHER)
            at_rest(window)
            assert (window.width(), window.height()) == size, name
            lead = sentence_lines(window.workbench.resolved)[0]
            assert told.label.text().split("\n")[0].startswith(lead.split(".")[0]), name
            high = len(told.label.lines()) * told.label.fontMetrics().lineSpacing()
            assert high <= told.label.height(), name
            panel = window.arc.which_way
            assert panel.isVisible() and panel.height() >= panel.minimumSizeHint().height(), name
            if window.arc.plan.isVisible():
                # Two plans that stand there can be read.
                assert window.arc.plan.width() >= LEAST_PAIR_BESIDE_REASONS * type_share(look(theme)) - 10.0, name


@pytest.mark.parametrize("id", LANGUAGES)
@pytest.mark.parametrize(
    ("name", "size", "theme", "units"),
    [
        ("worn-finish", (1024, 768), "projector", "inch"),
        ("boss", (1024, 768), "projector", "inch"),
        ("boss", (1024, 768), "light", "metric"),
        ("slack-table", (1280, 720), "light", "metric"),
        ("boss", (960, 540), "light", "metric"),
    ],
)
def test_every_group_of_the_hand_rail_opens_beside_the_reasons_on_a_small_screen(
    id: str, name: str, size: tuple[int, int], theme: str, units: str
) -> None:
    speak(id)
    try:
        view: dict[str, Any] = {"theme": themed(theme, size[1]), "pair": True, "why": True, "units": units}
        with laid_out_on(example(name).setup(), size, **view) as window:
            at_rest(window)
            # A picture of the window lays out what is out of sight too.
            window.grab()
            assert (window.width(), window.height()) == size
            panel, buttons = window.arc.which_way, window.hand_rail.group_buttons
            # From one to the next, and from the highest back to the first.
            for button in (*buttons, buttons[2], buttons[0]):
                button.click()
                at_rest(window)
                assert (window.width(), window.height()) == size, button.text()
                for label in (panel.decision, panel.caution):
                    lines = label.fontMetrics().boundingRect(
                        0, 0, label.width(), 9999, Qt.TextFlag.TextWordWrap, label.text()
                    )
                    assert label.text() and lines.height() <= label.height()
                # Strips that are there can be read; else they gave way.
                seen = window.arc.strips.viewport().visibleRegion().boundingRect()
                assert seen.isEmpty() or seen.height() >= LEAST_STRIPS - 10
    finally:
        speak(ENGLISH.id)


def test_words_that_need_fewer_lines_give_the_height_back() -> None:
    with laid_out_on(boss(), (1024, 900), why=True) as window:
        at_rest(window)
        caution = window.arc.which_way.caution
        narrow = caution.minimumHeight()
        window.resize(1900, 900)
        at_rest(window)
        wide = caution.minimumHeight()
        assert wide < narrow
        window.resize(1024, 900)
        at_rest(window)
        assert caution.minimumHeight() == narrow


@pytest.mark.parametrize("id", LANGUAGES)
def test_boxes_of_choices_give_way_before_the_row_takes_a_second_line(id: str) -> None:
    speak(id)
    try:
        with laid_out_on(boss(), (1024, 768), theme=themed("projector", 768), units="inch") as window:
            window.turn_to("path")
            layout = window.pages.page("path").widget()
            assert isinstance(layout, PathLayout)
            row, boxes = layout.choices, (layout.choices.beside, layout.choices.quantity)
            for source in ("corner", "program"):
                layout.state.set("source", source)
                settle()
                shown = [w for w in (*boxes, row.limit, *row.sources.values()) if w.isVisible()]
                assert len(shown) == 6 and len({w.geometry().center().y() // 8 for w in shown}) == 1, source
                assert row.limit.geometry().right() < row.width()
                assert all(LEAST_CHOICE <= box.width() < box.sizeHint().width() for box in boxes)
            # Longer words are not cut: there the row takes its second line.
            for box in boxes:
                box.setCurrentIndex(max(range(box.count()), key=lambda i: len(box.itemText(i))))
                settle()
                room = box.sizeHint().width() - max(
                    box.fontMetrics().horizontalAdvance(box.itemText(i)) for i in range(box.count())
                )
                assert box.width() >= room + box.fontMetrics().horizontalAdvance(box.currentText())
            window.resize(1900, 768)
            settle()
            assert [box.width() for box in boxes] == [box.sizeHint().width() for box in boxes]
    finally:
        speak(ENGLISH.id)


@pytest.mark.parametrize(("theme", "low"), [("light", 440), ("dark", 440), ("projector", 480)])
def test_the_sentence_tells_more_as_soon_as_there_is_room(theme: str, low: int) -> None:
    with laid_out_on(example("runout-two-teeth").setup(), (1024, 640), theme=theme, why=True) as window:
        told, setup = window.sentence.label, window.workbench.resolved
        lead, rest = sentence_lines(setup)
        whole = f"{lead}\n{rest}"
        for _ in range(2):
            # The page needs less once the window is lower: only then can it be as low as that.
            window.resize(1024, low)
            at_rest(window)
        assert window.height() == low and told.text() == lead
        # It is all there at the first height that has a fifth for it, and nothing of it is cut.
        for height in range(low + 20, 700, 20):
            window.resize(1024, height)
            at_rest(window)
            assert told.text() in (lead, whole)
            if told.text() == whole:
                break
        assert told.text() == whole and window.sentence.height() <= MOST * window.height()
        assert len(told.lines()) * told.fontMetrics().lineSpacing() <= told.height()
        needed, before = window.sentence.height(), height - 20
        assert before == low or needed > MOST * before or window.minimumSizeHint().height() > before
        window.resize(1024, 900)
        at_rest(window)
        assert told.text() == whole
