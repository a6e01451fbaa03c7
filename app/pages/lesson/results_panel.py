"""Learners' results: seen, exported as a table, erased for good.  They never leave this machine by themselves."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout

from app.kit.path_to_write import ask_path
from app.kit.plain import plain_label, visible_lines
from app.pages.lesson.lesson_memory import erase_results, results, results_csv, results_file
from core.base.errors import ChiparcError
from core.base.safe_write import write_text
from core.base.visible import visible
from core.base.words import say


class ResultsPanel(QFrame):
    """``left`` comes when it is put away."""

    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._sure = False
        self.head = plain_label()
        self.head.setObjectName("title")
        where = plain_label(say("lesson_results", "where", file=visible(str(results_file()))))
        where.setObjectName("soft")
        where.setWordWrap(True)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setAccessibleName(say("lesson_page", "results"))
        self.told = plain_label()
        self.told.setWordWrap(True)
        self.export_button = QPushButton(say("lesson_results", "export"))
        self.erase_button = QPushButton(say("lesson_results", "erase"))
        leave = QPushButton(say("lesson_results", "back"))
        self.export_button.clicked.connect(self._ask)
        self.erase_button.clicked.connect(self.erase)
        leave.clicked.connect(self.left)
        row = QHBoxLayout()
        for button in (leave, self.export_button, self.erase_button):
            row.addWidget(button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 12, 16, 12)
        for part in (self.head, where, self.text, self.told):
            layout.addWidget(part)
        layout.addLayout(row)

    def refresh(self) -> None:
        """What is kept now."""
        kept = results()
        lines = [
            say(
                "lesson_results",
                "line",
                name=r.name,
                lesson=r.lesson,
                question=r.question,
                prediction=r.prediction,
                near=say("lesson_results", "near" if r.near else "not_near"),
            )
            for r in kept
        ]
        self.head.setText(say("lesson_results", "head", count=len(kept)))
        self.text.setPlainText(visible_lines("\n".join(lines)))
        self._sure = False
        self.erase_button.setText(say("lesson_results", "erase"))
        self.erase_button.setEnabled(bool(kept))
        self.export_button.setEnabled(bool(kept))
        self.told.clear()

    def _ask(self) -> None:
        title, kinds = say("lesson_page", "save_results"), say("lesson_page", "csv")
        if file := ask_path(self, title, "results.csv", kinds, ".csv"):
            self.export(file)

    def export(self, file: Path) -> None:
        """All of them as a table."""
        try:
            write_text(file, results_csv(results()))
        except ChiparcError as error:
            self.told.setText(str(error))
        else:
            self.told.setText(say("lesson_results", "exported", file=visible(str(file))))

    def erase(self) -> None:
        """For good: the first press asks, the second does it."""
        if not self._sure:
            self._sure = True
            self.erase_button.setText(say("lesson_results", "erase_sure"))
            return
        erase_results()
        self.refresh()
        self.told.setText(say("lesson_results", "erased"))
