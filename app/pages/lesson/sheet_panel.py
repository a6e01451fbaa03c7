"""Worksheets from the window: which seed, which paper; the sheet and its key are saved side by side."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QFrame, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout

from app.kit.jobs import Jobs
from app.kit.path_to_write import ask_path, ask_replace
from app.kit.plain import plain_label
from app.kit.still_list import StillList
from app.pages.lesson.sheet_pdf import PAPERS, save_sheet
from app.state.error_log import refusal_words
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.visible import visible
from core.base.words import say
from core.lesson.lesson_reading import load_lesson
from core.lesson.worksheet import Worksheet, setup_worksheet, worksheet

LONGEST_SEED = 40


def key_file(sheet: Path) -> Path:
    """Where the key of a sheet is saved."""
    return sheet.with_name(f"{sheet.stem}-key{sheet.suffix}")


class SheetPanel(QFrame):
    """``left`` comes when it is put away.  Without a file the cut on the bench is asked about."""

    left = Signal()

    def __init__(self, workbench: Workbench, view: ViewState) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._workbench, self._view = workbench, view
        self._file, self._out = "", Path()
        self.head = plain_label()
        self.head.setObjectName("title")
        self.seed = QLineEdit("1")
        self.seed.setMaxLength(LONGEST_SEED)
        self.seed.setAccessibleName(say("lesson_page", "sheet_seed"))
        self.paper = StillList()
        self.paper.addItems(list(PAPERS))
        self.paper.setAccessibleName(say("lesson_page", "sheet_paper"))
        self.told = plain_label()
        self.told.setWordWrap(True)
        form = QFormLayout()
        form.addRow(plain_label(say("lesson_page", "sheet_seed")), self.seed)
        form.addRow(plain_label(say("lesson_page", "sheet_paper")), self.paper)
        hint = plain_label(say("lesson_page", "sheet_hint"))
        hint.setObjectName("soft")
        hint.setWordWrap(True)
        self.save_button = QPushButton(say("lesson_page", "sheet_save"))
        leave = QPushButton(say("lesson_page", "hands_leave"))
        self.save_button.clicked.connect(self._ask)
        leave.clicked.connect(self.left)
        row = QHBoxLayout()
        row.addWidget(leave)
        row.addWidget(self.save_button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 12, 16, 12)
        layout.addWidget(self.head)
        layout.addWidget(hint)
        layout.addLayout(form)
        layout.addLayout(row)
        layout.addWidget(self.told)
        layout.addStretch(1)
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._write)
        self._jobs.failed.connect(self._failed)

    def open_for(self, file: str, title: str) -> None:
        """A lesson; "" for the cut on the bench."""
        self._file = file
        self.head.setText(say("lesson_page", "sheet_of", title=visible(title)))
        self.told.clear()
        self.seed.setFocus()

    def _ask(self) -> None:
        title, kinds = say("lesson_page", "sheet_title"), say("lesson_page", "pdf")
        out = ask_path(self, title, "worksheet.pdf", kinds, ".pdf")
        # The dialog has asked for the sheet alone.
        if out is not None and (not os.path.lexists(key_file(out)) or ask_replace(self, key_file(out))):
            self.make(out)

    def make(self, out: Path) -> None:
        """Work the sheet out beside the window, then write it and its key."""
        self._out = out
        self.told.setText(say("lesson_page", "working"))
        file, setup, known = self._file, self._workbench.resolved, self._workbench.materials
        seed, units = self.seed.text().strip() or "1", self._view.units

        def work() -> Iterator[object]:
            if file:
                yield worksheet(load_lesson(file, known), seed, units, known)
            else:
                yield setup_worksheet(setup, seed, units, known)

        self._jobs.ask(work)

    def _write(self, sheet: object) -> None:
        assert isinstance(sheet, Worksheet)
        key = key_file(self._out)
        try:
            save_sheet(sheet, self._out, paper=self.paper.currentText(), key=False)
            save_sheet(sheet, key, paper=self.paper.currentText(), key=True)
        except ChiparcError as error:
            self._failed(error)
            return
        self.told.setText(say("lesson_page", "sheet_done", sheet=visible(self._out.name), key=visible(key.name)))

    def _failed(self, error: object) -> None:
        self.told.setText(refusal_words(error))
