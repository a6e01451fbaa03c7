"""A show of hands: a list of predictions, typed or pasted, one a line; no dialog, it lies in place of the ring."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout

from app.kit.plain import plain_label, visible_lines
from core.base.words import say
from core.lesson.hands import Hands


class HandsPanel(QFrame):
    """``taken`` carries the whole list as text; ``left`` comes when it is put away.

    What is not taken is kept for its scene until the lesson ends.
    """

    taken = Signal(str)
    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("panel")
        self._scene, self._untaken = 0, dict[int, str]()
        head = plain_label(say("lesson_page", "hands_head"))
        head.setObjectName("title")
        self.hint = plain_label()
        self.hint.setWordWrap(True)
        self.text = QPlainTextEdit()
        self.text.setAccessibleName(say("lesson_page", "hands_head"))
        self.text.setTabChangesFocus(True)
        self.faults = plain_label()
        self.faults.setObjectName("problem")
        self.faults.setWordWrap(True)
        take = QPushButton(say("lesson_page", "hands_take"))
        take.clicked.connect(self._take)
        leave = QPushButton(say("lesson_page", "hands_leave"))
        leave.clicked.connect(self.left)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(leave)
        row.addWidget(take)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addWidget(self.hint)
        layout.addWidget(self.text, 1)
        layout.addWidget(self.faults)
        layout.addLayout(row)

    def open_for(self, kind: str, scene: int) -> None:
        """The list of a scene for its kind of question: empty, or what was not taken of it."""
        self._untaken[self._scene] = self.text.toPlainText()
        self._scene = scene
        self.text.setPlainText(self._untaken.pop(scene, ""))
        self.faults.clear()
        self.hint.setText(say("lesson_page", f"hands_{kind}"))
        self.text.setFocus()

    def empty(self) -> None:
        """What was in the list is taken."""
        self.text.clear()

    def forget(self) -> None:
        """Another lesson: no list of the one before."""
        self._untaken.clear()
        self.text.clear()

    def show_faults(self, hands: Hands) -> None:
        """What could not be read, with its lines."""
        self.faults.setText(visible_lines("\n".join(hands.faults[:5])))

    def _take(self) -> None:
        self.taken.emit(self.text.toPlainText())
