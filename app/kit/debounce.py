"""What waits until the hand has come to rest: timers, made in one way."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication

SETTLE_MS = 400
"""Axes settle on new ranges and a screen reader is informed this long after the last change."""


def hand_is_down() -> bool:
    """Whether a mouse button is held: a hand that rests in a drag has not let go yet."""
    return QApplication.mouseButtons() != Qt.MouseButton.NoButton


def once_after(parent: QObject, interval_ms: int, do: Callable[[], object]) -> QTimer:
    """A timer that does something once, ``interval_ms`` after it was last started."""
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(interval_ms)
    timer.timeout.connect(do)
    return timer


class RestTimer(QTimer):
    """Does something once, :data:`SETTLE_MS` after it was last started, and not before the hand has let go."""

    rested = Signal()

    def __init__(self, parent: QObject, do: Callable[[], object]) -> None:
        super().__init__(parent)
        self.setSingleShot(True)
        self.setInterval(SETTLE_MS)
        self.timeout.connect(self._due)
        # By a signal: the timer would else hold its parent, which holds it.
        self.rested.connect(do)

    def _due(self) -> None:
        if hand_is_down():
            self.start()
        else:
            self.rested.emit()
