"""The chart of the offset in a real window: what it draws is the strip, and a hand on it moves the work."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.offset_chart import offset_frame
from core.base.quantities import QUANTITIES
from core.documents.setup_examples import example
from core.strips.offset_strip import offset_strip
from tests.app.windows import boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_click_on_the_chart_puts_the_work_there_in_one_step(units: str) -> None:
    face = example("facing-wide-steel").setup()
    strip = offset_strip(face)
    assert strip is not None
    with window_on(face, (1280, 800), why=True, units=units) as window:
        panel = window.arc.which_way
        chart = panel.offsets
        assert chart.isVisible()
        frame = offset_frame(QRectF(chart.rect()), strip, units, look("light"))  # type: ignore[arg-type]
        end = QUANTITIES["offset"].shown(float(strip.offset[-1]), units)  # type: ignore[arg-type]
        assert frame.across.range.high == pytest.approx(end)
        x = round(float(frame.x(0.5 * end)))
        QTest.mouseClick(chart, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(x, 90))
        settle()
        moved = window.workbench.setup.cut.centre_offset_mm
        pixel = float(strip.offset[-1]) * 2.0 / frame.plot.width()
        assert moved == pytest.approx(0.5 * float(strip.offset[-1]), abs=1.5 * pixel)
        window.workbench.undo()
        settle()
        assert window.workbench.setup == face


def test_beyond_the_room_the_work_stays_inside_and_a_one_sided_cut_has_no_chart() -> None:
    with window_on(example("facing-wide-steel").setup(), (1280, 800), why=True) as window:
        chart = window.arc.which_way.offsets
        strip = offset_strip(window.workbench.resolved)
        assert strip is not None
        assert chart.offset_at(-500.0) == pytest.approx(float(strip.offset[0]), abs=1e-3)
        assert chart.offset_at(5000.0) == pytest.approx(float(strip.offset[-1]), abs=1e-3)
    with window_on(boss(), (1280, 800), why=True) as window:
        assert not window.arc.which_way.offsets.isVisible()


def test_what_is_warned_of_is_where_the_axis_stands_near_the_works_edge() -> None:
    """A narrower work far to one side: teeth leave near 90 degrees with a full chip."""
    face = example("facing-wide-steel").setup().with_keys({"cut.radial_engagement_mm": 60.0})
    strip = offset_strip(face)
    assert strip is not None and strip.warned.any() and not strip.warned.all()
    assert ((strip.exit_deg >= 60.0) & (strip.exit_deg <= 120.0))[strip.warned].all()
