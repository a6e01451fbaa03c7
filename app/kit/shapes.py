"""Arrays to what a painter takes, without a Python object for each point."""

from __future__ import annotations

from typing import Any

import numpy as np
import pyqtgraph.functions as fn
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPaintEngine, QPainter, QPainterPath, QPolygonF
from shiboken6 import Shiboken

from core.maths.arrays import Array

RASTER = QPaintEngine.Type.Raster


def on_screen(painter: QPainter) -> bool:
    """Whether a painter makes pixels: it clips, and takes pictures as brushes; painters of files do neither."""
    return painter.paintEngine().type() == RASTER


def clamped(values: Array, low: float, high: float) -> Array:
    """Values kept from ``low`` to ``high``: ``np.clip`` costs several times this on the short arrays of a frame."""
    return np.asarray(np.minimum(np.maximum(values, low), high))


def polygon(points: Array) -> QPolygonF:
    """(n, 2) array of pixels as a polygon."""
    shape, count = QPolygonF(), len(points)
    if count:
        shape.resize(count)
        # Its memory, by the address of the first point.
        memory: Any = Shiboken.VoidPtr(shape.data(), 16 * count, True)  # type: ignore[call-arg,arg-type]
        np.frombuffer(memory).reshape(count, 2)[:] = points
    return shape


def polyline(x: Array, y: Array) -> QPolygonF:
    """A line through finite pixels, of which there is one at least."""
    shape, count = QPolygonF(), len(x)
    shape.resize(count)
    # As in a polygon: a frame asks for dozens of either, and a call more counts.
    memory: Any = Shiboken.VoidPtr(shape.data(), 16 * count, True)  # type: ignore[call-arg,arg-type]
    places = np.frombuffer(memory).reshape(count, 2)
    places[:, 0], places[:, 1] = x, y
    return shape


def path(x: Array, y: Array) -> QPainterPath:
    """A line through finite pixels; a nan is a gap."""
    return fn.arrayToQPath(x, y, connect="finite")


def arc_points(phi: Array, side: float) -> Array:
    """Places (n, 2) in radii of angles (n,) on the tip circle, mirrored where ``side`` is -1."""
    points = np.empty((len(phi), 2))
    points[:, 0], points[:, 1] = -side * np.cos(phi), np.sin(phi)
    return points


def sector(phi: Array, side: float, outer: float, inner: float) -> Array:
    """The piece of a ring along angles (n,) as a polygon (2n, 2), mirrored where ``side`` is -1."""
    arc = arc_points(phi, side)
    return np.concatenate([outer * arc, inner * arc[::-1]])


def line_inside(start: QPointF, end: QPointF, box: QRectF) -> tuple[QPointF, QPointF] | None:
    """The part of a straight line that lies in a rectangle (Liang and Barsky 1984); None where there is none."""
    dx, dy, first, last = end.x() - start.x(), end.y() - start.y(), 0.0, 1.0
    for way, off in (
        (-dx, start.x() - box.left()),
        (dx, box.right() - start.x()),
        (-dy, start.y() - box.top()),
        (dy, box.bottom() - start.y()),
    ):
        if way == 0.0:
            if off < 0.0:
                return None
        elif way < 0.0:
            first = max(first, off / way)
        else:
            last = min(last, off / way)
    if first > last:
        return None
    way_there = end - start
    return start + way_there * first, start + way_there * last


def pieces_inside(points: Array, box: QRectF) -> list[Array]:
    """The pieces of a polyline (n, 2) that lie in a rectangle: painters of files do not clip."""
    low, high = (box.left(), box.top()), (box.right(), box.bottom())
    a, way = points[:-1], np.diff(points, axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = np.stack([(low - a) / way, (high - a) / way])
    # A line along a side that it does not cross is inside from -inf to inf, or nowhere.
    crossing = (a >= low) & (a <= high)
    least = np.where(way == 0.0, np.where(crossing, -np.inf, np.inf), cross.min(axis=0)).max(axis=1)
    most = np.where(way == 0.0, np.where(crossing, np.inf, -np.inf), cross.max(axis=0)).min(axis=1)
    first, last = np.maximum(least, 0.0), np.minimum(most, 1.0)
    found: list[Array] = []
    piece: list[Array] = []
    for i in np.flatnonzero(first <= last).tolist():
        start, end = a[i] + way[i] * first[i], a[i] + way[i] * last[i]
        if not piece or first[i] > 0.0 or not np.array_equal(piece[-1], start):
            if piece:
                found.append(np.array(piece))
            piece = [start]
        piece.append(end)
    if piece:
        found.append(np.array(piece))
    return found


def clipped(points: Array, left: float, top: float, right: float, bottom: float) -> Array:
    """A polygon (n, 2) cut to a rectangle (Sutherland and Hodgman 1974): SVG and PDF painters do not clip."""
    for axis, limit, keep_less in ((0, left, False), (0, right, True), (1, top, False), (1, bottom, True)):
        value = points[:, axis]
        inside = value <= limit if keep_less else value >= limit
        if inside.all():
            continue
        previous, was_inside = np.roll(points, 1, 0), np.roll(inside, 1)
        crosses = inside != was_inside
        span = points[:, axis] - previous[:, axis]
        t = (limit - previous[:, axis]) / np.where(crosses, span, 1.0)
        met = previous + t[:, None] * (points - previous)
        both = np.stack([met, points], 1).reshape(-1, 2)
        points = both[np.stack([crosses, inside], 1).reshape(-1)]
    return points
