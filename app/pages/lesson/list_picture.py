"""The list of lessons on any painter: each lesson's title and what it is about, over the whole height."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.kit.label_layout import wrapped
from app.kit.look import Look
from core.base.words import say

HIGHEST = 6.0
"""Greatest height of a row, in heights of the title's letters."""


def paint_list(painter: QPainter, rect: QRectF, rows: Sequence[tuple[str, str]], look: Look) -> None:
    """Rows of (title, about), each on its own ground of height; about in as many lines as its row has room for."""
    inside = rect.adjusted(24.0, 20.0, -24.0, -20.0)
    painter.setFont(look.font("title", bold=True))
    painter.setPen(look.color("ink"))
    y = inside.top() + look.title
    painter.drawText(QPointF(inside.left(), y), say("lesson_page", "choose"))
    y += 0.8 * look.title
    step = min((inside.bottom() - y) / max(len(rows), 1), HIGHEST * look.title)
    line = 1.4 * look.text
    for title, about in rows:
        painter.setPen(look.pen("rule", "hair"))
        painter.drawLine(QPointF(inside.left(), y), QPointF(inside.right(), y))
        foot = y + 1.5 * look.title
        painter.setFont(look.font("title"))
        painter.setPen(look.color("ink"))
        painter.drawText(QPointF(inside.left(), foot), title)
        painter.setFont(look.font("text"))
        painter.setPen(look.color("soft"))
        room = max(int((y + step - foot - 0.4 * look.text) / line), 0)
        for i, words in enumerate(wrapped(look.font("text"), about, inside.width())[:room], 1):
            painter.drawText(QPointF(inside.left(), foot + i * line), words)
        y += step
