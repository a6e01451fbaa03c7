"""Cyclic garbage is collected on the thread of the window, and nowhere else.

Python collects on whichever thread happens to allocate.  On the thread of a job that would destroy windows, painters
and pictures that were dropped, which only their own thread may: the process would die of it, seldom and anywhere.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

from app.kit.debounce import hand_is_down

LOOK_MS = 1000
"""How often the collector looks whether there is enough to collect."""

YOUNG, MIDDLE, OLD = 20_000, 20, 100
"""New objects, collections of the young, and collections of the middle-aged, after which the next are collected."""


def collect_due(*, old: bool = True) -> None:
    """Collect what is due on this thread; ``old``: the oldest too, which takes as long as a few frames."""
    young, middle, oldest = gc.get_count()
    if old and oldest > OLD:
        gc.collect()
    elif middle > MIDDLE:
        gc.collect(1)
    elif young > YOUNG:
        gc.collect(0)


class Collector(QObject):
    """From now on until :meth:`stop` garbage is collected from the event loop of this object's thread alone."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        gc.disable()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._look)
        self._timer.start(LOOK_MS)

    def _look(self) -> None:
        # A full collection in the middle of a drag would be a stutter.
        collect_due(old=not hand_is_down())

    def stop(self) -> None:
        """Python collects by itself again."""
        self._timer.stop()
        gc.enable()
