"""The Lesson page: a class predicts, sees why, and goes on, with a clicker alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QElapsedTimer, QObject, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QWidget

from app.kit.jobs import Jobs
from app.kit.look import Look
from app.pages.lesson.lesson_editor import LessonEditor
from app.pages.lesson.lesson_list import LessonList
from app.pages.lesson.lesson_memory import add_results, forget_run, keep_run, kept_draft, kept_run, revealed_results
from app.pages.lesson.lesson_notes import LessonNotes
from app.pages.lesson.list_picture import paint_list
from app.pages.lesson.results_panel import ResultsPanel
from app.pages.lesson.ring_painting import paint_ring_scene
from app.pages.lesson.run_view import RunView
from app.pages.lesson.scene_words import SceneWords, scene_ring, scene_words
from app.pages.lesson.sheet_panel import SheetPanel
from app.pages.lesson.shown_page import ShownPages
from app.pages.lesson.take_away import TakeAway
from app.pages.page import Action, Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.error_words import in_short
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.visible import visible
from core.base.words import say
from core.lesson.answers import check_answer
from core.lesson.hands import NamedGuess, read_hands
from core.lesson.lesson import Lesson, Predict
from core.lesson.lesson_reading import load_lesson
from core.lesson.lesson_run import LessonRun, resumed
from core.report.sentence import sentence
from core.setup.setup import Setup
from core.setup.show import Show

ROOM_FOR_CONTROLS = 780
"""Height of the window, pixels, from which the controls have room under a picture and its sentence."""


class LessonPage(Page):
    """A list of lessons, or one of them under way.

    A lesson's cuts are opened on the workbench like examples: what was there before comes back with undo.
    """

    id, title, key = "lesson", "Lesson", "Ctrl+5"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.run: LessonRun | None = None
        self.list, self.view_widget = LessonList(), RunView(view)
        self.shown_pages = ShownPages(view)
        self._clock = QElapsedTimer()
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._begin)
        self._jobs.failed.connect(self._refused)
        self._wanted: dict[str, Any] = {}
        self._looked_for_a_run = False
        self._opening = False
        self.stack = QStackedWidget()
        self.stack.addWidget(self.list)
        self.stack.addWidget(self.view_widget)
        self.sheet, self.results = SheetPanel(workbench, view), ResultsPanel()
        self.editor = LessonEditor(workbench)
        for panel in (self.sheet, self.results, self.editor):
            panel.left.connect(self._to_list)
            self.stack.addWidget(panel)
        self.notes = LessonNotes(self.stack)
        self.take_away = TakeAway(workbench, view, self.stack)
        self._connect()
        view.changed.connect(self._view_changed)

    def _connect(self) -> None:
        run, panel = self.view_widget, self.view_widget.panel
        self.list.wanted.connect(self.start)
        self.list.open_wanted.connect(self.open_lesson)
        self.list.sheet_wanted.connect(self._open_sheet)
        self.list.cut_sheet_wanted.connect(self._open_cut_sheet)
        self.list.results_wanted.connect(self._open_results)
        self.list.edit_wanted.connect(self.edit)
        self.list.new_wanted.connect(self.new_lesson)
        self.editor.saved.connect(self.list.used)
        self.list.compare_wanted.connect(self.take_away.ask_comparison)
        self.list.motion_wanted.connect(self.take_away.ask_motion)
        self.take_away.told.connect(self.list.tell)
        self.notes.on.connect(self.next)
        self.notes.back.connect(self.back)
        self.notes.opened.connect(self.refresh)
        run.next_wanted.connect(self.next)
        run.back_wanted.connect(self.back)
        run.leave_wanted.connect(self.end)
        run.numbered.connect(self._choose)
        run.ring.pinned.connect(self._pin)
        run.hands.taken.connect(self._take_list)
        run.hands.left.connect(self.refresh)
        panel.chosen.connect(self._choose)
        panel.typed.connect(self._type)
        panel.list_wanted.connect(self._open_list)
        panel.undone.connect(self._take_back)

    # The contract

    def stand_among(self, states: Callable[[], dict[str, dict[str, object]]], another: Callable[[str], Page]) -> None:
        """Other pages show what a scene is about."""
        self.shown_pages.another = another

    def widget(self) -> QWidget:
        """The list, or the lesson."""
        return self.stack

    def show(self, setup: Setup) -> None:
        """A lesson that a crash has cut short goes on; a page within it follows the setup."""
        if not self._looked_for_a_run:
            self._looked_for_a_run = True
            kept = kept_run()
            if self.run is None and kept is not None and isinstance(kept.get("file"), str):
                self._ask_for(kept["file"], kept)
            elif self.run is None and (draft := kept_draft()) is not None:
                self.editor.go_on(*draft)
                self.stack.setCurrentWidget(self.editor)
        if self.run is not None and self.run.place.step == "look":
            if self.shown_pages.top is None:
                self.refresh()
            else:
                self.shown_pages.show(setup)

    def left(self) -> None:
        """Nothing moves that nobody sees."""
        self.shown_pages.leave()
        self.editor.keep()
        self._keep()

    def wants_hand_rail(self) -> bool:
        """Only where a cut is looked at: before that its figures would give the answer away.

        On a low screen, such as a projector's, the picture needs the room.
        """
        looked_at = self.run is not None and self.run.place.step == "look"
        return looked_at and self.stack.window().height() >= ROOM_FOR_CONTROLS

    def sentence(self, setup: Setup, units: Units) -> str:
        """The question while it is open; what the cut does once it may be told."""
        if self.run is None:
            return say("lesson_page", "sentence_list")
        words = self._words(units)
        if self.run.place.step == "ask":
            return say("lesson_page", "sentence_ask", title=words.title, ask=words.ask)
        if self.run.place.step in ("reveal", "look"):
            return sentence(setup, units)
        return say("lesson_page", "sentence_other", title=words.title)

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The place where the lesson is, with its words under the picture."""
        painter.fillRect(rect, theme.color("panel"))
        page = self.shown_pages.top
        if self.run is not None and self.run.place.step == "look" and page is not None:
            page.paint(painter, rect, theme, units)
            return
        if self.run is None:
            rows = [
                (say("lesson_page", "row", title=visible(e.title), minutes=f"{e.minutes:g}"), visible(e.about))
                for e in self.list.entries()
            ]
            paint_list(painter, rect, rows, theme)
            return
        words = self._words(units)
        lines = [words.title, words.ask, *words.options, words.answer, words.class_words, words.why]
        scene = scene_ring(self.run, self.workbench.materials)
        column = QRectF(rect)
        if scene is not None:
            side = min(rect.height(), 0.6 * rect.width())
            paint_ring_scene(painter, QRectF(rect.right() - side, rect.top(), side, side), scene, theme)
            column.setRight(rect.right() - side)
        painter.setFont(theme.font("title"))
        painter.setPen(theme.color("ink"))
        flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)
        painter.drawText(column.adjusted(16, 16, -16, -16), flags, "\n\n".join(line for line in lines if line))

    def actions(self) -> tuple[Action, ...]:
        """What a clicker sends, and the notes."""
        word = {name: say("lesson_page", f"action_{name}") for name in ("next", "back", "notes", "leave", "play")}
        hint = {name: say("lesson_page", f"{name}_hint") for name in ("next", "back", "notes")}
        return (
            Action("lesson_next", "View", word["next"], self.next, ("PgDown",), hint=hint["next"]),
            Action("lesson_back", "View", word["back"], self.back, ("PgUp",), hint=hint["back"]),
            Action("lesson_notes", "View", word["notes"], self.toggle_notes, ("Ctrl+Shift+N",), hint=hint["notes"]),
            Action("lesson_leave", "View", word["leave"], self.end, ("Ctrl+Shift+L",)),
            Action("lesson_play", "Motion", word["play"], self.play, ("Space",)),
        )

    def state(self) -> dict[str, Any]:
        """Files of one's own that were given lately."""
        return {"recent": list(self.list.recent)}

    def restore_state(self, state: dict[str, Any]) -> None:
        """Take them back."""
        recent = state.get("recent")
        if isinstance(recent, list):
            self.list.recent = [name for name in recent if isinstance(name, str)]
            self.list.fill()

    # A lesson begins and ends

    def open_lesson(self) -> None:
        """Ask for a lesson document and give it."""
        title, kinds = say("lesson_page", "open_title"), say("lesson_page", "documents")
        name, _ = QFileDialog.getOpenFileName(self.stack, title, "", kinds)
        if name:
            self.start(name)

    def start(self, file: str) -> None:
        """Work a lesson's answers out, beside the window, and begin it."""
        self._ask_for(file, {"file": file})

    def _ask_for(self, file: str, kept: dict[str, Any]) -> None:
        self._wanted = kept | {"file": file}
        self.list.tell(say("lesson_page", "working"))
        known = self.workbench.materials

        def work() -> Iterator[object]:
            yield load_lesson(file, known)

        self._jobs.ask(work)

    def _begin(self, lesson: object) -> None:
        assert isinstance(lesson, Lesson)
        self.list.tell("")
        self.list.used(str(self._wanted["file"]))
        self.shown_pages.begin()
        self.run = resumed(lesson, self._wanted)
        self._clock.restart()
        self.notes.open_beside()
        self.stack.setCurrentWidget(self.view_widget)
        self._arrive()
        self.view_widget.ring.setFocus(Qt.FocusReason.OtherFocusReason)

    def _refused(self, error: object) -> None:
        told = in_short(error) if isinstance(error, ChiparcError) else str(error)
        self.list.tell(told)
        forget_run()

    def end(self) -> None:
        """Leave the lesson for the list; the view is as it was before it."""
        if self.run is None:
            return
        self.run = None
        forget_run()
        self.notes.close()
        self.shown_pages.end()
        self.stack.setCurrentWidget(self.list)
        self.list.focus_first()
        self.said.emit()
        self.done.emit(say("lesson_page", "ended"))

    # Beside a lesson: worksheets, results, documents

    def _to_list(self) -> None:
        self.stack.setCurrentWidget(self.list)
        self.list.fill()
        self.list.focus_first()

    def _open_sheet(self, file: str) -> None:
        title = next((each.title for each in self.list.entries() if str(each.file) == file), file)
        self.sheet.open_for(file, title)
        self.stack.setCurrentWidget(self.sheet)

    def _open_cut_sheet(self) -> None:
        self.sheet.open_for("", self.workbench.setup.title)
        self.stack.setCurrentWidget(self.sheet)

    def _open_results(self) -> None:
        self.results.refresh()
        self.stack.setCurrentWidget(self.results)

    def edit(self, file: str) -> None:
        """A lesson's document in the editor."""
        try:
            self.editor.open(file)
        except ChiparcError as error:
            self.list.tell(in_short(error))
            return
        self.stack.setCurrentWidget(self.editor)

    def new_lesson(self) -> None:
        """A new document in the editor."""
        self.editor.new()
        self.stack.setCurrentWidget(self.editor)

    # On and back

    def next(self) -> None:
        """One place on: all that a clicker does."""
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
        place = self.run.place
        self._open(self.run.lesson.scenes[place.scene].setup)
        if place.step == "reveal":
            # Predictions with a name are kept as results, once they are revealed.
            add_results(revealed_results(self.run, self.view.units, self.workbench.materials))
        self._keep()
        self.refresh()

    def _open(self, setup: Setup) -> None:
        """A scene's cut, as an example is opened; how it is looked at is the lesson's own business."""
        plain = replace(setup, show=Show())
        if plain == self.workbench.setup or self._opening:
            return
        self._opening = True
        try:
            self.workbench.open(plain, None)
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
        finally:
            self._opening = False

    def refresh(self) -> None:
        """Show the place where the lesson is."""
        run, view = self.run, self.view_widget
        if run is None:
            return
        place, words = run.place, self._words(self.view.units)
        predict = self._predict()
        if place.step != "look":
            self.shown_pages.leave()
        choosing = place.step == "ask" and predict is not None and predict.kind == "choose"
        view.numbers = tuple(str(i) for i in range(1, len(words.options) + 1)) if choosing else ()
        view.back.setEnabled(run.position > 0)
        view.next.setEnabled(run.position < len(run.places) - 1)
        page = None
        if place.step == "look":
            setup = run.lesson.scenes[place.scene].setup
            page = self.shown_pages.look(self.workbench.resolved, setup.show, self.id)
        if page is not None:
            view.show_page(words, page.widget())
        elif place.step in ("caution", "end"):
            view.show_large(words)
        else:
            self._show_asked(words, predict)
        self.notes.show_place(run, words, self.view.units, self.workbench.materials, self._seconds())
        self.said.emit()

    def _show_asked(self, words: SceneWords, predict: Predict | None) -> None:
        run, view = self.run, self.view_widget
        assert run is not None, "there is a lesson under way"
        asking = run.place.step == "ask"
        count = len(run.of_scene(run.place.scene))
        view.panel.show_words(words, predict if asking else None, asking=asking, count=count)
        if run.place.step == "reveal" and predict is not None and predict.kind == "choose":
            before = run.lesson.before(run.place.scene)
            right = check_answer(predict, run.lesson.scenes[run.place.scene].setup, before, self.workbench.materials)
            view.panel.mark(int(right.value) if isinstance(right.value, int) else None)
        scene = scene_ring(run, self.workbench.materials)
        if scene is not None:
            view.ring.show_scene(scene, asking=asking and predict is not None and predict.kind == "pin")
        view.show_asked(words)

    def _words(self, units: Units) -> SceneWords:
        assert self.run is not None, "there is a lesson under way"
        return scene_words(self.run, units, self.workbench.materials)

    def _predict(self) -> Predict | None:
        return None if self.run is None else self.run.lesson.scenes[self.run.place.scene].predict

    # Predictions

    def _add(self, guesses: tuple[NamedGuess, ...]) -> None:
        run = self.run
        if run is None or run.place.step != "ask":
            return
        scene = run.place.scene
        self.run = run.with_guesses(scene, (*run.of_scene(scene), *guesses))
        self._keep()
        self.refresh()

    def _pin(self, angle: float) -> None:
        self._add((NamedGuess("", angle),))

    def _choose(self, option: int) -> None:
        self._add((NamedGuess("", option),))

    def _type(self, text: str) -> None:
        """One prediction, perhaps with a name before it."""
        predict, run = self._predict(), self.run
        if predict is None or run is None:
            return
        hands = read_hands(text, predict, run.lesson.scenes[run.place.scene].setup, self.view.units)
        if hands.faults:
            self.view_widget.panel.show_problem(hands.faults[0])
        else:
            self._add(hands.guesses)
            self.view_widget.panel.field.setFocus()

    def _open_list(self) -> None:
        predict = self._predict()
        if predict is not None and self.run is not None and self.run.place.step == "ask":
            self.view_widget.show_hands(predict.kind)

    def _take_list(self, text: str) -> None:
        predict, run = self._predict(), self.run
        if predict is None or run is None:
            return
        hands = read_hands(text, predict, run.lesson.scenes[run.place.scene].setup, self.view.units)
        if hands.faults:
            self.view_widget.hands.show_faults(hands)
        else:
            self._add(hands.guesses)

    def _take_back(self) -> None:
        run = self.run
        if run is not None:
            scene = run.place.scene
            self.run = run.with_guesses(scene, run.of_scene(scene)[:-1])
            self._keep()
            self.refresh()

    def _keep(self) -> None:
        if self.run is not None:
            keep_run(replace(self.run, seconds=self._seconds()).kept())

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
