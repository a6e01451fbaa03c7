"""Between which figures those lie that a reason compares: what is known roughly, carried to each of them.

Forces and the wall have the ranges of :mod:`core.force.force_range` and :mod:`core.effects.wall_range`, the depth
that chatters that of its draws, the arc that an edge slides over that of the published ratios of least chip and of
the edge radius.  The level of the heat has none of its own: it is within 50 % at best, the same both ways.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from ..chatter.both_ways import holding
from ..effects.rubbing import PUBLISHED_RATIOS, rubbing
from ..effects.wall_range import wall_range
from ..force.coefficient_spread import ends_by_squares
from ..force.force_range import Ends, ForceRange, SpreadRange, force_range
from ..setup.setup import Setup
from .draws import EDGE_RADIUS

ROUGH = ("pull", "error", "stability", "rub", "heat", "thin_wall", "lift")
"""Reasons whose figures are known so roughly that two digits are all that they have."""


def pull_range(setup: Setup) -> Ends | None:
    """Ends of the greatest pull on the table, N; a push all the way is no pull."""
    found = force_range(setup)
    if found is None:
        return None
    pull = found.fy.greatest
    return Ends(max(pull.low, 0.0), max(pull.high, 0.0))


def _margin(setup: Setup) -> Ends | None:
    """Ends of what friction and preload leave over the greatest pull, N."""
    found, hold = force_range(setup), None if setup.machine is None else setup.machine.hold_n
    if found is None or hold is None:
        return None
    return Ends(hold - found.fy.greatest.high, hold - found.fy.greatest.low)


def _wall(setup: Setup) -> Ends | None:
    found = wall_range(setup)
    return None if found is None else Ends(*found.sizes)


def _deepest(setup: Setup) -> Ends | None:
    """Ends of the depth that chatters; None where draws have none up to 10 D, or were not made."""
    found = holding(setup) if setup.dynamics else None
    if found is None or found.low_mm is None or found.high_mm is None:
        return None
    return Ends(found.low_mm, found.high_mm)


def _slides_in(setup: Setup) -> Ends | None:
    """Ends of the arc that a tooth slides in over, degrees."""

    def slid(changed: Setup) -> float:
        found = rubbing(changed)
        assert found is not None
        return math.degrees(found.entry)

    radius, chip = setup.cutter.edge_radius_mm, setup.work.chip
    if radius is None or rubbing(setup) is None:
        return None
    least = min(PUBLISHED_RATIOS[0], chip.min_chip_ratio), max(PUBLISHED_RATIOS[1], chip.min_chip_ratio)
    edge = (1.0 - EDGE_RADIUS) * radius, (1.0 + EDGE_RADIUS) * radius
    # An end may lie beyond what a document may say: it is no setup that anybody asks for.
    works = [replace(setup, work=replace(setup.work, chip=replace(chip, min_chip_ratio=end))) for end in least]
    edges = [replace(setup, cutter=replace(setup.cutter, edge_radius_mm=end)) for end in edge]
    moved = [(slid(low), slid(high)) for low, high in (works, edges)]
    low, high = ends_by_squares(slid(setup), moved)
    return Ends(max(low, 0.0), high)


def _size(part: Callable[[ForceRange], SpreadRange | None]) -> Callable[[Setup], Ends | None]:
    """Ends of the greatest size of one component of the force over a turn, N."""

    def size(setup: Setup) -> Ends | None:
        found = force_range(setup)
        over = None if found is None else part(found)
        if over is None:
            return None
        low = max(over.greatest.low, -over.least.high, 0.0)
        return Ends(low, max(over.greatest.high, -over.least.low, low))

    return size


RANGES_OF: dict[str, Callable[[Setup], Ends | None]] = {
    "pull": _margin,
    "error": _wall,
    "stability": _deepest,
    "rub": _slides_in,
    "thin_wall": _size(lambda found: found.fx),
    "lift": _size(lambda found: found.fz),
}
"""What each reason's figure of one direction lies between."""


@lru_cache(maxsize=64)
def reason_range(id: str, setup: Setup) -> Ends | None:
    """Ends of a reason's figure in the direction in which the setup is milled; None where it has no range."""
    found = RANGES_OF.get(id)
    return None if found is None else found(setup)
