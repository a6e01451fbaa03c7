"""What the offset of a straddling cut does: the chip with which teeth leave, over every place of the work.

A click, or a drag, puts the work there.
"""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.kit.label_layout import fitting
from app.kit.look import Look, look
from app.kit.one_line import baseline
from app.kit.plain import plain_hint
from app.kit.readable_ranges import AxisRange, readable_range
from app.kit.shapes import polygon
from app.kit.xy_chart import Axis, Figures, XYChart, paint_across, paint_up, plain
from app.pages.arc.arc_state import ArcState
from app.state.step_name import TERM, StepName
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.quantities import QUANTITIES, Units, figure
from core.base.words import say
from core.setup.setup import Setup
from core.strips.offset_strip import OffsetStrip, at_offsets, offset_strip

PLOT = 120.0
"""Height of the curve, pixels."""

RIGHT = 16.0
"""Pixels beside the curve for half a figure of its axis."""

KEY = "cut.centre_offset_mm"
LEAST_ROOM = 1e-3
"""Room over the diameter up to which there is none to choose."""


def strip_with_room(setup: Setup) -> OffsetStrip | None:
    """The strip of a straddling cut that has room to move; None for a slot and for a one-sided cut."""
    strip = offset_strip(setup)
    return strip if strip is not None and strip.offset[-1] > LEAST_ROOM * setup.cutter.diameter_mm else None


def _margins(look: Look) -> tuple[float, float, float]:
    """Pixels left of the plot, above and below it: its figures, its two lines of words, the figures of the offset."""
    return 3.6 * look.small + 13.0, look.text + look.small + 18.0, look.small + 14.0


def chart_height(look: Look) -> int:
    """As high as its two lines and its plot need."""
    _, above, below = _margins(look)
    return round(above + PLOT + below)


def offset_frame(area: QRectF, strip: OffsetStrip, units: Units, look: Look) -> XYChart:
    """The chart of a strip within an area: offset across, chip at exit up, in shown units."""
    across, up = QUANTITIES["offset"], QUANTITIES["chip_thickness"]
    left, above, below = _margins(look)
    plot = area.adjusted(left, above, -RIGHT, -below)
    ends = across.shown(float(strip.offset[-1]), units)
    step = readable_range(-ends, ends, 6).step
    width = AxisRange(-ends, ends, step)
    height = readable_range(0.0, up.shown(float(strip.h_exit.max()), units), 3)
    return XYChart(plot, Axis.over(width, plot.left(), plot.right()), Axis.over(height, plot.bottom(), plot.top()))


def paint_offsets(painter: QPainter, area: QRectF, setup: Setup, units: Units, look: Look) -> None:
    """The strip, what is warned of, and the place that is set."""
    strip = strip_with_room(setup)
    if strip is None:
        return
    chart = offset_frame(area, strip, units, look)
    across, up = QUANTITIES["offset"], QUANTITIES["chip_thickness"]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    x = np.asarray(chart.x(np.array([across.shown(v, units) for v in strip.offset.tolist()])))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.color("warn", 0.18))
    half = 0.5 * (x[1] - x[0])
    for at in x[strip.warned].tolist():
        left, right = max(at - half, chart.plot.left()), min(at + half, chart.plot.right())
        painter.drawRect(QRectF(left, chart.plot.top(), right - left, chart.plot.height()))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    paint_up(painter, chart, look, Figures(plain(chart.up.range), 6.0))
    wide = XYChart(chart.plot, chart.across.coarser(4.0 * look.small), chart.up)
    paint_across(painter, wide, look, Figures(plain(wide.across.range), 4.0))
    line = chart.points(
        np.array([across.shown(v, units) for v in strip.offset.tolist()]),
        np.array([up.shown(v, units) for v in strip.h_exit.tolist()]),
    )
    painter.setPen(look.pen("ink", "thick"))
    painter.drawPolyline(polygon(line))
    now = setup.cut.centre_offset_mm
    here = at_offsets(now, setup)
    place = QPointF(float(chart.x(across.shown(now, units))), float(chart.y(up.shown(float(here.h_exit[0]), units))))
    painter.setPen(look.pen("accent", "line"))
    painter.drawLine(QPointF(place.x(), chart.plot.top()), QPointF(place.x(), chart.plot.bottom()))
    painter.setBrush(look.color("accent"))
    painter.drawEllipse(place, 4.0, 4.0)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    angle = figure(float(here.exit_deg[0]), "angle", units)
    about = [say("offset_chart", name, angle=angle) for name in ("about", "about_short")]
    bold, small = look.font("text", bold=True), look.font("small")
    unit, room = up.unit_in(units), area.width() - 12.0
    title = fitting(bold, room, *[say("offset_chart", name, unit=unit) for name in ("title", "title_short")])
    titles = (
        (bold, "ink", title, 2.0, look.text + 6.0),
        (small, "soft", fitting(small, room, *about), look.text + 8.0, look.small + 6.0),
    )
    for font, colour, text, top, high in titles:
        painter.setFont(font)
        painter.setPen(look.color(colour))
        painter.drawText(baseline(QRectF(area.left() + 4.0, area.top() + top, area.width() - 8.0, high), font), text)


class OffsetChart(QWidget):
    """The chart in the panel; shown for a straddling cut that has room to move."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._setup: Setup | None = None
        self._gesture: object | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say("offset_chart", "name"))
        self.setToolTip(plain_hint(say("offset_chart", "hint")))
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.hide()

    def sizeHint(self) -> QSize:
        """As high as its words and its plot need."""
        return QSize(300, chart_height(look(self._view.theme)))

    def show_setup(self, setup: Setup) -> None:
        """Follow a setup; hidden where there is no offset to choose."""
        self._setup = setup
        self.setVisible(strip_with_room(setup) is not None)
        self.update()

    def offset_at(self, x: float) -> float:
        """The offset (mm) at a pixel, as far as the work has room."""
        strip = None if self._setup is None else strip_with_room(self._setup)
        assert strip is not None
        units = self._view.units
        shown = offset_frame(QRectF(self.rect()), strip, units, look(self._view.theme)).across.value(x)
        end = float(strip.offset[-1])
        return round(min(max(QUANTITIES["offset"].house(shown, units), -end), end), 3)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The chart of the setup that is shown."""
        if self._setup is None:
            return
        painter = QPainter(self)
        paint_offsets(painter, QRectF(self.rect()), self._setup, self._view.units, look(self._view.theme))
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the work where the hand is."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._gesture = object()
            self._move_to(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The work follows; one step of undo."""
        if self._gesture is not None:
            self._move_to(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._gesture = None

    def _move_to(self, x: float) -> None:
        if self._setup is None or strip_with_room(self._setup) is None:
            return
        try:
            changed = self._workbench.setup.with_keys({KEY: self.offset_at(x)})
        except ChiparcError:
            return
        self._workbench.propose(changed, StepName(TERM, "offset"), self._gesture)
