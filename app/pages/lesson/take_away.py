"""Saves from the window the page that compares both directions of the cut on the bench."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.kit.jobs import Jobs
from app.kit.path_to_write import ask_path
from app.pages.lesson.comparison_sheet import rows_of, save_comparison
from app.state.error_log import refusal_words
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.visible import visible
from core.base.words import say


class TakeAway(QObject):
    """``told`` carries what was saved, or why it was not."""

    told = Signal(str)

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget) -> None:
        super().__init__(parent)
        self._workbench, self._view, self._parent = workbench, view, parent
        self._out = Path()
        self._setup = workbench.resolved
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._write_comparison)
        self._jobs.failed.connect(self._failed)

    def ask_comparison(self) -> None:
        """Ask for a name and write the page that compares."""
        if name := self._name("comparison.pdf", say("lesson_page", "pdf"), ".pdf"):
            self.compare(name)

    def compare(self, out: Path) -> None:
        """The figures of both directions are worked out beside the window; then the page is written."""
        self._out, self._setup = out, self._workbench.resolved
        setup, known = self._setup, self._workbench.materials
        self.told.emit(say("lesson_page", "working"))

        def work() -> Iterator[object]:
            yield rows_of(setup, known)

        self._jobs.ask(work)

    def _write_comparison(self, rows: object) -> None:
        assert isinstance(rows, tuple)
        known, units = self._workbench.materials, self._view.units
        paper = "Letter" if units == "inch" else "A4"
        try:
            save_comparison(self._setup, rows, self._out, units, paper=paper, known=known)
        except ChiparcError as error:
            self._failed(error)
        else:
            self._saved(self._out)

    def _name(self, usual: str, kinds: str, ending: str) -> Path | None:
        return ask_path(self._parent, say("lesson_page", "save"), usual, kinds, ending)

    def _saved(self, out: Path) -> None:
        self.told.emit(say("lesson_page", "saved", file=visible(str(out))))

    def _failed(self, error: object) -> None:
        self.told.emit(refusal_words(error))
