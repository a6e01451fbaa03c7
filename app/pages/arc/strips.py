"""The strips as a widget: pyqtgraph's view carries one item of ours, over a cached still layer."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.kit.debounce import RestTimer
from app.kit.hover_help import HoverHelp, show_help
from app.kit.look import Look, look
from app.pages.arc import strip_layers as layers
from app.pages.arc.arc_state import PLAN_ONLY, ArcState
from app.pages.arc.pair import other_angle
from app.pages.arc.strip_places import StripFrame, strip_frames
from app.pages.arc.strips_help import strips_help
from app.pages.arc.strips_scene import WHOLE, RangeKeeper, StripsScene, Trace, arc_angles, page_traces
from app.pages.arc.which_way_scene import read_curve, shown_strips
from app.state.step_name import StepName
from app.state.workbench import Workbench
from core.base.quantities import figure
from core.base.words import say
from core.cut.strip_angles import DOMAIN_DEG
from core.effects.arc_results import ArcResults
from core.strips.strip_curves import STRIPS, StripBuilder


class StripStack(pg.GraphicsWidget):
    """All strips as one item: the still layer (axes, bands, words) is a pixmap, curves and line are painted."""

    def __init__(self) -> None:
        super().__init__()
        self.scene_shown: StripsScene | None = None
        self.look: Look | None = None
        self._static: QPixmap | None = None
        self._static_key: object = None

    def show_scene(self, scene: StripsScene, theme: Look) -> None:
        """Show another scene."""
        self.scene_shown, self.look = scene, theme

    def frames(self) -> Sequence[StripFrame]:
        """The strips' frames in this item."""
        assert self.scene_shown is not None and self.look is not None
        return strip_frames(self.rect(), self.scene_shown, self.look)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem | None = None, widget: QWidget | None = None
    ) -> None:
        """Still layer, curves, line."""
        scene, theme = self.scene_shown, self.look
        if scene is None or theme is None:
            return
        frames = self.frames()
        painter.fillRect(self.rect(), theme.color("panel"))
        layers.paint_bands(painter, scene, frames, theme)
        painter.drawPixmap(0, 0, self._still_layer(painter, scene, theme, frames))
        layers.paint_curves(painter, scene, frames, theme)
        layers.paint_line(painter, scene, frames, theme)

    def _still_layer(
        self, painter: QPainter, scene: StripsScene, theme: Look, frames: Sequence[StripFrame]
    ) -> QPixmap:
        ratio = painter.device().devicePixelRatioF()
        # All that the axes show; curves and angle are not in it.
        key = (
            self.rect().width(),
            self.rect().height(),
            ratio,
            theme.name,
            scene.units,
            tuple(scene.ranges.items()),
            scene.angles,
            (*[(s.id, s.title, s.limits, s.missing) for t in scene.traces for s in t.strips],),
            (*[(t.results.setup.cutter.hand, t.results.setup.cut.direction) for t in scene.traces],),
        )
        if self._static is None or key != self._static_key:
            static = QPixmap(math.ceil(self.rect().width() * ratio), math.ceil(self.rect().height() * ratio))
            static.setDevicePixelRatio(ratio)
            static.fill(Qt.GlobalColor.transparent)
            inner = QPainter(static)
            layers.paint_axes(inner, self.rect(), scene, frames, theme)
            inner.end()
            self._static, self._static_key = static, key
        return self._static


