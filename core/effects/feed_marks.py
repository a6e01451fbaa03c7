"""Feed marks on the finished wall with every tooth's own radius: height, teeth that leave one, profile.

Near the wall tooth ``j`` runs on ``x = R_j cos u`` out of the axis and ``y = R_j sin u + c u + j fz`` along the feed;
``c`` is the feed for each radian, positive in conventional, negative in climb milling.  The wall is the largest reach
at each ``y``.  Own derivation; for equal teeth Martellotti 1941 and 1945 (from memory) gives the height within 0.2 %.
A rigid cutter: deflection, chatter and tearing are left out.

Two teeth's paths cross at most once where they leave the wall steadily: at a crossing past both peaks the longer
tooth's path is the steeper.  So the later tooth makes the wall from the crossing on, and a tooth leaves a mark where
its last crossing with an earlier one comes before its first crossing with a later one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from ..cut.tooth_path import angle_beside, feed_per_radian
from ..maths.arrays import Array, frozen
from ..maths.roots import newton_in_bracket
from ..setup.setup import Setup
from .wall_marks import feed_mark

VISIBLE = 1e-9
"""Length of a mark, as a part of a turn's feed, under which it is none."""


@dataclass(frozen=True, slots=True)
class FeedMarks:
    """The wall over a turn: peak to valley (mm) and how many teeth leave a mark."""

    height: float
    teeth: int


@dataclass(frozen=True, slots=True, eq=False)
class MarkedWall:
    """The wall over one turn's feed, for drawing: place along the feed, height, tooth that made it; (n,) each.

    y : mm, ascending from 0, where tooth 0 stands square to the wall, to ``z fz``; height : mm of stock above the
    deepest cut; tooth : its number.  Every crest is one of the places.
    """

    y: Array
    height: Array
    tooth: np.ndarray[Any, np.dtype[np.intp]]


@dataclass(frozen=True, slots=True)
class _Path:
    """One tooth near the wall: number, place of its peak along the feed, radius, what it lacks of the longest (mm).

    The lack is kept beside the radius for its digits.  ``c`` is the feed for each radian, below 0 in climb milling;
    ``steepest`` (rad) is how far to either side of its peak the path leaves the wall steadily, ``end`` (mm) how far
    along the feed that is.
    """

    tooth: int
    at: float
    radius: float
    short: float
    c: float
    steepest: float
    end: float

    def depth(self, y: float) -> tuple[float, float]:
        """How far (mm) the path stays off the deepest cut at ``y``, and its slope; infinite where it ends before."""
        off = abs(y - self.at)
        if off > self.end:
            return math.inf, 0.0
        r, c = self.radius, self.c
        u = angle_beside(off, r, c, self.steepest)
        half, steep = math.sin(0.5 * u), r * math.cos(u) + c
        slope = math.copysign(r * math.sin(u) / steep, y - self.at) if steep > 0.0 else 0.0
        return self.short + 2.0 * r * half * half, slope


def _path(tooth: int, at: float, radius: float, short: float, c: float) -> _Path:
    """A path with its steepest place: at most a right angle, which is more than a wall needs."""
    steepest = math.acos(-c / radius) if c < 0.0 else math.pi / 2.0
    return _Path(tooth, at, radius, short, c, steepest, radius * math.sin(steepest) + c * steepest)


def _paths(setup: Setup, side: int) -> list[_Path]:
    """The teeth of one turn from the longest to its next pass; none where the axis outruns a tip."""
    cutter, feed = setup.cutter, setup.cut.feed_per_tooth_mm
    z, c = cutter.teeth, side * float(feed_per_radian(feed, cutter.teeth))
    out = cutter.runout_mm * np.cos(np.radians(cutter.runout_angle_deg) + 2.0 * np.pi * np.arange(z) / z)
    longest, radius = int(np.argmax(out)), cutter.diameter_mm / 2.0
    if radius + float(out.min()) <= -c:
        return []
    order = [(longest + k) % z for k in range(z + 1)]
    return [_path(j, k * feed, radius + float(out[j]), float(out[longest] - out[j]), c) for k, j in enumerate(order)]


