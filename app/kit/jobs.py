"""Work that takes longer than a frame, beside the window: only the newest request, coarse before fine.

A request is a generator: each value that it yields is shown as soon as it is there, the next one in its place.
Between two values it is asked whether a newer request has come; then it is dropped, and what it still yields is
never shown.  The thread lives only while there is work, so that nothing waits when the window is closed.

The thread knows nothing of Qt: it lays its values down, and the window's thread takes them.  So a page may go while
its request is worked on; the thread outlives it by the value at work.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from enum import Enum
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal

Work = Callable[[], Iterator[object]]

LOOK_MS = 5
"""How often the window's thread looks for values while there is work: a third of a frame."""


class What(Enum):
    """What a request tells."""

    VALUE = "value"
    END = "end"
    FAILURE = "failure"


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that a request tells, and which request it is."""

    request: int
    what: What
    value: object = None


class WorkLine:
    """One line of requests, of which only the newest counts, with the thread that works on them."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._newest = 0
        self._waiting: tuple[int, Work] | None = None
        self._thread: threading.Thread | None = None
        self._told: list[Told] = []

    @property
    def busy(self) -> bool:
        """Whether a request is being worked on, or what it told has not been taken."""
        with self._lock:
            return self._thread is not None or bool(self._told)

    def ask(self, work: Work) -> None:
        """Begin this request as soon as the one before has yielded its next value; forget the one before."""
        with self._lock:
            self._forget()
            self._waiting = (self._newest, work)
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="chiparc-job", daemon=True)
                self._thread.start()

    def drop(self) -> None:
        """What was asked for is no longer wanted."""
        with self._lock:
            self._forget()

    def join(self) -> None:
        """Wait for the value that is being worked on."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def take(self) -> list[Told]:
        """What the newest request told since it was last asked."""
        with self._lock:
            taken, self._told = self._told, []
            return taken

    def wants(self, told: Told) -> bool:
        """Whether no newer request has come since, and it was not dropped."""
        with self._lock:
            return told.request == self._newest

    def _forget(self) -> None:
        self._newest += 1
        self._waiting = None
        self._told.clear()

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
                if not self._tell(Told(request, What.VALUE, value)):
                    return
            self._tell(Told(request, What.END))
        except Exception as error:  # Whatever it is: it belongs to the window, not to this thread.
            self._tell(Told(request, What.FAILURE, error))

    def _tell(self, told: Told) -> bool:
        """Lay something down for the window's thread; False where nobody waits for the request any more."""
        with self._lock:
            wanted = told.request == self._newest
            if wanted:
                self._told.append(told)
            return wanted


class Jobs(QObject):
    """A line of requests for the window: it may go at any moment, its request with it.

    On the thread of the window, and of the newest request only: ``came`` carries a value, ``done`` comes after the
    last one, ``failed`` carries what was raised.
    """

    came = Signal(object)
    done = Signal()
    failed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._line = WorkLine()
        self._look_out = QTimer(self)
        self._look_out.setInterval(LOOK_MS)
        self._look_out.timeout.connect(self._look)
        self.destroyed.connect(self._line.drop)

    def ask(self, work: Work) -> None:
        """Begin this request as soon as the one before has yielded its next value; forget the one before.

        Raises TypeError for a request that holds an object of Qt, which its thread might be the last to let go.
        """
        if holds_qt(work):
            raise TypeError("a request is worked on without objects of Qt: give it what it needs of them")
        self._line.ask(work)
        self._look_out.start()

    def drop(self) -> None:
        """What was asked for is no longer wanted."""
        self._line.drop()

    @property
    def busy(self) -> bool:
        """Whether a request is being worked on, or has values that were not shown yet."""
        return self._line.busy

    def stop(self) -> None:
        """Drop everything and wait for the value that is being worked on, so that no thread outlives the window."""
        self._line.drop()
        self._line.join()

    def _look(self) -> None:
        # Asked first: what is told after it is found at the next look.
        if not self._line.busy:
            self._look_out.stop()
        for told in self._line.take():
            if not self._line.wants(told):
                return
            if told.what is What.VALUE:
                self.came.emit(told.value)
            elif told.what is What.END:
                self.done.emit()
            else:
                self.failed.emit(told.value)


def holds_qt(held: object, asked: tuple[object, ...] = ()) -> bool:
    """Whether this is an object of Qt, or a callable that holds one; ``asked`` are those that are being asked."""
    if isinstance(held, QObject) or isinstance(getattr(held, "__self__", None), QObject):
        return True
    if any(held is each for each in asked):
        # A function that calls itself holds itself.
        return False
    inside = [*held.args, *held.keywords.values(), held.func] if isinstance(held, partial) else []
    for cell in getattr(held, "__closure__", None) or ():
        # One that is filled after the function is made is empty so far.
        with suppress(ValueError):
            inside.append(cell.cell_contents)
    return any(holds_qt(each, (*asked, held)) for each in inside)
