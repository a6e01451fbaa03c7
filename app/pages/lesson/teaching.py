"""A lesson as it is given: begun, moved on and back, predicted in, kept for after a crash, and ended."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QElapsedTimer, QObject, Qt, Signal

from app.kit.jobs import Jobs
from app.pages.lesson.lesson_memory import add_results, forget_run, keep_run, revealed_results
from app.pages.lesson.lesson_notes import LessonNotes
from app.pages.lesson.run_view import RunView
from app.pages.lesson.scene_words import SceneWords, scene_words
from app.pages.lesson.shown_page import ShownPages
from app.state.error_log import refusal_words
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.words import say
from core.lesson.hands import Hands, NamedGuess, read_hands
from core.lesson.lesson import Predict
from core.lesson.lesson_files import in_this_language
from core.lesson.lesson_reading import load_lesson
from core.lesson.lesson_run import LessonRun, resumed
from core.setup.setup import Setup
from core.setup.show import Show

PAGE_ID = "lesson"
"""The page that a scene cannot be looked at on: it stands there already."""


class Teaching(QObject):
    """The lesson under way, ``run``; None between lessons.

    ``told`` carries what is being done, or why a lesson could not be given; ``begun`` the file of the lesson that
    begins; ``arrived`` comes when what is seen may be another place; ``over`` when the lesson is ended.
    """

    told = Signal(str)
    begun = Signal(str)
    arrived = Signal()
    over = Signal()

    def __init__(self, workbench: Workbench, view: ViewState, run_view: RunView) -> None:
        super().__init__(run_view)
        self._workbench, self._view, self.run_view = workbench, view, run_view
        self.run: LessonRun | None = None
        self.shown_pages = ShownPages(view)
        self.notes = LessonNotes(run_view)
        self._clock = QElapsedTimer()
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._begin)
        self._jobs.failed.connect(self._refused)
        self._connect()
        view.changed.connect(self._view_changed)

    def _connect(self) -> None:
        seen, panel = self.run_view, self.run_view.panel
        self.notes.on.connect(self.next)
        self.notes.back.connect(self.back)
        self.notes.changed.connect(self.refresh)
        seen.next_wanted.connect(self.next)
        seen.back_wanted.connect(self.back)
        seen.leave_wanted.connect(self.end)
        seen.numbered.connect(self._choose)
        seen.ring.pinned.connect(self._pin)
        seen.hands.taken.connect(self.take_list)
        seen.hands.left.connect(self.refresh)
        panel.chosen.connect(self._choose)
        panel.typed.connect(self._type)
        panel.list_wanted.connect(self._open_list)
        panel.undone.connect(self._take_back)

    # A lesson begins and ends

    def start(self, file: str) -> None:
        """Work a lesson's answers out, beside the window, and begin it."""
        self.go_on({"file": file})

    def go_on(self, kept: dict[str, Any]) -> None:
        """The same for a lesson that did not come to its end: at its place, with its predictions."""
        self._work_out(kept, carried=False)

    def carry_on(self, before: Teaching) -> None:
        """The same for one that is under way in a window that goes; the cut on the bench may have been changed."""
        if before.run is not None:
            self._work_out(before.kept(), carried=True)

    def kept(self) -> dict[str, Any]:
        """All that is needed to go on later."""
        assert self.run is not None, "there is a lesson under way"
        return replace(self.run, seconds=self._seconds()).kept()

    def _work_out(self, kept: dict[str, Any], *, carried: bool) -> None:
        self.told.emit(say("lesson_page", "working"))
        known = self._workbench.materials

        def work() -> Iterator[object]:
            file = str(in_this_language(Path(kept["file"])))
            yield resumed(load_lesson(file, known), kept | {"file": file}), carried

        self._jobs.ask(work)

    def _begin(self, found: object) -> None:
        assert isinstance(found, tuple)
        run, carried = found
        assert isinstance(run, LessonRun)
        self.told.emit("")
        self.shown_pages.begin()
        self.run = run
        self._clock.restart()
        self.begun.emit(run.file)
        self.notes.begin()
        if carried:
            self._keep()
            self.notes.open_beside()
            self.refresh()
        else:
            self._arrive()
        self.run_view.ring.setFocus(Qt.FocusReason.OtherFocusReason)

    def _refused(self, error: object) -> None:
        self.told.emit(refusal_words(error))
        forget_run()

    def end(self) -> None:
        """Leave the lesson; the view is as it was before it."""
        if self.run is None:
            return
        self.run = None
        self.run_view.hands.forget()
        forget_run()
        self.notes.close()
        self.shown_pages.end()
        self.over.emit()

    # On and back

    def next(self) -> None:
        """One place on: all that a clicker does; a list of hands that lies open is taken where it can be read."""
        if self.run_view.right.currentWidget() is self.run_view.hands:
            self.take_list(self.run_view.hands.text.toPlainText())
        self._move(1)

    def back(self) -> None:
        """One place back."""
        self._move(-1)

    def _move(self, by: int) -> None:
        if self.run is None:
            return
        moved = self.run.moved(by)
        if moved.position != self.run.position:
            self.run = replace(moved, seconds=self._seconds())
            self._clock.restart()
            self._arrive()

    def _seconds(self) -> float:
        assert self.run is not None, "there is a lesson under way"
        return self.run.seconds + (self._clock.elapsed() / 1000.0 if self._clock.isValid() else 0.0)

    def _arrive(self) -> None:
        """At another place: its cut comes on the bench, and what was predicted is kept."""
        assert self.run is not None, "there is a lesson under way"
        self._open(self.run.scene.setup)
        if self.run.place.step == "reveal":
            # Predictions with a name are kept as results, once they are revealed.
            add_results(revealed_results(self.run, self._view.units, self._workbench.materials))
        self._keep()
        self.notes.open_beside()
        self.refresh()

    def _open(self, setup: Setup) -> None:
        """A scene's cut, as an example is opened; how it is looked at is the lesson's own business."""
        plain = replace(setup, show=Show())
        if plain == self._workbench.setup:
            return
        try:
            self._workbench.open(plain, None)
        except ChiparcError as error:
            self._workbench.refused.emit(str(error))

    def words(self, units: Units) -> SceneWords:
        """What is said at the place where the lesson is."""
        assert self.run is not None, "there is a lesson under way"
        return scene_words(self.run, units, self._workbench.materials)

    def refresh(self) -> None:
        """Show the place where the lesson is."""
        run = self.run
        if run is None:
            return
        words, known, page = self.words(self._view.units), self._workbench.materials, None
        if run.place.step == "look":
            page = self.shown_pages.look(self._workbench.resolved, run.scene.setup.show, PAGE_ID)
        else:
            self.shown_pages.leave()
        seen = replace(words, do="") if self.notes.apart else words
        self.run_view.show_place(run, seen, known, None if page is None else page.widget())
        self.notes.show_place(run, words, self._view.units, known, self._seconds())
        self.arrived.emit()

    def show(self, setup: Setup) -> None:
        """The page that a scene is looked at on follows the setup."""
        if self.run is not None and self.run.place.step == "look":
            if self.shown_pages.top is None:
                self.refresh()
            else:
                self.shown_pages.show(setup)

    def leave(self) -> None:
        """Out of sight: nothing moves, and where the class is is kept."""
        self.shown_pages.leave()
        self._keep()

    def _keep(self) -> None:
        if self.run is not None:
            keep_run(self.kept())

    # Predictions

    def add(self, guesses: tuple[NamedGuess, ...]) -> None:
        """More predictions of the scene, while its question is open."""
        if self._asked() is not None and self.run is not None:
            self._predicted((*self.run.of_scene(self.run.place.scene), *guesses))

    def _take_back(self) -> None:
        if self.run is not None:
            self._predicted(self.run.of_scene(self.run.place.scene)[:-1])

    def _predicted(self, guesses: tuple[NamedGuess, ...]) -> None:
        assert self.run is not None, "there is a lesson under way"
        self.run = self.run.with_guesses(self.run.place.scene, guesses)
        self._keep()
        self.refresh()

    def _asked(self) -> Predict | None:
        """The question that is open now."""
        return self.run.scene.predict if self.run is not None and self.run.place.step == "ask" else None

    def _pin(self, angle: float) -> None:
        self.add((NamedGuess("", angle),))

    def _choose(self, option: int) -> None:
        self.add((NamedGuess("", option),))

    def _read(self, text: str) -> Hands | None:
        predict = self._asked()
        if predict is None or self.run is None:
            return None
        return read_hands(text, predict, self.run.scene.setup, self._view.units)

    def _type(self, text: str) -> None:
        """One prediction, perhaps with a name before it."""
        hands = self._read(text)
        if hands is None:
            return
        if hands.faults:
            self.run_view.panel.show_problem(hands.faults[0])
        else:
            self.add(hands.guesses)
            self.run_view.panel.field.setFocus()

    def _open_list(self) -> None:
        if (predict := self._asked()) is not None and self.run is not None:
            self.run_view.show_hands(predict.kind, self.run.place.scene)

    def take_list(self, text: str) -> None:
        """The predictions of a whole class; not one of them where a line cannot be read."""
        hands = self._read(text)
        if hands is None:
            return
        if hands.faults:
            self.run_view.hands.show_faults(hands)
        else:
            self.run_view.hands.empty()
            self.add(hands.guesses)

    # Notes, motion, view

    def toggle_notes(self) -> None:
        """The notes' window, or none."""
        if self.run is not None:
            self.notes.toggle()

    def play(self) -> None:
        """The tooth turns or stops, where a page with motion is looked at."""
        self.shown_pages.act("play")

    def _view_changed(self, name: str) -> None:
        if name == "units" and self.run is not None and self.run.place.step != "look":
            self.refresh()
