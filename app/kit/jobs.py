"""Work that takes longer than a frame, beside the window: only the newest request, coarse before fine.

A request is a generator: each value that it yields is shown as soon as it is there, the next one in its place.
Between two values it is asked whether a newer request has come; then it is dropped, and what it still yields is
never shown.  The thread lives only while there is work, so that nothing waits when the window is closed.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, Signal

Work = Callable[[], Iterator[object]]


@dataclass(frozen=True, slots=True)
class Piece:
    """One value of a request, and which request it belongs to."""

    request: int
    value: object


class Jobs(QObject):
    """One line of requests, of which only the newest counts.

    On the thread of the window, and of the newest request only: ``came`` carries a value, ``done`` comes after the
    last one, ``failed`` carries what was raised.
    """

    came = Signal(object)
    done = Signal()
    failed = Signal(object)
    _arrived = Signal(object)
    _over = Signal(int)
    _raised = Signal(int, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lock = threading.Lock()
        self._newest = 0
        self._waiting: tuple[int, Work] | None = None
        self._thread: threading.Thread | None = None
        self._arrived.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self._over.connect(self._take_end, Qt.ConnectionType.QueuedConnection)
        self._raised.connect(self._take_failure, Qt.ConnectionType.QueuedConnection)

    def ask(self, work: Work) -> None:
        """Begin this request as soon as the one before has yielded its next value; forget the one before."""
        with self._lock:
            self._newest += 1
            self._waiting = (self._newest, work)
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="chiparc-job", daemon=True)
                self._thread.start()

    def drop(self) -> None:
        """What was asked for is no longer wanted."""
        with self._lock:
            self._newest += 1
            self._waiting = None

    @property
    def busy(self) -> bool:
        """Whether a request is being worked on."""
        with self._lock:
            return self._thread is not None

    def stop(self) -> None:
        """Drop everything and wait for the value that is being worked on, so that no thread outlives the window."""
        self.drop()
        thread = self._thread
        if thread is not None:
            thread.join()

    def _run(self) -> None:
        while True:
            with self._lock:
                waiting, self._waiting = self._waiting, None
                if waiting is None:
                    self._thread = None
                    return
            self._work(*waiting)

    def _work(self, request: int, work: Work) -> None:
        try:
            for value in work():
                if request != self._newest or not self._tell("_arrived", Piece(request, value)):
                    return
            self._tell("_over", request)
        except Exception as error:  # Whatever it is: it belongs to the window, not to this thread.
            # Nobody waits for a dropped request: its window may be gone.
            if request == self._newest:
                self._tell("_raised", request, error)

    def _tell(self, signal: str, *values: object) -> bool:
        """Send something to the window's thread; False where the window, and this object with it, is gone."""
        try:
            getattr(self, signal).emit(*values)
        except RuntimeError:
            return False
        return True

    def _take(self, piece: Piece) -> None:
        if piece.request == self._newest:
            self.came.emit(piece.value)

    def _take_end(self, request: int) -> None:
        if request == self._newest:
            self.done.emit()

    def _take_failure(self, request: int, error: object) -> None:
        if request == self._newest:
            self.failed.emit(error)