def _takes_over(i: _Path, k: _Path, low: float, high: float) -> float:
    """Where in ``low`` to ``high`` (mm) path k, the later one, begins to make the wall instead of i, or which end."""
    # Parabolas of one curvature cross here.
    flat = (i.radius + i.c) ** 2 / i.radius
    y = (i.at + k.at) / 2.0 + flat * (k.short - i.short) / (k.at - i.at)

    def lead(y: float) -> tuple[float, float]:
        """How far the earlier path is ahead at ``y``, below 0 where it makes the wall, and how fast that grows."""
        (of_i, slope_i), (of_k, slope_k) = i.depth(y), k.depth(y)
        if math.isinf(of_i) and math.isinf(of_k):
            # Neither path comes here: the nearer one would; no slope, so that the bracket is halved.
            return math.copysign(1.0, abs(y - i.at) - abs(y - k.at)), 0.0
        return of_i - of_k, slope_i - slope_k

    return newton_in_bracket(lead, y, low, high, 1e-10 * (k.at - i.at))


@lru_cache(maxsize=64)
def _wall(setup: Setup, side: int) -> tuple[tuple[_Path, float], ...]:
    """The paths that make the wall, each with the place where it takes over; the longest tooth is first and last."""
    paths = _paths(setup, side)
    if not paths:
        return ()
    turn = paths[-1].at
    made = [(paths[0], 0.0)]
    for k in paths[1:]:
        while True:
            i, since = made[-1]
            y = _takes_over(i, k, since, turn)
            if len(made) == 1 or y > since + VISIBLE * turn:
                break
            made.pop()
        if y < turn * (1.0 - VISIBLE):
            made.append((k, y))
    return tuple(made)


def _side(setup: Setup) -> int | None:
    return {"conventional": +1, "climb": -1}.get(setup.cut.direction)


@lru_cache(maxsize=64)
def feed_marks(setup: Setup) -> FeedMarks | None:
    """Height of the marks and how many teeth leave one in a turn; None for a straddling cut, which has no wall.

    None too at a feed so great that the paths leave stock between them: there are no marks then.
    """
    side = _side(setup)
    if side is None:
        return None
    if setup.cutter.runout_mm == 0.0:
        height, teeth = _equal_teeth(setup, side), setup.cutter.teeth
    else:
        made = _wall(setup, side)
        height, teeth = max((path.depth(y)[0] for path, y in made[1:]), default=math.inf), len(made) - 1
    return FeedMarks(height, teeth) if math.isfinite(height) else None


def _equal_teeth(setup: Setup, side: int) -> float:
    """Height (mm) of the marks of equal teeth; infinite where the paths do not meet near the wall."""
    feed, radius = setup.cut.feed_per_tooth_mm, setup.cutter.diameter_mm / 2.0
    c = side * float(feed_per_radian(feed, setup.cutter.teeth))
    if radius <= -c:
        return math.inf
    steepest = math.acos(min(-c / radius, 1.0)) if c < 0.0 else math.pi / 2.0
    meet = radius * math.sin(steepest) + c * steepest >= feed / 2.0
    return float(feed_mark(setup, side)) if meet else math.inf


@lru_cache(maxsize=16)
def marked_wall(setup: Setup, points: int = 40) -> MarkedWall | None:
    """The wall over one turn's feed, at least ``points`` places on each feed; None where :func:`feed_marks` is."""
    side, marks = _side(setup), feed_marks(setup)
    if side is None or marks is None:
        return None
    made, z = _wall(setup, side), setup.cutter.teeth
    turn, takes = z * setup.cut.feed_per_tooth_mm, np.array([since for _, since in made])
    # The paths start with the longest tooth: the picture starts with tooth 0.
    first = made[0][0].tooth * setup.cut.feed_per_tooth_mm
    special = np.array([*takes, *(path.at for path, _ in made)])
    y = np.unique(np.concatenate([np.linspace(0.0, turn, points * z + 1), (special + first) % turn]))
    own = (y - first) % turn
    maker = np.searchsorted(takes, own, side="right") - 1
    height = np.array([made[m][0].depth(float(at))[0] for m, at in zip(maker, own, strict=True)])
    return MarkedWall(frozen(y), frozen(height), np.array([path.tooth for path, _ in made])[maker])
