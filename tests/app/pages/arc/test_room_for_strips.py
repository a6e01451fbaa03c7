"""Many strips: each keeps a height that can be read; the charts give way, and at last the strips scroll."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.side_charts import LEAST_CHARTS, charts_height
from app.pages.arc.strip_places import least_height, least_plot
from core.strips.strip_curves import STRIPS
from tests.app.windows import TYPE_SIZES, at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

ALL = tuple(STRIPS)


def test_charts_shrink_to_their_least_and_then_go() -> None:
    assert charts_height(1000.0, 300.0, look("light")) == 380
    assert charts_height(1000.0, 700.0, look("light")) == 300
    assert charts_height(500.0, 500.0 - LEAST_CHARTS, look("light")) == LEAST_CHARTS
    assert charts_height(500.0, 501.0 - LEAST_CHARTS, look("light")) == 0
    assert charts_height(200.0, 500.0, look("light")) == 0


@pytest.mark.parametrize("theme", TYPE_SIZES)
@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080), (960, 540)], ids=str)
def test_every_strip_can_be_read(theme: str, size: tuple[int, int]) -> None:
    with window_on(boss(), size, theme=theme, strips=ALL[:1], pair=size[0] > 1000) as window:
        page, here = window.arc, look(theme)
        for count in range(1, len(ALL) + 1):
            page.shown.set("strips", ALL[:count])
            # The sentence takes its height when the hand rests, and the strips follow.
            at_rest(window)
            assert (window.width(), window.height()) == size, count
            frames = page.strips.stack.frames()
            assert len(frames) == count
            assert min(frame.plot.height() for frame in frames) >= least_plot(here) - 1.0, count
            if page.charts.isVisible():
                assert page.charts.height() >= LEAST_CHARTS - 1
                assert page.charts.geometry().top() >= page.layout.strips_area.geometry().bottom()
            bar = page.layout.strips_area.verticalScrollBar()
            fits = page.layout.strips_area.viewport().height() >= least_height(count, here)
            assert bar.isVisible() is not fits, count
            # Nothing scrolls as long as the charts could still give way.
            assert fits or not page.charts.isVisible()


def test_the_charts_come_back_when_there_is_room_again() -> None:
    with window_on(boss(), strips=ALL) as window:
        assert not window.arc.charts.isVisible() and window.arc.shown.charts == ("loop", "wall")
        for id in ALL[3:]:
            window.menus.by_id[f"strip_{id}"].trigger()
            settle()
        assert window.arc.charts.isVisible()
        window.resize(1280, 1000)
        for id in ALL[3:]:
            window.menus.by_id[f"strip_{id}"].trigger()
            settle()
        assert window.arc.charts.isVisible() and window.arc.layout.strips_area.verticalScrollBar().maximum() == 0


def test_strips_that_are_too_many_scroll_by_wheel_and_by_keyboard() -> None:
    with window_on(boss(), (960, 540), strips=ALL) as window:
        area, strips = window.arc.layout.strips_area, window.arc.strips
        bar = area.verticalScrollBar()
        assert bar.isVisible() and bar.value() == 0
        QTest.keyClick(strips, Qt.Key.Key_PageDown)
        settle()
        assert bar.value() > 0
        # The line is where the hand is, also in what was scrolled to.
        frame = strips.stack.frames()[-1]
        at = strips.viewport().mapFromGlobal(area.viewport().mapToGlobal(area.viewport().rect().center()))
        at.setX(round(float(frame.x(60.0))))
        QTest.mouseClick(strips.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
        assert window.arc.shown.angle_deg == pytest.approx(60.0, abs=1.0)
