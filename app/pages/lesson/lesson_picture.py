"""The list of lessons, or the place where one of them stands, on any painter."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import wrapped
from app.kit.look import Look
from app.pages.lesson.ring_painting import paint_ring_scene
from app.pages.lesson.scene_words import SceneWords, scene_ring
from core.base.words import say
from core.documents.materials import Catalogue
from core.lesson.lesson_run import LessonRun

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


def paint_place(
    painter: QPainter, rect: QRectF, run: LessonRun, words: SceneWords, look: Look, known: Catalogue
) -> None:
    """The words of the place where a run stands, and its ring at the right of them."""
    lines = [words.title, words.ask, *words.options, words.answer, words.class_words, words.why]
    scene = scene_ring(run, known)
    column = QRectF(rect)
    if scene is not None:
        side = min(rect.height(), 0.6 * rect.width())
        paint_ring_scene(painter, QRectF(rect.right() - side, rect.top(), side, side), scene, look)
        column.setRight(rect.right() - side)
    painter.setFont(look.font("title"))
    painter.setPen(look.color("ink"))
    flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)
    painter.drawText(column.adjusted(16, 16, -16, -16), flags, "\n\n".join(line for line in lines if line))
