"""From a slider's change to the painted window, 1600 x 1000.

``frame`` has all strips and Pair on, ``hand`` is the window as it opens.

Ours is the real window, the peer the same content in matplotlib, once redrawn and once blitted.  Each of the three
has a process of its own, as on a desk, so that none pays for another's rubbish or timers; they take turns within
one run, so that a slow minute of the machine is everybody's.
"""

from __future__ import annotations

import contextlib
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from typing import IO, Any

from tests.bench.timing import Timed

PAINTERS = ("ours", "redrawn", "blitted")
TURN = 3
"""Frames that a painter makes at a time: a drag is never one frame alone."""

UNTIMED = 6
"""Frames of each before the first that counts."""


def width_at(frame: int) -> float:
    """Radial width, mm: to and fro, and no width twice, so that no cache of results helps anybody."""
    return 2.0 + 3.0 * (0.5 + 0.5 * math.sin(0.05 * frame)) + 1e-6 * frame


def on_one_core() -> None:
    """Keep this process and its children to one core and before others, where the system lets us."""
    if sys.platform == "linux":
        with contextlib.suppress(OSError):
            os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})
        with contextlib.suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, 0, -15)


class Painter:
    """One of the three in its process: it is asked for frames and answers with their times."""

    def __init__(self, name: str, page: str) -> None:
        command = [sys.executable, "-m", "tests.bench.frame", name, page]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    @property
    def _asked(self) -> IO[str]:
        assert self._process.stdin is not None
        return self._process.stdin

    def times(self, first: int, count: int) -> list[float]:
        """Times, ms, of the frames from ``first`` on, one after the other.  Raises RuntimeError if it has died."""
        print(first, count, file=self._asked, flush=True)
        assert self._process.stdout is not None
        answer = self._process.stdout.readline()
        if not answer:
            raise RuntimeError(f"a painter of the benchmark died with exit code {self._process.wait()}")
        return [float(word) for word in answer.split()]

    def close(self) -> None:
        """Let the process end."""
        self._asked.close()
        self._process.wait()


@contextlib.contextmanager
def painters(page: str) -> Iterator[dict[str, Painter]]:
    """The three, started; ended whatever happens."""
    started: dict[str, Painter] = {}
    try:
        for name in PAINTERS:
            started[name] = Painter(name, page)
        yield started
    finally:
        for one in started.values():
            one.close()


def measure(page: str, frames: int = 240) -> list[Timed]:
    """Times of ours, of matplotlib blitted and of matplotlib redrawn (a third as many frames: it is slow)."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    times: dict[str, list[float]] = {name: [] for name in PAINTERS}
    on_one_core()
    with painters(page) as three:
        for first in range(-UNTIMED, frames, TURN):
            for name, one in three.items():
                found = one.times(first, 1 if name == "redrawn" else TURN)
                if first >= 0:
                    times[name] += found
    return [Timed(page, name, times["ours"], times[name]) for name in ("redrawn", "blitted")]


def paint(name: str, page: str) -> None:
    """The process of one painter of a page: reads which frames are wanted, answers with their times in ms."""
    from PySide6.QtWidgets import QApplication

    from app.shell.start import calm_collector
    from core.documents.materials import resolved
    from core.documents.setup_examples import EXAMPLES

    application = QApplication(["bench"])
    application.setStyle("Fusion")
    # The window as it opens at its very first start: what is remembered, of the run before too, is not measured.
    settings = tempfile.TemporaryDirectory(prefix="chiparc-bench-", ignore_cleanup_errors=True)
    os.environ["CHIPARC_SETTINGS"] = settings.name
    setup = resolved(EXAMPLES[0].setup())
    one: Any
    if name == "ours":
        from tests.bench.frame_window import Ours

        one = Ours(setup, page == "frame")
    else:
        from tests.bench.frame_matplotlib import Peer

        one = Peer(setup, name == "blitted", page == "frame")
    calm_collector()
    for line in sys.stdin:
        first, count = map(int, line.split())
        # What fell due while the others had their turn is no part of a frame.
        application.processEvents()
        found = []
        for frame in range(first, first + count):
            there = setup.with_keys({"cut.radial_engagement_mm": width_at(frame)})
            start = time.perf_counter()
            one.change(there)
            found.append((time.perf_counter() - start) * 1e3)
        print(*found, flush=True)
    one.close()
    settings.cleanup()


if __name__ == "__main__":
    paint(sys.argv[1], sys.argv[2])
