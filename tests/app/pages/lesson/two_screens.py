"""A class at two screens, a projector and the teacher's own, in a process of its own that may be killed.

``python -m tests.app.pages.lesson.two_screens LESSON PART...`` prints one line of JSON for each place it looks at,
and one with how each part ended.  Each kind of part has settings of its own.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QScreen
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog

from app.kit.fonts import load_fonts
from app.pages.lesson.lesson_memory import kept_run
from app.pages.lesson.lesson_page import LessonPage
from app.shell.main_window import MainWindow
from app.state.settings import Settings
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.documents.setup_examples import EXAMPLES
from core.lesson.hands import NamedGuess
from tests.app.sudden_end import end_at_once
from tests.app.windows import settle, until

SCREENS = {"laptop": (0, 0, 1280, 800), "projector": (1280, 0, 1024, 768)}
"""Left edge, upper edge, width, height; Qt without a display takes the first name as the computer's own screen."""


def write_screens(file: Path) -> str:
    """The two screens for Qt's platform without a display; returns what is to stand in QT_QPA_PLATFORM."""
    told = [
        {"name": name, "x": x, "y": y, "width": width, "height": height, "logicalDpi": 96, "dpr": 1}
        for name, (x, y, width, height) in SCREENS.items()
    ]
    file.write_text(json.dumps({"screens": told}), "utf-8")
    return f"offscreen:configfile={file}"


def screen(name: str) -> QScreen:
    return next(each for each in QGuiApplication.screens() if each.name() == name)


class Class:
    """The window before the class, and the lesson in it."""

    def __init__(self, on: str, *, full_screen: bool = False) -> None:
        view = ViewState()
        view.theme = "projector"
        self.window = MainWindow(Workbench(EXAMPLES[0].setup()), view, Settings())
        self.move(on)
        self.window.show()
        if full_screen:
            self.window.full_screen.toggle()
        self.window.turn_to("lesson")
        page = self.window.page
        assert isinstance(page, LessonPage)
        self.page, self.teaching = page, page.teaching
        settle()

    def move(self, name: str) -> None:
        """The window to another screen."""
        self.window.setGeometry(screen(name).geometry())
        settle()

    def begin(self, file: str) -> None:
        """Begin the lesson, or wait for the one that a crash has cut short."""
        if kept_run() is None:
            self.teaching.start(file)
        until(lambda: self.teaching.run is not None)

    def click(self) -> None:
        """The clicker sends its key to the window that has the keyboard."""
        QTest.keyClick(QApplication.activeWindow() or self.window, Qt.Key.Key_PageDown)
        settle()

    def told(self) -> dict[str, object]:
        """What both screens show."""
        run, notes = self.teaching.run, self.teaching.notes.window
        assert run is not None
        dialogs = [each for each in QApplication.topLevelWidgets() if isinstance(each, QDialog) and each.isVisible()]
        return {
            "scene": run.place.scene,
            "step": run.place.step,
            "position": run.position,
            "file": run.file,
            "predictions": [len(guesses) for guesses in run.guesses],
            "window": [self.window.screen().name(), self.window.width(), self.window.height()],
            "dialogs": len(dialogs),
            "notes": None if notes is None else notes.screen().name(),
            "to do": self.teaching.run_view.panel.do.isVisible(),
            "title": "" if notes is None else notes.title.text(),
            "next": "" if notes is None else notes.next.text(),
            "clock": notes is not None and re.fullmatch(r"\d\d:\d\d", notes.clock.text()) is not None,
            "inside": notes is not None and notes.screen().geometry().contains(notes.geometry()),
        }


def tell(before: Class) -> None:
    print(json.dumps(before.told()), flush=True)


def give(file: str) -> None:
    """On with the clicker to the next scene, and killed there; at the end of the lesson it ends."""
    before = Class("projector", full_screen=True)
    before.begin(file)
    run = before.teaching.run
    assert run is not None
    first = run.place.scene
    tell(before)
    while run.place.step != "end":
        if run.place.step == "ask":
            before.teaching.add((NamedGuess("", 70.0),))
        before.click()
        run = before.teaching.run
        assert run is not None
        tell(before)
        if run.place.scene != first:
            end_at_once()
    before.window.close()


def carry(file: str) -> None:
    """The window is carried to the projector and back: the notes are never where the class looks."""
    before = Class("laptop")
    before.begin(file)
    tell(before)
    before.move("projector")
    before.click()
    tell(before)
    before.move("laptop")
    tell(before)
    before.move("projector")
    before.teaching.notes.toggle()
    settle()
    before.click()
    tell(before)
    before.window.close()


PARTS = {"give": give, "carry": carry}


def in_a_process(part: str, file: str) -> int:
    """Run a part in a process of its own, which may be killed; returns how it ended.

    Where a process can be split they are all split from this one, which has loaded the program.
    """
    if not hasattr(os, "fork"):
        return subprocess.call([sys.executable, "-m", "tests.app.pages.lesson.two_screens", file, part])
    process = os.fork()
    if not process:
        alone(part, file)
        sys.exit()
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])


def alone(part: str, file: str) -> None:
    """A part, as a program of its own."""
    os.environ["CHIPARC_SETTINGS"] = os.path.join(os.environ["CHIPARC_SETTINGS"], part)
    application = QApplication(["chiparc"])
    load_fonts()
    PARTS[part](file)
    del application


if __name__ == "__main__":
    file, *parts = sys.argv[1:]
    if len(parts) == 1:
        alone(parts[0], file)
    else:
        for part in parts:
            print(json.dumps({"code": in_a_process(part, file)}), flush=True)
