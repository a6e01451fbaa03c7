"""A line of text put on its baseline: a layout of it in a box costs more, at every step of a drag."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QStaticText, QTransform

from app.kit.label_layout import text_size


def baseline(box: QRectF, font: QFont) -> QPointF:
    """Where a text begins that lies in the middle of a box of its ``text_size``."""
    return QPointF(box.left() + 0.5, box.top() + _ascent(font))


def paint_centred(painter: QPainter, box: QRectF, font: QFont, text: str) -> None:
    """Paint one line in the middle of a box as high as its ``text_size``, in the painter's pen."""
    painter.setFont(font)
    left = box.left() + 0.5 * (box.width() - text_size(font, text).width()) + 0.5
    painter.drawText(QPointF(left, box.top() + _ascent(font)), text)


def paint_words(painter: QPainter, start: QPointF, font: QFont, words: str) -> None:
    """Paint words that are always the same, in the painter's pen: which letters they take is found only once."""
    painter.setFont(font)
    painter.drawStaticText(QPointF(start.x(), start.y() - _ascent(font)), _letters(font, words))


@lru_cache(maxsize=32)
def _ascent(font: QFont) -> float:
    return QFontMetricsF(font).ascent()


@lru_cache(maxsize=32)
def _letters(font: QFont, words: str) -> QStaticText:
    letters = QStaticText(words)
    letters.setTextFormat(Qt.TextFormat.PlainText)
    letters.prepare(QTransform(), font)
    return letters
