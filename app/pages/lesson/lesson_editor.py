"""Edits a lesson's document: its text, what is wrong with it line by line, and scenes captured from the window.

What the reader refuses is not saved, and nobody is asked in a dialog: the faults stand under the text.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontDatabase, QTextCursor
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
)

from app.kit.debounce import once_after
from app.kit.jobs import Jobs
from app.kit.path_to_write import ask_path
from app.kit.plain import plain_hint, plain_label
from app.pages.lesson.lesson_memory import forget_draft, keep_draft
from app.state.workbench import Workbench
from core.base.errors import ChiparcError, DocumentError, Fault
from core.base.safe_write import Stamp, stamp, write_text
from core.base.visible import visible
from core.base.words import say
from core.documents.document_text import load_text
from core.lesson.lesson_files import is_ours
from core.lesson.lesson_reading import read_lesson
from core.lesson.lesson_writing import new_lesson, with_scene

CHECK_MS = 700
"""After the last key the lesson is read again."""


class LessonEditor(QFrame):
    """``saved`` carries the file that was written; ``left`` comes when it is put away."""

    saved = Signal(str)
    left = Signal()

    def __init__(self, workbench: Workbench) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._workbench = workbench
        self.file: Path | None = None
        self._stamp: Stamp | None = None
        self._sure = False
        self.head = plain_label()
        self.head.setObjectName("title")
        self.text = QPlainTextEdit()
        self.text.setAccessibleName(say("lesson_editor", "text_name"))
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.text.textChanged.connect(self._changed)
        self.faults = QListWidget()
        self.faults.setAccessibleName(say("lesson_editor", "faults_name"))
        self.faults.itemActivated.connect(self._to_line)
        self.faults.itemClicked.connect(self._to_line)
        self.told = plain_label()
        self.told.setObjectName("problem")
        self.told.setWordWrap(True)
        row = QHBoxLayout()
        buttons = {
            "capture": self.capture,
            "check": self.check,
            "save": self.save,
            "save_as": self.save_as,
            "leave": self.leave,
        }
        self.buttons: dict[str, QPushButton] = {}
        for word, do in buttons.items():
            button = QPushButton(say("lesson_editor", word))
            button.setToolTip(plain_hint(say("lesson_editor", f"{word}_hint")))
            button.clicked.connect(do)
            self.buttons[word] = button
            row.addWidget(button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.addWidget(self.head)
        layout.addWidget(self.text, 4)
        layout.addWidget(self.faults, 1)
        layout.addWidget(self.told)
        layout.addLayout(row)
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._show_faults)
        self._check_soon = once_after(self, CHECK_MS, self._ask)

    # What is edited

    def open(self, file: str) -> None:
        """A file; of one of our lessons a copy, which is to be saved somewhere else.  Raises ChiparcError."""
        path = Path(file)
        text = load_text(file)
        self.file, self._stamp = (None, None) if is_ours(path) else (path, stamp(path))
        self._put(text)

    def new(self) -> None:
        """A new lesson, of the cut that is on the bench."""
        self.file, self._stamp = None, None
        self._put(new_lesson(self._workbench.setup))

    def go_on(self, file: str, text: str) -> None:
        """What was being edited when the window was closed or killed; it is still not saved."""
        self.file, self._stamp = (Path(file), None) if file else (None, None)
        self._put(text)
        self.text.document().setModified(True)
        self._show_head()

    def keep(self) -> None:
        """What is not saved is kept beside the settings, for after a crash."""
        if self.text.document().isModified():
            keep_draft(str(self.file or ""), self.text.toPlainText())

    def _put(self, text: str) -> None:
        self.text.setPlainText(text)
        self.text.document().setModified(False)
        self._sure = False
        self._show_head()
        self._ask()
        self.text.setFocus(Qt.FocusReason.OtherFocusReason)

    def capture(self) -> None:
        """The cut on the bench, with its remembered view, as one more scene at the end."""
        cursor = self.text.textCursor()
        lines = self.text.toPlainText().rstrip().count("\n") + 2
        whole = with_scene(self.text.toPlainText(), self._workbench.setup)
        cursor.select(QTextCursor.SelectionType.Document)
        cursor.insertText(whole)
        self._go_to(lines + 1)
        self._tell("captured")

    # What is wrong

    def _changed(self) -> None:
        self._sure = False
        self._show_head()
        self._check_soon.start()

    def _ask(self) -> None:
        self.keep()
        text, known = self.text.toPlainText(), self._workbench.materials
        name = self._name()

        def work() -> Iterator[object]:
            try:
                read_lesson(text, name, known)
            except DocumentError as error:
                yield error.faults
            else:
                yield ()

        self._jobs.ask(work)

    def check(self) -> bool:
        """Read it now; whether it is a lesson."""
        self._check_soon.stop()
        self._jobs.drop()
        try:
            read_lesson(self.text.toPlainText(), self._name(), self._workbench.materials)
        except DocumentError as error:
            self._show_faults(error.faults)
            return False
        self._show_faults(())
        return True

    def _show_faults(self, found: object) -> None:
        assert isinstance(found, tuple)
        self.faults.clear()
        for fault in found:
            assert isinstance(fault, Fault)
            item = QListWidgetItem(visible(fault.sentence(self._name())))
            item.setData(Qt.ItemDataRole.UserRole, fault.line)
            self.faults.addItem(item)
        self.faults.setVisible(bool(found))
        self._tell("faults" if found else "sound", problem=bool(found), count=len(found))

    def _tell(self, word: str, *, problem: bool = False, **fields: object) -> None:
        """One line below the text, in the colour of a problem only where it is one."""
        self._say(say("lesson_editor", word, **fields), problem=problem)

    def _say(self, text: str, *, problem: bool) -> None:
        self.told.setText(text)
        name = "problem" if problem else "soft"
        if self.told.objectName() != name:
            self.told.setObjectName(name)
            self.told.style().unpolish(self.told)
            self.told.style().polish(self.told)

    def _to_line(self, item: QListWidgetItem) -> None:
        self._go_to(int(item.data(Qt.ItemDataRole.UserRole)))

    def _go_to(self, line: int) -> None:
        block = self.text.document().findBlockByNumber(max(line - 1, 0))
        self.text.setTextCursor(QTextCursor(block))
        self.text.centerCursor()
        self.text.setFocus(Qt.FocusReason.OtherFocusReason)

    # Saved or left

    def save(self) -> bool:
        """Into its file, or ask for one; not what the reader refuses."""
        if not self.check():
            self._tell("not_saved", problem=True)
            return False
        return self.save_as() if self.file is None else self._save_to(self.file)

    def save_as(self) -> bool:
        """Ask for a file; not for what the reader refuses."""
        if not self.check():
            self._tell("not_saved", problem=True)
            return False
        title, kinds = say("lesson_editor", "save_title"), say("lesson_page", "documents")
        path = ask_path(self, title, str(self.file or "lesson.toml"), kinds, ".toml")
        if path is None:
            return False
        if is_ours(path):
            self._tell("ours", problem=True)
            return False
        self._stamp = None
        return self._save_to(path)

    def _save_to(self, path: Path) -> bool:
        try:
            write_text(path, self.text.toPlainText(), self._stamp)
        except ChiparcError as error:
            self._say(str(error), problem=True)
            return False
        self.file, self._stamp = path, stamp(path)
        self.text.document().setModified(False)
        forget_draft()
        self._show_head()
        self._tell("saved", file=visible(str(path)))
        self.saved.emit(str(path))
        return True

    def leave(self) -> None:
        """Put it away; what is not saved is said first, and a second press throws it away."""
        if self.text.document().isModified() and not self._sure:
            self._sure = True
            self._tell("not_yet", problem=True)
            return
        self._check_soon.stop()
        self._jobs.stop()
        self.text.document().setModified(False)
        forget_draft()
        self.left.emit()

    def _name(self) -> str:
        return str(self.file) if self.file is not None else say("lesson_editor", "unnamed")

    def _show_head(self) -> None:
        mark = " •" if self.text.document().isModified() else ""
        self.head.setText(visible(self._name()) + mark)
