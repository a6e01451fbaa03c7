"""The workbench: the one setup on screen, its undo and its file.  The only thing that changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, Signal

from app.kit.debounce import SETTLE_MS, once_after
from app.state.error_log import failure_words
from app.state.step_name import OPENING, StepName, step_words
from core.base.errors import ChiparcError
from core.base.safe_write import Stamp
from core.base.words import say
from core.documents.materials import Catalogue, catalogue, resolved
from core.setup.setup import Setup
from core.setup.setup_limits import check_setup

DERIVE = QEvent.Type(QEvent.registerEventType())
"""What a workbench sends itself when the setup is to be shown."""

CONFIRM_MS = 3 * SETTLE_MS
"""A step that was shown and painted without a failure for this long stands; one that fails sooner is put back.

Some pictures are painted anew only when the hand has rested for SETTLE_MS: that is within the time."""


@dataclass(frozen=True, slots=True)
class Document:
    """Where the setup comes from: its file, the setup as it was opened or saved, and how the file was then.

    text : what it was read from, whose comments and order are kept when it is saved.
    stamp : tells whether somebody else has changed the file since.
    unsaved : it stands in no file at all, such as one that was taken back after a power cut.
    """

    file: Path | None
    saved: Setup
    text: str | None = None
    stamp: Stamp | None = None
    unsaved: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One step of undo: the setup before and after, what it was called, and the gesture it belongs to.

    A step may also change what a page shows (``pages``: its own undo states) and open another document
    (``documents``), each as it was before and after.
    """

    before: Setup
    after: Setup
    name: StepName
    gesture: object = None
    pages: tuple[object, object] | None = None
    documents: tuple[Document, Document] | None = None


def _knowing(step: Step, document: Document) -> Step:
    """The step with what is now known of a file that it leaves or opens."""
    if step.documents is None:
        return step
    before, after = (document if each.file == document.file else each for each in step.documents)
    return replace(step, documents=(before, after))


def _told(step: Step) -> str:
    """What a step is called, in the language that is spoken."""
    if step.documents is None:
        return step_words(step.name)
    file = step.documents[1].file
    return say("window", "opening", name=step.after.title or (file.name if file else say("window", "another_setup")))


@dataclass(frozen=True, slots=True)
class Moment:
    """Everything that the workbench holds at one moment, to go back to."""

    setup: Setup
    document: Document
    materials: Catalogue
    done: tuple[Step, ...]
    undone: tuple[Step, ...]


