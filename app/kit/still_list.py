"""A list to choose from that a wheel passing over it does not change."""

from __future__ import annotations

from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox


class StillList(QComboBox):
    """A drop-down list; who scrolls past it changes nothing, as choosing one takes the figures with it."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel belongs to what scrolls about the list; in the opened list it still scrolls."""
        event.ignore()
