"""The plan: the cutter seen along its spindle in the work, live, with hands on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QFocusEvent,
    QHelpEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGestureEvent, QPinchGesture, QWidget

from app.kit.debounce import SETTLE_MS, hand_is_down, once_after
from app.kit.hover_help import HoverHelp, show_help
from app.kit.look import NO_BRUSH, Look, look
from app.kit.readable_ranges import AxisRange
from app.pages.arc.arc_state import ArcState
from app.pages.arc.pair import other_angle, plan_scenes
from app.pages.arc.plan_close import sense
from app.pages.arc.plan_frame import PlanFrame, side_by_side
from app.pages.arc.plan_help import plan_help
from app.pages.arc.plan_on_screen import PlanOnScreen
from app.pages.arc.plan_pointer import PlanPointer
from app.pages.arc.plan_scene import PlanScene, force_range
from app.pages.arc.plan_ways import travelled
from app.pages.arc.which_way_scene import shown_strips
from app.state.workbench import Workbench
from core.base.words import say
from core.effects.arc_results import ArcResults

WHEEL = 1.25
"""How much nearer a notch of the wheel goes."""

KEYBOARD_REASONS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


TURNS = {Qt.Key.Key_Right: 1.0, Qt.Key.Key_Up: 1.0, Qt.Key.Key_Left: -1.0, Qt.Key.Key_Down: -1.0}
"""By how much each key turns the tooth, degrees; ten times as much with the shift key."""


class PlanView(QWidget):
    """The plan as a widget; in Pair two plans side by side, climb on the left."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self._look: Look = look(view.theme)
        self._scenes: list[PlanScene] = []
        self._force_range: AxisRange | None = None
        self._drawn = PlanOnScreen(self)
        self.pointer = PlanPointer(self, workbench, view, self.frames, self.named)
        self._tabbed = False
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.grabGesture(Qt.GestureType.PinchGesture)
        self.setMinimumSize(300, 190)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("plan", "name"))
        workbench.file_changed.connect(self.show_document)
        view.angle_changed.connect(self.show_angle)
        view.changed.connect(self.show_view)
        self._tell = once_after(self, SETTLE_MS, self._settle)
        self.show_results(view.results)
        self._describe()

    def sizeHint(self) -> QSize:
        """A plan likes to be nearly square."""
        return QSize(700, 640)

    # What is shown

    def show_results(self, results: ArcResults) -> None:
        """New results: shapes and still layer are made anew at the next paint."""
        self.pointer.follow(results)
        units = self._view.units
        top, shown = self._view.thickness_top, self._view.shown
        pair, pin = self._view.pair, self._view.pin
        # Who has dragged once needs no telling.
        untold = not (pair or self.pointer.has_dragged or pin is not None)
        self._scenes = plan_scenes(
            results,
            self._view.angle_deg,
            units,
            pair=pair,
            hint=say("plan", "hint") if untold else "",
            top=top,
            shown=shown,
            pin=pin,
            moves=self._view.moves,
            heated="temperature" in shown_strips(self._view),
        )
        self._scale_forces(settled=False)
        self._drawn.forget()
        self.pointer.look_again()
        self._tell.start()
        self.update()

    def _scale_forces(self, *, settled: bool) -> None:
        """The arrows of force on one scale for both plans of a pair."""
        self._force_range = force_range(self._force_range, self._scenes, settled=settled)
        self._scenes = [replace(scene, force_top=self._force_range.high) for scene in self._scenes]

    def _settle(self) -> None:
        """A gesture is over: the arrows take the scale of what is there now; a screen reader is told."""
        if not self.pointer.holds:
            if hand_is_down():
                self._tell.start()
                return
            self._scale_forces(settled=self._view.scales_follow)
            self.update()
        self._describe()

    def show_document(self) -> None:
        """Another document: nothing of the one before is left on its picture."""
        self._force_range = None
        self._scale_forces(settled=True)
        self.update()

    def show_angle(self, angle_deg: float) -> None:
        """The tooth has moved: only the moving layer is painted anew."""
        results = self._view.results
        scenes = []
        for scene in self._scenes:
            if scene.results is results:
                scenes.append(scene.turned(angle_deg))
            else:
                scenes.append(scene.turned(other_angle(angle_deg, results, scene.results)))
        self._scenes = scenes
        self.pointer.look_again()
        self.update()

    def show_view(self, name: str) -> None:
        """Theme, units, Pair or the part that is looked at have changed."""
        if name == "close":
            self._drawn.forget()
            self.pointer.look_again()
            self.update()
            return
        self._look = look(self._view.theme)
        self.show_results(self._view.results)

    def _describe(self) -> None:
        """What a screen reader is told of the picture."""
        words = []
        for scene in self._scenes:
            (_, enters, h_in), (_, leaves, h_out) = scene.ends()
            title = scene.title
            words.append(say("plan", "described", title=title, enters=enters, h_in=h_in, leaves=leaves, h_out=h_out))
            words += [say("plan", "met", met=met) for met in scene.skin_words() if met]
        self.setAccessibleDescription(" ".join(words))

    # Painting

    def frames(self) -> list[tuple[PlanScene, PlanFrame]]:
        """Each scene with its frame on this widget."""
        close = self._view.close
        if close is None:
            frames = side_by_side(self.width(), self.height(), len(self._scenes), self._look)
        else:
            senses = tuple([sense(scene) for scene in self._scenes])
            frames = side_by_side(self.width(), self.height(), len(self._scenes), self._look, close, senses)
        return list(zip(self._scenes, frames, strict=True))

    def named(self, scene: PlanScene, frame: PlanFrame) -> Mapping[str, QRectF]:
        """Where the words of one plan stand that have a name, pixels; empty places of those that found no room."""
        return self._drawn.fixed_words(scene, frame, self._look).layout.named

    @property
    def sliding(self) -> bool:
        """Whether work and cutter move past one another: while the tooth goes round by itself."""
        return self._view.playing and not self._view.reduced_motion

    def slid(self) -> int:
        """Pixels by which the cutter and all that goes with it stand above their place at rest."""
        if not self.sliding or self._view.moves != "cutter" or not self._scenes:
            return 0
        scene, frame = self.frames()[0]
        return travelled(scene.angle_deg, frame)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The plans, the pointer's own marks, and who has the focus."""
        painter = QPainter(self)
        paint = self._drawn.paint_sliding if self.sliding else self._drawn.paint
        paint(painter, self.frames(), self._look)
        self.pointer.paint(painter, self._look)
        if self.hasFocus() and self._tabbed:
            painter.setPen(self._look.pen("focus", "line"))
            painter.setBrush(NO_BRUSH)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5), 6.0, 6.0)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size wants another still layer."""
        self._drawn.forget()
        super().resizeEvent(event)
        self.pointer.look_again()

    # What is told of it

    def help_at(self, point: QPointF) -> HoverHelp | None:
        """What the part under a pixel is, and what can be done with it."""
        for scene, frame in self.frames():
            if frame.rect.contains(point):
                return plan_help(point, scene, frame, self._look, self.named(scene, frame))
        return None

    def event(self, event: QEvent) -> bool:
        """Who hovers is told of the part under the pointer; who drags is not disturbed."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            show_help(self, event, None if self.pointer.holds else self.help_at(QPointF(event.pos())))
            return True
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.pointer.zoom(event.position(), 1.0 + event.value())
            return True
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                self.pointer.zoom(QPointF(self.mapFromGlobal(pinch.centerPoint().toPoint())), pinch.scaleFactor())
                return True
        return super().event(event)

    # Hands

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Nearer or farther, about the pointer."""
        notches = event.angleDelta().y() / 120.0
        if notches:
            self.pointer.zoom(event.position(), WHEEL**notches)
        event.accept()

    def _at_rest(self, event: QMouseEvent) -> QPointF:
        """Where the pointer is on the plan as it stands at rest."""
        return event.position() + QPointF(0.0, self.slid())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of what lies under the pointer."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.pointer.press(self._at_rest(event))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held; otherwise show what could be."""
        self.pointer.move(self._at_rest(event))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of what is held."""
        if event.button() == Qt.MouseButton.LeftButton:
            first = self.pointer.holds and not self.pointer.has_dragged
            self.pointer.let_go()
            if first:
                self.show_results(self._view.results)
            self._tell.start()
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """The pointer has left."""
        self.pointer.leave()
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """``Esc`` in a drag puts it back; arrows turn the tooth."""
        if event.key() == Qt.Key.Key_Escape and self.pointer.holds:
            self.pointer.put_back()
            self._tell.start()
            self.update()
        elif event.key() in TURNS:
            shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._view.set("angle_deg", self._view.angle_deg + TURNS[Qt.Key(event.key())] * (10.0 if shift else 1.0))
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The ring is for those who come by the keyboard."""
        self._tabbed = event.reason() in KEYBOARD_REASONS
        super().focusInEvent(event)
        self.update()

    def hideEvent(self, event: QHideEvent) -> None:
        """A hidden plan holds nothing."""
        self.pointer.hide()
        super().hideEvent(event)
