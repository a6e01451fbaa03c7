"""The Figures page in a real window: read, filter, copy, save, and go to the strip, by mouse and by keys."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.kit.look import look
from app.pages.figures.figures_page import FiguresPage
from app.pages.figures.figures_table import CLIMB, CONVENTIONAL, DIFFERENCE, FIGURE, KEY
from app.shell.actions import key_rows
from core.documents.setup_examples import example
from core.report.figure_words import cells
from core.report.figures import figures
from tests.app import steps
from tests.app.windows import PATIENCE_MS, ArcWindow, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
NONE = Qt.KeyboardModifier.NoModifier


def page_of(window: ArcWindow) -> FiguresPage:
    """The Figures page, which is on top."""
    assert isinstance(window.page, FiguresPage)
    return window.page


@pytest.fixture
def window() -> Iterator[ArcWindow]:
    with window_on(boss()) as shown:
        QTest.keyClick(shown, Qt.Key.Key_4, Qt.KeyboardModifier.ControlModifier)
        settle()
        yield shown


def choose(page: FiguresPage, key: str) -> None:
    """Click a row with the mouse."""
    index = page.model.index(page.model.place(key), FIGURE)
    page.table.scrollTo(index)
    at = page.table.visualRect(index).center()
    QTest.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, NONE, at)
    settle()


def wait_for(page: FiguresPage, qtbot: Any) -> None:
    """Until the figures of the setup on the bench are there."""
    qtbot.waitUntil(
        lambda: page.figures is not None and page.figures.setup == page.workbench.resolved, timeout=PATIENCE_MS
    )
    settle()


def test_the_table_says_what_the_report_says(window: ArcWindow) -> None:
    page = page_of(window)
    assert QApplication.focusWidget() is page.table
    found = figures(window.workbench.resolved)
    assert [page.model.index(i, KEY).data() for i in range(len(found.rows))] == [row.key for row in found.rows]
    place = page.model.place("force.fx_n.max")
    told = [page.model.index(place, column).data() for column in range(KEY + 1)]
    assert tuple(told) == cells(found.rows[place], "metric")
    assert page.count.text() == f"{len(found.rows)} of {len(found.rows)} rows"
    assert "figures of this cut" in window.sentence.label.text()


def test_a_filter_leaves_rows_and_esc_brings_them_back(window: ArcWindow) -> None:
    page = page_of(window)
    every = len(page.model.rows)
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.focusWidget() is page.filter
    QTest.keyClicks(page.filter, "Torque force.torque")
    assert [row.key for row in page.model.rows] == [
        "force.torque_nm.min",
        "force.torque_nm.max",
        "force.torque_nm.mean",
    ]
    assert page.count.text() == f"3 of {every} rows"
    QTest.keyClick(page.filter, Qt.Key.Key_Down)
    assert QApplication.focusWidget() is page.table and page.chosen_key() == "force.torque_nm.min"
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(page.filter, "nothing like it")
    assert page.model.rows == [] and "Esc" in page.detail.text()
    QTest.keyClick(page.filter, Qt.Key.Key_Escape)
    assert len(page.model.rows) == every and page.filter.text() == ""


def test_a_chosen_row_tells_what_it_rests_on(window: ArcWindow) -> None:
    page = page_of(window)
    choose(page, "wall.error_mm")
    for words in ("Model: static", "Kops and Vo 1990", "Leaves out: chatter", "Climb lies between", "Arc page"):
        assert words in page.detail.text(), words
    choose(page, "setup.cutter.teeth")
    assert "drawn nowhere" in page.detail.text()


def test_chosen_rows_are_copied_and_all_of_them(window: ArcWindow) -> None:
    page = page_of(window)
    choose(page, "engagement.entry_deg")
    QTest.keyClick(page.table, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(page.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert [line.split("\t")[KEY] for line in lines] == ["Key", "engagement.entry_deg", "engagement.exit_deg"]
    assert lines[1].split("\t")[CLIMB : DIFFERENCE + 1] == ["109.5", "0.0", "−109.5"]
    assert "2 rows are copied" in window.sentence.label.text()
    QTest.keyClick(page.table, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.mouseClick(page.copy_button, Qt.MouseButton.LeftButton)
    assert len(QGuiApplication.clipboard().text().splitlines()) == len(page.model.rows) + 1


def test_the_filtered_rows_are_saved_as_csv(
    window: ArcWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, file = page_of(window), tmp_path / "figures.csv"
    QTest.keyClicks(page.filter, "heat")
    monkeypatch.setattr(page, "ask_file", lambda: file)
    QTest.mouseClick(page.save_button, Qt.MouseButton.LeftButton)
    rows = list(csv.DictReader(file.read_text("utf-8").splitlines()))
    assert [row["key"] for row in rows] == [row.key for row in page.model.rows]
    peak = next(row for row in rows if row["key"] == "heat.peak_rise_k")
    own, other = (figures(window.workbench.resolved).rows[0], peak)
    assert float(peak["climb"]) == pytest.approx(499.43, abs=0.01) and other["unit"] == "°C" and own.key
    assert str(file) in window.sentence.label.text()
    monkeypatch.setattr(page, "ask_file", lambda: tmp_path / "nowhere" / "x.csv")
    QTest.mouseClick(page.save_button, Qt.MouseButton.LeftButton)
    assert "x.csv" in window.sentence.label.text()
    monkeypatch.setattr(page, "ask_file", lambda: None)
    QTest.mouseClick(page.save_button, Qt.MouseButton.LeftButton)
    assert sorted(p.name for p in tmp_path.iterdir() if p.suffix == ".csv") == ["figures.csv"]


@pytest.mark.parametrize(
    ("key", "kind", "id"),
    [
        ("heat.peak_rise_k", "strips", "temperature"),
        ("wall.feed_mark_um", "charts", "marks"),
        ("force.fx_n.max", "strips", "force"),
    ],
)
def test_enter_goes_to_the_strip_that_draws_the_figure(window: ArcWindow, key: str, kind: str, id: str) -> None:
    page = page_of(window)
    before = {name: set(getattr(window.arc.shown, name)) for name in ("strips", "charts")}
    choose(page, key)
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    settle()
    assert window.page.id == "arc" and id in getattr(window.arc.shown, kind)
    for name, ids in before.items():
        assert set(getattr(window.arc.shown, name)) == ids | ({id} if name == kind else set())
    assert QApplication.focusWidget() is window.arc.plan


def test_a_double_click_goes_too_and_a_figure_without_a_strip_says_so(window: ArcWindow) -> None:
    page = page_of(window)
    choose(page, "setup.cutter.teeth")
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert window.page is page and "drawn nowhere" in window.sentence.label.text()
    choose(page, "chip.trochoid.h_max_mm")
    at = page.table.visualRect(page.table.currentIndex()).center()
    QTest.mouseDClick(page.table.viewport(), Qt.MouseButton.LeftButton, NONE, at)
    settle()
    assert window.page.id == "arc"


def test_the_table_follows_the_setup_and_what_is_chosen_stays(window: ArcWindow, qtbot: Any) -> None:
    page = page_of(window)
    choose(page, "engagement.arc_deg")
    widths = [page.table.columnWidth(c) for c in range(KEY + 1)]
    for width in (3.0, 2.0, 1.0):
        window.workbench.propose(window.workbench.setup.with_values(cut__radial_engagement_mm=width), steps.WIDTH)
        settle()
    wait_for(page, qtbot)
    assert page.chosen_key() == "engagement.arc_deg"
    place = page.model.place("engagement.arc_deg")
    assert (
        page.model.index(place, CLIMB).data()
        == cells(figures(window.workbench.resolved).rows[place], "metric")[CLIMB]
    )
    assert page.model.index(place, CLIMB).data() == "33.6"
    assert all(page.table.columnWidth(c) >= w for c, w in enumerate(widths) if c != FIGURE)


def test_a_hidden_page_works_out_nothing(window: ArcWindow) -> None:
    page = page_of(window)
    QTest.keyClick(window, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    before = page.figures
    window.workbench.propose(window.workbench.setup.with_values(cut__radial_engagement_mm=2.0), steps.WIDTH)
    settle()
    assert page.figures is before and not page._jobs.busy
    window.view.set("units", "inch")
    window.turn_to("figures")
    assert page.figures is not None and page.figures.setup == window.workbench.resolved
    assert page.model.index(page.model.place("setup.cutter.diameter_mm"), CLIMB).data() == "0.4724"


def test_a_failure_puts_the_step_back(window: ArcWindow, qtbot: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    page, before = page_of(window), window.workbench.setup

    def fails(*_: object) -> None:
        raise ZeroDivisionError("figures")

    with monkeypatch.context() as patched:
        patched.setattr("app.pages.figures.figures_page.figures", fails)
        window.workbench.propose(before.with_values(cut__radial_engagement_mm=2.0), steps.WIDTH)
        settle()
        qtbot.waitUntil(lambda: window.workbench.setup == before, timeout=PATIENCE_MS)
    assert page.figures is not None and page.figures.setup.cut == before.cut
    assert "ZeroDivisionError" in window.sentence.label.text()


def test_units_and_themes_are_followed(window: ArcWindow) -> None:
    page = page_of(window)
    QTest.keyClick(page.table, Qt.Key.Key_U)
    place = page.model.place("engagement.arc_length_mm")
    assert page.model.index(place, CLIMB).data() == "0.2908" and page.model.index(place, CLIMB + 3).data() == "in"
    for theme in ("dark", "projector", "light"):
        window.view.set("theme", theme)
        settle()
        ink = page.model.index(place, CLIMB).data(Qt.ItemDataRole.ForegroundRole)
        assert ink == QColor(look(theme).ink)
        shown = page.table.viewport().grab().toImage()
        assert shown.pixelColor(2, shown.height() - 2) in (QColor(look(theme).panel), QColor(look(theme).cut_band))


def test_a_screen_reader_gets_figure_column_value_and_unit(window: ArcWindow) -> None:
    page = page_of(window)
    index = page.model.index(page.model.place("heat.peak_rise_k"), CONVENTIONAL)
    told = index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert told == "Greatest rise of the edge over a turn, Conventional: +540 (270 to 810) °C"
    assert page.table.accessibleName() and page.filter.accessibleName() and page.detail.accessibleName()


def test_straddling_cuts_are_compared_with_their_mirror_image() -> None:
    setup = example("facing-cast-iron").setup()
    assert setup.cut.direction == "straddling" and setup.cut.centre_offset_mm
    with window_on(setup) as window:
        window.turn_to("figures")
        page = page_of(window)
        heads = page.model.heads
        assert heads[CLIMB].startswith("Offset ") and heads[CONVENTIONAL].startswith("Mirrored, ")
        entry = page.model.place("engagement.entry_deg")
        both = [page.model.index(entry, column).data() for column in (CLIMB, CONVENTIONAL)]
        assert both[0] != both[1] and page.model.differs(entry)
        assert not page.model.differs(page.model.place("engagement.arc_deg"))
        assert "mirror image" in window.sentence.label.text()


def test_names_have_room_at_every_width_and_no_row_is_cut() -> None:
    for size, theme in (((1280, 800), "projector"), ((1920, 1080), "dark")):
        with window_on(example("runout-two-teeth").setup(), size, theme=theme) as window:
            window.turn_to("figures")
            settle()
            page = page_of(window)
            whole = sum(page.table.columnWidth(c) for c in range(KEY + 1) if not page.table.isColumnHidden(c))
            assert whole <= page.table.viewport().width() + 1
            assert page.table.columnWidth(FIGURE) >= 15 * look(theme).text


def painted(page: FiguresPage, size: QSize) -> QImage:
    """The page on an image."""
    image = QImage(size, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    page.paint(painter, QRectF(0.0, 0.0, size.width(), size.height()), look("light"), "metric")
    painter.end()
    return image


def test_the_picture_has_the_rows_that_the_filter_leaves(window: ArcWindow) -> None:
    page = page_of(window)
    whole = painted(page, QSize(1600, 1000))
    QTest.keyClicks(page.filter, "heat")
    few = painted(page, QSize(1600, 1000))
    panel = QColor(look("light").panel)

    def inked(image: QImage, top: int, bottom: int) -> bool:
        return any(image.pixelColor(x, y) != panel for x in range(60, 300, 2) for y in range(top, bottom, 2))

    assert inked(whole, 600, 800) and not inked(few, 600, 800) and inked(few, 90, 200)


def test_clicking_its_button_turns_to_the_page() -> None:
    with window_on(boss()) as window:
        button = window.header.page_buttons["figures"]
        QTest.mouseClick(button, Qt.MouseButton.LeftButton, NONE, QPoint(5, 5))
        settle()
        assert window.page.id == "figures" and button.isChecked()


def test_the_file_is_asked_for_with_its_ending(window: ArcWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    page, asked = page_of(window), []

    def accept(dialog: Any) -> int:
        asked.append((dialog.defaultSuffix(), dialog.acceptMode()))
        return 0

    monkeypatch.setattr("app.pages.figures.figures_page.QFileDialog.exec", accept)
    assert page.ask_file() is None and asked[0][0] == "csv"


def test_the_help_of_this_page_promises_its_keys_too(window: ArcWindow) -> None:
    promised = {key for keys, _ in key_rows(window.all_actions()) for key in keys.split(" or ")}
    has = {key.toString() for action in window.actions() for key in action.shortcuts() if key.toString()}
    assert promised == has and {"Ctrl+1", "Ctrl+4", "Ctrl+F", "Ctrl+C"} <= promised
