"""The plan: the cutter seen along its spindle in the work, live, with hands on it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

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
    QPixmap,
    QRegion,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGestureEvent, QPinchGesture, QWidget

from app.kit.debounce import SETTLE_MS, hand_is_down, once_after
from app.kit.hover_help import HoverHelp, show_help
from app.kit.label_layout import LabelLayout, text_size
from app.kit.look import SMOOTH, Look, look
from app.kit.readable_ranges import AxisRange
from app.kit.tiled_pixmap import TiledPixmap, clear_picture, painter_on, tiled
from app.pages.arc import plan_layers as layers
from app.pages.arc.arc_state import ArcState
from app.pages.arc.loupe import RIM, loupe_key, loupe_picture, loupe_place
from app.pages.arc.pinned import with_ghost
from app.pages.arc.plan_close import CloseView, sense
from app.pages.arc.plan_frame import PlanFrame, side_by_side
from app.pages.arc.plan_handles import Handle, handles_at
from app.pages.arc.plan_help import plan_help
from app.pages.arc.plan_picture import paint_ends, paint_fixed, paint_moving
from app.pages.arc.plan_scene import PlanScene, direction_title, force_range
from app.pages.arc.plan_tooth import paint_cutter
from app.pages.arc.plan_ways import Moves, travelled
from app.pages.arc.which_way_scene import shown_strips
from app.state.workbench import Workbench
from core.effects.arc_results import ArcResults, arc_results, paired_angle

HINT = "drag the work's edge, a tooth, the arrow"
NAMED_MOVERS: tuple[tuple[str, Moves], ...] = (("work", "work"), ("feed", "cutter"))
"""The words on the plan that let what they name be the one that moves."""

WHEEL = 1.25
"""How much nearer a notch of the wheel goes."""

KEYBOARD_REASONS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


@dataclass(frozen=True, slots=True)
class FixedLayer:
    """A plan's fixed words as a picture, with the places they take; ``key`` is all that they depend on."""

    key: tuple[object, ...]
    picture: TiledPixmap
    layout: LabelLayout


