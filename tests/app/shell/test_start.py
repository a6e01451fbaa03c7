"""The start of the window, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

IN_GERMAN = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication
from app.shell import start
from core.base.language import speak
from core.documents.setup_examples import EXAMPLES

def look():
    print(QKeySequence("Ctrl+O").toString(QKeySequence.SequenceFormat.NativeText))
    QApplication.quit()

application = QApplication(["chiparc"])
QTimer.singleShot(0, look)
speak("de")
sys.exit(start.show_window(EXAMPLES[0].setup(), None, ""))
"""

ROOT = Path(__file__).resolve().parents[3]

PAINT = """
from pathlib import Path
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication
from app.shell.start import paint_on_one_thread
{first}
application = QApplication(["chiparc"])
before = len(list(Path("/proc/self/task").iterdir()))
image = QImage(1600, 1000, QImage.Format.Format_ARGB32_Premultiplied)
painter = QPainter(image)
painter.fillRect(image.rect(), QColor(10, 20, 30, 128))
painter.drawImage(0, 0, image.copy())
painter.end()
print(len(list(Path("/proc/self/task").iterdir())) - before)
"""


def threads_of_painting(first: str) -> int:
    """How many threads a large picture brings up, in a process that does ``first`` before."""
    env = {name: value for name, value in os.environ.items() if name != "QT_NO_GUI_THREADPOOL"}
    env["QT_QPA_PLATFORM"] = "offscreen"
    code = PAINT.format(first=first)
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return int(done.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="counts threads in /proc, which only Linux has")
def test_a_window_is_painted_by_its_own_thread() -> None:
    assert threads_of_painting("paint_on_one_thread()") == 0
    if (os.cpu_count() or 1) > 1:
        # Without it there are some: the count above tells something.
        assert threads_of_painting("") > 0


def test_qt_too_speaks_the_language_of_the_start() -> None:
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run([sys.executable, "-c", IN_GERMAN], cwd=ROOT, env=env, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (0, "Strg+O\n"), done.stderr
