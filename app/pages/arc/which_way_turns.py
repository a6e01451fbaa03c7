"""What would turn the verdict, worked out beside the window once the hand rests."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.kit.debounce import SETTLE_MS, once_after
from app.kit.jobs import Jobs
from core.advice.ladder import verdict
from core.advice.turning import Turn, inputs, turn_of
from core.setup.setup import Setup


def turns_one_by_one(setup: Setup) -> Iterator[tuple[Turn, ...]]:
    """What would turn the verdict, more of it with every value; first, whether what is near does."""
    turns: tuple[Turn, ...] = ()
    # Kept by what it depends on: the panel asks again once this is here.
    verdict(setup)
    yield turns
    for key in inputs(setup):
        turn = turn_of(setup, key)
        if turn is not None:
            turns = (*turns, turn)
        yield turns


class TurnsOfVerdict(QObject):
    """The figures that would turn the verdict on one setup, as far as they have been looked for.

    ``near_known`` comes when the draws about the setup are done, so that its ladder can be told with them;
    ``changed`` whenever there is more to tell of :attr:`turns` or :attr:`looking`.
    """

    near_known = Signal()
    changed = Signal()

    def __init__(self, panel: QWidget) -> None:
        super().__init__(panel)
        self._panel = panel
        self.turns: tuple[Turn, ...] = ()
        self.looking = False
        self.of: Setup | None = None
        self._near_of: Setup | None = None
        self.jobs = Jobs(self)
        self.jobs.came.connect(self._came)
        self.jobs.done.connect(self._done)
        self._settled = once_after(self, SETTLE_MS, self._look)

    def look_for(self, setup: Setup, wanted: bool) -> None:
        """Look for what turns the verdict on another setup, once the hand rests; nothing where none is ``wanted``."""
        if setup == self.of:
            return
        self.jobs.drop()
        self.turns, self.of, self.looking = (), setup, wanted
        if wanted:
            self._settled.start()

    def near_is_known(self, setup: Setup) -> bool:
        """Whether the draws about this setup are done."""
        return setup == self._near_of

    def stop(self) -> None:
        """Nobody looks: nothing is worked out; what was not finished is begun anew when it is asked for again."""
        self._settled.stop()
        if self.looking:
            self.of = None
        self.jobs.stop()

    def _look(self) -> None:
        setup = self.of
        if setup is not None and self._panel.isVisible():
            self.jobs.ask(lambda: turns_one_by_one(setup))

    def _came(self, turns: tuple[Turn, ...]) -> None:
        if self.of is not None and self.of != self._near_of:
            self._near_of = self.of
            self.near_known.emit()
        self.turns = turns
        self.changed.emit()

    def _done(self) -> None:
        self.looking = False
        self.changed.emit()
