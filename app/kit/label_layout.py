"""Places for labels: the first of several candidates that overlaps nothing and lies inside."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QFont, QFontMetricsF

from app.kit.shapes import clamped
from core.maths.arrays import Array

GLUE = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=[^\W\d_]|/)")
"""The space between a figure and its unit."""

_TABULAR = QFont.Tag("tnum")

GAP = 2.0
"""Pixels kept free about a label."""


Clear = Callable[[Array, Array], Array]


class LabelLayout:
    """Rectangles taken so far on one picture.

    ``memory`` is shared with all copies: at which of its candidates each label was put last, by its name, so that it
    need not be searched for again and stays where it is while a figure is dragged.  ``named``, shared too: where
    labels with a name stand, for who asks what they are.
    """

    def __init__(self, bounds: QRectF) -> None:
        self.bounds = bounds
        self.taken: list[QRectF] = []
        self.memory: dict[str, int | QPointF] = {}
        self.named: dict[str, QRectF] = {}

    def copy(self) -> LabelLayout:
        """The same places taken, to go on from."""
        other = LabelLayout(self.bounds)
        other.taken = list(self.taken)
        other.memory = self.memory
        other.named = self.named
        return other

    def free(self, rect: QRectF, gap: float = GAP) -> bool:
        """Whether a rectangle lies inside and meets no other."""
        meets = rect.adjusted(-gap, -gap, gap, gap).intersects
        return self.bounds.contains(rect) and not any(map(meets, self.taken))

    def take(self, rect: QRectF) -> QRectF:
        """Keep a rectangle free of others from now on."""
        self.taken.append(rect)
        return rect

    def place(self, size: QSizeF, centres: Array, *clear: Clear, name: str = "") -> QRectF | None:
        """Put a label of that size at the first free candidate (n, 2), moved inside; None if none is free.

        clear : each says of boxes by their left and top (n,) which may be taken besides; name : to be remembered by.
        """
        w, h, b = size.width(), size.height(), self.bounds
        left = clamped(centres[:, 0] - w / 2, b.left(), max(b.right() - w, b.left()))
        top = clamped(centres[:, 1] - h / 2, b.top(), max(b.bottom() - h, b.top()))
        if w > b.width() or h > b.height():
            return None
        # (one for each taken rectangle, one for each candidate)
        edges = [(rect.left(), rect.top(), rect.right(), rect.bottom()) for rect in self.taken]
        x0, y0, x1, y1 = np.array(edges).reshape(-1, 4).T[:, :, None]
        free = (left > x1 + GAP) | (left + w < x0 - GAP) | (top > y1 + GAP) | (top + h < y0 - GAP)
        free = free.all(axis=0)
        for also in clear:
            free = np.logical_and(free, also(left, top))
        if not free.any():
            return None
        i = int(np.argmax(free))
        if name:
            self.memory[name] = i
        return self.take(QRectF(float(left[i]), float(top[i]), w, h))


def anywhere(box: QRectF, anchor: QPointF) -> Array:
    """Candidate centres (n, 2) all over a box, those near the anchor first: for a small picture."""
    x, y = np.meshgrid(np.linspace(box.left(), box.right(), 25), np.linspace(box.top(), box.bottom(), 25))
    spots = np.stack([x.reshape(-1), y.reshape(-1)], -1)
    return spots[np.argsort(np.hypot(spots[:, 0] - anchor.x(), spots[:, 1] - anchor.y()), kind="stable")]


_ALIKE = str.maketrans("123456789", "000000000")


@lru_cache(maxsize=2048)
def text_size(font: QFont, text: str) -> QSizeF:
    """Size of a line of text.  Fonts are compared by value; callers change neither font nor size.

    In tabular figures a text is as wide as the same with noughts, but for what rounding makes of each figure: most
    texts that a step of a drag changes have been measured before, but for their figures.
    """
    if not _is_tabular(font):
        return _measured(font, text)
    size, off = _measured(font, text.translate(_ALIKE)), _figures(font)
    more = sum([off[c] for c in text if c in off]) if off else 0.0
    return QSizeF(size.width() + more, size.height()) if more else size


@lru_cache(maxsize=2048)
def _measured(font: QFont, text: str) -> QSizeF:
    metrics = _metrics(font)
    return QSizeF(metrics.horizontalAdvance(text) + 1.0, metrics.height())


@lru_cache(maxsize=64)
def _is_tabular(font: QFont) -> bool:
    return font.isFeatureSet(_TABULAR) and bool(font.featureValue(_TABULAR))


@lru_cache(maxsize=64)
def _figures(font: QFont) -> dict[str, float]:
    """By how much each figure of a font of tabular figures is wider than a nought, where it is."""
    wide = _metrics(font).horizontalAdvance
    return {figure: wide(figure) - wide("0") for figure in "123456789" if wide(figure) != wide("0")}


@lru_cache(maxsize=64)
def _metrics(font: QFont) -> QFontMetricsF:
    return QFontMetricsF(font)


def fitting(font: QFont, width: float, *texts: str) -> str:
    """The first of several wordings that is no wider than said, or else the last."""
    for text in texts[:-1]:
        if text_size(font, text).width() <= width:
            return text
    return texts[-1]


@lru_cache(maxsize=8)
def wrapped(font: QFont, text: str, width: float) -> tuple[str, ...]:
    """The lines of a text set in a column of ``width`` pixels, broken between words, never between figure and unit.

    Each word is measured once, however often the figures beside it change: a layout of the whole text at every step
    of a drag costs several times as much.  A word wider than the column stands on a line of its own.
    """
    space = text_size(font, "a a").width() - text_size(font, "aa").width()
    lines: list[str] = []
    for paragraph in text.splitlines():
        line: list[str] = []
        used = 0.0
        for word in _BEFORE_UNIT.sub(GLUE, paragraph).split(" "):
            wide = text_size(font, word).width() - 1.0
            if line and used + space + wide > width:
                lines.append(" ".join(line).replace(GLUE, " "))
                line, used = [], 0.0
            used += wide + (space if line else 0.0)
            line.append(word)
        lines.append(" ".join(line).replace(GLUE, " "))
    return tuple(lines)
