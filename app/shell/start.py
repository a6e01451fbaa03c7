"""Starts the window: application, typeface, settings, theme."""

from __future__ import annotations

import gc
import os
import sys
from functools import partial
from pathlib import Path

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from app.kit.collector import Collector
from app.kit.fonts import load_fonts
from app.shell.main_window import MainWindow
from app.shell.notice_bar import Notice
from app.shell.qt_words import let_qt_speak
from app.shell.signals import Signals
from app.shell.slot_errors import install_hook
from app.state.settings import Settings, load_settings
from app.state.view_state import THEMES, UNITS, ViewState
from app.state.workbench import Workbench
from core.base.language import LANGUAGES, language
from core.base.words import words_in
from core.documents.materials import Catalogue
from core.documents.show_list import Stop
from core.setup.setup import Setup
from core.setup.show import Shown


def first_view(settings: Settings, dark: bool) -> ViewState:
    """The view as it was left; the theme follows the desktop unless one was chosen."""
    view = ViewState()
    view.theme = settings.theme if settings.theme in THEMES else "dark" if dark else "light"
    view.units = settings.units if settings.units in UNITS else "metric"
    view.reduced_motion = settings.reduced_motion
    view.shown = Shown().without(settings.hidden)
    return view


def calm_collector() -> None:
    """Collect garbage seldom, and never what was there at the start: a collection in a drag is a stutter."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)


def paint_on_one_thread() -> None:
    """Let Qt paint alone; to be called before the first paint.

    It shares a fill of many rows out to other threads and waits for them.  For the fills of this window that costs
    more than it saves, at 200 % too, and a thread that comes late holds up the hand.
    """
    os.environ["QT_NO_GUI_THREADPOOL"] = "1"


class Stage:
    """The window that is on the screen, with what of the program goes by it: signals, the end of a session, errors.

    Another window takes its place when another language is chosen.
    """

    def __init__(self, application: QApplication, window: MainWindow) -> None:
        self.window = window
        self.signals = Signals(self._end, application)
        application.commitDataRequest.connect(self._keep)
        self._take(window)

    def _take(self, window: MainWindow) -> None:
        self.window = window
        install_hook(window.workbench)
        window.replaced.connect(self._take)

    def _end(self) -> None:
        self.window.end_session()

    def _keep(self) -> None:
        self.window.unsaved.keep_now()


def offer_language(window: MainWindow) -> None:
    """Whoever has chosen no language is offered the system's, if we have it, in a sentence of that language."""
    system = QLocale.system().name().partition("_")[0]
    if window.settings.language or system not in LANGUAGES or system == language():
        return
    offered, own = (words_in(id)["window"] for id in (system, language()))
    answers = (
        (LANGUAGES[system].name, partial(window.change_language, system)),
        (LANGUAGES[language()].name, partial(window.change_language, language())),
    )
    window.notices.tell(Notice("language", offered.get("language_offer", own["language_offer"]), answers))


def show_window(
    setup: Setup,
    file: Path | None,
    original: str,
    problem: str = "",
    materials: Catalogue | None = None,
    stops: tuple[Stop, ...] = (),
    go_on: bool = False,
) -> int:
    """Open the main window on a setup and run until it is closed; ``problem`` is shown once the window is there.

    materials : the catalogue with a person's own, the project's alone unless given.  stops : a list to be shown to a
    class, which begins in full screen.  go_on : whether a lesson that was cut short comes on top.
    """
    paint_on_one_thread()
    application = QApplication.instance() or QApplication(["chiparc"])
    assert isinstance(application, QApplication)
    application.setApplicationName("Chiparc")
    application.setStyle("Fusion")
    load_fonts()
    let_qt_speak(language())
    settings = load_settings()
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    view = first_view(settings, dark)
    workbench = Workbench(setup, file, materials=materials)
    install_hook(workbench)
    window = MainWindow(workbench, view, settings, original=original)
    screen = window.screen().availableGeometry()
    window.resize(window.sizeHint().boundedTo(screen.size()))
    window.show()
    window.fit_theme()
    window.opened_view.take()
    if stops:
        window.full_screen.toggle()
        window.presenting.begin(stops)
    elif go_on:
        window.go_on()
    calm_collector()
    collector = Collector(application)
    window.unsaved.offer_leftovers()
    stage = Stage(application, window)
    offer_language(window)
    if problem:
        QTimer.singleShot(0, window, lambda: workbench.refused.emit(problem))
    status = application.exec()
    stage.signals.stop()
    collector.stop()
    sys.excepthook = sys.__excepthook__
    return int(status)
