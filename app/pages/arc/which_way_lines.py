"""The widgets of one rung and of one reason in the grid of the panel "Which way"."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QPushButton, QSizePolicy

from app.kit.plain import plain_hint, plain_label
from app.pages.arc.which_way_scene import ReasonRow, RungRow
from core.base.words import say

RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
COLUMNS = 6


def named_label(name: str, *, wrap: bool = False) -> QLabel:
    """A label of plain text; one that wraps takes the width that there is."""
    label = plain_label()
    label.setObjectName(name)
    label.setWordWrap(wrap)
    if wrap:
        label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
    return label


def mark(label: QLabel, name: str, value: str) -> None:
    """A property that the style sheet reads."""
    if label.property(name) != value:
        label.setProperty(name, value)
        label.style().unpolish(label)
        label.style().polish(label)


class ReasonButton(QPushButton):
    """A name to be asked why: by click, Space or Enter."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter asks as Space does; outside a dialog a button does not hear it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)


class RungLine:
    """One rung: whether it is asked, its question, its answer, and a button that asks it earlier."""

    def __init__(self, id: str) -> None:
        self.id = id
        self.on = QCheckBox()
        self.title = ReasonButton()
        self.title.setObjectName("row")
        self.answer = named_label("weight")
        self.answer.setWordWrap(True)
        self.earlier = ReasonButton("↑")
        self.earlier.setObjectName("change")
        self._shown: RungRow | None = None

    def place(self, grid: QGridLayout, row: int) -> None:
        """Stand in that row of the grid."""
        grid.addWidget(self.on, row, 0)
        grid.addWidget(self.title, row, 1)
        grid.addWidget(self.answer, row, 2, 1, 3)
        grid.addWidget(self.earlier, row, 5)

    def show_row(self, row: RungRow, first: bool) -> None:
        """Follow the scene; the first rung cannot be asked earlier."""
        self.earlier.setEnabled(not first)
        if row == self._shown:
            return
        self._shown = row
        self.on.setChecked(row.asked)
        self.on.setToolTip(plain_hint(say("decision", "ask_hint", title=row.title)))
        self.on.setAccessibleName(say("decision", "ask_name", title=row.title))
        self.earlier.setToolTip(plain_hint(say("decision", "earlier_hint")))
        self.earlier.setAccessibleName(say("decision", "earlier_name", title=row.title))
        self.title.setText(row.title)
        self.title.setAccessibleName(f"{row.title} {row.answer}")
        self.answer.setText(row.answer)
        self.answer.setToolTip(plain_hint(row.answer))
        mark(self.answer, "weight", "strong" if row.decides else "")


class ReasonLine:
    """One reason: its name, its figure both ways, and between them an arrow to the better one."""

    def __init__(self, id: str) -> None:
        self.id = id
        self.title = ReasonButton()
        self.title.setObjectName("row")
        self.title.setCheckable(True)
        self.climb, self.vote, self.conventional = (named_label(n) for n in ("figure", "weight", "figure"))
        self.climb.setAlignment(RIGHT)
        self.vote.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._shown: ReasonRow | None = None

    def place(self, grid: QGridLayout, row: int) -> None:
        """Stand in that row of the grid."""
        for column, widget in enumerate((self.title, self.climb, self.vote, self.conventional), 1):
            grid.addWidget(widget, row, column)

    def show_row(self, row: ReasonRow) -> None:
        """Follow the scene."""
        if row == self._shown:
            return
        self._shown = row
        self.title.setText(row.title)
        self.title.setToolTip(plain_hint(row.figure))
        self.title.setAccessibleName(
            say(
                "decision",
                "reason_name",
                title=row.title,
                climb=row.climb,
                conventional=row.conventional,
                vote=row.vote,
            )
        )
        self.vote.setText(row.mark)
        self.vote.setToolTip(plain_hint(row.vote))
        for label, text, way in (
            (self.climb, row.climb, "climb"),
            (self.conventional, row.conventional, "conventional"),
        ):
            label.setText(text)
            mark(label, "better", "true" if row.better == way else "false")
