"""What `frame` and `hand` time of ours: the real window, driven through its workbench as a slider drives it."""

from __future__ import annotations

from typing import Any

WIDTH, HEIGHT = 1600, 1000


class Ours:
    """The main window, driven through its workbench as a slider drives it.

    whole : with all strips and Pair; else as the window opens.
    """

    def __init__(self, setup: Any, whole: bool = True) -> None:
        from app.kit.fonts import load_fonts
        from app.shell.main_window import MainWindow
        from app.shell.start import paint_on_one_thread
        from app.state.view_state import ViewState
        from app.state.workbench import Workbench
        from core.strips.strip_curves import STRIPS

        paint_on_one_thread()
        load_fonts()
        self.bench, self.view = Workbench(setup), ViewState()
        self.window = MainWindow(self.bench, self.view)
        if whole:
            self.window.page.shown.set("strips", tuple(STRIPS))  # type: ignore[attr-defined]
            self.view.set("pair", True)
        self.window.resize(WIDTH, HEIGHT)
        self.window.show()
        self.gesture = object()

    def change(self, setup: Any) -> None:
        """One change, until the window has painted it."""
        from PySide6.QtWidgets import QApplication

        from app.state.step_name import StepName

        self.bench.propose(setup, StepName("plan", "width_step"), self.gesture)
        # The derivation is due in the event loop, the painting after it.
        QApplication.processEvents()
        QApplication.processEvents()

    def close(self) -> None:
        """Close the window; nobody is there to be asked about changes."""
        from app.shell.files import Answer

        self.window.files.ask = lambda words, answers: Answer.GIVE_UP
        self.window.close()
