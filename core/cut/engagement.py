"""Where a tooth meets the work and where it leaves it: the strip, the arc, the teeth in cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..maths.angles import lag
from ..maths.arrays import Array
from ..setup.setup import Setup
from ..setup.work_strip import of_direction, strip

WHOLE = 1e-9
"""How near to a whole number the mean of the teeth in cut counts as one."""


def angle_at(x: ArrayLike, diameter: ArrayLike) -> Array:
    """Tooth angle (rad) at which the tip's circle crosses the line ``x`` (mm): arccos(-x/R).

    Computed as ``2 atan2(sqrt(R + x), sqrt(R - x))``, which keeps its digits near 0 and 180 degrees
    where arccos loses half of them.  Outside the circle the nearer end, 0 or pi.
    """
    x, radius = np.asarray(x, float), np.asarray(diameter, float) / 2.0
    return 2.0 * np.arctan2(np.sqrt(np.maximum(radius + x, 0.0)), np.sqrt(np.maximum(radius - x, 0.0)))


def one_sided_arc(diameter: ArrayLike, radial_engagement: ArrayLike) -> Array:
    """Arc (rad) of a cut along one side, climb or conventional: ``arccos(1 - 2 ae/D)``; lengths in mm, broadcast.

    From the width itself: R - (R - ae) would cost digits of a thin cut.
    """
    diameter, width = np.asarray(diameter, float), np.asarray(radial_engagement, float)
    return 2.0 * np.arctan2(np.sqrt(width), np.sqrt(np.maximum(diameter - width, 0.0)))


def entry_exit(
    direction: ArrayLike, diameter: ArrayLike, radial_engagement: ArrayLike, centre_offset: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Nominal entry and exit angle of the tip, rad; shapes as in :func:`strip`.

    Conventional 0 to arccos(1 - 2 ae/D), climb arccos(2 ae/D - 1) to pi (Dietrich and Tschaetsch,
    Praxis der Zerspanungstechnik, 11th ed. 2014: cos(phi_s) = 1 - 2 ae/D).

    >>> [round(float(np.degrees(a)), 6) for a in entry_exit("climb", 12.0, 4.0)]
    [109.471221, 180.0]
    """
    one_sided = one_sided_arc(diameter, radial_engagement)
    if isinstance(direction, str) and direction != "straddling":
        first = last = one_sided
    else:
        first, last = (angle_at(x, diameter) for x in strip(direction, diameter, radial_engagement, centre_offset))
    entry = of_direction(direction, np.pi - one_sided, 0.0, first)
    leave = of_direction(direction, np.pi, one_sided, last)
    return entry, leave


def teeth_in_cut(arc: ArrayLike, edge_lag: ArrayLike, teeth: ArrayLike) -> tuple[Array, Array, Array]:
    """Mean, least and most teeth in cut over a turn.

    arc : arc of the tip, rad; edge_lag : angle by which the edge at full depth trails the tip, rad.
    A tooth is in cut while any point of its edge is in the arc, so for ``arc + edge_lag``, at most
    the whole turn.  Two teeth meet only if they do for longer than an instant.

    >>> [float(v) for v in teeth_in_cut(np.pi / 2, 0.0, 4)]
    [1.0, 1.0, 1.0]
    """
    teeth = np.asarray(teeth, float)
    span = np.minimum(np.asarray(arc, float) + np.asarray(edge_lag, float), 2.0 * np.pi)
    mean = teeth * span / (2.0 * np.pi)
    least, most = np.floor(mean + WHOLE), np.ceil(mean - WHOLE)
    return mean, least, most


@dataclass(frozen=True, slots=True)
class Engagement:
    """One tooth's engagement: angles in rad, lengths in mm, time in ms; ``arc`` is exit less entry."""

    x1: float
    x2: float
    entry: float
    exit: float
    edge_lag: float
    teeth_mean: float
    teeth_least: int
    teeth_most: int
    contact_time_ms: float
    arc_length: float
    arc: float


@lru_cache(maxsize=256)
def engagement(setup: Setup) -> Engagement:
    """Engagement of the setup's tip, nominal (the circle, not the true path)."""
    cutter, cut = setup.cutter, setup.cut
    width = (cut.direction, cutter.diameter_mm, cut.radial_engagement_mm, cut.centre_offset_mm)
    depth = (cut.axial_engagement_mm, cutter.helix_deg, cutter.teeth)
    return _engagement(width, depth, cut.spindle_speed_rpm)


@lru_cache(maxsize=1024)
def _engagement(width: tuple[str, float, float, float], depth: tuple[float, float, int], speed: float) -> Engagement:
    """By what it depends on: the ladder asks hundreds of cuts that differ in feed, edge or holding only.

    width : direction, diameter, radial engagement and offset, mm; depth : axial engagement, mm, helix, deg, teeth;
    speed : rpm.
    """
    x1, x2 = strip(*width)
    entry, leave = entry_exit(*width)
    axial, helix, teeth = depth
    trailing = lag(axial, math.radians(helix), width[1])
    mean, least, most = teeth_in_cut(leave - entry, trailing, teeth)
    arc = float(leave - entry)
    return Engagement(
        x1=float(x1),
        x2=float(x2),
        entry=float(entry),
        exit=float(leave),
        edge_lag=float(trailing),
        teeth_mean=float(mean),
        teeth_least=int(least),
        teeth_most=int(most),
        contact_time_ms=arc / (2.0 * np.pi) * 60_000.0 / speed,
        arc_length=arc * width[1] / 2.0,
        arc=arc,
    )