class StripsView(pg.GraphicsView):
    """The strips on one angle axis; the line can be dragged, or moved with the arrow keys."""

    def __init__(
        self,
        workbench: Workbench,
        view: ArcState,
        parent: QWidget | None = None,
        *,
        registry: Mapping[str, StripBuilder] = STRIPS,
    ) -> None:
        super().__init__(parent, background=None)
        self._workbench, self._view, self._registry = workbench, view, registry
        self._keeper = RangeKeeper()
        self._own: Trace | None = None
        self._other: Trace | None = None
        self._ghosts: tuple[Trace, ...] = ()
        self._angles = WHOLE
        self._dragging = False
        self._angle_before = 0.0
        self.stack = StripStack()
        self.setCentralItem(self.stack)
        self.setMinimumSize(300, 190)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("strips", "name"))
        self._settle = RestTimer(self, self.settle)
        view.angle_changed.connect(self.show_angle)
        view.changed.connect(self.show_view)
        self.settle()

    # What is shown

    def show_results(self, results: ArcResults) -> None:
        """New results: curves at once, axes only if the data leave them; nothing while they are hidden."""
        if not self._view.shown.strips:
            return
        self._derive(results, settled=False)
        self._settle.start()

    def settle(self) -> None:
        """A gesture is over: axes may take in again what is too large."""
        self._settle.stop()
        if self._own is not None and not self._view.shown.strips:
            return
        self._derive(self._view.results, settled=True)
        # A screen reader is told when nothing moves any more.
        self.setAccessibleDescription(self.description())

    def show_view(self, name: str) -> None:
        """Theme, units, Pair or the choice of strips have changed."""
        if name not in PLAN_ONLY:
            self.settle()

    def show_angle(self, angle_deg: float) -> None:
        """The tooth has moved: only the line does."""
        if self._own is None or not self._view.shown.strips:
            return
        self._own = replace(self._own, angle_deg=angle_deg)
        if self._other is not None:
            there = other_angle(angle_deg, self._own.results, self._other.results)
            self._other = replace(self._other, angle_deg=there)
        if self._ghosts:
            shown = [t for t in (self._own, self._other) if t is not None]
            self._ghosts = tuple(
                [replace(g, angle_deg=t.angle_deg) for g, t in zip(self._ghosts, shown, strict=True)]
            )
        self._show()
        self._settle.start()

    def _derive(self, results: ArcResults, settled: bool) -> None:
        ids = tuple(s for s in shown_strips(self._view) if s in self._registry)
        self._own, self._other, self._ghosts = page_traces(
            results,
            ids,
            self._view.angle_deg,
            pair=self._view.pair,
            pin=self._view.pin,
            registry=self._registry,
            read=read_curve(self._view),
        )
        traces = [t for t in (self._own, self._other, *self._ghosts) if t is not None]
        if self._view.span == "arc":
            kept = None if self._angles is WHOLE else self._angles
            follow = settled and self._view.scales_follow
            self._angles = arc_angles(traces, kept, settled=follow)
        else:
            self._angles = WHOLE
        self._keeper.update(traces, self._view.units, settled and self._view.scales_follow)
        self._show()

    def _show(self) -> None:
        assert self._own is not None
        ranges = {s.id: self._keeper.kept[s.id] for s in self._own.strips}
        view = self._view
        scene = StripsScene(
            self._own,
            self._other,
            ranges,
            view.units,
            view.thickness_top,
            view.shown.figures,
            self._ghosts,
            self._angles,
        )
        self.stack.show_scene(scene, look(self._view.theme))
        self.viewport().update()

    def description(self) -> str:
        """The value of each strip at the line, in words."""
        assert self._own is not None
        units = self._view.units
        words = [say("strips", "angle", angle=figure(self._own.angle_deg, "angle"))]
        for strip in self._own.strips:
            value = self._own.value_at(strip)
            told = figure(value, strip.quantity, units, rough=strip.rough)
            told = say("plan", "in_the_air") if math.isnan(value) else told
            words.append(say("strips", "told", title=strip.title, told=told))
        return " ".join(words)

    # What is told of it

    def help_at(self, point: QPointF) -> HoverHelp | None:
        """What a title, a name, a level or a mark of the strips means; None over the curves themselves."""
        scene, theme = self.stack.scene_shown, self.stack.look
        if scene is None or theme is None:
            return None
        return strips_help(point, scene, self.stack.frames(), theme)

    def viewportEvent(self, event: QEvent) -> bool:
        """Who hovers is told of the part under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            show_help(self.viewport(), event, None if self._dragging else self.help_at(QPointF(event.pos())))
            return True
        return bool(super().viewportEvent(event))

    # Hands

    def _angle_at(self, event: QMouseEvent) -> float | None:
        frames = self.stack.frames()
        point = event.position()
        if not frames:
            return None
        span = QRectF(frames[0].plot.topLeft(), frames[-1].plot.bottomRight()).adjusted(-8.0, -22.0, 8.0, 4.0)
        return frames[0].angle(point.x()) if span.contains(point) else None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the line to the pointer."""
        angle = self._angle_at(event)
        if event.button() == Qt.MouseButton.LeftButton and angle is not None:
            self._dragging, self._angle_before = True, self._view.angle_deg
            self._view.set("angle_deg", angle)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the line; otherwise show that it could be."""
        frames = self.stack.frames()
        if self._dragging and frames:
            angle = frames[0].angle(event.position().x())
            low, high = DOMAIN_DEG
            self._view.set("angle_deg", min(max(angle, low), high))
            return
        over = self._angle_at(event) is not None
        self.setCursor(Qt.CursorShape.SizeHorCursor if over else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the line go: the drag was one step of undo."""
        if self._dragging:
            self._workbench.page_changed(
                StepName("plan", "angle_step"), ("arc", self._angle_before), ("arc", self._view.angle_deg)
            )
        self._dragging = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows 1 degree, with Shift 10, with Ctrl a tenth; Home, End to the arc's ends; Esc puts a drag back."""
        key, e = event.key(), self._view.results.engagement
        if key == Qt.Key.Key_Escape and self._dragging:
            self._dragging = False
            self._view.set("angle_deg", self._angle_before)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = 1.0
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                step = 10.0
            elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                step = 0.1
            self._view.set("angle_deg", self._view.angle_deg + (step if key == Qt.Key.Key_Right else -step))
        elif key == Qt.Key.Key_Home:
            self._view.set("angle_deg", math.degrees(e.entry))
        elif key == Qt.Key.Key_End:
            self._view.set("angle_deg", math.degrees(e.exit))
        else:
            event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The stack straight on the viewport: it is all there is, and a walk through the scene would cost a third."""
        painter = QPainter(self.viewport())
        self.stack.paint(painter)
        self.drawForeground(painter, self.stack.rect())
        painter.end()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Focus is drawn by the frame about the strips."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The ring goes with the focus."""
        super().focusOutEvent(event)
        self.viewport().update()

    def drawForeground(self, painter: QPainter, rect: QRectF) -> None:
        """Visible focus."""
        if self.hasFocus():
            painter.setPen(look(self._view.theme).pen("focus", "line"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.stack.rect().adjusted(1.5, 1.5, -1.5, -1.5), 6.0, 6.0)
