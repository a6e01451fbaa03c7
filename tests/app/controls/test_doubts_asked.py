"""A doubtful figure is asked about once, in the field where it is typed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.controls.hand_rail_control import HandRailControl
from tests.app.windows import ArcWindow, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
FEED, RADIUS = "cut.feed_per_tooth_mm", "cutter.edge_radius_mm"


def typed(window: ArcWindow, key: str, text: str, end: Qt.Key = Qt.Key.Key_Return) -> HandRailControl:
    found = window.hand_rail.control(key)
    QTest.mouseClick(found.field, Qt.MouseButton.LeftButton)
    QTest.keyClicks(found.field, text)
    QTest.keyClick(found.field, end)
    settle()
    return found


def test_half_a_diameter_is_asked_about_and_taken_by_a_second_enter() -> None:
    with laid_out_on(boss()) as window:
        feed = typed(window, FEED, "6")
        assert window.workbench.setup == boss() and feed.field.text() == "6" and feed.field.hasFocus()
        assert "fifth of the diameter" in feed.note.text() and "Enter" in feed.note.text()
        assert "over a fifth of the diameter" in window.sentence.label.text()
        QTest.keyClick(feed.field, Qt.Key.Key_Return)
        settle()
        assert window.workbench.setup.cut.feed_per_tooth_mm == 6.0 and feed.slider.hasFocus()
        # It is taken, and the doubt stays to be seen.
        assert feed.note.text() == "over a fifth of the diameter" and feed.field.property("problem") == "false"
        # What the setup has already is not asked about again.
        again = typed(window, FEED, "6")
        assert again.slider.hasFocus()
        window.workbench.undo()
        assert feed.note.text() == "vf 960 mm/min"


def test_a_doubtful_figure_that_is_left_or_put_back_is_not_taken() -> None:
    with laid_out_on(boss()) as window:
        feed = typed(window, FEED, "6", Qt.Key.Key_Tab)
        assert window.workbench.setup == boss() and not feed.field.hasFocus()
        QTest.keyClick(feed.field, Qt.Key.Key_Escape)
        feed = typed(window, FEED, "6")
        QTest.keyClick(feed.field, Qt.Key.Key_Escape)
        settle()
        assert window.workbench.setup == boss() and feed.field.text().startswith("0.06")
        # Another figure is asked about anew, and a usual one is taken at once.
        typed(window, FEED, "6")
        QTest.keyClicks(feed.field, "0")
        QTest.keyClick(feed.field, Qt.Key.Key_Backspace)
        QTest.keyClick(feed.field, Qt.Key.Key_Escape)
        typed(window, FEED, "0.1")
        assert window.workbench.setup.cut.feed_per_tooth_mm == 0.1


def test_an_edge_radius_over_a_tenth_of_the_chip_is_asked_about() -> None:
    with laid_out_on(boss()) as window:
        control = window.hand_rail.control(RADIUS)
        control.field.setText("20")
        control.field.setModified(True)
        control._typed()
        assert window.workbench.setup == boss() and control.field.property("problem") == "true"
        control._typed()
        assert window.workbench.setup.cutter.edge_radius_mm == pytest.approx(0.02)
