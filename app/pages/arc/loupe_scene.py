"""What the loupe shows that follows from the results alone: how much it takes in, and the wall's waves."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from core.effects.wall_marks import wall_profile
from core.maths.arrays import Array, frozen
from core.setup.setup import Setup

TIP_LEFT, TIP_BELOW = 0.18, 0.42
"""How far the tip is to the left of the loupe's middle and below it, in the loupe's radii."""

THICKEST, EDGES = 0.62, 1.6
"""Part of the loupe's radius that a chip at the end of the scale takes at most, and the edge radii that it shows
where these are more."""

AT_WALL = 6.0
"""Degrees from the wall within which the waves are shown."""


def seen_mm(setup: Setup, top: float) -> float:
    """Length (mm) that :data:`THICKEST` of the loupe's radius stands for; ``top`` : end of the thickness scale."""
    return max(top, EDGES * (setup.cutter.edge_radius_mm or 0.0))


def waves_at(setup: Setup, top: float, angle_deg: float) -> Array | None:
    """The wall's waves where the tip at that angle makes a wall, (n, 2) mm beside and above it; None elsewhere."""
    direction = setup.cut.direction
    if direction == "conventional":
        return _waves(setup, top, 1) if abs(angle_deg) < AT_WALL else None
    return _waves(setup, top, -1) if direction == "climb" and abs(angle_deg - 180.0) < AT_WALL else None


@lru_cache(maxsize=8)
def _waves(setup: Setup, top: float, side: int) -> Array:
    radius = seen_mm(setup, top) / THICKEST
    along = np.linspace((TIP_LEFT - 1.0) * radius, (TIP_LEFT + 1.0) * radius, 80)
    return frozen(np.array([along, wall_profile(along, setup, side)]).T)
