"""Force over a turn: least, greatest and mean of each component, exactly; torque, power, energy of a chip.

Method. Over one tooth pitch, with runout over a turn, the force has a corner or a jump only where an edge's tip or
end meets an end of the arc, or with runout of a piece of its tooth's chip. These angles are known beforehand, and in
each piece between them the force is smooth, a sum of sines and powers of them. Each piece is sampled at 33 angles (7
where there are a hundred pieces or more); from the parabola through the best sample and its neighbours follows how
far a curve may rise beside it, taken twice over; only pieces that may hold the greatest of all are sampled again, at
17 angles between the two neighbours, and the crown of a parabola there is taken. A step of the second look is 1/256
of a piece: a parabola errs by the third power of that, relative to a quarter turn, some 1e-10 of the force. At a jump
the one-sided limit counts (:data:`INSIDE`). Means are closed: a helix does not change them. Cost: two array calls of
the force, of 33 and 17 angles for each piece. Own method; parabolic refinement is textbook numerics.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..cut.engagement import engagement
from ..maths.arrays import Array, frozen
from ..maths.peaks import crown_of_row
from ..setup.setup import Setup
from .edge_force import EdgeLaw, cutter_force, edge_law, mean_force
from .runout_force import runout_force

INSIDE = 1e-12
"""How near (rad) a one-sided limit is taken: the value just inside the arc counts."""

NOTHING = 1e-8
"""Part of the greatest force of a turn up to which a force is none: a tooth that has only just touched.

The one-sided limit is taken 1e-12 rad inside the arc, where a power law still has some 1e-9 of its force.
"""

CLOSE = 1e-4
"""Part of the greatest force by which a sample may be short of the best and still be looked at more finely."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Least, greatest and mean value over a turn."""

    least: float
    greatest: float
    mean: float


@dataclass(frozen=True, slots=True)
class ForceTurn:
    """Forces on the cutter over a turn, N; torque N m; power kW; energy of one chip J.

    ``fz`` is None where the law has no axial force.  ``resultant_max`` is the greatest force in the x-y plane.
    """

    fx: Spread
    fy: Spread
    fz: Spread | None
    torque: Spread
    resultant_max: float
    power_kw: float
    chip_energy_j: float


@lru_cache(maxsize=64)
def corners(setup: Setup) -> Array:
    """Tip angles (rad, ascending over one period, both ends in) where the force has a corner or jumps.

    The period is one tooth pitch, and with runout, which makes each tooth another, a turn.
    """
    law = edge_law(setup) if setup.cutter.runout_mm > 0.0 else None
    if law is not None:
        return frozen(_once(_runout_corners(setup, law)))
    e, pitch = engagement(setup), 2.0 * math.pi / setup.cutter.teeth
    meets = sorted(
        {phi % pitch for phi in (0.0, e.entry, e.exit, e.entry + e.edge_lag, e.exit + e.edge_lag)} | {pitch}
    )
    return frozen(_once(meets))


