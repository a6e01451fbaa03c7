"""The Lesson page: a class predicts, sees why, and goes on, with a clicker alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.kit.look import Look
from app.pages.lesson.lesson_memory import kept_draft, kept_run
from app.pages.lesson.lesson_picture import paint_list, paint_place
from app.pages.lesson.lesson_stack import LessonStack
from app.pages.lesson.teaching import PAGE_ID, Teaching
from app.pages.page import Action, Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.base.words import say
from core.report.sentence import sentence
from core.setup.setup import Setup

ROOM_FOR_CONTROLS = 780
"""Height of the window, pixels, from which the controls have room under a picture and its sentence."""


def _open_lesson() -> dict[str, Any] | None:
    """Where a class was whose lesson did not come to its end."""
    kept = kept_run()
    return kept if kept is not None and isinstance(kept.get("file"), str) else None


class LessonPage(Page):
    """A list of lessons with what belongs to it (:class:`LessonStack`), or one of them under way (:class:`Teaching`).

    A lesson's cuts are opened on the workbench like examples: what was there before comes back with undo.
    """

    id, key = PAGE_ID, "Ctrl+5"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.stack = LessonStack(workbench, view)
        self.teaching = Teaching(workbench, view, self.stack.run_view)
        self._looked_for_a_run = False
        self.stack.list.wanted.connect(self.teaching.start)
        self.stack.list.command_wanted.connect(self.command_wanted)
        self.teaching.told.connect(self.stack.list.tell)
        self.teaching.begun.connect(self._begun)
        self.teaching.arrived.connect(self.said)
        self.teaching.over.connect(self._over)

    @classmethod
    def was_cut_short(cls) -> bool:
        """A lesson that did not come to its end."""
        return _open_lesson() is not None

    def _begun(self, file: str) -> None:
        self.stack.list.used(file)
        self.stack.show_run()

    def _over(self) -> None:
        self.stack.show_list()
        self.said.emit()
        self.done.emit(say("lesson_page", "ended"))

    def stand_among(self, states: Callable[[], dict[str, dict[str, object]]], another: Callable[[str], Page]) -> None:
        """Other pages show what a scene is about."""
        self.teaching.shown_pages.another = another

    def widget(self) -> QWidget:
        """The list, or the lesson."""
        return self.stack

    def show(self, setup: Setup) -> None:
        """A lesson that a crash has cut short goes on; a page within it follows the setup."""
        if not self._looked_for_a_run:
            self._looked_for_a_run = True
            if self.teaching.run is None:
                self._take_up()
        self.teaching.show(setup)

    def take_over(self, before: Page) -> None:
        """The lesson that is under way there goes on here."""
        if isinstance(before, LessonPage):
            self.teaching.carry_on(before.teaching)

    def _take_up(self) -> None:
        """A lesson that did not come to its end, else one that was being edited."""
        if (kept := _open_lesson()) is not None:
            self.teaching.go_on(kept)
        elif (draft := kept_draft()) is not None:
            self.stack.edit_draft(*draft)

    def left(self) -> None:
        """Nothing moves that nobody sees."""
        self.teaching.leave()
        self.stack.editor.keep()

    def wants_hand_rail(self) -> bool:
        """Only where a cut is looked at: before that its figures would give the answer away.

        On a low screen, such as a projector's, the picture needs the room.
        """
        run = self.teaching.run
        looked_at = run is not None and run.place.step == "look"
        return looked_at and self.stack.window().height() >= ROOM_FOR_CONTROLS

    def sentence(self, setup: Setup, units: Units) -> str:
        """The question while it is open; what the cut does once it may be told."""
        run = self.teaching.run
        if run is None:
            return say("lesson_page", "sentence_list")
        if run.place.step in ("reveal", "look"):
            return sentence(setup, units)
        words = self.teaching.words(units)
        if run.place.step == "ask":
            return say("lesson_page", "sentence_ask", title=words.title, ask=words.ask)
        return say("lesson_page", "sentence_other", title=words.title)

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The place where the lesson is, with its words beside the picture."""
        painter.fillRect(rect, theme.color("panel"))
        run, page = self.teaching.run, self.teaching.shown_pages.top
        if run is None:
            paint_list(painter, rect, self.stack.list.rows(), theme)
        elif page is not None:
            page.paint(painter, rect, theme, units)
        else:
            paint_place(painter, rect, run, self.teaching.words(units), theme, self.workbench.materials)

    def actions(self) -> tuple[Action, ...]:
        """What a clicker sends, and the notes."""
        word = {name: say("lesson_page", f"action_{name}") for name in ("next", "back", "notes", "leave", "play")}
        hint = {name: say("lesson_page", f"{name}_hint") for name in ("next", "back", "notes")}
        to = self.teaching
        return (
            Action("lesson_next", "View", word["next"], to.next, ("PgDown",), hint=hint["next"]),
            Action("lesson_back", "View", word["back"], to.back, ("PgUp",), hint=hint["back"]),
            Action("lesson_notes", "View", word["notes"], to.toggle_notes, ("Ctrl+Shift+N",), hint=hint["notes"]),
            Action("lesson_leave", "View", word["leave"], to.end, ("Ctrl+Shift+L",)),
            Action("lesson_play", "Motion", word["play"], to.play, ("Space",)),
        )

    def state(self) -> dict[str, Any]:
        """Files of one's own that were given lately."""
        return {"recent": list(self.stack.list.recent)}

    def restore_state(self, state: dict[str, Any]) -> None:
        """Take them back."""
        recent = state.get("recent")
        if isinstance(recent, list):
            self.stack.list.recent = [name for name in recent if isinstance(name, str)]
            self.stack.list.fill()
