"""A label whose text changes at every step of a drag: it paints itself anew and never asks for another layout."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.kit.label_layout import text_size, wrapped


class StaticLabel(QLabel):
    """One line, or words wrapped in whatever room there is; a plain label would lay out the whole window.

    ``elided``: one line ends in dots where there is no room for all of it.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = ""
        self.elided = False
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

    def lines(self) -> tuple[str, ...]:
        """The text as it is set: one line, or broken to the label's width."""
        if self.elided:
            return (self.fontMetrics().elidedText(self._text, Qt.TextElideMode.ElideRight, self.width()),)
        if not self.wordWrap():
            return (self._text,)
        return wrapped(self.font(), self._text, float(self.width()))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The text in the style sheet's font and colour, line by line, in the middle of the height."""
        metrics, lines, asked = self.fontMetrics(), self.lines(), event.rect().left()
        if asked > 0 and all(text_size(self.font(), line).width() < asked for line in lines):
            # What lies over the rest of it has changed.
            return
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(self.palette().color(self.foregroundRole()))
        top = 0.5 * (self.height() - len(lines) * metrics.lineSpacing())
        for i, line in enumerate(lines):
            painter.drawText(QPointF(0.0, top + i * metrics.lineSpacing() + metrics.ascent()), line)
        painter.end()
