"""The greatest feed per tooth, width and stick-out that keep the wall within its tolerance over the whole depth.

The error is that of :mod:`core.effects.wall_depth`.  It need not grow with feed or width: dull edges push a thin cut
off the wall and a thicker chip pulls it back.  So three answers are given:

- ``greatest``: the largest value for which it and EVERY smaller usable one keep the tolerance; None if the least
  usable value already does not;
- ``band``: the uppermost unbroken range of values that keep it, whatever lies below; None if none does;
- ``sure``: the largest value in that band for which all of the error's range keeps the tolerance; None if none does.

Usable is what forms a chip: no feed and no width with a thickest chip under the least chip thickness.

Method.  For the feed of equal teeth the answer is exact: at each height the error is linear in the feed, or in its
power 1 - mc, so that each height allows one interval and all heights their intersection (:func:`_feed_by_lines`).
Every other search has two stages.  A scan compares the wall at a few even heights, for all widths in one array call;
it sees only part of the wall, so the size that it finds is never too large: it may accept too much, never too little.
Therefore every accepted value beside a rejected one is checked again with the exact extremes over the depth, until no
end is accepted wrongly; then each end is closed in on (:func:`core.maths.roots.last_good`), first by the scan's
measure, the last part exactly.  That always ends: the check only ever rejects more of finitely many values, and the
bracket of a good and a bad value is never lost, whatever jumps lie in it.  What fails only between two neighbouring
values of the scan is not seen: the error is piecewise smooth in the value, and the scan has both sides of every width
at which another tooth joins.  Cost: one array call of some 200 widths, then some ten to twenty exact walls for each
end.  Own method.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..cut.engagement import entry_exit
from ..maths.arrays import Array
from ..maths.roots import last_good
from ..maths.smooth_pieces import SmoothPieces, sample_places
from ..setup.setup import PowerLaw, Setup
from ..setup.setup_limits import FEED_SHARE, RANGES
from .edge_bend import bend
from .edge_loads import MANY_TEETH
from .machine_limits import SLACK
from .rubbing import least_chip
from .wall import WallMaker, makes_wall, wall_curves, wall_maker
from .wall_depth import extremes
from .wall_range import wall_range

FEED, WIDTH, STICKOUT = "cut.feed_per_tooth_mm", "cut.radial_engagement_mm", "cutter.stickout_mm"

THIN_FEED, THIN_WIDTH = (1e-3, 1e-4), (1e-2, 1e-3)
"""The least feed and width that are offered where the edge radius is not known: mm, or that share of the diameter.

The smaller of the two; nobody sets a thinner one (common practice, no source)."""

WIDTHS, LEAST_WIDTHS = 96, 8
"""Widths looked at over the usable range before the ends are closed in on: fewer with runout of many teeth."""

FEEDS = 24
"""Feeds looked at, where runout forbids a closed answer."""

STICKOUTS = 16
"""Stick-outs looked at."""

BOUNDLESS = 1e30
"""Feed, or its power, beyond which it does not matter."""

QUICK_HEIGHTS, FEW_HEIGHTS = 17, 5
"""Even heights of a first look at a wall; with runout of many teeth, each of which is looked at."""

FIRST_NEAR = 2e-3
"""How near, as a part of itself, an end is found by first looks; from there on exactly."""

LONGEST = 15.0
"""Stick-out, in diameters, up to which one is looked for."""

MARGIN_LOOKS = 8
"""Values of a band at which the range of the error is looked at before the greatest sure one is closed in on."""

NEAR = 4e-3
"""How near, as a part of itself, a sure value is found: a range has two digits."""


@dataclass(frozen=True, slots=True)
class WithinTolerance:
    """Values of one key (mm) that keep the wall within ``tolerance`` (mm); see the head of this file."""

    key: str
    tolerance: float
    greatest: float | None
    band: tuple[float, float] | None
    sure: float | None = None


def _known(setup: Setup) -> tuple[WallMaker, float] | None:
    """What makes the wall of a one-sided cut, and its tolerance; None where one is missing."""
    tolerance = setup.cut.wall_tolerance_mm
    maker = None if tolerance is None or setup.cut.direction == "straddling" else wall_maker(setup)
    return None if maker is None or tolerance is None else (maker, tolerance)


def _greatest_sine(setup: Setup) -> float:
    entry, leave = (
        float(a) for a in entry_exit(setup.cut.direction, setup.cutter.diameter_mm, setup.cut.radial_engagement_mm)
    )
    return math.sin(min(max(math.pi / 2.0, entry), leave))


def _kappa(setup: Setup) -> float:
    return math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))


def _thin(least: tuple[float, float], setup: Setup) -> float:
    return min(least[0], least[1] * setup.cutter.diameter_mm)


def usable_feed(setup: Setup) -> float:
    """The least feed per tooth (mm) that is offered: it forms a chip at the setup's width."""
    least = least_chip(setup)
    floor = _thin(THIN_FEED, setup)
    return floor if least is None else max(floor, least * (1.0 + SLACK) / (_greatest_sine(setup) * _kappa(setup)))


