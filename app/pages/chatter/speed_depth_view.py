"""The chart of speed against depth as a widget: the cut is a handle for the mouse and for the arrow keys."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.kit.debounce import RestTimer
from app.kit.label_layout import text_size
from app.kit.look import CENTRE, NO_BRUSH, look
from app.kit.readable_ranges import AxisRange
from app.pages.chatter.chatter_scene import ChatterScene, depth_range, speed_range
from app.pages.chatter.handle import REACH
from app.pages.chatter.speed_depth_chart import ChartFrame, chart_frame, paint_chart
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import figure
from core.base.words import say
from core.chatter.speed_depth import SpeedDepth
from core.setup.limits_for import limits_for
from core.setup.setup import Setup

STEP, LEAP = 1.01, 1.1
"""Factor of one press of an arrow key, and of one with Shift."""


def with_place(setup: Setup, rpm: float, depth: float) -> Setup:
    """The setup with speed and depth of three figures, kept to what they may be."""
    values = {}
    for key, value in (("cut.spindle_speed_rpm", rpm), ("cut.axial_engagement_mm", depth)):
        limits = limits_for(setup, key)
        assert limits is not None
        values[key] = min(max(float(f"{value:.3g}"), limits.range.low), limits.range.high)
    return setup.with_keys(values)


class SpeedDepthView(QWidget):
    """The chart; it asks for nothing itself, the page gives it setup and borders.

    ``pointed`` carries the place of a click beside the handle, speed (/min) and depth (mm); ``settled``: the hand
    rests.
    """

    pointed = Signal(object)
    settled = Signal()

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._across: AxisRange | None = None
        self._up: AxisRange | None = None
        self._chart: SpeedDepth | None = None
        self._setup = workbench.resolved
        self._held = False
        self._gesture: object | None = None
        self._keys: object | None = None
        self._mark: tuple[float, float] | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.setMinimumSize(360, 280)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("chatter", "view_name"))
        self._settle = RestTimer(self, self.settle)

    def sizeHint(self) -> QSize:
        """As large as there is room."""
        return QSize(900, 560)

    @property
    def across(self) -> AxisRange:
        """The speeds in sight."""
        assert self._across is not None
        return self._across

    def show_setup(self, setup: Setup) -> None:
        """Another cut: the handle moves at once, the borders follow."""
        self._setup = setup
        if self._chart is not None and self._chart.missing:
            self._chart = None
        self._range(settled=False)
        self._settle.start()
        self.update()

    def show_chart(self, chart: SpeedDepth) -> None:
        """Borders have come."""
        before, self._chart = self._chart, chart
        if before is None or not self._held:
            self._range(settled=before is None and not self._held)
        self._settle.start()
        self.update()

    def settle(self) -> None:
        """The hand rests: axes may take in again what is too large; a screen reader is told."""
        if not self._held:
            self._range(settled=True)
            self._keys = None
            self.update()
        cut, units = self._setup.cut, self._view.units
        speed = figure(cut.spindle_speed_rpm, "spindle_speed", units)
        told = say("chatter", "view_told", speed=speed, depth=figure(cut.axial_engagement_mm, "depth", units))
        self.setAccessibleDescription(told)
        self.settled.emit()

    @property
    def held(self) -> bool:
        """Whether a hand holds the handle."""
        return self._held

    def mark(self, point: tuple[float, float] | None) -> None:
        """Mark the point that is looked at beside the cut itself; None: no mark."""
        if point != self._mark:
            self._mark = point
            self.update()

    def forget(self) -> None:
        """Another document, or other units: nothing of the axes is kept."""
        self._across = self._up = None
        self._range(settled=True)
        self.update()

    def _range(self, *, settled: bool) -> None:
        self._across = speed_range(self._across, self._setup.cut.spindle_speed_rpm, settled=settled)
        self._up = depth_range(self._up, self._chart, self._setup, self._view.units, settled)

    @property
    def scene(self) -> ChatterScene:
        """What is shown now."""
        if self._across is None or self._up is None:
            self._range(settled=True)
        assert self._across is not None and self._up is not None
        return ChatterScene(self._setup, self._chart, self._across, self._up, self._view.units)

    def frame(self) -> ChartFrame:
        """Where everything stands on this widget."""
        return chart_frame(QRectF(self.rect()), self.scene, look(self._view.theme))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The chart, and what the hand holds."""
        theme = look(self._view.theme)
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("panel"))
        paint_chart(painter, QRectF(self.rect()), self.scene, theme)
        if self._mark is not None:
            frame = self.frame()
            at = QPointF(float(frame.x(self._mark[0])), float(frame.y(self._mark[1])))
            painter.setPen(theme.pen("accent", "thick"))
            for dx, dy in ((6.0, 0.0), (0.0, 6.0)):
                painter.drawLine(at - QPointF(dx, dy), at + QPointF(dx, dy))
        if self._held:
            self._paint_value(painter)
        if self.hasFocus():
            painter.setPen(theme.pen("focus", "line"))
            painter.setBrush(NO_BRUSH)
            painter.drawEllipse(self.frame().handle(), 13.0, 13.0)
        painter.end()

    def _paint_value(self, painter: QPainter) -> None:
        theme, cut, units = look(self._view.theme), self._setup.cut, self._view.units
        text = f"n {figure(cut.spindle_speed_rpm, 'spindle_speed', units)}  ap "
        text += figure(cut.axial_engagement_mm, "depth", units)
        font = theme.font("text", bold=True)
        size, at = text_size(font, text), self.frame().handle()
        left = min(at.x() + 18.0, self.width() - size.width() - 20.0)
        box = QRectF(left, max(at.y() - 40.0, 4.0), size.width() + 16.0, size.height() + 8.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.color("ink"))
        painter.drawRoundedRect(box, 4.0, 4.0)
        painter.setPen(theme.color("panel"))
        painter.setFont(font)
        painter.drawText(box, CENTRE, text)

    # Hands

    def _near(self, point: QPointF) -> bool:
        at = self.frame().handle()
        return math.hypot(point.x() - at.x(), point.y() - at.y()) <= REACH

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the handle."""
        if event.button() == Qt.MouseButton.LeftButton and self._near(event.position()):
            self._held, self._gesture = True, object()
            self.update()
        elif event.button() == Qt.MouseButton.LeftButton and self.frame().plot.contains(event.position()):
            self.pointed.emit(self.frame().values(event.position()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Speed and depth follow the hand, as one step of undo."""
        if not self._held:
            near = self._near(event.position())
            self.setCursor(Qt.CursorShape.OpenHandCursor if near else Qt.CursorShape.ArrowCursor)
            return
        rpm, depth = self.frame().values(event.position())
        after = with_place(self._workbench.setup, rpm, depth)
        self._workbench.propose(after, StepName("chatter", "gesture"), self._gesture)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() == Qt.MouseButton.LeftButton and self._held:
            self._let_go()

    def _let_go(self) -> None:
        self._held, self._gesture = False, None
        self._settle.start()
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows change speed and depth, Shift by more; Esc puts back what the hand, or a run of keys, did."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape and (self._gesture or self._keys) is not None:
            self._workbench.take_back(self._gesture or self._keys)
            self._keys = None
            self._let_go()
            return
        factor = LEAP if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else STEP
        speed = {Qt.Key.Key_Right: factor, Qt.Key.Key_Left: 1.0 / factor}.get(key, 1.0)
        depth = {Qt.Key.Key_Up: factor, Qt.Key.Key_Down: 1.0 / factor}.get(key, 1.0)
        if speed == depth == 1.0:
            super().keyPressEvent(event)
            return
        cut = self._workbench.setup.cut
        after = with_place(self._workbench.setup, cut.spindle_speed_rpm * speed, cut.axial_engagement_mm * depth)
        self._keys = self._keys or object()
        self._workbench.propose(after, StepName("chatter", "gesture"), self._keys)

    def hideEvent(self, event: QHideEvent) -> None:
        """A hidden chart holds nothing."""
        self._held, self._gesture, self._keys = False, None, None
        super().hideEvent(event)
