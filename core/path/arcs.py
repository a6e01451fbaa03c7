"""Circular arcs between two points in the plane: from a centre, a radius, a sweep or a bulge."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, sqrt
from typing import NamedTuple

SAME_PLACE = 1e-6
"""mm.  Two ends nearer than this are one: rounding of inches and of added distances, far below any control's step."""

FLATTEST_MM = 1e-6
"""An arc that bulges less than this from its chord is as good as a line."""

WIDE_MM, FLAT_MM = 1e8, 1e-4
"""So is one of such a radius that bulges less than this: rounding of its far centre would show."""

WIDEST_MM = 1e9
"""The largest radius for which places on the arc are good to a millionth of a millimetre."""


class Arc(NamedTuple):
    """An arc: centre in mm, and signed sweep in rad, counter-clockwise positive."""

    x: float
    y: float
    sweep: float


def turned(x0: float, y0: float, x1: float, y1: float, x: float, y: float, ccw: bool) -> float:
    """Signed sweep from start to end about a centre in a sense; a whole turn where the ends are one."""
    if hypot(x1 - x0, y1 - y0) <= SAME_PLACE:
        return 2.0 * pi if ccw else -2.0 * pi
    ax, ay, bx, by = x0 - x, y0 - y, x1 - x, y1 - y
    angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
    if ccw:
        return angle if angle > 0.0 else angle + 2.0 * pi
    return angle if angle < 0.0 else angle - 2.0 * pi


def fitted(x0: float, y0: float, x1: float, y1: float, x: float, y: float, ccw: bool) -> Arc:
    """The arc through both ends whose centre is nearest to a given one, which may be off a little.

    Centres equally far from both ends lie on the line that halves the chord at right angles: the centre is moved
    along the chord on to it.  A whole turn keeps its centre.
    """
    dx, dy = x1 - x0, y1 - y0
    chord2 = dx * dx + dy * dy
    if chord2 > SAME_PLACE * SAME_PLACE:
        along = ((x0 + x1) / 2.0 - x) * dx + ((y0 + y1) / 2.0 - y) * dy
        x, y = x + dx * along / chord2, y + dy * along / chord2
    return Arc(x, y, turned(x0, y0, x1, y1, x, y, ccw))


def middle(x0: float, y0: float, arc: Arc) -> tuple[float, float]:
    """The point half way along an arc from its start."""
    c, s = cos(arc.sweep / 2.0), sin(arc.sweep / 2.0)
    ax, ay = x0 - arc.x, y0 - arc.y
    return arc.x + ax * c - ay * s, arc.y + ax * s + ay * c


def of_radius(x0: float, y0: float, x1: float, y1: float, radius: float, ccw: bool) -> Arc:
    """The arc of a radius between two different ends: up to half a turn if it is positive, the longer if negative.

    A radius short of half the chord, which the caller allows for rounding, gives half a turn.
    """
    dx, dy = x1 - x0, y1 - y0
    chord = hypot(dx, dy)
    # (R - c/2)(R + c/2): no cancelling of squares where the arc is about half a turn
    high = sqrt(max(0.0, (abs(radius) - chord / 2.0) * (abs(radius) + chord / 2.0)))
    if radius < 0.0:
        high = -high
    side = high / chord if ccw else -high / chord
    sweep = 2.0 * atan2(chord / 2.0, high)
    return Arc((x0 + x1) / 2.0 - dy * side, (y0 + y1) / 2.0 + dx * side, sweep if ccw else -sweep)


def of_bulge(x0: float, y0: float, x1: float, y1: float, bulge: float) -> Arc | None:
    """The arc of a bulge, tan(sweep / 4), between two different ends; None where it is as good as a line."""
    dx, dy = x1 - x0, y1 - y0
    rise = abs(bulge) * hypot(dx, dy) / 2.0
    if rise < FLATTEST_MM or (rise < FLAT_MM and hypot(dx, dy) > 2.0 * abs(2.0 * bulge * WIDE_MM)):
        return None
    side = (1.0 - bulge * bulge) / (4.0 * bulge)
    return Arc((x0 + x1) / 2.0 - dy * side, (y0 + y1) / 2.0 + dx * side, 4.0 * atan2(bulge, 1.0))
