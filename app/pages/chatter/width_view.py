"""Width against depth and width against speed: hatched where this cut holds, its handle in both."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.kit.hatch import paint_hatch
from app.kit.jobs import Jobs
from app.kit.look import SMOOTH, Look, look
from app.kit.readable_ranges import AxisRange
from app.kit.shapes import polygon
from app.pages.chatter.handle import REACH, paint_handle
from app.pages.chatter.small_chart import SmallChart, range_over
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.chatter.width_grid import WidthGrid, width_grid
from core.maths.arrays import Array
from core.setup.limits_for import limits_for
from core.setup.setup import Setup


def with_figures(setup: Setup, **figures: float) -> Setup:
    """The setup with figures of its cut (three digits), kept to what they may be."""
    values = {}
    for name, value in figures.items():
        limits = limits_for(setup, f"cut.{name}")
        assert limits is not None
        values[f"cut.{name}"] = min(max(float(f"{value:.3g}"), limits.range.low), limits.range.high)
    return setup.with_keys(values)


class WidthScene:
    """Both charts of one grid; ``grid`` may be that of the setup before while the new one is worked out."""

    def __init__(self, setup: Setup, grid: WidthGrid | None, speeds: AxisRange, units: Units) -> None:
        self.setup, self.grid, self.speeds, self.units = setup, grid, speeds, units
        self.width_scale = float(QUANTITIES["radial_width"].shown(1.0, units))
        self.depth_scale = float(QUANTITIES["depth"].shown(1.0, units))

    def charts(self, rect: QRectF, theme: Look) -> tuple[SmallChart, SmallChart]:
        """Depth over width above, width over speed below."""
        half = rect.height() / 2.0
        widths = range_over(np.array([self.width_scale * self.setup.cutter.diameter_mm]), 5, True)
        deep = 1.4 * self.setup.cut.axial_engagement_mm
        if self.grid is not None and len(self.grid.width_mm):
            both = np.concatenate([self.grid.at_own_speed(True), self.grid.at_own_speed(False)])
            finite = both[np.isfinite(both)]
            if len(finite):
                deep = max(deep, min(6.0 * float(finite.min()), float(finite.max())))
        depths = range_over(np.array([self.depth_scale * deep]), 5, True)
        above = QRectF(rect.left(), rect.top(), rect.width(), half - 4.0)
        below = QRectF(rect.left(), rect.top() + half + 4.0, rect.width(), half - 8.0)
        return SmallChart.within(above, widths, depths, theme), SmallChart.within(below, self.speeds, widths, theme)

    def handles(self, charts: tuple[SmallChart, SmallChart]) -> tuple[QPointF, QPointF]:
        """Where the cut stands in both."""
        cut, (above, below) = self.setup.cut, (c.chart for c in charts)
        wide, deep = self.width_scale * cut.radial_engagement_mm, self.depth_scale * cut.axial_engagement_mm
        return (
            QPointF(above.x(wide), max(above.y(deep), above.plot.top())),
            QPointF(below.x(cut.spindle_speed_rpm), below.y(wide)),
        )


def paint_widths(painter: QPainter, rect: QRectF, scene: WidthScene, theme: Look) -> None:
    """Both charts, or what is missing."""
    painter.setRenderHint(SMOOTH)
    charts = scene.charts(rect, theme)
    units = scene.units
    named = {"depth": QUANTITIES["depth"].unit_in(units), "width": QUANTITIES["radial_width"].unit_in(units)}
    for chart, word in zip(charts, ("depth", "speed"), strict=True):
        chart.paint(painter, theme, say("chatter_width", word, **named))
    grid = scene.grid
    if grid is None or grid.missing:
        painter.setFont(theme.font("small"))
        painter.setPen(theme.color("ink"))
        why = say("chatter_width", "working") if grid is None else say("chatter", f"missing_{grid.missing}")
        painter.drawText(charts[0].chart.plot, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), why)
    else:
        across = scene.width_scale * grid.width_mm
        deep = [scene.depth_scale * grid.at_own_speed(own) for own in (True, False)]
        wide = [scene.width_scale * grid.widest(own) for own in (True, False)]
        _paint_borders(painter, charts[0], across, deep[0], deep[1], scene, theme)
        _paint_borders(painter, charts[1], grid.speed_rpm, wide[0], wide[1], scene, theme)
    for chart, at in zip(charts, scene.handles(charts), strict=True):
        paint_handle(painter, at, chart.chart.plot.bottom(), theme)


def _paint_borders(
    painter: QPainter, small: SmallChart, across: Array, own: Array, other: Array, scene: WidthScene, theme: Look
) -> None:
    plot, conventional = small.chart.plot, scene.setup.cut.direction == "conventional"
    top = small.chart.up.range.high * 1.5
    own, other = np.minimum(own, top), np.minimum(other, top)
    x = np.clip(np.asarray(small.chart.x(across), float), plot.left(), plot.right())
    y = np.clip(np.asarray(small.chart.y(own), float), plot.top(), plot.bottom())
    points = np.empty((len(x) + 2, 2))
    points[1:-1, 0], points[1:-1, 1] = x, y
    points[[0, -1], 0], points[[0, -1], 1] = x[[0, -1]], plot.bottom()
    under = QPainterPath()
    under.addPolygon(polygon(points))
    under.closeSubpath()
    paint_hatch(painter, under, theme.work_hatch, 9, ground=theme.work, steep=conventional)
    straddling = scene.setup.cut.direction == "straddling"
    painter.setPen(theme.pen("second", "thick", dashed=not conventional and not straddling, dotted=straddling))
    small.line(painter, across, other)
    painter.setPen(theme.pen("ink", "thick", dashed=conventional))
    small.line(painter, across, own)


class WidthView(QWidget):
    """Both charts as a widget: dragging a handle changes the setup, as one step of undo."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.jobs = Jobs(self)
        self.grid: WidthGrid | None = None
        self._setup = workbench.resolved
        self._speeds = AxisRange(0.0, 1.0, 1.0)
        self._held: int | None = None
        self._gesture: object | None = None
        self.setMouseTracking(True)
        self.setMinimumSize(300, 200)
        self.setAccessibleName(say("chatter_width", "name"))
        self.jobs.came.connect(self._came)

    def show_setup(self, setup: Setup, speeds: AxisRange) -> None:
        """Another cut, or other speeds in sight: the handles move now, the borders follow."""
        fresh = self.grid is None or not self.grid.done or (setup, speeds) != (self._setup, self._speeds)
        self._setup, self._speeds = setup, speeds
        self.update()
        if fresh:
            self.jobs.ask(lambda: width_grid(setup, speeds.low, speeds.high))

    def rest(self) -> None:
        """Nobody looks."""
        self.jobs.stop()

    def _came(self, grid: object) -> None:
        assert isinstance(grid, WidthGrid)
        self.grid = grid
        self.update()

    @property
    def scene(self) -> WidthScene:
        """What is shown now."""
        return WidthScene(self._setup, self.grid, self._speeds, self._view.units)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Both charts."""
        painter, theme = QPainter(self), look(self._view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        paint_widths(painter, QRectF(self.rect()), self.scene, theme)
        painter.end()

    def _charts(self) -> tuple[SmallChart, SmallChart]:
        return self.scene.charts(QRectF(self.rect()), look(self._view.theme))

    def _near(self, point: QPointF) -> int | None:
        for i, at in enumerate(self.scene.handles(self._charts())):
            if math.hypot(point.x() - at.x(), point.y() - at.y()) <= REACH:
                return i
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a handle."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held, self._gesture = self._near(event.position()), object()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Width and depth, or speed and width, follow the hand."""
        if self._held is None:
            near = self._near(event.position()) is not None
            self.setCursor(Qt.CursorShape.OpenHandCursor if near else Qt.CursorShape.ArrowCursor)
            return
        chart = self._charts()[self._held].chart
        x = chart.across.value(min(max(event.position().x(), chart.plot.left() + 1.0), chart.plot.right()))
        y = chart.up.value(min(max(event.position().y(), chart.plot.top()), chart.plot.bottom() - 1.0))
        scene, setup = self.scene, self._workbench.setup
        if self._held == 0:
            figures = {"radial_engagement_mm": x / scene.width_scale, "axial_engagement_mm": y / scene.depth_scale}
        else:
            figures = {"spindle_speed_rpm": x, "radial_engagement_mm": y / scene.width_scale}
        self._workbench.propose(with_figures(setup, **figures), StepName("chatter_width", "gesture"), self._gesture)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._held = None
