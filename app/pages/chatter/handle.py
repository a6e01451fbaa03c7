"""The cut as a round handle, the same in every chart of the page."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from app.kit.look import Look

HANDLE = 9.0
"""Radius of the round handle, pixels."""

REACH = 16.0
"""How near the pointer must be to the handle, pixels."""


def paint_handle(painter: QPainter, at: QPointF, bottom: float, look: Look) -> None:
    """The handle, with a thin line down to the axis."""
    painter.setPen(look.pen("rule", "hair"))
    painter.drawLine(QPointF(at.x(), at.y() + HANDLE), QPointF(at.x(), bottom))
    painter.setPen(look.pen("accent", "thick"))
    painter.setBrush(look.color("panel", 0.9))
    painter.drawEllipse(at, HANDLE, HANDLE)
    painter.setBrush(look.color("accent"))
    painter.drawEllipse(at, 2.5, 2.5)