def usable_width(setup: Setup) -> float:
    """The least width (mm) that is offered: it forms a chip at the setup's feed; infinite where none does."""
    least, floor = least_chip(setup), _thin(THIN_WIDTH, setup)
    if least is None:
        return floor
    share = least / (setup.cut.feed_per_tooth_mm * _kappa(setup))
    if share > 1.0:
        return math.inf
    # sin(phi_s) = share; half the angle keeps the digits of a thin cut.
    return max(floor, (1.0 + SLACK) * setup.cutter.diameter_mm * math.sin(0.5 * math.asin(share)) ** 2)


def _size(setup: Setup) -> float:
    """Greatest size (mm) of the error over the depth, whether or not a chip forms."""
    maker = wall_maker(setup)
    assert maker is not None
    (low, _), (high, _) = extremes(wall_curves(maker), [maker])
    return max(high, -low)


def _quick_heights(maker: WallMaker) -> Array:
    count = QUICK_HEIGHTS if len(maker.loads.wall_teeth) < MANY_TEETH else FEW_HEIGHTS
    return np.linspace(0.0, maker.setup.cut.axial_engagement_mm, count)


def _quick_size(setup: Setup) -> float:
    """The same at even heights only: a little too small."""
    maker = wall_maker(setup)
    assert maker is not None
    return float(np.abs(maker.errors(_quick_heights(maker)).min(axis=0)).max())


@lru_cache(maxsize=16)
def feed_within_tolerance(setup: Setup) -> WithinTolerance | None:
    """Feeds per tooth (mm) that keep the wall; None where tolerance, force or stiffness is not known."""
    known = _known(setup)
    if known is None:
        return None
    maker, tolerance = known
    least, top = usable_feed(setup), FEED_SHARE * setup.cutter.diameter_mm
    if least >= top:
        return WithinTolerance(FEED, tolerance, None, None)
    if maker.loads.alike and not maker.loads.law.lost:
        return _with_sure(_feed_by_lines(maker, tolerance, least, top), setup)
    feeds = np.geomspace(least, top, FEEDS)
    return _with_sure(_looked_for(setup, FEED, tolerance, feeds, None), setup)


