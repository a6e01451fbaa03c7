"""Stipple: rows of dots, the sign of a layer that is not of the sound metal."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPaintEngine, QPainter, QPainterPath, QPen, QPixmap

from app.kit.shapes import polygon
from core.maths.arrays import Array

DOT, APART = 1.7, 5
"""Width of a dot and distance of two in a row, pixels; every other row is shifted by half of it."""


@lru_cache(maxsize=16)
def _tile(color: str, ratio: float) -> QPixmap:
    tile = QPixmap(round(APART * ratio), round(2 * APART * ratio))
    tile.setDevicePixelRatio(ratio)
    tile.fill(Qt.GlobalColor.transparent)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(color))
    for x, y in ((0.25 * APART, 0.5 * APART), (0.75 * APART, 1.5 * APART)):
        painter.drawEllipse(QPointF(x, y), DOT / 2.0, DOT / 2.0)
    painter.end()
    return tile


def paint_stipple(painter: QPainter, points: Array, color: str) -> None:
    """Stipple a polygon (n, 2) of pixels: a tile on the screen (fast), rows of true dots in a file or print."""
    if painter.paintEngine().type() == QPaintEngine.Type.Raster:
        area = QPainterPath()
        area.addPolygon(polygon(points))
        area.closeSubpath()
        painter.fillPath(area, QBrush(_tile(color, painter.device().devicePixelRatioF())))
        return
    pen = QPen(QColor(color), DOT)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setDashPattern([0.01, APART / DOT - 0.01])
    painter.save()
    painter.setPen(pen)
    x, y = points[:, 0], points[:, 1]
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    first, last = np.floor(y.min() / APART), np.ceil(y.max() / APART)
    for row in np.arange(first, last + 1.0):
        at = (row + 0.5) * APART
        crosses = (y <= at) != (next_y <= at)
        share = (at - y[crosses]) / (next_y[crosses] - y[crosses])
        ends = np.sort(x[crosses] + share * (next_x[crosses] - x[crosses]))
        shift = APART * (0.25 if row % 2 == 0 else 0.75)
        for left, right in zip(ends[::2], ends[1::2], strict=False):
            start = np.ceil((left - shift) / APART) * APART + shift
            if start <= right:
                painter.drawLine(QPointF(start, at), QPointF(max(float(right), start + 0.01), at))
    painter.restore()
