"""The line of chip thinning: what it tells, one click that restores the thickness, and that it does not run away."""

from __future__ import annotations

import itertools
import math

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.controls.hand_rail_control import HandRailControl
from app.controls.thinning_line import ThinningLine
from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import TYPE_SIZES, ArcWindow, boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
FEED, WIDTH = "cut.feed_per_tooth_mm", "cut.radial_engagement_mm"


def feed(window: ArcWindow) -> tuple[HandRailControl, ThinningLine]:
    found = window.hand_rail.control(FEED)
    assert found.beside is not None
    return found, found.beside


def click(line: ThinningLine) -> None:
    QTest.mouseClick(
        line,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
        QPoint(line.width() - 20, line.height() // 2),
    )
    settle()


def thickest(setup: Setup) -> float:
    """Greatest thickness of the arc model, by looking everywhere."""
    e = engagement(setup)
    return max(float(thickness(e.entry + e.arc * i / 2000, setup, "arc", runout=False)) for i in range(1, 2000))


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_one_click_takes_the_feed_that_restores_the_thickness_and_once_only(direction: str) -> None:
    with laid_out_on(boss().with_keys({"cut.direction": direction, WIDTH: 1.0})) as window:
        _, line = feed(window)
        assert line.text() == "chip 1.81× thinner: take 0.1085" and line.isEnabled()
        assert line.accessibleName() == "fz/h max 1.81, chip thinner than fz: take 0.1085"
        click(line)
        assert thickest(window.workbench.setup) == pytest.approx(0.06, rel=2e-3)
        assert window.workbench.undo_name == "feed per tooth" and not line.isEnabled()
        # As thin for its feed as before, and as thick as was wanted.
        assert line.accessibleName() == "fz/h max 1.81: the chip is 0.0600 mm, as wanted"
        taken = window.workbench.setup
        click(line)
        assert window.workbench.setup == taken
        # At another width the same thickness is wanted still.
        window.workbench.propose(taken.with_keys({WIDTH: 0.5}), steps.WIDTH)
        settle()
        click(line)
        assert thickest(window.workbench.setup) == pytest.approx(0.06, rel=2e-3)
        # A feed that is set by hand is wanted anew.
        window.workbench.propose(window.workbench.setup.with_keys({FEED: 0.02}), steps.FEED)
        settle()
        assert line.wanted == 0.02
        for _ in range(4):
            window.workbench.undo()
        assert window.workbench.setup.cut.feed_per_tooth_mm == 0.06 and line.wanted == 0.06


def test_where_the_chip_is_as_thick_as_the_feed_nothing_is_offered() -> None:
    with laid_out_on(boss().with_keys({WIDTH: 8.0})) as window:
        _, line = feed(window)
        before = window.workbench.setup
        assert line.text() == "chip as thick as fz" and not line.isEnabled()
        assert line.accessibleName() == "fz/h max 1.00: the chip is as thick as fz"
        click(line)
        assert window.workbench.setup == before


def test_a_feed_beyond_what_can_be_set_is_not_offered() -> None:
    narrow = boss().with_keys({WIDTH: 0.001, FEED: 2.0})
    with laid_out_on(narrow) as window:
        _, line = feed(window)
        ratio = 1.0 / math.sin(float(engagement(narrow).arc))
        assert 2.0 * ratio > 6.0 and not line.isEnabled() and line.text().startswith("chip ")


def test_the_keyboard_reaches_it_and_goes_back_to_the_slider() -> None:
    with laid_out_on(boss()) as window:
        found, line = feed(window)
        found.slider.setFocus()
        QTest.keyClick(found.slider, Qt.Key.Key_Tab)
        assert line.hasFocus()
        QTest.keyClick(line, Qt.Key.Key_Space)
        settle()
        assert window.workbench.setup.cut.feed_per_tooth_mm == 0.06364 and found.slider.hasFocus()


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080)])
def test_it_does_not_run_into_the_note(size: tuple[int, int]) -> None:
    with laid_out_on(boss(), size) as window:
        for theme, units in itertools.product(TYPE_SIZES, ("metric", "inch")):
            window.view.set("theme", theme)
            window.view.set("units", units)
            settle()
            found, line = feed(window)
            metrics = found.note.fontMetrics()
            note = metrics.horizontalAdvance(found.note.text())
            assert note <= found.note.width() and line.text()
            assert note + metrics.horizontalAdvance(line.text()) + 8 <= line.width()


def test_where_there_is_no_room_for_both_the_feed_to_take_comes_before_the_table_feed() -> None:
    with laid_out_on(boss().with_keys({WIDTH: 1.0}), (1024, 768), theme="projector") as window:
        found, line = feed(window)
        assert line.text() == "chip 1.81× thinner: take 0.1085" and not found.note.text()
        click(line)
        assert found.note.text().startswith("vf ")


def test_a_refusal_has_the_whole_row() -> None:
    with laid_out_on(boss()) as window:
        found, line = feed(window)
        found.field.setFocus()
        found.field.selectAll()
        QTest.keyClicks(found.field, "9")
        QTest.keyClick(found.field, Qt.Key.Key_Return)
        settle()
        assert "not taken" in found.note.text() and not line.isVisible()
        QTest.keyClick(found.field, Qt.Key.Key_Escape)
        settle()
        assert line.isVisible() and window.workbench.setup == boss()
