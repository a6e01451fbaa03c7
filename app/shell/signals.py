"""Signals of the system: Ctrl+C in the terminal closes the window; at a log-out what is not saved is kept."""

from __future__ import annotations

import signal
import socket
from collections.abc import Callable

from PySide6.QtCore import QObject, QSocketNotifier

ENDINGS = ("SIGINT", "SIGTERM", "SIGHUP")


class Signals(QObject):
    """Turns signals into calls within the event loop, where Python's own handlers would wait for the next event."""

    def __init__(self, end: Callable[[], object], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._end = end
        self._read, self._write = socket.socketpair()
        for side in (self._read, self._write):
            side.setblocking(False)
        self._before_fd = signal.set_wakeup_fd(self._write.fileno(), warn_on_full_buffer=False)
        self._before = {}
        for name in ENDINGS:
            number = getattr(signal, name, None)
            if number is not None:
                self._before[number] = signal.signal(number, lambda *_: None)
        self._notifier = QSocketNotifier(self._read.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._came)

    def _came(self) -> None:
        try:
            came = self._read.recv(64)
        except OSError:
            return
        if any(number in self._before for number in came):
            self._end()

    def stop(self) -> None:
        """The handlers from before come back."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(self._before_fd)
        for number, handler in self._before.items():
            signal.signal(number, handler)
        self._read.close()
        self._write.close()