def _feed_by_lines(maker: WallMaker, tolerance: float, least: float, top: float) -> WithinTolerance:
    """Exact for teeth alike: at each height the error is ``a q + b``, ``q`` the feed or its power 1 - mc (Kienzle),
    ``b`` the error of the edge forces alone.

    So each height allows one interval of feeds, and all heights together their intersection: one unbroken band.
    """
    law = maker.loads.law
    share = law.feed / maker.setup.cut.feed_per_tooth_mm
    power = 1.0 - law.law.mc if isinstance(law.law, PowerLaw) else 1.0
    q1 = law.feed**power
    curves = wall_curves(maker)
    at = sample_places(curves.edges, curves.values.shape[-1])
    edge_force_only = replace(maker, loads=maker.loads.under(replace(law, feed=0.0)))
    flat = edge_force_only.errors(at.reshape(-1)).reshape(curves.values.shape)
    lines = SmoothPieces(curves.edges, np.concatenate([(curves.values - flat) / q1, flat]))

    def end(line: Array, sign: float) -> Array:
        """Where the line meets the tolerance on that side of 0, as far as it does; both sides in ``sign``."""
        slope, rest = line
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            meets = np.sort(np.stack([(-tolerance - rest) / slope, (tolerance - rest) / slope]), axis=0)
        level = slope == 0.0
        fits = np.where(np.abs(rest) <= tolerance, np.inf, -np.inf)
        met = np.where(level, fits, meets[1]) if sign > 0.0 else np.where(level, fits, -meets[0])
        return np.clip(met, -BOUNDLESS, BOUNDLESS)

    high = lines.least(lambda line: end(line, 1.0))[0]
    low = -lines.least(lambda line: end(line, -1.0))[0]

    def feed(q: float) -> float:
        # Figures beyond all bounds give an endless feed, which the legal one then cuts off.
        with np.errstate(over="ignore", divide="ignore"):
            return float(np.float64(max(q, 0.0)) ** (1.0 / power) / share)

    lower, upper = max(feed(low), least), min(feed(high), top)
    if high <= 0.0 or not lower <= upper:
        return WithinTolerance(FEED, tolerance, None, None)
    return WithinTolerance(FEED, tolerance, upper if lower <= least else None, (float(lower), float(upper)))


def sizes_by_width(widths: Array, maker: WallMaker) -> Array:
    """Greatest size (w,) mm of the error at even heights, for widths (w,) mm of a one-sided cut.

    The moments at which edges make the wall do not depend on the width; only the ends of the arc do.
    """
    setup = maker.setup
    heights = _quick_heights(maker)
    phi, sign = makes_wall(heights, setup)
    entry, leave = entry_exit(setup.cut.direction, setup.cutter.diameter_mm, widths)
    teeth = maker.loads.wall_teeth
    n, w, each = len(heights), len(widths), len(teeth)
    tip_angles = phi + (2.0 * np.pi / setup.cutter.teeth) * teeth[:, None]
    moved = bend(
        np.tile(heights, w * each),
        np.tile(tip_angles.reshape(-1), w),
        np.repeat(entry, n * each),
        np.repeat(leave, n * each),
        setup,
        maker.loads,
        maker.held,
    ).reshape(w, each, n)
    error = sign * moved - maker.loads.reach[teeth, None]
    return np.asarray(np.abs(error.min(axis=1)).max(axis=1))


def _scan(setup: Setup, least: float, count: int) -> Array:
    """Widths (mm) to look at: the usable range, fine where thin, and both sides of where another tooth joins."""
    d, teeth = setup.cutter.diameter_mm, setup.cutter.teeth
    most = float(np.nextafter(d, 0.0))
    joins = 2.0 * np.pi * np.arange(1, teeth) / teeth
    joins = d / 2.0 * (1.0 - np.cos(joins[joins <= np.pi]))
    widths = np.concatenate(
        [
            [least, most],
            np.geomspace(least, d, count),
            np.linspace(0.0, d, count),
            joins * (1.0 - 1e-9),
            joins * (1.0 + 1e-9),
        ]
    )
    return np.unique(widths[(widths >= least) & (widths <= most)])


