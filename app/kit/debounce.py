"""What waits until the hand has come to rest: one timer, made in one way."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

SETTLE_MS = 400
"""Axes take in again what is too large, and a screen reader is told, this long after the last change."""


def once_after(parent: QObject, interval_ms: int, do: Callable[[], object]) -> QTimer:
    """A timer that does something once, ``interval_ms`` after it was last started."""
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(interval_ms)
    timer.timeout.connect(do)
    return timer
