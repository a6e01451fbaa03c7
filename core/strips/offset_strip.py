"""What the offset of a straddling cut does, as data of a strip: how teeth meet the work and how they leave it.

A face mill that straddles its work has no direction to choose, but a place: the middle of the work beside the axis.
Arc model, without runout; attitude for straight edges with one radial rake (Kronenberg 1946, Opitz and Beckhaus 1970,
from memory).  The axis over the work's edge, so that teeth leave near 90 degrees with a full chip, is the case that
studies of fracture at the exit warn of (Pekelharing 1978, from memory; J. Eng. Ind. 106 and 110, abstracts seen).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..cut.engagement import entry_exit
from ..maths.arrays import Array, frozen
from ..setup.setup import Setup

PLACES = 121
"""Offsets of a strip."""

NEAR_DEG, THICK_MM, THICK_SHARE = (60.0, 120.0), 0.05, 0.5
"""Exit angles, chip, and its part of the greatest chip, that are warned of: from memory, and disputed."""


@dataclass(frozen=True, slots=True, eq=False)
class OffsetStrip:
    """Over offsets (n,) mm: angles at entry and exit (degrees), thickness there (mm), attitude of the face (degrees).

    ``warned`` (n,) where the axis stands near enough to the edge of the work that teeth leave thick.
    """

    offset: Array
    entry_deg: Array
    exit_deg: Array
    h_entry: Array
    h_exit: Array
    attitude_deg: Array
    warned: NDArray[np.bool_]


def room(setup: Setup) -> float:
    """Greatest offset (mm), either way, at which the work stays inside the cutter's circle."""
    return max((setup.cutter.diameter_mm - setup.cut.radial_engagement_mm) / 2.0, 0.0)


def at_offsets(offset: ArrayLike, setup: Setup) -> OffsetStrip:
    """The strip's figures at offsets (n,) mm of a straddling cut of that width."""
    offset, cutter = np.atleast_1d(np.asarray(offset, float)), setup.cutter
    entry, leave = entry_exit("straddling", cutter.diameter_mm, setup.cut.radial_engagement_mm, offset)
    top = setup.cut.feed_per_tooth_mm * math.sin(math.radians(cutter.cutting_edge_angle_deg))
    # The sine from the nearer end: 0 at 180 degrees and not rounding.
    h_entry, h_exit = (top * np.sin(np.minimum(phi, np.pi - phi)) for phi in (entry, leave))
    greatest = top * np.sin(np.clip(np.pi / 2.0, entry, leave))
    exit_deg = np.degrees(leave)
    warned = (exit_deg >= NEAR_DEG[0]) & (exit_deg <= NEAR_DEG[1]) & (h_exit > THICK_MM)
    warned &= h_exit > THICK_SHARE * greatest
    return OffsetStrip(
        frozen(offset),
        frozen(np.degrees(entry)),
        frozen(exit_deg),
        frozen(h_entry),
        frozen(h_exit),
        frozen(90.0 - np.degrees(entry) - cutter.radial_rake_deg),
        warned,
    )


@lru_cache(maxsize=16)
def offset_strip(setup: Setup) -> OffsetStrip | None:
    """The strip over every offset that the width leaves room for; None for a one-sided cut."""
    if setup.cut.direction != "straddling":
        return None
    # The ends themselves touch the circle: there the cut would be one-sided.
    end = room(setup) * (1.0 - 1e-6)
    return at_offsets(np.linspace(-end, end, PLACES), setup)
