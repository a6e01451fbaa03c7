"""A black sheet over a window: the class looks at the person again.  Any key or click takes it away."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget


class Blackout(QWidget):
    """Covers all of its parent while it is shown."""

    def __init__(self, parent: QWidget, name: str) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._before: QWidget | None = None
        self._over = parent
        parent.installEventFilter(self)
        self.hide()

    def toggle(self) -> None:
        """Black, and back."""
        if self.isVisible():
            self.lift()
            return
        self._before = self.window().focusWidget()
        self.setGeometry(self._over.rect())
        self.raise_()
        self.show()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def lift(self) -> None:
        """Take it away; the focus goes back to where it was."""
        if self.isVisible():
            self.hide()
            if self._before is not None and self._before.isVisible():
                self._before.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """As large as its parent."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.setGeometry(self._over.rect())
        return super().eventFilter(watched, event)

    def event(self, event: QEvent) -> bool:
        """A key that is a command too takes the sheet away and does nothing else: nobody would see what it does."""
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Any key."""
        self.lift()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Any click, which does nothing else."""
        self.lift()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Black in every theme."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), Qt.GlobalColor.black)
        painter.end()
