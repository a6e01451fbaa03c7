"""The inset of a close view: the whole plan small, with the part that is looked at."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.kit.look import NO_BRUSH, NO_PEN, Look
from app.kit.shapes import arc_points, clipped, polygon
from app.pages.arc.loupe import loupe_place
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_tooth import chip_outline

SHARE, LEAST, MOST = 0.24, 20.0, 46.0
"""Radius of the cutter in the inset: as a share of the whole plan's, and its limits in pixels."""

AROUND = 1.24
"""Half the side of the inset, in radii of its cutter."""

LEAST_MARK = 5.0
"""Least side of the mark of the part that is looked at, pixels."""

_ARC = np.linspace(0.0, 1.0, 24)


def inset_place(scene: PlanScene, frame: PlanFrame) -> QRectF | None:
    """The inset's square in the upper corner above the feed arrow; None where the whole plan is seen anyway."""
    if frame.far is None:
        return None
    side = 2.0 * AROUND * min(max(SHARE * frame.far.radius, LEAST), MOST)
    loupe, _ = loupe_place(scene, frame)
    box = frame.inner
    left = box.left() + 4.0 if loupe.x() < box.center().x() else box.right() - side - 4.0
    return QRectF(round(left), round(box.top() + 4.0), side, side)


def paint_inset(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """Work, cutter and arc, and a frame about the part that is looked at."""
    box = inset_place(scene, frame)
    if box is None:
        return
    radius = box.width() / (2.0 * AROUND)
    small = PlanFrame(box, box, box.center(), radius, QRectF())
    painter.fillRect(box, look.color("panel"))
    painter.setPen(NO_PEN)
    painter.setBrush(look.color("work_hatch"))
    for shape in scene.shapes.work:
        inside = clipped(small.points(shape), box.left(), box.top(), box.right(), box.bottom())
        if len(inside) > 2:
            painter.drawPolygon(polygon(inside))
    painter.setPen(look.pen("cutter_line", "hair"))
    painter.setBrush(look.color("cutter"))
    painter.drawEllipse(small.centre, radius, radius)
    e = scene.results.engagement
    painter.setPen(look.pen("ink", 2.0 * look.thick))
    painter.setBrush(NO_BRUSH)
    painter.drawPolyline(polygon(small.points(arc_points(e.entry + e.arc * _ARC, scene.side))))
    left, top = frame.radii(frame.inner.topLeft())
    right, bottom = frame.radii(frame.inner.bottomRight())
    seen = QRectF(small.point((left, top)), small.point((right, bottom)))
    grown = (max(LEAST_MARK - seen.width(), 0.0) / 2.0, max(LEAST_MARK - seen.height(), 0.0) / 2.0)
    seen = seen.adjusted(-grown[0], -grown[1], *grown).intersected(box)
    painter.setPen(look.pen("accent", "thick"))
    painter.drawRect(seen)
    painter.setPen(look.pen("rule", "hair"))
    painter.drawRect(box)


def chip_boxes(scene: PlanScene, frame: PlanFrame) -> list[QRectF]:
    """Boxes that together cover the chip as it is drawn: words keep off them."""
    ring = chip_outline(scene, frame)
    n = len(ring) // 2
    outer, inner = ring[:n], ring[: n - 1 : -1]
    least, most = np.minimum(outer, inner), np.maximum(outer, inner)
    starts = _parts(n)
    low, high = np.minimum.reduceat(least, starts), np.maximum.reduceat(most, starts)
    # Each box reaches to where the next begins.
    np.minimum(low[:-1], least[starts[1:]], out=low[:-1])
    np.maximum(high[:-1], most[starts[1:]], out=high[:-1])
    high -= low
    return [QRectF(*place, *size) for place, size in zip(low.tolist(), high.tolist(), strict=True)]


@lru_cache(maxsize=8)
def _parts(count: int) -> NDArray[np.intp]:
    """Where each of eight parts of so many points, as even as can be, begins."""
    sizes = np.full(8, count // 8) + (np.arange(8) < count % 8)
    return np.asarray(np.cumsum(sizes) - sizes, np.intp)
