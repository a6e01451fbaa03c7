"""The start of the window, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]

PAINT = """
from pathlib import Path
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication
application = QApplication(["chiparc"])
tasks = Path("/proc/self/task")

def threads():
    return len(list(tasks.iterdir())) if tasks.exists() else 0

before = threads()
image = QImage(1600, 1000, QImage.Format.Format_ARGB32_Premultiplied)
painter = QPainter(image)
painter.fillRect(image.rect(), QColor(10, 20, 30, 128))
painter.drawImage(0, 0, image.copy())
painter.end()
print(threads() - before)
"""
"""Tells how many threads a large picture brings up."""

IN_GERMAN = f"""
import sys
from app.shell import start
start.paint_on_one_thread()
{PAINT}
from PySide6.QtCore import QTimer
from PySide6.QtGui import QKeySequence
from core.base.language import speak
from core.documents.setup_examples import EXAMPLES

def look():
    print(QKeySequence("Ctrl+O").toString(QKeySequence.SequenceFormat.NativeText))
    QApplication.quit()

QTimer.singleShot(0, look)
speak("de")
sys.exit(start.show_window(EXAMPLES[0].setup(), None, ""))
"""


def told_by(code: str, settings: Path) -> list[str]:
    """What a process of its own prints."""
    env = {name: value for name, value in os.environ.items() if name != "QT_NO_GUI_THREADPOOL"}
    env |= {"QT_QPA_PLATFORM": "offscreen", "CHIPARC_SETTINGS": str(settings)}
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What a start in German tells: of its threads, of its keys."""
    return told_by(IN_GERMAN, tmp_path_factory.mktemp("settings"))


@pytest.mark.skipif(sys.platform != "linux", reason="counts threads in /proc, which only Linux has")
def test_a_window_is_painted_by_its_own_thread(started: list[str], tmp_path: Path) -> None:
    assert started[0] == "0"
    if (os.cpu_count() or 1) > 1:
        # Without it there are some: the count above tells something.
        assert int(told_by(PAINT, tmp_path)[0]) > 0


def test_qt_too_speaks_the_language_of_the_start(started: list[str]) -> None:
    assert started[1:] == ["Strg+O"]
