"""The greatest feed per tooth, and the greatest width, that keep the wall within its tolerance over the whole depth.

The error is the tip's whole bend at every height, arc model, as in the report.  It need not grow with feed or width:
dull edges push a thin cut off the wall and a thicker chip pulls it back.  So two answers are given:

- ``greatest``: the largest value for which it and EVERY smaller legal one keep the tolerance; None if the least
  legal value already does not;
- ``band``: the uppermost unbroken range of values that keep it, whatever lies below; None if none does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement, entry_exit
from ..force.edge_force import EdgeLaw, edge_law
from ..maths.arrays import Array
from ..setup.setup import PowerLaw, Setup
from ..setup.setup_limits import FEED_SHARE, RANGES
from .cutter_bending import tip_stiffness
from .machine_limits import SLACK
from .wall import error_of, makes_wall
from .wall_depth import HEIGHTS, depth_heights, error_ends

WIDTHS = 160
"""Widths looked at over the legal range, as many again below by equal ratios, before the ends are closed in on."""


@dataclass(frozen=True, slots=True)
class WithinTolerance:
    """Values of one key (mm) that keep the wall within ``tolerance`` (mm); see the head of this file."""

    key: str
    tolerance: float
    greatest: float | None
    band: tuple[float, float] | None


def _known(setup: Setup) -> tuple[EdgeLaw, float, float] | None:
    """Law, stiffness and tolerance of a one-sided cut; None where one is missing."""
    law, stiffness, tolerance = edge_law(setup), tip_stiffness(setup), setup.cut.wall_tolerance_mm
    if law is None or stiffness is None or tolerance is None or setup.cut.direction == "straddling":
        return None
    return law, stiffness, tolerance


@lru_cache(maxsize=16)
def feed_within_tolerance(setup: Setup) -> WithinTolerance | None:
    """Feeds per tooth (mm) that keep the wall; None where tolerance, force or stiffness is not known.

    Exact: at each height the error is ``a q + b`` with ``q`` the feed, or its power 1 - mc (Kienzle); so each height
    allows one interval of feeds, and all heights together their intersection: one unbroken band.
    """
    known = _known(setup)
    if known is None:
        return None
    law, stiffness, tolerance = known
    share = law.feed / setup.cut.feed_per_tooth_mm
    power = 1.0 - law.law.mc if isinstance(law.law, PowerLaw) else 1.0
    top = FEED_SHARE * setup.cutter.diameter_mm
    least = RANGES["cut.feed_per_tooth_mm"].least
    heights = np.unique(np.concatenate([depth_heights(setup), np.linspace(0.0, setup.cut.axial_engagement_mm, 513)]))
    # Two feeds that are both usual keep the digits of slope and offset.
    q1 = law.feed**power
    at_rest = error_of(heights, setup, EdgeLaw(0.0, law.law), stiffness) if power == 1.0 else np.zeros(heights.shape)
    slope = (error_of(heights, setup, law, stiffness) - at_rest) / q1
    with np.errstate(divide="ignore", invalid="ignore"):
        ends = np.stack([(-tolerance - at_rest) / slope, (tolerance - at_rest) / slope])
    level = slope == 0.0
    fits = np.abs(at_rest) <= tolerance
    low = np.where(level, np.where(fits, -np.inf, np.inf), ends.min(axis=0)).max()
    high = np.where(level, np.where(fits, np.inf, -np.inf), ends.max(axis=0)).min()

    def feed(q: float) -> float:
        # Figures beyond all bounds give an endless feed, which the legal one then cuts off.
        with np.errstate(over="ignore", divide="ignore"):
            return float(np.float64(max(q, 0.0)) ** (1.0 / power) / share)

    lower, upper = max(feed(low), least), min(feed(high), top)
    if high <= 0.0 or not lower <= upper:
        return WithinTolerance("cut.feed_per_tooth_mm", tolerance, None, None)
    return WithinTolerance(
        "cut.feed_per_tooth_mm", tolerance, upper if lower <= least else None, (float(lower), float(upper))
    )


def errors_by_width(widths: Array, heights: Array, setup: Setup, law: EdgeLaw, stiffness: float) -> Array:
    """Signed wall error (w, n), mm, for widths (w,) mm and heights (n,) mm of a one-sided cut.

    The angles at which edges stand when they make the wall do not depend on the width; only the ends of the arc
    between which they count do.  So the law is integrated once and cut off for each width.
    """
    cutter, depth = setup.cutter, setup.cut.axial_engagement_mm
    entry, leave = (a[:, None, None] for a in entry_exit(setup.cut.direction, cutter.diameter_mm, widths))
    phi, sign = makes_wall(heights, setup)
    tips = phi + (2.0 * np.pi / cutter.teeth) * np.arange(cutter.teeth)[:, None]
    scale = sign * depth / float(np.sin(np.radians(cutter.cutting_edge_angle_deg))) / stiffness
    lag = engagement(setup).edge_lag
    if lag < STRAIGHT:
        u = tips % (2.0 * np.pi)
        force = np.where((u >= entry) & (u <= leave), law.across(np.minimum(u, np.pi)), 0.0)
        return np.asarray(scale * force.sum(axis=1))
    start, end = law.integral(entry)[..., 0], law.integral(leave)[..., 0]

    def up_to(x: Array) -> Array:
        """Integral of all that lies in the arc below the angles ``x``, whole turns included."""
        turns = np.floor(x / (2.0 * np.pi))
        rest = x - 2.0 * np.pi * turns
        inside = law.integral(np.minimum(rest, np.pi))[..., 0]
        return np.asarray(turns * (end - start) + np.where(rest < entry, start, np.where(rest > leave, end, inside)))

    return np.asarray(scale / lag * (up_to(tips) - up_to(tips - lag)).sum(axis=1))


def _scan(setup: Setup) -> Array:
    """Widths (mm) to look at: the legal range, fine where it is thin, and both sides of where another tooth joins."""
    d, teeth = setup.cutter.diameter_mm, setup.cutter.teeth
    least, most = RANGES["cut.radial_engagement_mm"].least, float(np.nextafter(d, 0.0))
    joins = 2.0 * np.pi * np.arange(1, teeth) / teeth
    joins = d / 2.0 * (1.0 - np.cos(joins[joins <= np.pi]))
    found = np.concatenate(
        [
            [least, most],
            np.geomspace(1e-7 * d, d, WIDTHS),
            np.linspace(0.0, d, WIDTHS),
            joins * (1.0 - 1e-9),
            joins * (1.0 + 1e-9),
        ]
    )
    return np.unique(found[(found >= least) & (found <= most)])


def _closed_in(good: float, bad: float, over: Callable[[float], float], near: float) -> float:
    """The last good value between a good and a bad one, to ``near`` of its size, never on the bad side.

    over : how far over the tolerance (mm), positive where bad.  Regula falsi aimed a little to either side of the
    crossing, so that both ends close in; halving where that has not paid, as at a jump.
    """
    at_good, at_bad, halve = over(good), over(bad), False
    for _ in range(100):
        width, aim = abs(bad - good), near * max(abs(good), abs(bad))
        if width <= aim:
            break
        share = 0.5
        if not halve:
            # On the good side of the crossing first; once the good end is near, on the bad side.
            guess, step = -at_good / max(at_bad - at_good, 1e-300), 0.4 * aim / width
            share = float(np.clip(guess + (step if guess < 2.0 * step else -step), step, 1.0 - step))
        middle = good + share * (bad - good)
        found = over(middle)
        if found <= 0.0:
            good, at_good = middle, found
        else:
            bad, at_bad = middle, found
        halve = not halve and abs(bad - good) > 0.25 * width
    return good


@lru_cache(maxsize=16)
def width_within_tolerance(setup: Setup) -> WithinTolerance | None:
    """Radial widths (mm) that keep the wall; None where tolerance, force or stiffness is not known.

    A look over the legal widths at once, then the ends closed in on with the heights of each width's own kinks.
    What fails only between two neighbouring widths of the look is not seen.
    """
    known, key = _known(setup), "cut.radial_engagement_mm"
    if known is None:
        return None
    law, stiffness, tolerance = known
    widths = _scan(setup)
    even = np.linspace(0.0, setup.cut.axial_engagement_mm, HEIGHTS)
    good = np.abs(errors_by_width(widths, even, setup, law, stiffness)).max(axis=1) <= tolerance

    @lru_cache(maxsize=256)
    def over(width: float) -> float:
        at = setup.with_keys({key: width})
        heights = depth_heights(at)
        low, high = error_ends(heights, error_of(heights, at, law, stiffness), at, law, stiffness)
        return max(high, -low) - tolerance

    # The look knows no kinks, so it is a little too kind: what borders on a bad width is looked at exactly.
    while True:
        walls = np.concatenate([[False], good, [False]])
        border = np.flatnonzero(good & ~(walls[:-2] & walls[2:]))
        wrong = [i for i in border if over(float(widths[i])) > 0.0]
        if not wrong:
            break
        good[wrong] = False
    if not good.any():
        return WithinTolerance(key, tolerance, None, None)

    def end(ok: int, beyond: int) -> float:
        if not 0 <= beyond < len(widths):
            return float(widths[ok])
        return _closed_in(float(widths[ok]), float(widths[beyond]), over, SLACK)

    fails = np.flatnonzero(~good)
    last = int(np.flatnonzero(good)[-1])
    start = int(fails[fails < last][-1]) + 1 if (fails < last).any() else 0
    band = (end(start, start - 1), end(last, last + 1))
    if not good[0]:
        return WithinTolerance(key, tolerance, None, band)
    if start == 0:
        return WithinTolerance(key, tolerance, band[1], band)
    return WithinTolerance(key, tolerance, end(int(fails[0]) - 1, int(fails[0])), band)