def angles_between_corners(setup: Setup, each: int, most: int, least: int) -> Array:
    """Tip angles (n,) rad over one period, ``each`` in every smooth piece, its one-sided ends in.

    Fewer, but no fewer than ``least``, where all pieces together would have more than ``most``.
    """
    meets = corners(setup)
    low, high = meets[:-1] + INSIDE, meets[1:] - INSIDE
    places = max(least, min(each, most // len(low)))
    return np.asarray((low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, places)).reshape(-1))


def _once(meets: list[float]) -> Array:
    """The corners, ascending, of which those nearer than the one-sided limits are one corner."""
    kept = [phi for last, phi in itertools.pairwise(meets) if phi - last > 4.0 * INSIDE]
    return np.array([meets[0], *kept])


def _runout_corners(setup: Setup, law: EdgeLaw) -> list[float]:
    """Corners (rad, ascending) of all teeth over a turn: each tooth's own, a pitch after the one before it."""
    found, z = runout_force(setup, law), setup.cutter.teeth
    each = np.concatenate([found.corners(j) + 2.0 * math.pi * j / z for j in range(z)]) % (2.0 * math.pi)
    return np.unique(np.concatenate([[0.0], each, [2.0 * math.pi]])).tolist()


_COARSE, _COARSER = np.linspace(0.0, 1.0, 33), np.linspace(0.0, 1.0, 7)

MANY = 100
"""Pieces of a turn from which on each is short enough for a look at few places: runout and many teeth."""

_FINER = np.linspace(0.0, 1.0, 17)
_LAST_FINER = len(_FINER) - 1
_NEIGHBOURS = np.array([[-1], [0], [1]])


def _rise(line: Array, starts: NDArray[np.intp], at: NDArray[np.intp], last: int) -> Array:
    """How far each curve may rise beside its greatest sample, at index ``at`` (m,), twice over to be sure.

    line : all curves' samples in one long row, of which curve k begins at ``starts`` (m,) and ends ``last`` on.
    By the parabola through the sample and its neighbours, at an end through the first or last three.
    """
    middle = np.minimum(np.maximum(at, 1), last - 1)
    angles = starts + middle
    a, b, c = line.take(angles + _NEIGHBOURS)
    off, bend = at - middle, a + c - 2.0 * b
    slope = 0.5 * (c - a) + off * bend
    # At an end the curve must first rise on its way into the piece.
    arched = (bend < 0.0) & (off * slope <= 0.0)
    return slope * slope / np.where(arched, -bend, np.inf)


def _extremes(setup: Setup, law: EdgeLaw) -> tuple[list[float], list[float]]:
    """Least and greatest over a turn of x, y, axial, tangential and resultant, five each.

    Between corners the curves are smooth: a look at 33 places of each piece, then a finer look about the best of
    every piece that may hold the best of all, and a parabola: good to some 1e-10 of the force.
    """
    meets = corners(setup)
    low, high = meets[:-1] + INSIDE, meets[1:] - INSIDE
    pieces = len(low)
    coarse = _COARSE if pieces < MANY else _COARSER
    last = len(coarse) - 1
    phi = low[:, None] + (high - low)[:, None] * coarse
    value = np.empty((10, phi.size))
    value[5:9] = cutter_force(phi.reshape(-1), setup, law).T
    np.hypot(value[5], value[6], out=value[9])
    np.negative(value[5:], out=value[:5])
    best = value.max(axis=1)
    # A row for each piece of each search.
    at = value.reshape(-1, len(coarse)).argmax(axis=1)
    line, starts = value.reshape(-1), np.arange(0, value.size, len(coarse))
    # The slope at an end is known but roughly: whatever is all but the best is looked at too.
    may_rise = np.maximum(_rise(line, starts, at, last), CLOSE * best[9])
    may_be = (line.take(starts + at) + may_rise).reshape(10, pieces) >= best[:, None]
    search, piece = may_be.nonzero()
    sample = len(coarse) * piece + at[may_be.reshape(-1)]
    # Many searches look about the same sample: each is looked about once.
    looked_at = np.zeros(phi.size, bool)
    looked_at[sample] = True
    places = looked_at.nonzero()[0]
    i = places % len(coarse)
    left, right = phi.take(places - (i > 0)), phi.take(places + (i < last))
    force = cutter_force(left[:, None] + (right - left)[:, None] * _FINER, setup, law)
    close = np.empty((5, len(places), len(_FINER)))
    close[:4] = force.transpose(2, 0, 1)
    np.hypot(close[0], close[1], out=close[4])
    rows, lows, highs, tops = close.tolist(), close.argmin(2).tolist(), close.argmax(2).tolist(), best.tolist()
    for k, which in zip(search.tolist(), places.searchsorted(sample).tolist(), strict=True):
        # The first five search for a least value.
        m, sign, at_best = (k, -1.0, lows) if k < 5 else (k - 5, 1.0, highs)
        top = crown_of_row(rows[m][which], at_best[m][which], _LAST_FINER, sign)
        if top > tops[k]:
            tops[k] = top
    return [-top for top in tops[:5]], tops[5:]


class _Keyed:
    """A cache key: what a force depends on; neither speed nor what holds the cutter, a title or a machine do."""

    __slots__ = ("key", "law", "setup")

    def __init__(self, setup: Setup, law: EdgeLaw) -> None:
        self.setup, self.law = setup, law
        cutter, cut = setup.cutter, setup.cut
        self.key = (
            cut.direction,
            cut.radial_engagement_mm,
            cut.axial_engagement_mm,
            cut.centre_offset_mm,
            cut.feed_per_tooth_mm,
            cutter.diameter_mm,
            cutter.teeth,
            cutter.helix_deg,
            cutter.cutting_edge_angle_deg,
            cutter.runout_mm,
            cutter.runout_angle_deg,
            law,
        )

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Keyed) and self.key == other.key


@lru_cache(maxsize=64)
def force_turn(setup: Setup) -> ForceTurn | None:
    """Forces over a turn of the cutter as it runs; None where the setup's coefficients are not known."""
    law = edge_law(setup)
    if law is None:
        return None
    fx, fy, fz, torque, resultant = _turn(_Keyed(setup, law))
    turns_a_second = setup.cut.spindle_speed_rpm / 60.0
    watts = torque.mean * 2.0 * np.pi * turns_a_second
    return ForceTurn(
        fx=fx,
        fy=fy,
        fz=fz,
        torque=torque,
        resultant_max=resultant,
        power_kw=watts / 1000.0,
        chip_energy_j=watts / (turns_a_second * setup.cutter.teeth),
    )


@lru_cache(maxsize=64)
def _turn(keyed: _Keyed) -> tuple[Spread, Spread, Spread | None, Spread, float]:
    """Forces in x, y and along the spindle, torque, and the greatest resultant of :func:`force_turn`."""
    setup, law = keyed.setup, keyed.law
    least, greatest = _extremes(setup, law)
    mean = mean_force(setup, law).tolist()
    radius_m = setup.cutter.diameter_mm / 2000.0

    level = NOTHING * greatest[4]

    def spread(i: int, scale: float = 1.0) -> Spread:
        low, high = [0.0 if abs(v) <= level else v * scale for v in (least[i], greatest[i])]
        return Spread(low, high, mean[i] * scale)

    return spread(0), spread(1), spread(2) if law.has_axial else None, spread(3, radius_m), greatest[4]
