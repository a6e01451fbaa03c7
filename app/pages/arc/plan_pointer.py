"""The pointer on the plan: what it hovers over, what it drags, and the part of the plan that it looks at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.kit.label_layout import text_size
from app.kit.look import CENTRE, NO_PEN, Look
from app.pages.arc.arc_state import ArcState
from app.pages.arc.plan_close import CloseView, sense
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_handles import Handle, handles_at
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_ways import Moves
from app.state.step_name import DIRECTION, StepName
from app.state.workbench import Workbench
from core.effects.arc_results import ArcResults

NAMED_MOVERS: tuple[tuple[str, Moves], ...] = (("work", "work"), ("feed", "cutter"))
"""The words on the plan that let what they name be the one that moves."""


class PlanPointer:
    """The pointer over the plans of one widget; of the drags each is one step of undo.

    ``frames`` : each plan with its place on the widget as it is now; ``named`` : where the words of one of them
    stand.  ``has_dragged`` : something has been dragged since the widget was made.
    """

    def __init__(
        self,
        widget: QWidget,
        workbench: Workbench,
        view: ArcState,
        frames: Callable[[], list[tuple[PlanScene, PlanFrame]]],
        named: Callable[[PlanScene, PlanFrame], Mapping[str, QRectF]],
    ) -> None:
        self._widget, self._workbench, self._view = widget, workbench, view
        self._frames, self._named = frames, named
        self._at: QPointF | None = None
        self._hover: Handle | None = None
        self._held: Handle | None = None
        self._gesture: object | None = None
        self._held_angle = 0.0
        self._moving_view: QPointF | None = None
        self.has_dragged = False

    @property
    def holds(self) -> bool:
        """Whether it holds something of the picture."""
        return self._held is not None

    # What it is over

    def handles(self, point: QPointF) -> list[Handle]:
        """What can be taken hold of at a pixel, nearest kind first."""
        plans = enumerate(self._frames())
        return [replace(h, plan=i) for i, (scene, frame) in plans for h in handles_at(point, scene, frame)]

    def _named_mover(self, point: QPointF) -> Moves | None:
        """Which of cutter and work is named under a pixel: a click there lets it be the one that moves."""
        for scene, frame in self._frames():
            named = self._named(scene, frame)
            for name, moves in NAMED_MOVERS:
                if name in named and named[name].contains(point):
                    return moves
        return None

    def look_again(self) -> None:
        """What lies under the pointer now: the picture may have moved away from under it."""
        if self._held is not None:
            return
        found = [] if self._at is None else self.handles(self._at)
        hover = found[0] if found else None
        if hover is None and self._hover is None:
            return
        self._hover = hover
        self._widget.setCursor(hover.cursor if hover else Qt.CursorShape.ArrowCursor)
        self._widget.update()

    def follow(self, results: ArcResults) -> None:
        """Changed by another hand, as by D: what was held has gone to the other side from under the pointer."""
        if self._held is not None and results.setup.cut != self._held.setup.cut:
            self._held = self._gesture = None

    # What it holds and drags

    def press(self, point: QPointF) -> None:
        """Take hold of what lies under the pointer."""
        self._at = point
        found = self.handles(point)
        if found and found[0].flips:
            self._workbench.propose(self._workbench.setup.opposite, DIRECTION)
            self._widget.update()
        elif found:
            self._held, self._gesture, self._held_angle = found[0], object(), self._view.angle_deg
            self._widget.update()
        elif (moves := self._named_mover(point)) is not None:
            self._view.set("moves", moves)
        elif self._view.close is not None:
            self._moving_view = point
            self._widget.setCursor(Qt.CursorShape.ClosedHandCursor)

    def move(self, point: QPointF) -> None:
        """Drag what is held; otherwise show what could be."""
        self._at = point
        if self._moving_view is not None:
            self._move_view(point)
        elif self._held is None:
            self.look_again()
        else:
            self._drag_to(point, self._held)

    def _drag_to(self, point: QPointF, held: Handle) -> None:
        frame = self._plan_of(held)[1]
        if held.moves_angle:
            self._view.set("angle_deg", held.angle_at(point, frame, self._view.results))
        else:
            setup = held.setup_at(point, frame, self._workbench.setup)
            self._workbench.propose(setup, held.step, self._gesture)
        self._held = replace(held, setup=self._workbench.setup, angle_deg=self._view.angle_deg)
        self._widget.update()

    def _plan_of(self, held: Handle) -> tuple[PlanScene, PlanFrame]:
        """The plan on which it was taken, or the last one where there are fewer now."""
        frames = self._frames()
        return frames[min(held.plan, len(frames) - 1)]

    def let_go(self) -> None:
        """Let go: the drag was one step of undo."""
        if self._moving_view is not None:
            self._moving_view = None
            self._widget.unsetCursor()
        if self._held is not None:
            self.has_dragged = True
            if self._held.moves_angle:
                self._workbench.page_changed(
                    StepName("plan", "angle_step"), ("arc", self._held_angle), ("arc", self._view.angle_deg)
                )
        self._drop()

    def put_back(self) -> None:
        """What is held goes back to where it was taken."""
        if self._held is not None and self._held.moves_angle:
            self._view.set("angle_deg", self._held_angle)
        elif self._held is not None:
            self._workbench.take_back(self._gesture)
        self._drop()

    def _drop(self) -> None:
        self._held = self._gesture = None
        self.look_again()

    def leave(self) -> None:
        """Nothing is under a pointer that has left; what is held stays held."""
        self._at = self._at if self._held is not None else None
        self.look_again()

    def hide(self) -> None:
        """On a hidden plan nothing is held."""
        self._held = self._hover = self._gesture = self._at = self._moving_view = None

    # The part that it looks at

    def zoom(self, point: QPointF, factor: float) -> None:
        """Nearer or farther, with what is under the point staying there."""
        for scene, frame in self._frames():
            if self._held is None and frame.rect.contains(point):
                x, y = frame.radii(point)
                middle_x, middle_y = frame.radii(frame.inner.center())
                way = sense(scene)
                seen = CloseView(frame.scale, way * middle_x, middle_y)
                self._view.look_at(seen.zoomed(factor, way * x, y))
                return

    def _move_view(self, point: QPointF) -> None:
        """Drag what lies under the pointer of a close view along."""
        close, before = self._view.close, self._moving_view
        if close is None or before is None:
            return
        frames = self._frames()
        scene, frame = next(((s, f) for s, f in frames if f.rect.contains(before)), frames[0])
        dx, dy = (point.x() - before.x()) / frame.radius, (point.y() - before.y()) / frame.radius
        self._view.look_at(close.moved(-sense(scene) * dx, dy))
        self._moving_view = point

    # Its mark

    def place(self) -> QPointF | None:
        """Where the mark of what is held, or could be, stands now: on its handle, wherever that has moved to."""
        handle = self._held or self._hover
        if handle is None:
            return None
        frames = self._frames()
        return handle.place(*frames[handle.plan]) if handle.plan < len(frames) else None

    def told_place(self, width: float, height: float) -> QRectF:
        """Where the value of a drag stands: beside the pointer, off the labels that the drag changes if it can."""
        assert self._at is not None and self._held is not None
        labels = [box for box in self._named(*self._plan_of(self._held)).values() if not box.isEmpty()]
        x, y = self._at.x(), self._at.y()
        found: list[tuple[float, QRectF]] = []
        for left, top in (
            (x + 16.0, y - 30.0),
            (x + 16.0, y + 14.0),
            (x - 16.0 - width, y - 30.0),
            (x - 16.0 - width, y + 14.0),
        ):
            left, top = min(max(left, 4.0), self._widget.width() - width - 4.0), max(top, 4.0)
            box = QRectF(left, top, width, height)
            over = [box.intersected(label) for label in labels]
            found.append((sum(part.width() * part.height() for part in over if not part.isEmpty()), box))
        return min(found, key=lambda spot: spot[0])[1]

    def paint(self, painter: QPainter, look: Look) -> None:
        """A ring about the handle under it, and the value of what is held."""
        at = self.place()
        if at is not None:
            painter.setPen(look.pen("accent", "thick"))
            painter.setBrush(look.color("accent", 0.18))
            painter.drawEllipse(at, 12.0, 12.0)
        if self._held is not None and self._at is not None:
            text = self._held.value_text(self._view.units)
            font = look.font("text", bold=True)
            size = text_size(font, text)
            box = self.told_place(size.width() + 16.0, size.height() + 8.0)
            painter.setPen(NO_PEN)
            painter.setBrush(look.color("ink"))
            painter.drawRoundedRect(box, 4.0, 4.0)
            painter.setPen(look.color("panel"))
            painter.setFont(font)
            painter.drawText(box, CENTRE, text)