class Workbench(QObject):
    """Holds the setup.  Every control and handle ends in :meth:`propose`; views only listen.

    ``setup_changed`` comes at once (fields and handles follow).  Once per turn of the event loop, however many
    proposals came before, the resolved setup goes to the followers (:meth:`follow`).  ``refused`` comes with a
    sentence when a proposal cannot be computed: the last good setup stays; ``refusal_over`` when what was refused is
    given up.  Where a follower fails, whatever the exception, everything goes back to the last good moment and
    ``refused`` says so.
    ``materials`` is the catalogue that setups name theirs from; ``materials_changed`` comes with a new one,
    before what follows from it is shown.  ``page_state_wanted`` carries the undo state of a page that a step of
    undo brings back: what is looked at is not set, and lives with the page.
    ``document_opened`` comes last when another document has taken the place of the one before.
    """

    setup_changed = Signal(object)
    refused = Signal(str)
    refusal_over = Signal()
    page_state_wanted = Signal(object)
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
        self.document = Document(file, setup)
        self.resolved = resolved(setup, self.materials)
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._due = False
        self._followers: list[Callable[[Setup], object]] = []
        self._before = self._moment()
        self._confirm = once_after(self, CONFIRM_MS, self._confirm_now)

    def follow(self, show: Callable[[Setup], object]) -> None:
        """From now on ``show`` is called with the resolved setup, once a turn in which it has changed."""
        self._followers.append(show)

    def taking_over(self, told: Callable[[Setup], Setup]) -> Workbench:
        """A new workbench with all that this one holds: setup, document, steps of undo, materials; no followers.

        told : what becomes of each setup, such as an example's title in another language.
        """

        def document(held: Document) -> Document:
            return replace(held, saved=told(held.saved))

        def step(held: Step) -> Step:
            documents = held.documents and (document(held.documents[0]), document(held.documents[1]))
            return replace(held, before=told(held.before), after=told(held.after), documents=documents)

        made = Workbench(told(self.setup), self.file, materials=self.materials)
        made.document = document(self.document)
        made._done, made._undone = [step(each) for each in self._done], [step(each) for each in self._undone]
        made._confirm_now()
        return made

    def check(self, setup: Setup) -> None:
        """Refuse what cannot be computed: out of range, or a material that nobody knows.  Raises ChiparcError."""
        check_setup(setup)
        resolved(setup, self.materials)

    def propose(self, setup: Setup, name: StepName, gesture: object = None) -> bool:
        """Take the setup if it is legal and different; one undo step, merged within a ``gesture``.

        name : what undo calls it.  Returns whether the setup is now as proposed.
        """
        if setup == self.setup:
            return True
        try:
            self.check(setup)
        except ChiparcError as error:
            self.refused.emit(str(error))
            return False
        self._before_change()
        last = self._done[-1] if self._done else None
        if gesture is not None and last is not None and last.gesture is gesture:
            self._done[-1] = Step(last.before, setup, last.name, gesture)
        else:
            self._done.append(Step(self.setup, setup, name, gesture))
        self._undone.clear()
        self._adopt(setup)
        return True

    def page_changed(self, name: StepName, before: object, after: object) -> None:
        """What a page shows was changed by hand, such as the tooth angle: one step of undo; the page has it."""
        if before == after:
            return
        self._done.append(Step(self.setup, self.setup, name, pages=(before, after)))
        self._undone.clear()
        self.undo_changed.emit()

    def before_run(self, name: StepName) -> Setup:
        """The setup before the last unbroken run of steps of that name; as it is now where the last is another.

        What such steps carry along, as a diameter the width, comes back with the figure that carried it off.
        """
        setup = self.setup
        for step in reversed(self._done):
            if step.name != name or step.after != setup:
                break
            setup = step.before
        return setup

    def take_back(self, gesture: object) -> None:
        """Put a gesture back (``Esc`` in a drag): the setup as it was before, and no undo step."""
        if self._done and gesture is not None and self._done[-1].gesture is gesture:
            self._before_change()
            self._adopt(self._done.pop().before)

    def undo(self) -> None:
        """One step back."""
        if self._done:
            self._before_change()
            step = self._done.pop()
            if step.documents is not None:
                # It may have been saved since it was opened.
                step = replace(step, documents=(step.documents[0], self.document))
            self._undone.append(step)
            self._go(step, 0)

    def redo(self) -> None:
        """One step forward again."""
        if self._undone:
            self._before_change()
            step = self._undone.pop()
            if step.documents is not None:
                step = replace(step, documents=(self.document, step.documents[1]))
            self._done.append(step)
            self._go(step, 1)

    def _go(self, step: Step, end: int) -> bool:
        """To one end of a step: 0 before it, 1 after it.  Returns whether it could be shown."""
        setup = (step.before, step.after)[end]
        if step.documents is not None:
            self.document = step.documents[end]
        if setup == self.setup:
            self.undo_changed.emit()
        else:
            self._adopt(setup)
        if step.documents is not None:
            if not self.derive_now():
                return False
            self.file_changed.emit()
        if step.pages is not None:
            self.page_state_wanted.emit(step.pages[end])
        if step.documents is not None:
            self.document_opened.emit()
        return True

    @property
    def undo_name(self) -> str:
        """What the next undo takes back; empty if nothing."""
        return _told(self._done[-1]) if self._done else ""

    @property
    def redo_name(self) -> str:
        """What the next redo brings again; empty if nothing."""
        return _told(self._undone[-1]) if self._undone else ""

    @property
    def file(self) -> Path | None:
        """The document's file; None for an example or a setup that was never saved."""
        return self.document.file

    @property
    def modified(self) -> bool:
        """Whether the setup differs from the one last opened or saved."""
        return self.setup != self.document.saved or self.document.unsaved

    @property
    def left_unsaved(self) -> tuple[Path, ...]:
        """Other files that were left with changes when a document was opened: only undo still has them."""
        found: list[Path] = []
        for step in self._done:
            if step.documents is not None:
                left = step.documents[0]
                if left.file not in (None, self.file, *found) and step.before != left.saved:
                    found.append(left.file)  # type: ignore[arg-type]
        return tuple(found)

    @property
    def opened(self) -> Setup:
        """The setup last opened or saved, its material filled in: what a changed one is compared with."""
        return resolved(self.document.saved, self.materials)

    def read_as(self, text: str | None, stamp: Stamp | None) -> None:
        """The text that the setup on the bench was read from, and how its file was then."""
        self.document = replace(self.document, text=text, stamp=stamp)

    def open(
        self,
        setup: Setup,
        file: Path | None,
        text: str | None = None,
        stamp: Stamp | None = None,
        pages: tuple[object, object] | None = None,
    ) -> bool:
        """Another document: one step of undo, so that the one that is left is not lost.

        pages : the undo state of the page as it was shown before, and as it shall be shown in the new cut.
        Raises ChiparcError, with nothing changed, for what cannot be computed.  Returns whether it could be shown.
        """
        self.check(setup)
        if self._due:
            # What was changed in this turn is shown first: it is what is come back to.
            self.derive_now()
        self._before_change()
        document = Document(file, setup, text, stamp)
        step = Step(
            self.setup,
            setup,
            OPENING,
            pages=pages,
            documents=(self.document, document),
        )
        # Opened again as it stands there: nothing that could be undone.
        if (self.setup, self.document.saved, self.file) != (setup, setup, file):
            self._done.append(step)
            self._undone.clear()
        return self._go(step, 1)

    def never_saved(self) -> None:
        """What is on the bench stands in no file, wherever it came from: it counts as changed."""
        self.document = replace(self.document, unsaved=True)
        self.file_changed.emit()

    def saved(self, file: Path | None, text: str | None = None, stamp: Stamp | None = None) -> None:
        """The setup as it is now stands in ``file``."""
        document = Document(file, self.setup, text, stamp)
        if file is not None:
            # Steps that come back to the same file know what it holds now.
            self._done = [_knowing(step, document) for step in self._done]
            self._undone = [_knowing(step, document) for step in self._undone]
        self.document = document
        self.file_changed.emit()

    def take_materials(self, materials: Catalogue) -> bool:
        """Another catalogue, such as one with a person's own materials; what is shown follows it.

        Raises ChiparcError, with nothing changed, where it does not have the material of the setup.  Steps of
        undo that name a material which it does not have cannot be computed any more and are dropped.
        """
        resolved(self.setup, materials)
        self._before_change()
        self.materials = materials
        self._done = self._reachable(self._done)
        self._undone = self._reachable(self._undone)
        self.materials_changed.emit(materials)
        self.undo_changed.emit()
        return self.derive_now()

    def _reachable(self, steps: list[Step]) -> list[Step]:
        """The steps nearest to now, up to the first whose ends the catalogue cannot resolve."""
        kept: list[Step] = []
        for step in reversed(steps):
            try:
                resolved(step.before, self.materials)
                resolved(step.after, self.materials)
                for document in step.documents or ():
                    resolved(document.saved, self.materials)
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
        """The setup is to be shown."""
        if event.type() != DERIVE:
            return super().event(event)
        if self._due:
            self.derive_now()
        return True

    def derive_now(self) -> bool:
        """Give the setup, with what is known of its material filled in, to the followers.

        Returns whether all of them could show it; if not, everything is as it was before the change.
        """
        self._due = False
        try:
            self.resolved = resolved(self.setup, self.materials)
            for show in self._followers:
                show(self.resolved)
        except Exception as error:  # Whatever it is, the step that led here must not stay half taken.
            self.put_back(error)
            return False
        self._confirm.start()
        return True

    def _before_change(self) -> None:
        """What is on the bench now is shown and good: a change that fails comes back to it."""
        if not self._due:
            self._before = self._moment()

    def _moment(self) -> Moment:
        return Moment(self.setup, self.document, self.materials, tuple(self._done), tuple(self._undone))

    def _confirm_now(self) -> None:
        self._before = self._moment()

    def put_back(self, error: BaseException) -> None:
        """Something failed while the setup was shown: back to the last good moment, said in a sentence and logged.

        That is the moment before the last change, be it that it fails now or, within CONFIRM_MS, in a paint.
        """
        now, good = self._moment(), self._before
        if good.setup == now.setup and good.document == now.document and good.materials is now.materials:
            self.refused.emit(failure_words(error))
            return
        words = failure_words(error, put_back=True)
        self.setup, self.document, self.materials = good.setup, good.document, good.materials
        self._done, self._undone = list(good.done), list(good.undone)
        self._due = False
        self.setup_changed.emit(self.setup)
        self.undo_changed.emit()
        if good.materials is not now.materials:
            self.materials_changed.emit(self.materials)
        if good.document != now.document:
            self.file_changed.emit()
        self.resolved = resolved(self.setup, self.materials)
        for show in self._followers:
            try:
                show(self.resolved)
            except Exception as again:  # It fails without a step too: nothing is left to put back.
                words = failure_words(again)
        self.refused.emit(words)
