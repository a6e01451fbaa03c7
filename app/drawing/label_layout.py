"""Places for labels: the first of several candidates that overlaps nothing and lies inside."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QFont, QFontMetricsF

from core.angles import Array

GAP = 2.0
"""Pixels kept free about a label."""


class LabelLayout:
    """Rectangles taken so far on one picture."""

    def __init__(self, bounds: QRectF) -> None:
        self.bounds = bounds
        self.taken: list[QRectF] = []

    def copy(self) -> LabelLayout:
        """The same places taken, to go on from."""
        other = LabelLayout(self.bounds)
        other.taken = list(self.taken)
        return other

    def free(self, rect: QRectF, gap: float = GAP) -> bool:
        """Whether a rectangle lies inside and meets no other."""
        grown = rect.adjusted(-gap, -gap, gap, gap)
        return self.bounds.contains(rect) and not any(grown.intersects(t) for t in self.taken)

    def take(self, rect: QRectF) -> QRectF:
        """Keep a rectangle free of others from now on."""
        self.taken.append(rect)
        return rect

    def place(self, size: QSizeF, centres: Array) -> QRectF | None:
        """Put a label of that size at the first free candidate (n, 2), moved inside; None if none is free."""
        w, h, b = size.width(), size.height(), self.bounds
        left = np.minimum(np.maximum(centres[:, 0] - w / 2, b.left()), max(b.right() - w, b.left()))
        top = np.minimum(np.maximum(centres[:, 1] - h / 2, b.top()), max(b.bottom() - h, b.top()))
        if w > b.width() or h > b.height():
            return None
        taken = np.array([(t.left(), t.top(), t.right(), t.bottom()) for t in self.taken]).reshape(-1, 4)
        free = (
            (left[:, None] > taken[:, 2] + GAP)
            | (left[:, None] + w < taken[:, 0] - GAP)
            | (top[:, None] > taken[:, 3] + GAP)
            | (top[:, None] + h < taken[:, 1] - GAP)
        ).all(axis=1)
        if not free.any():
            return None
        i = int(np.argmax(free))
        return self.take(QRectF(float(left[i]), float(top[i]), w, h))


def text_size(font: QFont, text: str) -> QSizeF:
    """Size of a line of text."""
    return _text_size(_SameFont(font), text)


class _SameFont:
    """A font as a key: a look makes each font once, and its full description is slow to ask for."""

    def __init__(self, font: QFont) -> None:
        self.font = font

    def __hash__(self) -> int:
        return hash(self.font.pixelSize())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _SameFont) and (self.font is other.font or self.font == other.font)


@lru_cache(maxsize=2048)
def _text_size(key: _SameFont, text: str) -> QSizeF:
    metrics = QFontMetricsF(key.font)
    return QSizeF(metrics.horizontalAdvance(text) + 1.0, metrics.height())
