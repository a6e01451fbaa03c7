"""How far the wall's error may be from the figure: what is known only roughly, carried through the model.

Each uncertain input is moved to both ends of its spread by itself; the changes of the error are added by their
squares, upward and downward apart (the usual way for independent inputs: Guide to the expression of uncertainty in
measurement, from memory).  The spreads are the project's own unless a source prints one:

- force coefficients as :mod:`core.force.coefficient_spread` has them, tangential, radial and axial each by itself;
- the equivalent diameter of the flutes 5 % (Kops and Vo 1990);
- the holder's stiffness 30 %, the edge radius 30 %, which acts where the coefficients tell the radius they hold for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..force.coefficient_spread import CoefficientSpread, assumed_spread
from ..force.edge_law import edge_law
from ..maths.arrays import Array
from ..setup.setup import Setup
from .wall import WallMaker, beyond_rounding, one_sided
from .wall_depth import wall_profile_over_depth

ROUGHLY_KNOWN = {
    "linear-edge": (("ktc", "kte"), ("krc", "kre"), ("kac", "kae")),
    "power-law": (("kc11_n_mm2", "mc"), ("radial_ratio",)),
}
"""Coefficients of each law that are low or high together."""

EQUIVALENT_DIAMETER = 0.05
HOLDER = 0.30
EDGE_RADIUS = 0.30

Ends = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallRange:
    """Lowest and highest error (mm, signed) that the spreads allow: at the tip, at the top, over the whole depth.

    ``sure`` : at the tip it is known whether the wall keeps stock or is undercut.
    """

    tip: Ends
    top: Ends
    depth: Ends

    @property
    def sure(self) -> bool:
        """Whether the sign at the tip is the same over the whole range."""
        return self.tip[0] >= 0.0 or self.tip[1] <= 0.0

    @property
    def size(self) -> float:
        """Greatest size that the error may have over the depth, mm."""
        return max(self.depth[1], -self.depth[0])


def _other_forces(setup: Setup, spread: CoefficientSpread | None) -> Iterator[tuple[Setup, Setup]]:
    """The setup with the low and the high end of each spread of the force."""
    force = setup.work.force
    if force is not None:
        for name_group in ROUGHLY_KNOWN[force.model]:
            ends = spread or assumed_spread(force)
            laws = (
                replace(force, **{name: getattr(end, name) for name in name_group}) for end in (ends.low, ends.high)
            )
            low, high = (setup.with_keys({"work.force": law}) for law in laws)
            yield low, high
    radius = setup.cutter.edge_radius_mm
    if radius is not None:
        sizes = ((1.0 + share) * radius for share in (-EDGE_RADIUS, EDGE_RADIUS))
        low, high = (setup.with_keys({"cutter.edge_radius_mm": size}) for size in sizes)
        yield low, high


def _others(maker: WallMaker, spread: CoefficientSpread | None) -> Iterator[tuple[WallMaker, WallMaker]]:
    """What makes the wall at the low and the high end of each spread; those that change nothing are left out."""
    held, law = maker.held, maker.loads.law
    for pair in _other_forces(maker.setup, spread):
        laws = [edge_law(each) for each in pair]
        if any(found != law for found in laws):
            low, high = (replace(maker, loads=maker.loads.under(found)) for found in laws if found is not None)
            yield low, high
    bars = (
        replace(held, flutes_ei=held.flutes_ei * (1.0 + s) ** 4) for s in (-EQUIVALENT_DIAMETER, EQUIVALENT_DIAMETER)
    )
    low, high = (replace(maker, held=bar) for bar in bars)
    yield low, high
    if math.isfinite(held.holder):
        springs = (replace(held, holder=held.holder * (1.0 + share)) for share in (-HOLDER, HOLDER))
        low, high = (replace(maker, held=spring) for spring in springs)
        yield low, high


def error_ranges(maker: WallMaker, heights: Array, spread: CoefficientSpread | None = None) -> tuple[Array, Array]:
    """Lowest and highest error (n,) mm at heights (n,) mm that the spreads allow; ``spread`` of the coefficients."""
    error = maker.errors(heights).min(axis=0)
    below, above = np.zeros(heights.shape), np.zeros(heights.shape)
    for pair in _others(maker, spread):
        changes = np.array([each.errors(heights).min(axis=0) - error for each in pair])
        below += np.minimum(changes.min(axis=0), 0.0) ** 2
        above += np.maximum(changes.max(axis=0), 0.0) ** 2
    return error - np.sqrt(below), error + np.sqrt(above)


@lru_cache(maxsize=64)
def wall_range(setup: Setup, spread: CoefficientSpread | None = None) -> WallRange | None:
    """The range of the wall's error; None where there is no wall error.

    spread : of the coefficients, else the assumed one.
    """
    maker, profile = one_sided(setup), wall_profile_over_depth(setup)
    if maker is None or profile is None:
        return None
    heights = np.array([0.0, setup.cut.axial_engagement_mm, profile.least_at, profile.greatest_at])
    low, high = (beyond_rounding(end, setup) for end in error_ranges(maker, heights, spread))
    return WallRange((low.item(0), high.item(0)), (low.item(1), high.item(1)), (float(low.min()), float(high.max())))