@lru_cache(maxsize=16)
def width_within_tolerance(setup: Setup) -> WithinTolerance | None:
    """Radial widths (mm) that keep the wall; None where tolerance, force or stiffness is not known.

    A look over the usable widths at once, then the ends closed in on exactly.  What fails only between two
    neighbouring widths of the look is not seen.
    """
    known = _known(setup)
    if known is None:
        return None
    maker, tolerance = known
    least = usable_width(setup)
    if least >= setup.cutter.diameter_mm:
        return WithinTolerance(WIDTH, tolerance, None, None)
    widths = _scan(setup, least, int(np.clip(2 * WIDTHS // len(maker.loads.wall_teeth), LEAST_WIDTHS, WIDTHS)))
    return _with_sure(_looked_for(setup, WIDTH, tolerance, widths, sizes_by_width(widths, maker)), setup)


@lru_cache(maxsize=16)
def stickout_within_tolerance(setup: Setup) -> WithinTolerance | None:
    """Stick-outs (mm) that keep the wall; None where tolerance, force or stiffness is not known.

    From where flutes and depth are just out of the holder up to :data:`LONGEST` diameters, or as far as it is now.
    """
    known = _known(setup)
    if known is None:
        return None
    cutter, tolerance = setup.cutter, known[1]
    least = max(cutter.flute_length_mm or 0.0, setup.cut.axial_engagement_mm, RANGES[STICKOUT].least)
    most = max(LONGEST * cutter.diameter_mm, cutter.stickout_mm or 0.0, least)
    reaches = np.unique(np.geomspace(least, most, STICKOUTS).clip(least, most))
    return _with_sure(_looked_for(setup, STICKOUT, tolerance, reaches, None), setup)


def _looked_for(setup: Setup, key: str, tolerance: float, values: Array, sizes: Array | None) -> WithinTolerance:
    """What keeps the tolerance, by a look at ``values`` (n,), ascending, whose ends are then closed in on.

    sizes : greatest size of the error at each, a first and perhaps too kind a look; None: found here.
    """

    @lru_cache(maxsize=512)
    def over(value: float) -> float:
        return _size(setup.with_keys({key: value})) - tolerance

    @lru_cache(maxsize=512)
    def quick(value: float) -> float:
        return _quick_size(setup.with_keys({key: value})) - tolerance

    if sizes is None:
        sizes = np.array([quick(float(v)) for v in values]) + tolerance
    good = sizes <= tolerance
    # What borders on a bad value is looked at exactly.
    while True:
        walls = np.concatenate([[False], good, [False]])
        border = np.flatnonzero(good & ~(walls[:-2] & walls[2:]))
        wrong = [i for i in border if over(float(values[i])) > 0.0]
        if not wrong:
            break
        good[wrong] = False
    if not good.any():
        return WithinTolerance(key, tolerance, None, None)

    def end(ok: int, beyond: int) -> float:
        if not 0 <= beyond < len(values):
            return float(values[ok])
        good_end, bad_end = float(values[ok]), float(values[beyond])
        if quick(bad_end) > 0.0 >= quick(good_end):
            # Most of the way by first looks, which never find too little; the rest exactly.
            near = last_good(good_end, bad_end, quick, FIRST_NEAR)
            step = 4.0 * FIRST_NEAR * near
            low, high = sorted((good_end, bad_end))
            ends = (max(near - step, low), min(near + step, high))
            inner, outer = ends if good_end < bad_end else ends[::-1]
            if over(inner) <= 0.0:
                good_end = inner
            if over(outer) > 0.0:
                bad_end = outer
            elif outer != bad_end:
                good_end = outer
        return last_good(good_end, bad_end, over, SLACK)

    fails = np.flatnonzero(~good)
    last = int(np.flatnonzero(good)[-1])
    start = int(fails[fails < last][-1]) + 1 if (fails < last).any() else 0
    band = (end(start, start - 1), end(last, last + 1))
    if not good[0]:
        return WithinTolerance(key, tolerance, None, band)
    if start == 0:
        return WithinTolerance(key, tolerance, band[1], band)
    return WithinTolerance(key, tolerance, end(int(fails[0]) - 1, int(fails[0])), band)


def _with_sure(kept: WithinTolerance, setup: Setup) -> WithinTolerance:
    """The same with the greatest value of its band whose whole range keeps the tolerance."""
    if kept.band is None:
        return kept

    def over(value: float) -> float:
        wall = wall_range(setup.with_keys({kept.key: value}))
        return math.inf if wall is None else wall.size - kept.tolerance

    low, high = kept.band
    values = np.geomspace(high, low, MARGIN_LOOKS) if high > low else np.array([high])
    beyond = None
    for value in values:
        if over(float(value)) <= 0.0:
            sure = float(value) if beyond is None else last_good(float(value), beyond, over, NEAR)
            return WithinTolerance(kept.key, kept.tolerance, kept.greatest, kept.band, sure)
        beyond = float(value)
    return kept
