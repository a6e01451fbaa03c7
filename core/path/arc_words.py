"""The arc of a G2 or G3 block, from its I and J or its R, with the tolerances that rounded programs need."""

from __future__ import annotations

from math import hypot

from ..base.errors import ChiparcError
from ..base.refused import refused
from .arcs import SAME_PLACE, Arc, fitted, middle, of_radius

ROUND_MM = 0.01
"""mm.  Distances from the centre to start and end of an arc that differ by more belong to no circle."""

SHORT_MM = 0.001
"""mm.  A radius may be so much short of half the chord: a half circle, rounded."""

BENT_MM = 0.1
"""mm.  If the nearest circle through both ends lies so far from the arc as written, there is none near it."""


def arc_by_radius(x0: float, y0: float, x1: float, y1: float, radius: float, ccw: bool) -> Arc:
    """The arc of an R word.  Raises ChiparcError if there is none."""
    chord = hypot(x1 - x0, y1 - y0)
    if chord <= SAME_PLACE:
        raise ChiparcError("R", *refused("program_refused", "full_radius"))
    if abs(radius) < chord / 2.0 - SHORT_MM or radius == 0.0:
        fields = {"radius": abs(radius), "chord": chord, "least": chord / 2.0}
        raise ChiparcError("R", *refused("program_refused", "short_radius", **fields))
    return of_radius(x0, y0, x1, y1, radius, ccw)


def arc_by_centre(x0: float, y0: float, x1: float, y1: float, i: float, j: float, ccw: bool) -> tuple[Arc, float]:
    """The arc of I and J, and how far (mm) its middle lies from that of the arc as written.

    An end at the start makes a full circle.  Ends that miss one circle by up to ROUND_MM are kept, and the centre
    moves to the nearest place that fits them.  Raises ChiparcError if they miss it by more, or if the circle that
    fits lies far from the arc: ends close together do not tell where the centre is.
    """
    x, y = x0 + i, y0 + j
    first, last = hypot(i, j), hypot(x1 - x, y1 - y)
    if first <= SAME_PLACE:
        raise ChiparcError("I J", *refused("program_refused", "no_radius"))
    apart = abs(first - last)
    if apart > ROUND_MM + SAME_PLACE:
        raise ChiparcError("I J", *refused("program_refused", "radii", first=first, last=last, most=ROUND_MM))
    arc = fitted(x0, y0, x1, y1, x, y, ccw)
    if apart <= SAME_PLACE or last == 0.0 or hypot(x1 - x0, y1 - y0) <= SAME_PLACE:
        return arc, 0.0
    share = first / last
    written = fitted(x0, y0, x + (x1 - x) * share, y + (y1 - y) * share, x, y, ccw)
    (ax, ay), (bx, by) = middle(x0, y0, arc), middle(x0, y0, written)
    moved = hypot(ax - bx, ay - by)
    if moved > BENT_MM:
        raise ChiparcError("I J", *refused("program_refused", "no_circle", apart=apart))
    return arc, moved
