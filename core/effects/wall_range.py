"""How far the wall's error may be from the figure: what is known only roughly, carried through the model.

Coefficients and edge as :mod:`core.force.coefficient_spread` has them, and by the same rule the equivalent diameter
of the flutes, 5 % (Kops and Vo 1990), and the holder's stiffness, 30 % (ours).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..force.coefficient_spread import CoefficientSpread, edges_at_ends
from ..force.edge_law import EdgeLaw, law_of_edge
from ..maths.arrays import Array, frozen
from ..setup.setup import Cutter, Setup, Work
from .cutter_bending import HeldCutter
from .edge_bend import counts
from .edge_loads import EdgeLoads
from .wall import WallMaker, beyond_rounding, one_sided
from .wall_depth import wall_profile_over_depth

EQUIVALENT_DIAMETER = 0.05
HOLDER = 0.30
BAND_HEIGHTS = 25

CLEAR = 1e-6
"""Part of a range by which it must keep away from 0 for its sign to be clear without the range itself."""

Ends = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallRange:
    """Lowest and highest error (mm, signed) that the spreads allow: at the tip, at the top, over the whole depth.

    ``least``, ``greatest`` : at the heights where the error itself is least and greatest.
    ``sure`` : at the tip it is known whether the wall keeps stock or is undercut.
    """

    tip: Ends
    top: Ends
    depth: Ends
    least: Ends
    greatest: Ends

    @property
    def sure(self) -> bool:
        """Whether the sign at the tip is the same over the whole range."""
        return self.tip[0] >= 0.0 or self.tip[1] <= 0.0

    @property
    def size(self) -> float:
        """Greatest size that the error may have over the depth, mm."""
        return max(self.depth[1], -self.depth[0])

    @property
    def sizes(self) -> Ends:
        """Lowest and highest that the greatest size over the depth may be, mm."""
        return max(max(low, -high, 0.0) for low, high in (self.tip, self.top, self.least, self.greatest)), self.size


@lru_cache(maxsize=16)
def _other_laws(
    cutter: Cutter, work: Work, feed: float, spread: CoefficientSpread | None
) -> tuple[tuple[EdgeLaw, EdgeLaw], ...]:
    """The law of the edge at the low and the high end of each spread of the force that changes it.

    By all that it depends on, so that a cut of another width or depth meets it again; ``feed`` per tooth in mm.
    """
    edges = [edge for pair in edges_at_ends(cutter, work, spread) for edge in pair]
    law = law_of_edge(cutter, work, feed)
    laws = [each for edge in edges if (each := law_of_edge(*edge, feed)) is not None]
    pairs = zip(laws[::2], laws[1::2], strict=True)
    return tuple((low, high) for low, high in pairs if low != law or high != law)


@lru_cache(maxsize=16)
def _otherwise_held(held: HeldCutter) -> tuple[tuple[HeldCutter, HeldCutter], ...]:
    """The cutter at the low and the high end of each spread of its stiffness."""
    ends = (-EQUIVALENT_DIAMETER, EQUIVALENT_DIAMETER)
    low, high = (replace(held, flutes_ei=held.flutes_ei * (1.0 + share) ** 4) for share in ends)
    if not math.isfinite(held.holder):
        return ((low, high),)
    soft, stiff = (replace(held, holder=held.holder * (1.0 + share)) for share in (-HOLDER, HOLDER))
    return (low, high), (soft, stiff)


def _ways(
    law: EdgeLaw, held: HeldCutter, cutter: Cutter, work: Work, feed: float, spread: CoefficientSpread | None
) -> list[tuple[EdgeLaw, HeldCutter]]:
    """Law and bar of the figure itself, then at the low and the high end of each spread that changes anything."""
    ways = [(law, held), *[(other, held) for pair in _other_laws(cutter, work, feed, spread) for other in pair]]
    return ways + [(law, other) for pair in _otherwise_held(held) for other in pair]


@lru_cache(maxsize=16)
def _counts(loads: EdgeLoads, held: HeldCutter, cutter: Cutter, work: Work, feed: float) -> Array | None:
    """What the parts of a bend count in each of :func:`_ways`, (ways, parts); None where laws differ in form."""
    ways = _ways(loads.law, held, cutter, work, feed, None)
    if any(law.across_form != loads.law.across_form for law, _ in ways):
        return None
    return frozen(np.array([counts(loads, law, bar) for law, bar in ways]))


def error_ranges(maker: WallMaker, heights: Array, spread: CoefficientSpread | None = None) -> tuple[Array, Array]:
    """Lowest and highest error (n,) mm at heights (n,) mm that the spreads allow; ``spread`` of the coefficients."""
    cutter, work, feed = maker.setup.cutter, maker.setup.work, maker.setup.cut.feed_per_tooth_mm
    ways = _ways(maker.loads.law, maker.held, cutter, work, feed, spread)
    return _ends(maker.errors_under(ways, heights).min(axis=1))


def _ends(errors: Array) -> tuple[Array, Array]:
    """Lowest and highest (n,) of a figure and of what it is at both ends of each input, (1 + 2 inputs, n)."""
    error, changes = errors[0], errors[1:].reshape(-1, 2, errors.shape[1]) - errors[0]
    below = (np.minimum(changes.min(axis=1), 0.0) ** 2).sum(axis=0)
    above = (np.maximum(changes.max(axis=1), 0.0) ** 2).sum(axis=0)
    return error - np.sqrt(below), error + np.sqrt(above)


def sure_at_tip(setup: Setup) -> bool:
    """Whether the sign of the error at the tip is known, as :attr:`WallRange.sure`; True where there is no error.

    Mostly out of what the profile knows of the tip, so that a step of a drag does not pay for a range.
    """
    maker, profile = one_sided(setup), wall_profile_over_depth(setup)
    if maker is None or profile is None:
        return True
    feed = setup.cut.feed_per_tooth_mm
    counted = _counts(maker.loads, maker.held, setup.cutter, setup.work, feed)
    if counted is not None and profile.tip_parts is not None:
        low, high = _ends(maker.errors_of_parts(profile.tip_parts, counted).min(axis=1)[:, None])
        # What is nearly the sign's end is left to the range itself: the two differ by rounding.
        if low.item() > CLEAR * high.item() or high.item() < CLEAR * low.item():
            return True
    spread = wall_range(setup)
    return spread is None or spread.sure


@lru_cache(maxsize=16)
def wall_band(setup: Setup) -> tuple[Array, Array, Array] | None:
    """Heights (n,) mm from tip to top, and the lowest and highest error (n,) mm there; None without a wall error."""
    maker = one_sided(setup)
    if maker is None or wall_profile_over_depth(setup) is None:
        return None
    heights = np.linspace(0.0, setup.cut.axial_engagement_mm, BAND_HEIGHTS)
    low, high = error_ranges(maker, heights)
    return frozen(heights), frozen(low), frozen(high)


@lru_cache(maxsize=64)
def wall_range(setup: Setup, spread: CoefficientSpread | None = None) -> WallRange | None:
    """The range of the wall's error; None where there is no wall error.

    spread : of the coefficients, else the known one.
    """
    maker, profile = one_sided(setup), wall_profile_over_depth(setup)
    if maker is None or profile is None:
        return None
    heights = np.array([0.0, setup.cut.axial_engagement_mm, profile.least_at, profile.greatest_at])
    low, high = beyond_rounding(error_ranges(maker, heights, spread), setup)
    tip, top, least, greatest = zip(low.tolist(), high.tolist(), strict=True)
    return WallRange(tip, top, (float(low.min()), float(high.max())), least, greatest)
