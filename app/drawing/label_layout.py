"""Places for labels: the first of several candidates that overlaps nothing and lies inside."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QFont, QFontMetricsF


class LabelLayout:
    """Rectangles taken so far on one picture."""

    def __init__(self, bounds: QRectF) -> None:
        self.bounds = bounds
        self.taken: list[QRectF] = []

    def free(self, rect: QRectF, gap: float = 2.0) -> bool:
        """Whether a rectangle lies inside and meets no other."""
        grown = rect.adjusted(-gap, -gap, gap, gap)
        return self.bounds.contains(rect) and not any(grown.intersects(t) for t in self.taken)

    def take(self, rect: QRectF) -> QRectF:
        """Keep a rectangle free of others from now on."""
        self.taken.append(rect)
        return rect

    def place(self, size: QSizeF, centres: Iterable[QPointF]) -> QRectF | None:
        """Put a label of that size at the first free candidate, moved inside; None if none is free."""
        for centre in centres:
            rect = QRectF(centre.x() - size.width() / 2, centre.y() - size.height() / 2, size.width(), size.height())
            rect.moveLeft(min(max(rect.left(), self.bounds.left()), self.bounds.right() - rect.width()))
            rect.moveTop(min(max(rect.top(), self.bounds.top()), self.bounds.bottom() - rect.height()))
            if self.free(rect):
                return self.take(rect)
        return None


def text_size(font: QFont, text: str) -> QSizeF:
    """Size of a line of text."""
    return _text_size(font.key(), text)


@lru_cache(maxsize=2048)
def _text_size(key: str, text: str) -> QSizeF:
    font = QFont()
    font.fromString(key)
    metrics = QFontMetricsF(font)
    return QSizeF(metrics.horizontalAdvance(text) + 1.0, metrics.height())
