"""Hatching: the section lines of cut material (45 degrees, as in ISO 128) and those of a rubbing edge."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPixmap

from app.kit.look import SMOOTH
from app.kit.shapes import on_screen

REPEATS = 16
"""Hatch lines in a tile: a painter copies long rows many times faster than short ones."""


@lru_cache(maxsize=32)
def _tile(color: str, ground: str, spacing: int, width: float, ratio: float, steep: bool) -> QBrush:
    side = float(spacing * REPEATS)
    tile = QPixmap(round(side * ratio), round(side * ratio))
    tile.setDevicePixelRatio(ratio)
    tile.fill(QColor(ground) if ground else Qt.GlobalColor.transparent)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(color), width))
    for i in range(-REPEATS, REPEATS + 1):
        shift = float(spacing * i)
        if steep:
            painter.drawLine(QPointF(shift, -1.0), QPointF(shift + side + 1.0, side))
        else:
            painter.drawLine(QPointF(shift - 1.0, side + 1.0), QPointF(shift + side + 1.0, -1.0))
    painter.end()
    return QBrush(tile)


def hatch_box(painter: QPainter, box: QRectF, color: str, spacing: int, width: float, *, steep: bool) -> None:
    """Hatch an upright rectangle: on the screen without a path."""
    if on_screen(painter):
        painter.setRenderHint(SMOOTH, False)
        painter.fillRect(box, _tile(color, "", spacing, width, painter.device().devicePixelRatioF(), steep))
        painter.setRenderHint(SMOOTH)
        return
    area = QPainterPath()
    area.addRect(box)
    paint_hatch(painter, area, color, spacing, width, steep=steep)


def paint_hatch(
    painter: QPainter,
    shape: QPainterPath,
    color: str,
    spacing: int = 9,
    width: float = 1.0,
    *,
    ground: str = "",
    steep: bool = False,
) -> None:
    """Hatch a shape, over ``ground`` if given: a tile on the screen (fast), true lines in a file or print."""
    if on_screen(painter):
        # Its edge is drawn over by a line, or is upright: unsmoothed, a fill costs half.
        painter.setRenderHint(SMOOTH, False)
        painter.fillPath(shape, _tile(color, ground, spacing, width, painter.device().devicePixelRatioF(), steep))
        painter.setRenderHint(SMOOTH)
        return
    if ground:
        painter.fillPath(shape, QColor(ground))
    painter.save()
    painter.setPen(QPen(QColor(color), width))
    box: QRectF = shape.boundingRect()
    x = box.left() - box.height()
    while x < box.right():
        line = QPainterPath(QPointF(x, box.bottom()))
        line.lineTo(QPointF(x + box.height(), box.top()))
        for piece in _inside(line, shape, steps=160):
            painter.drawLine(*piece)
        x += spacing * 1.4142
    painter.restore()


def _inside(line: QPainterPath, shape: QPainterPath, steps: int) -> list[tuple[QPointF, QPointF]]:
    """The pieces of a straight line inside a shape, to a pixel or so: file painters do not clip."""
    found: list[tuple[QPointF, QPointF]] = []
    start: QPointF | None = None
    last = line.pointAtPercent(0.0)
    for i in range(steps + 1):
        point = line.pointAtPercent(i / steps)
        if shape.contains(point):
            start = start or point
            last = point
        elif start is not None:
            found.append((start, last))
            start = None
    if start is not None:
        found.append((start, last))
    return found
