"""A quiet bar under the header: what happened outside the window, with what can be done about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QWidget

from app.kit.plain import button_text, plain_label, visible_lines


@dataclass(frozen=True, slots=True)
class Notice:
    """The message, and the answers in their order, each with what it does; any answer takes the notice away."""

    id: str
    text: str
    answers: tuple[tuple[str, Callable[[], object]], ...]


class NoticeBar(QFrame):
    """One notice at a time, the first that came; never a dialog, and it takes no focus."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._notices: list[Notice] = []
        self._words: tuple[str, ...] = ()
        self.label = plain_label()
        self.label.setWordWrap(True)
        self.buttons: list[QPushButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 4, 8, 4)
        self._row.setSpacing(6)
        self._row.addWidget(self.label, 1)
        self.hide()

    @property
    def notice(self) -> Notice | None:
        """The notice shown now."""
        return self._notices[0] if self._notices else None

    def tell(self, notice: Notice, *, first: bool = False) -> None:
        """Tell it, in the place of an earlier one of the same id; after those that wait, or before them."""
        for i, earlier in enumerate(self._notices):
            if earlier.id == notice.id:
                self._notices[i] = notice
                break
        else:
            self._notices.insert(0 if first else len(self._notices), notice)
        self._show()

    def drop(self, id: str) -> None:
        """It is no longer so."""
        self._notices = [notice for notice in self._notices if notice.id != id]
        self._show()

    def _show(self) -> None:
        notice = self.notice
        self._show_answers(() if notice is None else tuple(word for word, _ in notice.answers))
        if notice is not None:
            self.label.setText(visible_lines(notice.text))
            self.setAccessibleName(notice.text)
        self.setVisible(notice is not None)

    def _show_answers(self, words: tuple[str, ...]) -> None:
        """A button for each; those of the same words stay: one may be held down while the text goes on."""
        if words == self._words:
            return
        self._words = words
        for button in self.buttons:
            self._row.removeWidget(button)
            button.deleteLater()
        self.buttons = []
        for word in words:
            button = QPushButton(button_text(word))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(self._answered)
            self._row.addWidget(button)
            self.buttons.append(button)

    def _answered(self) -> None:
        notice = self.notice
        sender = self.sender()
        if notice is None or sender not in self.buttons:
            return
        do = notice.answers[self.buttons.index(sender)][1]
        self.drop(notice.id)
        do()
