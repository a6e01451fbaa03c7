"""One place as the tooth meets it: feed up, stock that is left, the engaged arc with its chip, the clock."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath

from app.kit.hatch import paint_hatch
from app.kit.label_layout import text_size
from app.kit.look import CENTRE, SMOOTH, Look
from app.kit.shapes import arc_points, clipped, polygon, polyline, sector
from app.kit.thickness_colours import colour_of
from core.maths.arrays import Array
from core.path.samples import WAYS, Samples
from core.path.stock_around import StockAround

REACH = 1.55
"""Half the side of the picture, in cutter radii."""

DEPTH = 0.3
"""How thick, in radii, a chip of the feed per tooth is drawn."""

PIECES, SMALL_PIECES = 40, 16
"""Pieces of a radian that the chip is painted in; in a picture as small as an icon each is over a pixel wide."""


@dataclass(frozen=True, slots=True, eq=False)
class PlaceScene:
    """A place in the frame of its feed: rings (n, 2) of what is left of the stock in radii, y along the feed."""

    here: Samples
    rings: tuple[Array, ...]
    side: float

    @property
    def way(self) -> str:
        """Direction of the place."""
        return WAYS[int(self.here.way[0])]


def place_scene(around: StockAround, s: float) -> PlaceScene:
    """The scene of the place at ``s`` mm."""
    whole = around.whole
    here = whole.at(s)
    heading, r = float(here.places.heading[0]), whole.path.radius
    # Enough for the corners of a turned square.
    rings = around.rings(s, REACH * 1.45 * r)
    c, q = math.cos(0.5 * math.pi - heading), math.sin(0.5 * math.pi - heading)
    turn = np.array([[c, q], [-q, c]]) / r
    return PlaceScene(
        here, tuple((ring - here.places.place[0]) @ turn for ring in rings), -1.0 if whole.path.left else 1.0
    )


def paint_place(painter: QPainter, rect: QRectF, scene: PlaceScene, look: Look, *, small: bool = False) -> None:
    """The picture in a square in the middle of ``rect``; ``small``: without hours and words."""
    half = 0.5 * min(rect.width(), rect.height())
    r, centre = half / REACH, rect.center()

    def place(points: Array) -> Array:
        return np.stack([centre.x() + r * points[:, 0], centre.y() - r * points[:, 1]], 1)

    painter.save()
    painter.setRenderHint(SMOOTH)
    work = QPainterPath()
    work.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in scene.rings:
        inside = _in_square(ring)
        if len(inside) > 2:
            work.addPolygon(polygon(place(inside)))
            work.closeSubpath()
    paint_hatch(painter, work, look.work_hatch, 7 if small else 9, ground=look.work)
    painter.strokePath(work, look.pen("soft", "hair"))
    painter.setPen(look.pen("cutter_line", "line"))
    painter.setBrush(look.brush("cutter", 0.5))
    painter.drawEllipse(centre, r, r)
    if not small:
        _paint_clock(painter, centre, r, look)
    _paint_arc(painter, place, scene, look, small=small)
    painter.setPen(look.pen("ink", "line"))
    tip = QPointF(centre.x(), centre.y() - 1.32 * r)
    painter.drawLine(QPointF(centre.x(), centre.y() - 1.06 * r), tip)
    wing = 4.0 if small else 6.0
    painter.setBrush(look.brush("ink"))
    painter.drawPolygon(
        [tip, QPointF(tip.x() - wing, tip.y() + 2.0 * wing), QPointF(tip.x() + wing, tip.y() + 2.0 * wing)]
    )
    painter.restore()


def _in_square(ring: Array) -> Array:
    return clipped(ring, -REACH, -REACH, REACH, REACH)


def hours_out(r: float, look: Look) -> float:
    """Pixels from the middle of a cutter of radius ``r`` to the middles of the hours about it."""
    return 1.08 * r + max(10.0, 0.7 * look.small)


def picture_has_room(side: float, look: Look) -> bool:
    """Whether the hours about a picture of that side do not lie on one another."""
    return 2.0 * math.sin(math.radians(15.0)) * hours_out(0.5 * side / REACH, look) >= 1.2 * look.small


def _paint_clock(painter: QPainter, centre: QPointF, r: float, look: Look) -> None:
    """The hours that matter, outside the circle; 12 is where the feed arrow is."""
    font = look.font("small")
    painter.setFont(font)
    for hour in (9, 10, 11, 1, 2, 3):
        angle = math.radians(90.0 - 30.0 * hour)
        c, q = math.cos(angle), -math.sin(angle)
        painter.setPen(look.pen("soft", "hair"))
        painter.drawLine(
            QPointF(centre.x() + r * c, centre.y() + r * q),
            QPointF(centre.x() + 1.06 * r * c, centre.y() + 1.06 * r * q),
        )
        size = text_size(font, str(hour))
        box = QRectF(0.0, 0.0, size.width() + 4.0, size.height())
        out = hours_out(r, look)
        box.moveCenter(QPointF(centre.x() + out * c, centre.y() + out * q))
        painter.fillRect(box, look.color("panel", 0.85))
        painter.setPen(look.color("ink"))
        painter.drawText(box, CENTRE, str(hour))


def _paint_arc(
    painter: QPainter, place: Callable[[Array], Array], scene: PlaceScene, look: Look, *, small: bool
) -> None:
    """The engaged arcs: a pale sector, the chip at its thickness inside the circle, the edge by direction."""
    here, side = scene.here, scene.side
    dashed, dotted = scene.way == "conventional", scene.way == "straddling"
    pieces = SMALL_PIECES if small else PIECES
    for entry, leave in zip(here.engaged.entry.tolist(), here.engaged.exit.tolist(), strict=True):
        phi = np.linspace(entry, leave, max(8, int((leave - entry) * pieces)))
        arc, h = arc_points(phi, side), np.sin(phi)
        rim, inner = place(arc), place((1.0 - DEPTH * h[:, None]) * arc)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.brush("cut_band", 0.8))
        painter.drawPolygon(polygon(np.concatenate([rim, place(np.zeros((1, 2)))])))
        parts = np.stack([rim[:-1], rim[1:], inner[1:], inner[:-1]], 1)
        for part, thick in zip(parts, (0.5 * (h[:-1] + h[1:])).tolist(), strict=True):
            painter.setBrush(colour_of(thick, look.thick_is_dark))
            painter.drawPolygon(polygon(part))
        painter.setPen(look.pen("accent", "thick", dashed=dashed, dotted=dotted))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(polyline(rim[:, 0], rim[:, 1]))
        painter.setPen(look.pen("ink", "hair"))
        for end in (entry, leave):
            spoke = place(sector(np.array([end]), side, 1.0, 0.0))
            painter.drawPolyline(polyline(spoke[:, 0], spoke[:, 1]))
