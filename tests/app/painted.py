"""A painter that remembers what was painted where: to hold a picture against the figures behind it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter, QPolygonF


class Painted(QPainter):
    """What was painted, by kind.

    Words, their boxes and their fonts, starts of those on a baseline, lines (x1, y1, x2, y2), middles of ellipses,
    colours of lines, polygons.
    """

    def __init__(self, width: int = 1000, height: int = 600) -> None:
        self.image = QImage(width, height, QImage.Format.Format_RGB32)
        super().__init__(self.image)
        self.written: list[tuple[str, QRectF]] = []
        self.fonts: list[QFont] = []
        self.started: list[tuple[str, QPointF]] = []
        self.lines: list[tuple[float, float, float, float]] = []
        self.ellipses: list[QPointF] = []
        self.polylines: list[QColor] = []
        self.polygons: list[tuple[QColor, QRectF]] = []

    def __del__(self) -> None:
        """End before the picture goes: a painter whose picture is gone may end the process."""
        if self.isActive():
            self.end()

    def drawText(self, box: QRectF, flags: object, text: str = "") -> None:  # type: ignore[override]
        """Words in a box, or on a baseline from a point."""
        if text or isinstance(box, QPointF):
            self.fonts.append(self.font())
        if text:
            self.written.append((text, box))
        elif isinstance(box, QPointF):
            metrics, told = QFontMetricsF(self.font()), str(flags)
            size = metrics.horizontalAdvance(told), metrics.height()
            self.written.append((told, QRectF(box.x(), box.y() - metrics.ascent(), *size)))
            self.started.append((told, box))

    def drawLine(self, a: QPointF | QLineF, b: QPointF | None = None) -> None:  # type: ignore[override]
        """A line between two points."""
        first, last = (a.p1(), a.p2()) if isinstance(a, QLineF) else (a, b)
        assert last is not None, "a line has two ends"
        self.lines.append((first.x(), first.y(), last.x(), last.y()))

    def drawEllipse(self, at: QPointF, *size: float) -> None:  # type: ignore[override]
        """An ellipse by its middle."""
        self.ellipses.append(at)

    def drawPolyline(self, points: Any) -> None:
        """A polyline: the colour of its pen."""
        self.polylines.append(self.pen().color())

    def drawPolygon(self, points: Any) -> None:  # type: ignore[override]
        """A polygon: the colour that fills it, and its box."""
        self.polygons.append((self.brush().color(), QPolygonF(points).boundingRect()))


def figures(painted: Painted, first: float, last: float) -> dict[str, float]:
    """Figures written at heights ``first`` to ``last`` (pixels) with the pixels of their middles from the left."""
    found = {}
    for text, box in painted.written:
        if first <= box.top() <= last:
            found[text] = box.center().x()
    return found


def value(text: str) -> float:
    """What a written figure says."""
    return float(text.replace("\N{MINUS SIGN}", "-"))
