"""The list of lessons to choose from: ours, and those that were opened lately."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.kit.plain import button_text, plain_hint, plain_label
from app.kit.wrapped_row import WrappedRow
from core.base.language import in_language
from core.base.visible import visible
from core.base.words import say
from core.lesson.lesson_files import LessonEntry, glance, is_ours, our_lessons

MOST_RECENT = 6

_STEPS = {Qt.Key.Key_Up: (-1, 0), Qt.Key.Key_Down: (1, 0), Qt.Key.Key_Left: (0, -1), Qt.Key.Key_Right: (0, 1)}
"""Where an arrow key goes: rows down, buttons to the right."""


def _row_words(entry: LessonEntry) -> str:
    return say("lesson_page", "row", title=visible(entry.title), minutes=in_language(f"{entry.minutes:g}"))


class LessonList(QFrame):
    """``wanted`` carries the file of a lesson to give, ``sheet_wanted`` to print of, ``edit_wanted`` to edit.

    ``command_wanted`` carries the id of a command of the window.
    """

    wanted = Signal(str)
    sheet_wanted = Signal(str)
    edit_wanted = Signal(str)
    open_wanted = Signal()
    new_wanted = Signal()
    results_wanted = Signal()
    cut_sheet_wanted = Signal()
    compare_wanted = Signal()
    command_wanted = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.recent: list[str] = []
        head = plain_label(say("lesson_page", "choose"))
        head.setObjectName("title")
        self.told = plain_label()
        self.told.setObjectName("problem")
        self.told.setWordWrap(True)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        inside = QWidget()
        inside.setObjectName("inside")
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 0)
        column.addLayout(self._rows)
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        below = WrappedRow()
        for word, signal in (
            ("open", self.open_wanted),
            ("new", self.new_wanted),
            ("sheet_cut", self.cut_sheet_wanted),
            ("compare", self.compare_wanted),
            ("motion", partial(self.command_wanted.emit, "save_motion")),
            ("film", partial(self.command_wanted.emit, "save_film")),
            ("results", self.results_wanted),
        ):
            button = QPushButton(say("lesson_page", word))
            button.setToolTip(plain_hint(say("lesson_page", f"{word}_hint")))
            button.clicked.connect(signal)
            below.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 12, 16, 12)
        layout.addWidget(head)
        layout.addWidget(self.told)
        layout.addWidget(scroll, 1)
        layout.addWidget(below)
        self._buttons: list[list[QPushButton]] = []
        self.tell("")
        self.fill()

    def tell(self, text: str) -> None:
        """Why a lesson could not be given, or what is being done."""
        self.told.setText(text)
        self.told.setVisible(bool(text))

    def entries(self) -> tuple[LessonEntry, ...]:
        """What is listed: ours, then other files that are still there."""
        others = [each for name in self.recent if (each := glance(Path(name))) is not None]
        return (*our_lessons(), *others)

    def rows(self) -> list[tuple[str, str]]:
        """Title and what it is about of each, as the list words them."""
        return [(_row_words(each), visible(each.about)) for each in self.entries()]

    def used(self, file: str) -> None:
        """A file of a person's own comes first among those."""
        if not is_ours(Path(file)):
            self.recent = [file, *(name for name in self.recent if name != file)][:MOST_RECENT]
            self.fill()

    def fill(self) -> None:
        """The rows anew."""
        while (item := self._rows.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.deleteLater()
        self._buttons = []
        for each in self.entries():
            row = QWidget()
            line = QHBoxLayout(row)
            line.setContentsMargins(0, 0, 0, 0)
            give = QPushButton(button_text(_row_words(each), 90))
            give.setObjectName("row")
            give.setToolTip(plain_hint(each.about))
            give.setAccessibleDescription(each.about)
            give.clicked.connect(partial(self.wanted.emit, str(each.file)))
            line.addWidget(give, 1)
            buttons = [give]
            for word, signal in (("sheet", self.sheet_wanted), ("edit", self.edit_wanted)):
                button = QPushButton(say("lesson_page", word))
                button.clicked.connect(partial(signal.emit, str(each.file)))
                line.addWidget(button)
                buttons.append(button)
            for button in buttons:
                button.installEventFilter(self)
            self._buttons.append(buttons)
            about = plain_label(visible(each.about))
            about.setObjectName("soft")
            about.setWordWrap(True)
            about.setContentsMargins(6, 0, 0, 6)
            self._rows.addWidget(row)
            self._rows.addWidget(about)

    def focus_first(self) -> None:
        """The keyboard begins at the first lesson."""
        if self._buttons:
            self._buttons[0][0].setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Up and Down go from lesson to lesson, Left and Right along one: Qt would go through all buttons in turn."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = _STEPS.get(Qt.Key(event.key()))
            place = next(((i, row.index(watched)) for i, row in enumerate(self._buttons) if watched in row), None)
            if step is not None and place is not None:
                row, column = place[0] + step[0], place[1] + step[1]
                if 0 <= row < len(self._buttons) and 0 <= column < len(self._buttons[row]):
                    self._buttons[row][column].setFocus(Qt.FocusReason.TabFocusReason)
                return True
        return super().eventFilter(watched, event)
