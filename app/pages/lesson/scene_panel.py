"""The left column of a scene: title, words, question, what may be chosen, and after it is revealed the answer."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.kit.label_layout import wrapped
from app.kit.plain import button_text, plain_hint, plain_label, visible_lines
from app.pages.lesson.scene_words import SceneWords
from core.base.words import say
from core.lesson.lesson import Predict
from core.lesson.lesson_reading import MOST_OPTIONS

WIDTH = 348


class OptionButton(QPushButton):
    """Something to choose, in as many lines as it needs."""

    def __init__(self) -> None:
        super().__init__()
        self.words = ""
        self.setObjectName("row")
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_words(self, text: str) -> None:
        """Another option."""
        self.words = text
        self.setToolTip(plain_hint(text))
        self.setAccessibleName(text)
        self._wrap()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, other lines."""
        super().resizeEvent(event)
        self._wrap()

    def changeEvent(self, event: QEvent) -> None:
        """Another size of type, other lines."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._wrap()

    def _wrap(self) -> None:
        # Its font is heavier once it is marked as the right one.
        font = QFont(self.font())
        font.setWeight(QFont.Weight.DemiBold)
        lines = wrapped(font, self.words, float(max(self.width() - 24, 60)))
        text = "\n".join(button_text(line) for line in lines)
        if text != self.text():
            self.setText(text)


class ScenePanel(QScrollArea):
    """Shows the words of a place: in the type of a class, or where they have no room so, in that of the controls.

    No word is to be out of sight: a clicker scrolls nothing.

    ``chosen`` carries the place of an option that was taken; ``typed`` what was typed as a prediction;
    ``list_wanted`` asks for the show of hands; ``undone`` takes the last prediction back.
    """

    chosen = Signal(int)
    typed = Signal(str)
    list_wanted = Signal()
    undone = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("type", "class")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMinimumWidth(WIDTH)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inside = QWidget()
        inside.setObjectName("inside")
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(14, 10, 14, 10)
        self._column.setSpacing(8)
        self.title = self._label("title")
        self.say = self._label("")
        self.do = self._label("soft")
        self.ask = self._label("title")
        self.options = [OptionButton() for _ in range(MOST_OPTIONS)]
        for i, button in enumerate(self.options):
            button.clicked.connect(partial(self.chosen.emit, i))
            self._column.addWidget(button)
        self.keys = self._label("soft")
        self.field = QLineEdit()
        self.field.setAccessibleName(say("lesson_page", "field_name"))
        self.field.returnPressed.connect(self._take)
        self._column.addWidget(self.field)
        self.problem = self._label("problem")
        self.hands = plain_label()
        self.hands.setObjectName("soft")
        self.undo_button = QPushButton(say("lesson_page", "undo_guess"))
        self.undo_button.clicked.connect(self.undone)
        self.list_button = QPushButton(say("lesson_page", "list"))
        self.list_button.setToolTip(plain_hint(say("lesson_page", "list_hint")))
        self.list_button.clicked.connect(self.list_wanted)
        row = QHBoxLayout()
        row.addWidget(self.hands, 1)
        row.addWidget(self.undo_button)
        row.addWidget(self.list_button)
        self._column.addLayout(row)
        self.answer = self._label("name")
        self.class_words = self._label("")
        self.why = self._label("")
        self._column.addStretch(1)
        self.setWidget(inside)

    def _label(self, name: str) -> QLabel:
        label = plain_label()
        label.setObjectName(name)
        label.setWordWrap(True)
        self._column.addWidget(label)
        return label

    def show_words(self, words: SceneWords, predict: Predict | None, *, asking: bool, count: int) -> None:
        """Another place.  predict : the question of the scene; asking : it may be answered; count : predictions."""
        told = (
            (self.title, words.title),
            (self.say, "" if words.answer else words.say),
            (self.do, "" if words.answer or not words.do else say("lesson_page", "do", text=words.do)),
            (self.ask, words.ask),
            (self.answer, words.answer),
            (self.class_words, words.class_words),
            (self.why, words.why),
            (self.problem, ""),
        )
        for label, text in told:
            label.setText(visible_lines(text))
            label.setVisible(bool(text))
        for i, button in enumerate(self.options):
            button.setVisible(i < len(words.options))
            if i < len(words.options):
                button.show_words(words.options[i])
                open_now = asking and predict is not None and predict.kind == "choose"
                button.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents, not open_now)
                button.setFocusPolicy(Qt.FocusPolicy.TabFocus if open_now else Qt.FocusPolicy.NoFocus)
                button.setChecked(False)
        self.keys.setText(say("lesson_page", "keys", last=len(words.options)))
        self.keys.setVisible(asking and predict is not None and predict.kind == "choose")
        typing = asking and predict is not None and predict.kind != "choose"
        self.field.setVisible(typing)
        if typing and predict is not None:
            self.field.clear()
            self.field.setPlaceholderText(say("lesson_page", f"type_{predict.kind}"))
        self.hands.setText(say("lesson_page", "hands", count=count) if asking else "")
        self.hands.setVisible(asking)
        self.undo_button.setVisible(asking and count > 0)
        self.list_button.setVisible(asking)
        self.verticalScrollBar().setValue(0)
        self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More room or less."""
        super().resizeEvent(event)
        self.fit()

    def fit(self) -> None:
        """The larger type in which all words are in sight."""
        for type in ("class", "hand"):
            if self.property("type") != type:
                self.setProperty("type", type)
                for part in (self, *self.findChildren(QWidget)):
                    part.style().unpolish(part)
                    part.style().polish(part)
            if self._column.totalHeightForWidth(self.viewport().width()) <= self.viewport().height():
                break

    def mark(self, index: int | None) -> None:
        """The option that is right, or none."""
        for i, button in enumerate(self.options):
            button.setChecked(i == index)

    def show_problem(self, text: str) -> None:
        """Why what was typed is no prediction."""
        self.problem.setText(visible_lines(text))
        self.problem.setVisible(bool(text))

    def _take(self) -> None:
        if self.field.text().strip():
            self.typed.emit(self.field.text())
