"""What the Lesson page has in sight: the list, the lesson under way, a worksheet, the results, or the editor."""

from __future__ import annotations

from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QFileDialog, QStackedWidget

from app.pages.lesson.lesson_editor import LessonEditor
from app.pages.lesson.lesson_list import LessonList
from app.pages.lesson.results_panel import ResultsPanel
from app.pages.lesson.run_view import RunView
from app.pages.lesson.sheet_panel import SheetPanel
from app.pages.lesson.take_away import TakeAway
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.error_words import in_short
from core.base.errors import ChiparcError
from core.base.words import say


class LessonStack(QStackedWidget):
    """The list is the way to all the others, and each of them leads back to it."""

    def __init__(self, workbench: Workbench, view: ViewState) -> None:
        super().__init__()
        self._workbench = workbench
        self.list, self.run_view = LessonList(), RunView(view)
        self.sheet, self.results = SheetPanel(workbench, view), ResultsPanel()
        self.editor = LessonEditor(workbench)
        self.take_away = TakeAway(workbench, view, self)
        self.addWidget(self.list)
        self.addWidget(self.run_view)
        for panel in (self.sheet, self.results, self.editor):
            panel.left.connect(self._back_to_list)
            self.addWidget(panel)
        self.list.open_wanted.connect(self.open_lesson)
        self.list.sheet_wanted.connect(self.open_sheet)
        self.list.cut_sheet_wanted.connect(self.open_cut_sheet)
        self.list.results_wanted.connect(self.open_results)
        self.list.edit_wanted.connect(self.edit)
        self.list.new_wanted.connect(self.new_lesson)
        self.list.compare_wanted.connect(self.take_away.ask_comparison)
        self.editor.saved.connect(self.list.used)
        self.take_away.told.connect(self.list.tell)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Who comes to the list by a key chooses by keys."""
        if self.currentWidget() is self.list:
            self.list.focus_first()
        else:
            super().focusInEvent(event)

    def show_list(self) -> None:
        """The list, with the keyboard at its first lesson."""
        self.setCurrentWidget(self.list)
        self.list.focus_first()

    def _back_to_list(self) -> None:
        # An edited lesson may have another title now.
        self.list.fill()
        self.show_list()

    def show_run(self) -> None:
        """The lesson under way."""
        self.setCurrentWidget(self.run_view)

    def open_lesson(self) -> None:
        """Ask for a lesson document and give it."""
        title, kinds = say("lesson_page", "open_title"), say("lesson_page", "documents")
        name, _ = QFileDialog.getOpenFileName(self, title, "", kinds)
        if name:
            self.list.wanted.emit(name)

    def open_sheet(self, file: str) -> None:
        """The worksheet of a lesson."""
        title = next((each.title for each in self.list.entries() if str(each.file) == file), file)
        self.sheet.open_for(file, title)
        self.setCurrentWidget(self.sheet)

    def open_cut_sheet(self) -> None:
        """The worksheet of the cut on the bench."""
        self.sheet.open_for("", self._workbench.setup.title)
        self.setCurrentWidget(self.sheet)

    def open_results(self) -> None:
        """What learners have predicted."""
        self.results.refresh()
        self.setCurrentWidget(self.results)

    def edit(self, file: str) -> None:
        """A lesson's document in the editor."""
        try:
            self.editor.open(file)
        except ChiparcError as error:
            self.list.tell(in_short(error))
            return
        self.setCurrentWidget(self.editor)

    def edit_draft(self, file: str, text: str) -> None:
        """What was being edited when the window was closed or killed."""
        self.editor.go_on(file, text)
        self.setCurrentWidget(self.editor)

    def new_lesson(self) -> None:
        """A new document in the editor."""
        self.editor.new()
        self.setCurrentWidget(self.editor)
