"""The clock of what plays: a tick for each frame, and how much time has gone by."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, QTimer

FRAME_MS = 16
REDUCED_MS = 500
"""With reduced motion what plays goes on in steps, twice a second, instead of gliding."""


class FrameClock(QTimer):
    """Calls ``tick`` while it runs; ``read`` gives seconds, so that tests can step it."""

    def __init__(
        self, parent: QObject, tick: Callable[[], object], read: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(parent)
        self.read, self._at = read, 0.0
        self.setTimerType(Qt.TimerType.PreciseTimer)
        self.timeout.connect(tick)

    def run(self, on: bool, *, reduced: bool) -> None:
        """Run from now on, or stop."""
        self.stop()
        if on:
            self._at = self.read()
            self.start(REDUCED_MS if reduced else FRAME_MS)

    def elapsed(self) -> float:
        """Seconds since it was asked last, or began to run."""
        now = self.read()
        gone, self._at = now - self._at, now
        return gone
