"""The clock ring to be asked on: a click puts a pin, and so do the arrow keys with Enter."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.kit.look import look
from app.pages.lesson.ring_painting import RingFrame, paint_ring_scene
from app.pages.lesson.ring_scene import RingScene
from app.state.view_state import ViewState
from core.base.words import say
from core.maths.angles import clock

STEPS_DEG = {Qt.Key.Key_Right: 1.0, Qt.Key.Key_Left: -1.0, Qt.Key.Key_Up: 15.0, Qt.Key.Key_Down: -15.0}
"""What the arrow keys turn the pin by."""


class RingView(QWidget):
    """Shows a ring scene.  ``pinned`` carries the angle of a pin that was put, degrees; only while ``asking``."""

    pinned = Signal(float)

    def __init__(self, view: ViewState) -> None:
        super().__init__()
        self._view = view
        self._scene: RingScene | None = None
        self._asking = False
        self._hovered: float | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(say("lesson_page", "ring_name"))
        view.changed.connect(self._view_changed)

    def sizeHint(self) -> QSize:
        """A square with room for words."""
        return QSize(520, 520)

    def show_scene(self, scene: RingScene, *, asking: bool) -> None:
        """Another scene; ``asking``: a pin may be put."""
        self._scene, self._asking = scene, asking
        if not asking:
            self._hovered = None
        self.setCursor(Qt.CursorShape.CrossCursor if asking else Qt.CursorShape.ArrowCursor)
        self.update()

    def frame(self) -> RingFrame:
        """Where the ring stands."""
        return RingFrame(QRectF(self.rect()))

    def point_of(self, angle_deg: float, radius: float = 1.0) -> QPointF:
        """Pixel of a tooth angle on the ring."""
        assert self._scene is not None, "a ring that is asked of shows a scene"
        return self.frame().point(self._scene.place(angle_deg, radius))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ring, and the pin that follows the hand."""
        if self._scene is None:
            return
        theme = look(self._view.theme)
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.color("panel"))
        frame = paint_ring_scene(painter, QRectF(self.rect()), self._scene, theme)
        if self._hovered is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(theme.pen("accent", "line", dashed=True))
            ends = (frame.point(self._scene.place(self._hovered, r)) for r in (0.0, 1.25))
            painter.drawLine(*ends)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """A needle follows the pointer."""
        if self._asking and self._scene is not None:
            self._hovered = self._scene.angle_at(*self.frame().place(event.position()))
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A pin."""
        if self._asking and self._scene is not None and event.button() == Qt.MouseButton.LeftButton:
            self.pinned.emit(self._scene.angle_at(*self.frame().place(event.position())))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrow keys turn the needle, Enter puts the pin."""
        step = STEPS_DEG.get(Qt.Key(event.key()))
        if not self._asking or self._scene is None:
            super().keyPressEvent(event)
        elif step is not None:
            self._hovered = ((90.0 if self._hovered is None else self._hovered + step) + 180.0) % 360.0 - 180.0
            self.setAccessibleDescription(clock(self._hovered, self._scene.setup.cutter.hand))
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._hovered is not None:
            self.pinned.emit(self._hovered)
        else:
            super().keyPressEvent(event)

    def _view_changed(self, name: str) -> None:
        if name in ("theme", "units"):
            self.update()
