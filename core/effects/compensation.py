"""The offset to enter in the control so that the middle of the wall's error comes to nothing.

A path moved toward the wall by ``c`` makes the cut wider by ``c``, which changes the error: the offset is the one at
which the middle of the error over the depth, on the moved path, is the offset itself.  What remains is half of the
difference between least and greatest error, which no offset takes away.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ..setup.setup import Setup
from .wall_depth import WallProfile, wall_profile_over_depth

STEPS = 12
NEAR = 1e-9
"""How near (mm) the offset is found: far under what a control takes."""


@dataclass(frozen=True, slots=True)
class Compensation:
    """How far (mm) to move the path toward the wall, negative away from it, and what is left of the error (mm)."""

    offset: float
    remains: float


def _moved(setup: Setup, offset: float) -> WallProfile | None:
    width = setup.cut.radial_engagement_mm + offset
    if not 0.0 < width < setup.cutter.diameter_mm:
        return None
    return wall_profile_over_depth(setup.with_keys({"cut.radial_engagement_mm": width}))


@lru_cache(maxsize=16)
def compensation(setup: Setup) -> Compensation | None:
    """The offset; None where there is no wall error, or none that this cut could take (it would lose its chip)."""
    tried: list[tuple[float, float]] = []
    offset = 0.0
    for _ in range(STEPS):
        wall = _moved(setup, offset)
        if wall is None:
            return None
        middle = 0.5 * (wall.least + wall.greatest)
        off = middle - offset
        if abs(off) <= NEAR:
            return Compensation(offset, 0.5 * (wall.greatest - wall.least))
        tried.append((offset, off))
        offset = middle
        if len(tried) > 1:
            (x0, y0), (x1, y1) = tried[-2:]
            if y1 != y0:
                offset = x1 - y1 * (x1 - x0) / (y1 - y0)
    return None
