"""What the charts beside the plan share in words: a title that fits, and a round factor of magnification."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import fitting
from app.kit.look import Look
from core.base.words import say

STEPS = tuple(m * 10**e for e in range(9) for m in (1, 2, 3, 5))


def chart_title(id: str, unit: str, width: float, look: Look) -> str:
    """The title with its unit, shortened where the chart is narrow."""
    font = look.font("text", bold=True)
    whole, short = say("chart_title", id), say("chart_short", id)
    return fitting(font, width, f"{whole}, {unit}", f"{short}, {unit}", short)


def paint_chart_title(painter: QPainter, head: QRectF, id: str, unit: str, look: Look) -> None:
    """Paint the title on its line."""
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    text = chart_title(id, unit, head.width(), look)
    painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text)


def round_factor(times: float) -> int:
    """The nearest round factor, at least 1."""
    return min(STEPS, key=lambda s: abs(s - times)) if times >= 1.0 else 1
