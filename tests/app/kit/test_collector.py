"""Garbage is collected on the thread of the window only."""

from __future__ import annotations

import gc
import threading

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from app.kit import collector
from app.kit.collector import Collector


class Ring:
    """Cyclic garbage that tells on which thread it goes."""

    def __init__(self, gone: list[threading.Thread]) -> None:
        self.itself, self._gone = self, gone

    def __del__(self) -> None:
        self._gone.append(threading.current_thread())


def test_another_thread_that_allocates_collects_nothing(qapp: QApplication) -> None:
    was_enabled = gc.isenabled()
    made = Collector()
    gone: list[threading.Thread] = []
    try:
        Ring(gone)
        kept: list[list[int]] = []
        # Far more new objects than a collection waits for.
        worker = threading.Thread(target=lambda: kept.extend([n] for n in range(5 * collector.YOUNG)))
        worker.start()
        worker.join()
        assert not gone
        loop = QEventLoop()
        QTimer.singleShot(60_000, loop.quit)
        look = QTimer()

        def quit_when_gone() -> None:
            if gone:
                loop.quit()

        look.timeout.connect(quit_when_gone)
        look.start(20)
        loop.exec()
        assert gone == [threading.main_thread()]
    finally:
        made.stop()
        if not was_enabled:
            gc.disable()
