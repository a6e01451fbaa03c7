"""The workbench: the one setup on screen, its undo and its file.  The only thing that changes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, Signal

from core.arc_results import ArcResults, arc_results
from core.errors import ChiparcError
from core.materials import Catalogue, catalogue, resolved
from core.setup import Setup
from core.setup_limits import check_setup

DERIVE = QEvent.Type(QEvent.registerEventType())
"""What a workbench sends itself when results are due."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of undo: the setup before and after, what it was called, and the gesture it belongs to."""

    before: Setup
    after: Setup
    name: str
    gesture: object


class Workbench(QObject):
    """Holds the setup.  Every control and handle ends in :meth:`propose`; views only listen.

    ``setup_changed`` comes at once (fields and handles follow), ``results_changed`` once per turn of the
    event loop, however many proposals came before, ``refused`` with a sentence when a proposal cannot be
    computed: the last good setup and results stay.  ``materials`` is the catalogue that setups name theirs
    from; ``materials_changed`` comes with a new one, before the results that follow from it.
    ``document_opened`` comes last when another document has taken the place of the one before.
    """

    setup_changed = Signal(object)
    results_changed = Signal(object)
    refused = Signal(str)
    undo_changed = Signal()
    file_changed = Signal()
    document_opened = Signal()
    materials_changed = Signal(object)

    def __init__(
        self,
        setup: Setup,
        file: Path | None = None,
        parent: QObject | None = None,
        *,
        materials: Catalogue | None = None,
    ) -> None:
        super().__init__(parent)
        self.materials = materials or catalogue()
        self.check(setup)
        self.setup = setup
        self.file = file
        self.results: ArcResults = arc_results(resolved(setup, self.materials))
        self._saved = setup
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._due = False

    def check(self, setup: Setup) -> None:
        """Refuse what cannot be computed: out of range, or a material that nobody knows.  Raises ChiparcError."""
        check_setup(setup)
        resolved(setup, self.materials)

    def propose(self, setup: Setup, name: str, gesture: object = None) -> bool:
        """Take the setup if it is legal and different; one undo step, merged within a ``gesture``.

        name : what undo calls it, such as ``"radial width"``.  Returns whether the setup is now as proposed.
        """
        if setup == self.setup:
            return True
        try:
            self.check(setup)
        except ChiparcError as error:
            self.refused.emit(str(error))
            return False
        last = self._done[-1] if self._done else None
        if gesture is not None and last is not None and last.gesture is gesture:
            self._done[-1] = Step(last.before, setup, last.name, gesture)
        else:
            self._done.append(Step(self.setup, setup, name, gesture))
        self._undone.clear()
        self._adopt(setup)
        return True

    def take_back(self, gesture: object) -> None:
        """Put a gesture back (``Esc`` in a drag): the setup as it was before, and no undo step."""
        if self._done and gesture is not None and self._done[-1].gesture is gesture:
            self._adopt(self._done.pop().before)

    def undo(self) -> None:
        """One step back."""
        if self._done:
            step = self._done.pop()
            self._undone.append(step)
            self._adopt(step.before)

    def redo(self) -> None:
        """One step forward again."""
        if self._undone:
            step = self._undone.pop()
            self._done.append(step)
            self._adopt(step.after)

    @property
    def undo_name(self) -> str:
        """What the next undo takes back; empty if nothing."""
        return self._done[-1].name if self._done else ""

    @property
    def redo_name(self) -> str:
        """What the next redo brings again; empty if nothing."""
        return self._undone[-1].name if self._undone else ""

    @property
    def modified(self) -> bool:
        """Whether the setup differs from the one last opened or saved."""
        return self.setup != self._saved

    @property
    def opened(self) -> Setup:
        """The setup last opened or saved, its material filled in: what a changed one is compared with."""
        return resolved(self._saved, self.materials)

    def open(self, setup: Setup, file: Path | None) -> None:
        """A new document: its own undo begins."""
        self.check(setup)
        self.file, self._saved = file, setup
        self._done.clear()
        self._undone.clear()
        self._adopt(setup)
        self.derive_now()
        self.file_changed.emit()
        self.document_opened.emit()

    def saved(self, file: Path) -> None:
        """The setup as it is now stands in ``file``."""
        self.file, self._saved = file, self.setup
        self.file_changed.emit()

    def take_materials(self, materials: Catalogue) -> None:
        """Another catalogue, such as one with a person's own materials; the results follow it.

        Raises ChiparcError, with nothing changed, where it does not have the material of the setup.  Steps of
        undo that name a material which it does not have cannot be computed any more and are dropped.
        """
        resolved(self.setup, materials)
        self.materials = materials
        self._done = self._reachable(self._done)
        self._undone = self._reachable(self._undone)
        self.materials_changed.emit(materials)
        self.undo_changed.emit()
        self.derive_now()

    def _reachable(self, steps: list[Step]) -> list[Step]:
        """The steps nearest to now, up to the first whose ends the catalogue cannot resolve."""
        kept: list[Step] = []
        for step in reversed(steps):
            try:
                resolved(step.before, self.materials)
                resolved(step.after, self.materials)
            except ChiparcError:
                break
            kept.insert(0, step)
        return kept

    def _adopt(self, setup: Setup) -> None:
        self.setup = setup
        self.setup_changed.emit(setup)
        self.undo_changed.emit()
        if not self._due:
            self._due = True
            # Before anything is painted: else fields and pictures are painted one after the other, twice the work.
            QCoreApplication.postEvent(self, QEvent(DERIVE), Qt.EventPriority.HighEventPriority.value)

    def event(self, event: QEvent) -> bool:
        """The results are due."""
        if event.type() != DERIVE:
            return super().event(event)
        if self._due:
            self.derive_now()
        return True

    def derive_now(self) -> None:
        """Compute the results and tell the views; called once per turn of the event loop.

        ``results.setup`` is the setup with what is known of its material filled in.
        """
        self._due = False
        self.results = arc_results(resolved(self.setup, self.materials))
        self.results_changed.emit(self.results)