class PlanView(QWidget):
    """The plan as a widget; in Pair two plans side by side, climb on the left."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._look: Look = look(view.theme)
        self._scenes: list[PlanScene] = []
        self._static: QPixmap | None = None
        self._changed = True
        self._force_range: AxisRange | None = None
        self._fixed: dict[str, FixedLayer] = {}
        self._cutters: dict[str, tuple[tuple[object, ...], TiledPixmap | None]] = {}
        self._loupes: dict[str, tuple[tuple[object, ...], QPixmap]] = {}
        self._over: dict[str, TiledPixmap] = {}
        self._moving_view: QPointF | None = None
        self._hover: Handle | None = None
        self._held: Handle | None = None
        self._gesture: object | None = None
        self._held_angle = 0.0
        self._pointer: QPointF | None = None
        self._tabbed = False
        self._held_once = False
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.grabGesture(Qt.GestureType.PinchGesture)
        self.setMinimumSize(300, 190)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plan: the cutter in the work")
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
        if self._held is not None and results.setup.cut != self._held.setup.cut:
            # Changed by another hand, as by D: what was held has gone to the other side from under the pointer.
            self._held = self._gesture = None
        units = self._view.units
        top, shown = self._view.thickness_top, self._view.shown
        mine = PlanScene.of(results, self._view.angle_deg, units, top=top, shown=shown)
        if self._view.pair:
            other = arc_results(results.setup.opposite)
            angle = math.degrees(
                paired_angle(math.radians(self._view.angle_deg), results.engagement, other.engagement)
            )
            theirs = PlanScene.of(other, angle, units, top=top, shown=shown)
            mine = replace(mine, title=direction_title(results.setup))
            mirrored = other.setup.cut.direction == "straddling"
            theirs = replace(theirs, title=direction_title(other.setup, mirrored=True), mirrored=mirrored)
            self._scenes = [theirs, mine] if mine.conventional else [mine, theirs]
        else:
            hint = "" if self._held_once else HINT
            self._scenes = [replace(mine, title=direction_title(results.setup), hint=hint)]
        if self._view.moves != "work":
            self._scenes = [replace(scene, moves=self._view.moves) for scene in self._scenes]
        if "temperature" in shown_strips(self._view):
            self._scenes = [replace(scene, heated=True).turned(scene.angle_deg) for scene in self._scenes]
        if self._view.pin is not None:
            pin, pair = self._view.pin, self._view.pair
            self._scenes = [with_ghost(scene, pin, pair=pair) for scene in self._scenes]
        self._scale_forces(settled=False)
        self._static, self._changed = None, True
        self._over.clear()
        self._look_again()
        self._tell.start()
        self.update()

    def _scale_forces(self, *, settled: bool) -> None:
        """The arrows of force on one scale for both plans of a pair."""
        self._force_range = force_range(self._force_range, self._scenes, settled=settled)
        self._scenes = [replace(scene, force_top=self._force_range.high) for scene in self._scenes]

    def _settle(self) -> None:
        """A gesture is over: the arrows take the scale of what is there now; a screen reader is told."""
        if self._held is None and hand_is_down():
            self._tell.start()
            return
        if self._held is None:
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
                phi = paired_angle(math.radians(angle_deg), results.engagement, scene.results.engagement)
                scenes.append(scene.turned(math.degrees(phi)))
        self._scenes = scenes
        self._look_again()
        self.update()

    def show_view(self, name: str) -> None:
        """Theme, units, Pair or the part that is looked at have changed."""
        if name == "close":
            self._static, self._changed = None, True
            self._over.clear()
            self._look_again()
            self.update()
            return
        self._look = look(self._view.theme)
        self.show_results(self._view.results)

    def _describe(self) -> None:
        """What a screen reader is told of the picture."""
        words = []
        for scene in self._scenes:
            (_, enters, h_in), (_, leaves, h_out) = scene.ends()
            skin = "".join(f" Each tooth {met}." for met in scene.skin_words() if met)
            words.append(f"{scene.title}: {enters}, {h_in}; {leaves}, {h_out}.{skin}")
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

    def _fixed_layer(self, scene: PlanScene, frame: PlanFrame) -> FixedLayer:
        """The fixed words of one plan, painted again only when something of them changes."""
        cut, cutter = scene.results.setup.cut, scene.results.setup.cutter
        key = (
            *frame.rect.getRect(),  # type: ignore[misc]
            self.devicePixelRatioF(),
            self._look.name,
            self._view.close,
            scene.units,
            scene.title,
            scene.hint,
            scene.note,
            scene.moves,
            scene.top,
            cutter.hand,
            cut.direction,
            cut.feed_per_tooth_mm,
            cutter.diameter_mm,
            cutter.cutting_edge_angle_deg,
        )
        layer = self._fixed.get(scene.title)
        if layer is None or layer.key != key:
            picture = clear_picture(frame.rect, self.devicePixelRatioF())
            painter = painter_on(picture, frame.rect)
            layout = paint_fixed(painter, scene, frame, self._look)
            painter.end()
            layer = self._fixed[scene.title] = FixedLayer(key, tiled(picture, frame.rect), layout)
        return layer

    def _paint_still(self, painter: QPainter) -> None:
        painter.fillRect(self.rect(), self._look.color("panel"))
        for scene, frame in self.frames():
            painter.setClipRect(frame.rect)
            painter.setRenderHint(SMOOTH)
            layers.paint_work(painter, scene, frame, self._look)
            if frame.far is None:
                self._paint_words(painter, scene, frame)
        painter.setClipping(False)

    def _paint_words(self, painter: QPainter, scene: PlanScene, frame: PlanFrame) -> None:
        """The words that stand still, and what shows the ends of the arc."""
        fixed = self._fixed_layer(scene, frame)
        fixed.picture.paint(painter)
        paint_ends(painter, scene, frame, self._look, fixed.layout)

    def _paint_over_cutter(self, painter: QPainter, scene: PlanScene, frame: PlanFrame, kept: bool) -> None:
        """In a close view the words lie over the cutter; once the tooth moves under them they are a kept picture."""
        painter.setClipRect(frame.rect)
        if not kept:
            self._paint_words(painter, scene, frame)
        else:
            self._words_layer(scene, frame).paint(painter)
        painter.setClipRect(frame.inner)

    def _words_layer(self, scene: PlanScene, frame: PlanFrame) -> TiledPixmap:
        """The words that stand still and the ends of the arc as one kept picture."""
        over = self._over.get(scene.title)
        if over is None:
            picture = clear_picture(frame.rect, self.devicePixelRatioF())
            inner = painter_on(picture, frame.rect)
            self._paint_words(inner, scene, frame)
            inner.end()
            over = self._over[scene.title] = tiled(picture, frame.rect)
        return over

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

    def _paint_sliding(self, painter: QPainter) -> None:
        """The plan in motion: the hatching of the work stands still and all else goes up, or it comes down alone."""
        painter.fillRect(self.rect(), self._look.color("panel"))
        for scene, frame in self.frames():
            way, up = travelled(scene.angle_deg, frame), 0
            if scene.moves == "cutter":
                up = way
            box = frame.inner
            painter.save()
            painter.setRenderHint(SMOOTH)
            painter.setClipRect(frame.rect)
            # Title and legend stand outside the picture and stay there.
            beside = QRegion(frame.rect.toRect()) - QRegion(box.toRect())
            painter.setClipRegion(beside, Qt.ClipOperation.IntersectClip)
            self._fixed_layer(scene, frame).picture.paint(painter)
            painter.setClipRect(box)
            painter.translate(0.0, -up)
            painter.setBrushOrigin(0, way)
            # Higher than the picture, so that no end of it comes in sight.
            high = replace(frame, inner=box.adjusted(0.0, -abs(up), 0.0, abs(up)))
            layers.paint_work(painter, scene, high, self._look)
            painter.setBrushOrigin(0, 0)
            if frame.far is not None:
                self._paint_cutter(painter, scene, frame)
            painter.save()
            painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
            self._words_layer(scene, frame).paint(painter)
            painter.restore()
            if frame.far is None:
                self._paint_cutter(painter, scene, frame)
            near = self._fixed_layer(scene, frame).layout if frame.far is not None else None
            paint_moving(painter, scene, frame, self._look, near)
            painter.translate(0.0, up)
            painter.setClipRect(frame.rect)
            self._paint_loupe(painter, scene, frame)
            painter.restore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """What stands still, then what moves, then the hand's own marks.

        After a change the still part is painted straight on the screen; once the tooth moves over it, it is
        kept as a picture.
        """
        painter = QPainter(self)
        if self.sliding:
            self._paint_sliding(painter)
            self._paint_hand(painter)
            painter.end()
            return
        kept = not (self._static is None and self._changed)
        if not kept:
            self._changed = False
            self._paint_still(painter)
        else:
            if self._static is None:
                ratio = self.devicePixelRatioF()
                self._static = QPixmap(math.ceil(self.width() * ratio), math.ceil(self.height() * ratio))
                self._static.setDevicePixelRatio(ratio)
                inner = QPainter(self._static)
                self._paint_still(inner)
                inner.end()
            painter.drawPixmap(0, 0, self._static)
        for scene, frame in self.frames():
            near = frame.far is not None
            # The cutter of a close view is larger than its picture.
            painter.setClipRect(frame.inner if near else frame.rect)
            painter.setRenderHint(SMOOTH)
            self._paint_cutter(painter, scene, frame)
            if near:
                self._paint_over_cutter(painter, scene, frame, kept)
            paint_moving(painter, scene, frame, self._look, self._fixed_layer(scene, frame).layout if near else None)
            if near:
                painter.setClipRect(frame.rect)
            self._paint_loupe(painter, scene, frame)
        painter.setClipping(False)
        self._paint_hand(painter)
        painter.end()

    def _paint_cutter(self, painter: QPainter, scene: PlanScene, frame: PlanFrame) -> None:
        """The cutter; met again as it stood, as in a drag of the width, it is kept as a picture."""
        ratio, cutter = self.devicePixelRatioF(), scene.results.setup.cutter
        key = (
            *frame.rect.getRect(),  # type: ignore[misc]
            ratio,
            self._look.name,
            self._view.close,
            scene.angle_deg,
            cutter.hand,
            cutter.teeth,
            cutter.radial_rake_deg,
        )
        met, picture = self._cutters.get(scene.title, (None, None))
        if met != key:
            # A turning cutter pays for no picture.
            self._cutters[scene.title] = (key, None)
            paint_cutter(painter, scene, frame, self._look)
            return
        if picture is None:
            whole = clear_picture(frame.rect, ratio)
            inner = painter_on(whole, frame.rect)
            paint_cutter(inner, scene, frame, self._look)
            inner.end()
            picture = tiled(whole, frame.rect)
            self._cutters[scene.title] = (key, picture)
        picture.paint(painter)

    def _paint_loupe(self, painter: QPainter, scene: PlanScene, frame: PlanFrame) -> None:
        """The loupe, painted anew only when what it shows has changed: a change of width often leaves it."""
        centre, radius = loupe_place(scene, frame)
        ratio = self.devicePixelRatioF()
        key = loupe_key(scene, radius, self._look, ratio)
        kept = self._loupes.get(scene.title)
        if kept is None or kept[0] != key:
            kept = self._loupes[scene.title] = (key, loupe_picture(scene, radius, self._look, ratio))
        painter.drawPixmap(QPointF(centre.x() - radius - RIM, centre.y() - radius - RIM), kept[1])

    @property
    def held(self) -> bool:
        """Whether a hand holds something of the picture."""
        return self._held is not None

    def hand_place(self) -> QPointF | None:
        """Where the mark of what is held, or could be, stands now: on its handle, wherever that has moved to."""
        handle = self._held or self._hover
        if handle is None or handle.plan >= len(self._scenes):
            return None
        return handle.place(*self.frames()[handle.plan])

    def told_place(self, width: float, height: float) -> QRectF:
        """Where the value of a drag stands: beside the pointer, off the labels that the drag changes if it can."""
        assert self._pointer is not None and self._held is not None
        frames = self.frames()
        scene, frame = frames[min(self._held.plan, len(frames) - 1)]
        labels = [box for box in self._fixed_layer(scene, frame).layout.named.values() if not box.isEmpty()]
        x, y = self._pointer.x(), self._pointer.y()
        found: list[tuple[float, QRectF]] = []
        for left, top in (
            (x + 16.0, y - 30.0),
            (x + 16.0, y + 14.0),
            (x - 16.0 - width, y - 30.0),
            (x - 16.0 - width, y + 14.0),
        ):
            left, top = min(max(left, 4.0), self.width() - width - 4.0), max(top, 4.0)
            box = QRectF(left, top, width, height)
            over = [box.intersected(label) for label in labels]
            found.append((sum(part.width() * part.height() for part in over if not part.isEmpty()), box))
        return min(found, key=lambda spot: spot[0])[1]

    def _paint_hand(self, painter: QPainter) -> None:
        at = self.hand_place()
        if at is not None:
            painter.setPen(self._look.pen("accent", "thick"))
            painter.setBrush(self._look.color("accent", 0.18))
            painter.drawEllipse(at, 12.0, 12.0)
        if self._held is not None and self._pointer is not None:
            text = self._held.value_text(self._view.units)
            font = self._look.font("text", bold=True)
            size = text_size(font, text)
            box = self.told_place(size.width() + 16.0, size.height() + 8.0)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._look.color("ink"))
            painter.drawRoundedRect(box, 4.0, 4.0)
            painter.setPen(self._look.color("panel"))
            painter.setFont(font)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        if self.hasFocus() and self._tabbed:
            painter.setPen(self._look.pen("focus", "line"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5), 6.0, 6.0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size wants another still layer."""
        self._static = None
        self._over.clear()
        super().resizeEvent(event)
        self._look_again()

    # What is told of it

    def help_at(self, point: QPointF) -> HoverHelp | None:
        """What the part under a pixel is, and what can be done with it."""
        for scene, frame in self.frames():
            if frame.rect.contains(point):
                named = self._fixed_layer(scene, frame).layout.named
                return plan_help(point, scene, frame, self._look, named)
        return None

    def event(self, event: QEvent) -> bool:
        """Who hovers is told of the part under the pointer; who drags is not disturbed."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            show_help(self, event, None if self._held is not None else self.help_at(QPointF(event.pos())))
            return True
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self._zoom(event.position(), 1.0 + event.value())
            return True
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                self._zoom(QPointF(self.mapFromGlobal(pinch.centerPoint().toPoint())), pinch.scaleFactor())
                return True
        return super().event(event)

    # The part that is looked at

    def _zoom(self, point: QPointF, factor: float) -> None:
        """Nearer or farther, with what is under the point staying there."""
        for scene, frame in self.frames():
            if self._held is None and frame.rect.contains(point):
                x, y = frame.radii(point)
                middle_x, middle_y = frame.radii(frame.inner.center())
                way = sense(scene)
                seen = CloseView(frame.scale, way * middle_x, middle_y)
                self._view.look_at(seen.zoomed(factor, way * x, y))
                return

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Nearer or farther, about the pointer."""
        notches = event.angleDelta().y() / 120.0
        if notches:
            self._zoom(event.position(), WHEEL**notches)
        event.accept()

    def _move_view(self, point: QPointF) -> None:
        """Drag what lies under the pointer of a close view along."""
        close, before = self._view.close, self._moving_view
        if close is None or before is None:
            return
        scene, frame = next(((s, f) for s, f in self.frames() if f.rect.contains(before)), self.frames()[0])
        dx, dy = (point.x() - before.x()) / frame.radius, (point.y() - before.y()) / frame.radius
        self._view.look_at(close.moved(-sense(scene) * dx, dy))
        self._moving_view = point

    # Hands

    def _handles(self, point: QPointF) -> list[Handle]:
        plans = enumerate(self.frames())
        return [replace(h, plan=i) for i, (scene, frame) in plans for h in handles_at(point, scene, frame)]

    def _named_mover(self, point: QPointF) -> Moves | None:
        """Which of cutter and work is named under a pixel: a click there lets it be the one that moves."""
        for scene, frame in self.frames():
            named = self._fixed_layer(scene, frame).layout.named
            for name, moves in NAMED_MOVERS:
                if name in named and named[name].contains(point):
                    return moves
        return None

    def _look_again(self) -> None:
        """What lies under the pointer now: the picture may have moved away from under it."""
        if self._held is not None:
            return
        found = [] if self._pointer is None else self._handles(self._pointer)
        hover = found[0] if found else None
        if hover is None and self._hover is None:
            return
        self._hover = hover
        self.setCursor(hover.cursor if hover else Qt.CursorShape.ArrowCursor)
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of what lies under the pointer."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pointer = event.position() + QPointF(0.0, self.slid())
        found = self._handles(self._pointer)
        if found:
            self._held, self._gesture, self._held_angle = found[0], object(), self._view.angle_deg
            if self._held.flips:
                self._workbench.propose(self._workbench.setup.opposite, "direction")
                self._held = None
            self.update()
        elif (moves := self._named_mover(self._pointer)) is not None:
            self._view.set("moves", moves)
        elif self._view.close is not None:
            self._moving_view = self._pointer
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held; otherwise show what could be."""
        self._pointer = event.position() + QPointF(0.0, self.slid())
        if self._moving_view is not None:
            self._move_view(self._pointer)
            return
        if self._held is None:
            self._look_again()
            return
        self._drag_to(self._pointer)

    def _drag_to(self, point: QPointF) -> None:
        held = self._held
        assert held is not None
        frames = self.frames()
        frame = frames[min(held.plan, len(frames) - 1)][1]
        if held.moves_angle:
            self._view.set("angle_deg", held.angle_at(point, frame, self._view.results))
        else:
            setup = held.setup_at(point, frame, self._workbench.setup)
            self._workbench.propose(setup, held.name, self._gesture)
        self._held = replace(held, setup=self._workbench.setup, angle_deg=self._view.angle_deg)
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go: the drag was one step of undo."""
        if event.button() == Qt.MouseButton.LeftButton:
            if self._moving_view is not None:
                self._moving_view = None
                self.unsetCursor()
            if self._held is not None and not self._held_once:
                # Who has dragged once needs no telling.
                self._held_once = True
                self.show_results(self._view.results)
            if self._held is not None and self._held.moves_angle:
                self._workbench.page_changed("tooth angle", ("arc", self._held_angle), ("arc", self._view.angle_deg))
            self._held = self._gesture = None
            self._look_again()
            self._tell.start()
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Nothing is under a pointer that has left; what is held stays held."""
        self._pointer = self._pointer if self._held is not None else None
        self._look_again()
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """``Esc`` in a drag puts it back; arrows turn the tooth."""
        if event.key() == Qt.Key.Key_Escape and self._held is not None:
            if self._held.moves_angle:
                self._view.set("angle_deg", self._held_angle)
            else:
                self._workbench.take_back(self._gesture)
            self._held = self._gesture = None
            self._look_again()
            self._tell.start()
            self.update()
            return
        turn = {Qt.Key.Key_Right: 1.0, Qt.Key.Key_Up: 1.0, Qt.Key.Key_Left: -1.0, Qt.Key.Key_Down: -1.0}
        if event.key() in turn:
            shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._view.set("angle_deg", self._view.angle_deg + turn[Qt.Key(event.key())] * (10.0 if shift else 1.0))
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The ring is for those who come by the keyboard."""
        self._tabbed = event.reason() in KEYBOARD_REASONS
        super().focusInEvent(event)
        self.update()

    def hideEvent(self, event: QHideEvent) -> None:
        """A hidden plan holds nothing."""
        self._held = self._hover = self._gesture = self._pointer = self._moving_view = None
        super().hideEvent(event)
