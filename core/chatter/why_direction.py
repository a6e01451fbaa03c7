"""Why one direction is steadier: how the force of a chip lies to the axes that give, and where that turns.

A chip that grows by a little pushes the cutter along the force; the cutter moves along its modes; what of that
movement lies along the chip comes back as the next wave.  For a mode on one axis this is the oriented factor, the
diagonal of the mean direction matrix (Altintas and Budak 1995, from memory).  The soft axis with the small factor is
quiet.  A quarter turn of the arc takes a climbing cut to a conventional one and swaps the axes, so that with two
equal axes and coefficients that do not depend on the chip the direction decides nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.setup import Setup
from .directional import force_direction, mean_direction_matrix, outward
from .estimated_modes import with_modes
from .stability import ChatterCut, chatter_cut
from .zeroth_order import least_limit

FARTHEST, PLACES = 30.0, 31
"""How many times stiffer or softer an axis is looked at, and at how many places."""

ALIKE = 0.02
"""Share by which two least limits must differ to be told apart."""


@dataclass(frozen=True, slots=True, eq=False)
class Pushing:
    """One direction: its arc (rad); where on the mean a chip lies and how its force pushes, unit vectors (2,) in the
    project's frame; ``back`` (2,): the oriented factor of each axis, as a share of the tangential force of a chip,
    for each tooth; ``least_mm``: the zeroth-order limit that holds at every speed, infinite without one."""

    direction: str
    entry: float
    leave: float
    chip: Array
    force: Array
    back: Array
    least_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class WhyDirection:
    """Both directions; ``soft``: how far each axis gives in resonance, mm/N, 0 where it is rigid; ``softer``: 0
    for x, 1 for y, None where they are alike; ``steadier`` at the worst speed, None where alike; ``turns_at``: times
    its stiffness at which the softer axis makes the two alike, None where nothing near does."""

    setup: Setup
    missing: str
    ways: tuple[Pushing, ...] = ()
    soft: tuple[float, float] = (0.0, 0.0)
    softer: int | None = None
    steadier: str | None = None
    turns_at: float | None = None


def _unit(vector: Array) -> Array:
    return frozen(vector / max(float(np.hypot(*vector)), 1e-300))


def _pushing(cut: ChatterCut, direction: str) -> Pushing:
    phi = np.linspace(cut.entry, cut.leave, 181)
    slope = max(float(np.mean(cut.slopes.at(phi)[0])), 1e-300)
    # Each tooth is in the cut for its share of a turn: what it does there, not how long.
    share = (cut.leave - cut.entry) / (2.0 * math.pi) * cut.teeth
    matrix = mean_direction_matrix(cut.entry, cut.leave, cut.teeth, cut.slopes)
    return Pushing(
        direction,
        cut.entry,
        cut.leave,
        _unit(outward(phi).mean(0)),
        _unit(force_direction(phi, cut.slopes).mean(0)),
        frozen(np.diag(matrix) / (slope * share)),
        least_limit(cut.modes, cut.slopes, cut.entry, cut.leave, cut.teeth),
    )


def _difference(cuts: tuple[ChatterCut, ChatterCut], axis: int, factor: float) -> float:
    """Logarithm of the first cut's least limit over the second's, with an axis so many times as stiff."""
    limits = []
    for cut in cuts:
        stiffness = np.where(cut.modes.axis == axis, factor, 1.0)
        modes = cut.modes.scaled(stiffness=stiffness)
        limits.append(math.log(min(least_limit(modes, cut.slopes, cut.entry, cut.leave, cut.teeth), 1e9)))
    return limits[0] - limits[1]


def _turning(cuts: tuple[ChatterCut, ChatterCut], axis: int) -> float | None:
    """The factor nearest to 1 on the axis's stiffness that makes both cuts alike."""
    places = np.geomspace(1.0 / FARTHEST, FARTHEST, PLACES)
    values = [_difference(cuts, axis, float(f)) for f in places]
    best: float | None = None
    for i in np.flatnonzero(np.sign(values[:-1]) * np.sign(values[1:]) < 0.0):
        low, high = float(places[i]), float(places[i + 1])
        for _ in range(20):
            middle = math.sqrt(low * high)
            if _difference(cuts, axis, middle) * values[i] > 0.0:
                low = middle
            else:
                high = middle
        factor = math.sqrt(low * high)
        if best is None or abs(math.log(factor)) < abs(math.log(best)):
            best = factor
    return best


def why_direction(setup: Setup) -> WhyDirection:
    """Why one direction of a resolved setup is steadier.  A straddling cut has no choice of direction."""
    given, _ = with_modes(setup)
    ways = ("climb", "conventional")
    if setup.cut.direction == "straddling":
        return WhyDirection(setup, "straddling")
    cuts = chatter_cut(given.facing("climb")), chatter_cut(given.facing("conventional"))
    if cuts[0] is None or cuts[1] is None:
        return WhyDirection(setup, "no_coefficients" if given.dynamics else "no_modes")
    both = cuts[0], cuts[1]
    told = tuple(_pushing(cut, way) for cut, way in zip(both, ways, strict=True))
    modes = both[0].modes
    gives = 1.0 / (2.0 * modes.stiffness * modes.damping)
    soft = float(gives[modes.axis == 0].max(initial=0.0)), float(gives[modes.axis == 1].max(initial=0.0))
    why = WhyDirection(setup, "", told, soft)
    axis = int(soft[1] > soft[0])
    if abs(soft[0] - soft[1]) > ALIKE * max(soft):
        why = replace(why, softer=axis)
    climb, conventional = (min(way.least_mm, 1e9) for way in told)
    if abs(math.log(climb / conventional)) > ALIKE:
        why = replace(why, steadier=ways[0 if climb > conventional else 1], turns_at=_turning(both, axis))
    return why
