"""Windows that are dropped without being closed: freed whole, and never while another window is painted."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]

DROPPING = """
import gc, os, weakref
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication, QWidget
from app.kit.fonts import load_fonts
from app.pages.page_list import PAGES
from app.shell.main_window import MainWindow
from app.state.settings import Settings
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.documents.setup_examples import EXAMPLES

application = QApplication([])
load_fonts()
gc.disable()
# What is loaded by now is never garbage.
gc.collect()
gc.freeze()
painting, ended = [], []


class Watcher(QWidget):
    # The collector runs while it is painted: whatever is destroyed then is destroyed within a paint.
    def paintEvent(self, event):
        painting.append(1)
        gc.collect()
        painting.pop()


def settle():
    for _ in range(3):
        application.processEvents()


def destroyed(*_):
    ended.append(bool(painting))


def used():
    window = MainWindow(Workbench(EXAMPLES[0].setup()), ViewState(), Settings())
    window.destroyed.connect(destroyed)
    window.resize(900, 700)
    window.show()
    settle()
    for page in PAGES:
        window.turn_to(page.id)
    window.recent.fill()
    settle()
    return weakref.ref(window)


watcher = Watcher()
watcher.show()
windows = []
for _ in range(COUNT):
    windows.append(used())
    watcher.update()
    settle()
gc.collect()
settle()
assert ended == [False] * COUNT, ended
gc.collect()
assert all(window() is None for window in windows), [window() for window in windows]
assert application.topLevelWidgets() == [watcher], application.topLevelWidgets()
"""


def run(count: int) -> None:
    done = subprocess.run(
        [sys.executable, "-c", DROPPING.replace("COUNT", str(count))], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, (done.returncode, done.stderr[-3000:])


def test_dropped_windows_are_freed_and_none_within_a_paint() -> None:
    run(3)


def test_no_signal_holds_a_lambda() -> None:
    """Qt holds it, out of sight of the collector, and with it the window for as long as the program runs."""
    wrong = []
    for path in sorted((ROOT / "app").rglob("*.py")):
        text = path.read_text("utf-8")
        # Most files have none of either, and need not be taken apart.
        for node in ast.walk(ast.parse(text if "lambda" in text and "connect" in text else "")):
            if not isinstance(node, ast.Call) or getattr(node.func, "attr", "") != "connect":
                continue
            if any(isinstance(part, ast.Lambda) for argument in node.args for part in ast.walk(argument)):
                wrong.append(f"{path.name}:{node.lineno}")
    assert not wrong
