"""Before a class: walk through setups by a clicker's two keys, black out, and show what a scene hides."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QMainWindow

from app.kit.blackout import Blackout
from app.shell.files import Files
from app.shell.opened_view import NOT_KEPT
from app.state.view_state import ViewState
from app.state.walk import Walk
from app.state.workbench import Workbench
from core.base.words import say
from core.documents.setup_examples import example
from core.documents.show_list import GALLERY, Stop
from core.setup.show import EVERYTHING, Shown


class Presenting(QObject):
    """The walk over a list of setups.  ``told`` says that it goes no further.

    Without a list of one's own it goes through the gallery, from the example that is open.
    """

    told = Signal(str)

    def __init__(self, window: QMainWindow, workbench: Workbench, view: ViewState, files: Files) -> None:
        super().__init__(window)
        self._workbench, self._view, self._files = workbench, view, files
        self.stops, self.listed = GALLERY, False
        self.walk = Walk(len(GALLERY))
        self._asked: Shown | None = None
        self.black = Blackout(window, say("presenting", "black"))

    def begin(self, stops: tuple[Stop, ...]) -> None:
        """A list of one's own: its first setup comes at once."""
        self.stops, self.listed = stops, True
        self.walk = Walk(len(stops))
        self._go(self.walk.to(0))

    def take_over(self, before: Presenting) -> None:
        """Go on where the window before stood, which goes."""
        self.stops, self.listed, self.walk = before.stops, before.listed, before.walk
        self._asked = before._asked

    def forward(self) -> None:
        """Show what this setup hides until it is asked for; then the next one."""
        walk = self._here()
        show = self._workbench.setup.show
        hides = any(name not in NOT_KEPT for name in self._view.shown.hidden)
        asks = hides or (show.panel != "none" and self._view.shown != EVERYTHING)
        self._go(walk.forward(asks=asks))

    def back(self) -> None:
        """Hide it again; then the one before."""
        self._go(self._here().back())

    def _hidden_before(self) -> Shown:
        """What is in sight, or was before the answer was shown."""
        asked, self._asked = self._asked, None
        return asked or self._view.shown

    def _here(self) -> Walk:
        """The walk, from where the person has gone by hand in the gallery."""
        if self.listed:
            return self.walk
        title = self._workbench.setup.title if self._workbench.file is None else ""
        at = next((i for i, s in enumerate(self.stops) if s.example and example(s.example).title == title), -1)
        return self.walk if at == self.walk.at else Walk(len(self.stops), at)

    def _go(self, walk: Walk) -> None:
        self.black.lift()
        before, self.walk = self.walk, walk
        if walk.at == before.at and walk.answered != before.answered:
            if walk.answered:
                self._asked = self._view.shown
            self._view.set("shown", EVERYTHING if walk.answered else self._hidden_before())
            return
        if walk == before and self.listed:
            self.told.emit(say("presenting", "no_more"))
            return
        # What was shown for this answer alone is hidden again for the next question.
        self._view.set("shown", self._hidden_before())
        stop = self.stops[walk.at]
        opened = self._files.open_path(stop.file) if stop.file else self._files.open_example(stop.example)
        if not opened:
            self.walk = before
