"""A label whose text changes at every step of a drag: it paints itself anew and never asks for another layout."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QStyle, QStyleOption, QWidget


class StillLabel(QLabel):
    """One line, or words wrapped in whatever room there is; a plain label would lay out the whole window."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)

    def text(self) -> str:
        """What is shown."""
        return self._text

    def setText(self, text: str) -> None:
        """Show another text."""
        if text != self._text:
            self._text = text
            self.update()

    def tell(self) -> None:
        """Give the text to a screen reader, once it has come to rest."""
        self.setAccessibleDescription(self._text)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The text in the style sheet's font and colour."""
        option = QStyleOption()
        option.initFrom(self)
        painter = QPainter(self)
        self.style().drawPrimitive(QStyle.PrimitiveElement.PE_Widget, option, painter, self)
        flags = int(self.alignment().value)
        if self.wordWrap():
            flags |= int(Qt.TextFlag.TextWordWrap.value)
        self.style().drawItemText(
            painter, self.rect(), flags, option.palette, self.isEnabled(), self._text, self.foregroundRole()
        )
        painter.end()
