"""Work beside the window: newest request only, coarse first, nothing late, no thread left behind."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QObject

from app.kit.jobs import Jobs, holds_qt
from tests.app.windows import PATIENCE_MS

ROOT = Path(__file__).parents[3]

GONE = """
import itertools, threading, time
from PySide6.QtWidgets import QApplication
from shiboken6 import delete
from app.kit.jobs import Jobs
from app.pages.page import Page
from app.pages.path.path_page import PathPage
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.documents.setup_examples import EXAMPLES

class Counting(Page):
    def show(self, setup):
        self.jobs = Jobs(self)
        self.jobs.came.connect(self._came)
        self.jobs.ask(lambda: ([n] for n in itertools.count()))

    def _came(self, value):
        self.last = value

application, setup = QApplication(["chiparc"]), EXAMPLES[0].setup()
bench, view = Workbench(setup), ViewState()
for n in range(14):
    page = (PathPage if n % 7 == 5 else Counting)(bench, view)
    page.show(setup)
    time.sleep(0.0003 * (n % 7))
    application.processEvents()
    delete(page)
    application.processEvents()
for thread in threading.enumerate():
    if thread.name == "chiparc-job":
        thread.join()
print("all gone")
"""
"""Destroys pages while their requests are worked on, at one moment and another; they count without an end."""


def threads() -> list[str]:
    return [t.name for t in threading.enumerate() if t.name == "chiparc-job"]


def test_a_request_holds_no_object_of_qt_and_may_call_itself() -> None:
    page = QObject()

    def counted(n: int) -> Iterator[object]:
        yield n
        yield from counted(n - 1) if n else ()

    def held() -> Iterator[object]:
        yield page

    assert not holds_qt(partial(counted, 3)) and not holds_qt(lambda: counted(3))
    assert holds_qt(held) and holds_qt(partial(lambda _: held(), 1)) and holds_qt(page.objectName)


def test_coarse_comes_before_fine_on_the_window_s_thread(qtbot: Any) -> None:
    jobs = Jobs()
    seen: list[object] = []
    on: list[threading.Thread] = []
    jobs.came.connect(seen.append)
    jobs.came.connect(lambda _: on.append(threading.current_thread()))

    def work() -> Iterator[object]:
        assert threading.current_thread() is not threading.main_thread()
        yield "coarse"
        yield "fine"

    with qtbot.waitSignal(jobs.done, timeout=PATIENCE_MS):
        jobs.ask(work)
    assert seen == ["coarse", "fine"] and set(on) == {threading.main_thread()}
    jobs.stop()
    assert not jobs.busy and threads() == []


def test_only_the_newest_request_counts_and_an_older_one_is_cut_short(qtbot: Any) -> None:
    jobs = Jobs()
    seen: list[object] = []
    went_on: list[bool] = []
    jobs.came.connect(seen.append)
    begun, may_go_on = threading.Event(), threading.Event()

    def slow() -> Iterator[object]:
        begun.set()
        may_go_on.wait()
        yield "old"
        went_on.append(True)
        yield "older still"

    jobs.ask(slow)
    assert begun.wait(60)
    skipped: list[int] = []

    def quick(i: int) -> Iterator[object]:
        skipped.append(i)
        yield i

    for i in range(20):
        jobs.ask(partial(quick, i))
    with qtbot.waitSignal(jobs.done, timeout=PATIENCE_MS):
        may_go_on.set()
    assert seen == [19] and skipped == [19] and went_on == []
    jobs.stop()


def test_what_is_dropped_is_never_shown(qtbot: Any) -> None:
    jobs = Jobs()
    seen: list[object] = []
    jobs.came.connect(seen.append)
    jobs.ask(lambda: iter((1, 2)))
    jobs.drop()
    jobs.stop()
    qtbot.wait(20)
    assert seen == [] and threads() == []


def test_a_failure_is_told_and_the_next_request_works(qtbot: Any) -> None:
    jobs = Jobs()
    seen: list[object] = []
    jobs.came.connect(seen.append)

    def broken() -> Iterator[object]:
        yield 1
        raise ArithmeticError("no root")

    with qtbot.waitSignal(jobs.failed, timeout=PATIENCE_MS) as told:
        jobs.ask(broken)
    assert isinstance(told.args[0], ArithmeticError) and seen == [1]
    with qtbot.waitSignal(jobs.done, timeout=PATIENCE_MS):
        jobs.ask(lambda: iter((2,)))
    assert seen == [1, 2]
    jobs.stop()


def test_a_page_may_go_while_its_request_is_worked_on() -> None:
    env = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run([sys.executable, "-c", GONE], cwd=ROOT, env=env, capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (0, "all gone\n", "")


def test_a_request_that_holds_an_object_of_qt_is_refused(qtbot: Any) -> None:
    jobs, plain = Jobs(), QObject()

    def name() -> str:
        return plain.objectName()

    for work in (lambda: iter((name(),)), partial(lambda held: iter((held,)), plain), plain.children):
        with pytest.raises(TypeError, match="without objects of Qt"):
            jobs.ask(work)  # type: ignore[arg-type]
    assert not jobs.busy and threads() == []
