"""Real windows for tests: made on a setup, shown, closed again."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from app.pages.arc.arc_page import ArcPage
from app.pages.arc.arc_state import SHARED
from app.pages.page_picture import save_picture_of
from app.shell.files import Answer
from app.shell.main_window import MainWindow
from app.shell.qt_words import let_qt_speak
from app.state.settings import Settings
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.language import ENGLISH, language
from core.documents.setup_examples import EXAMPLES
from core.setup.setup import Setup
from core.setup.show import EVERYTHING

TYPE_SIZES = ("light", "projector")
"""A theme of each size of type: dark is light in other colours (``tests/app/kit/test_looks.py``)."""


PATIENCE_MS = 300_000
"""How long a test waits for what must come, on a machine however busy; it goes on as soon as it is there."""


class ArcWindow(MainWindow):
    """The window, with its Arc page at hand."""

    @property
    def arc(self) -> ArcPage:
        """The Arc page."""
        page = self.pages.page("arc")
        assert isinstance(page, ArcPage)
        return page


def boss() -> Setup:
    """The opening setup."""
    return EXAMPLES[0].setup()


def nobody(words: str, answers: tuple[Answer, ...]) -> Answer:
    """Stands for the question at closing: a test that may be asked puts its own answer in this place."""
    raise AssertionError(f"asked, and nobody was there to answer: {words}")


@contextmanager
def window_on(
    setup: Setup, size: tuple[int, int] = (1280, 800), *, painted: bool = True, **view_values: Any
) -> Iterator[ArcWindow]:
    """A window on a setup, with values of the view set first; "Which way" opened so has its answers asked for.

    painted : whether its pictures are painted; a grab of the whole window is in either case.
    """
    # As at the start of the program.
    let_qt_speak(language())
    view = ViewState()
    if view_values.get("why"):
        view.shown = EVERYTHING
    for name in SHARED:
        if name in view_values:
            view.set(name, view_values.pop(name))
    window = ArcWindow(Workbench(setup), view, Settings())
    for name, value in view_values.items():
        window.arc.shown.set(name, value)
    window.files.ask = nobody
    window.resize(*size)
    window.setUpdatesEnabled(painted)
    window.show()
    settle()
    try:
        yield window
    finally:
        while window.successor is not None:
            # Another language was chosen: the window that was yielded has gone.
            window = window.successor  # type: ignore[assignment]
        # A button that is still held, by a test that failed in a drag too, would hold the next window from its rest.
        for button in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton):
            if QApplication.mouseButtons() & button:
                QTest.mouseRelease(window, button)
        # A test leaves its document behind with whatever it changed.
        window.files.ask = lambda words, answers: Answer.GIVE_UP
        window.close()
        window.deleteLater()
        settle()
        # Now, and not dozens of windows together in the middle of a later test's waiting.
        QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)
        # Once it is gone: to call its keys by other names would lay it out again.
        let_qt_speak(ENGLISH.id)


def laid_out_on(
    setup: Setup, size: tuple[int, int] = (1280, 800), **view_values: Any
) -> AbstractContextManager[ArcWindow]:
    """A window that is laid out and answers as any other, but paints nothing while one looks only at what it tells.

    For what is typed, told, kept and where it stands: to paint is half of what such a test costs.
    """
    return window_on(setup, size, painted=False, **view_values)


def settle() -> None:
    """Let everything that is due be done."""
    for _ in range(4):
        QApplication.processEvents()


def at_rest(window: MainWindow) -> None:
    """Wait until nothing is put off any more until the hand rests, however late a busy machine is.

    What stays in sight for seconds, and the copy for a crash, are not waited for.
    """
    for _ in range(PATIENCE_MS // 1000):
        timers = (*window.findChildren(QTimer), *window.workbench.findChildren(QTimer))
        due = [t for t in timers if t.isActive() and t.isSingleShot() and t.interval() <= 1000]
        if not due:
            return settle()
        # Only these are looked at meanwhile: to look for all timers of a window costs more than the waiting.
        for _ in range(40):
            QTest.qWait(25)
            if not any(isValid(t) and t.isActive() for t in due):
                break
    raise AssertionError("the window does not come to rest")


def until(come: Callable[[], object]) -> None:
    """Wait for what a job, a timer or another process brings, however late a busy machine is; fail if it never comes.

    Asleep in between: where a test asks the event loop to wait, the thread of a job gets hardly a turn.
    """
    for _ in range(PATIENCE_MS // 5):
        settle()
        if come():
            return settle()
        time.sleep(0.005)
    raise AssertionError("it never came")


def keep(picture: QPixmap | QImage, file: Path) -> None:
    """Leave a picture to be looked at, packed quickly: to pack it small takes longer than to paint it."""
    assert picture.save(str(file), "PNG", 90)  # type: ignore[call-overload]


def drag(widget: QWidget, start: QPointF, end: QPointF, steps: int = 6, *, release: bool = True) -> None:
    """Press, move in steps, and release, as a hand does."""
    button = Qt.MouseButton.LeftButton
    QTest.mouseMove(widget, start.toPoint())
    QTest.mousePress(widget, button, Qt.KeyboardModifier.NoModifier, start.toPoint())
    for i in range(1, steps + 1):
        at = start + (end - start) * (i / steps)
        QTest.mouseMove(widget, QPoint(round(at.x()), round(at.y())))
        settle()
    if release:
        QTest.mouseRelease(widget, button, Qt.KeyboardModifier.NoModifier, end.toPoint())
        settle()


def save_arc(setup: Setup, file: Path, angle_deg: float | None = None, **state: list[str]) -> None:
    """The Arc page of a setup as a picture file, as the command makes it."""
    size, view = QSize(1600, 1000), ViewState()
    save_picture_of(ArcPage, setup, file, size, view=view, theme="light", state=dict(state), undo_state=angle_deg)
