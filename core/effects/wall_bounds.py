"""Between which ends the size of a wall's error lies: enough, mostly, to tell whether a tolerance is kept.

Both are far cheaper than the wall over its depth (:mod:`.wall_depth`), which takes some 200 heights.  No wall is
better than it is at a few of its heights.  And no place moves further than the tip would if all the edge that can be
in cut at once pressed as hard as it can, as near to the tip as it can be.
"""

from __future__ import annotations

import math

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..maths.angles import lag_per_mm
from ..maths.arrays import Array
from ..setup.setup import Setup
from .wall import WallMaker, beyond_rounding, one_sided, wall_pieces

FEW = 8
"""Heights, at most, at which the wall is looked at for the least that its size is."""

_CELLS = np.linspace(0.0, 1.0, 33)
_FIFTHS = np.linspace(0.0, 1.0, 6)
_TRAPEZES = np.array([0.5, 1.0, 1.0, 1.0, 1.0, 0.5]) / 5.0


def _most_across(maker: WallMaker) -> tuple[Array, Array]:
    """The greatest size of the force across the feed, N for each mm of height, in cells of the arc, and their width.

    Within a cell, which ends at 90 degrees where that is in the arc, the chip grows or falls steadily, and so do both
    forces: what they are at most they are at its ends.  A tooth with runout may have any chip up to as much more as
    the longest tooth is longer than the shortest.
    """
    loads, law = maker.loads, maker.loads.law
    u = np.sort(np.append(maker.entry + (maker.leave - maker.entry) * _CELLS, math.pi / 2.0))
    u = np.minimum(np.maximum(u, maker.entry), maker.leave)
    s, c = np.maximum(np.sin(u), 0.0), np.cos(u)
    if not loads.alike:
        longer = float(loads.reach.max() - loads.reach.min()) / loads.per_mm
        most = law.most_across(law.feed * s + longer)
        return loads.per_mm * np.maximum(most[1:], most[:-1]), np.diff(u)
    none, one = np.zeros_like(s), np.ones_like(s)
    toward = law.across_chip(law.feed * s, none, one)
    against = -law.across_chip(law.feed * s, one, none) * s
    ends = np.array([toward[1:] * c[1:], toward[1:] * c[:-1], toward[:-1] * c[1:], toward[:-1] * c[:-1]])
    high = ends.max(axis=0) - np.minimum(against[1:], against[:-1])
    low = ends.min(axis=0) - np.maximum(against[1:], against[:-1])
    return loads.per_mm * np.maximum(high, -low), np.diff(u)


def most_size(setup: Setup) -> float | None:
    """A size (mm) that no error of the wall is over; None where :func:`.wall_depth.wall_profile_over_depth` is.

    The compliance of the tip falls with the height of the force along an arched curve (its second derivative by that
    height is the height over E I), so that its mean by the trapezoidal rule is no less than it is.
    """
    maker = one_sided(setup)
    if maker is None:
        return None
    depth, teeth, arc = setup.cut.axial_engagement_mm, setup.cutter.teeth, maker.leave - maker.entry
    across, widths = _most_across(maker)
    greatest = float(across.max())
    # Edges that are in the arc at one height, and at any.
    at_once = min(int(arc * teeth / (2.0 * math.pi)) + 1, teeth)
    slope = lag_per_mm(setup.cutter.helix_deg, setup.cutter.diameter_mm)
    reach = depth
    if slope * depth >= STRAIGHT and greatest > 0.0:
        edges = int((arc + slope * depth) * teeth / (2.0 * math.pi)) + 1
        reach = min(depth, edges * float(across @ widths) / (slope * greatest * at_once))
    gives = float(maker.held.compliance(0.0, reach * _FIFTHS) @ _TRAPEZES)
    return at_once * greatest * reach * gives + float(np.abs(maker.loads.reach).max())


def least_size(setup: Setup) -> float | None:
    """A size (mm) that some error of the wall has, at one of a few heights; None where there is no wall."""
    maker = one_sided(setup)
    if maker is None:
        return None
    ends = wall_pieces(maker)
    heights = ends[np.linspace(0, len(ends) - 1, min(len(ends), FEW)).astype(int)]
    error = beyond_rounding(maker.errors(heights).min(axis=0), setup)
    return float(np.abs(error).max())
