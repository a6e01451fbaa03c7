"""How far the edges in cut bend the cutter aside: each element of an edge from its own height.

An element at height ``zeta`` above the tip moves the place at height ``y`` by its force times
:meth:`core.effects.cutter_bending.HeldCutter.compliance`; all elements add up.  Gauss points on each piece of edge
that is in the arc, cut up where the compliance has a kink: at ``y``, and where flutes, neck and shank meet.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from ..cut.edges_in_arc import STRAIGHT
from ..force.edge_law import EdgeLaw
from ..maths.angles import lag_per_mm
from ..maths.arrays import Array
from ..maths.gauss import gauss, gauss_crowded
from ..setup.setup import PowerLaw, Setup
from .cutter_bending import HeldCutter
from .edge_loads import EdgeLoads

MOST_EDGES = 512
"""Pieces of edge beyond which the load is taken as its mean: a cutter that winds round and round its axis."""


_EVEN = gauss(10)
# Crowded toward both ends of a piece, where the power law begins with h^(1 - mc): shares of the piece and weights.
_CROWDED = gauss_crowded(14)


def bend(
    height: Array, phi: Array, entry: ArrayLike, leave: ArrayLike, setup: Setup, loads: EdgeLoads, held: HeldCutter
) -> Array:
    """Movement (n,) mm in x of places at ``height`` (n,) mm with tooth 0's tip at ``phi`` (n,) rad.

    entry, leave : ends of the arc, rad, one for all or (n,).
    """
    return bends(height, phi, entry, leave, setup, loads, [(loads.law, held)])[0]


def bends(
    height: Array,
    phi: Array,
    entry: ArrayLike,
    leave: ArrayLike,
    setup: Setup,
    loads: EdgeLoads,
    ways: Sequence[tuple[EdgeLaw, HeldCutter]],
) -> Array:
    """As :func:`bend`, (ways, n), of the same edges under several laws and held in several ways.

    Where the edges are does not depend on either: it is worked out once.  ``ways`` differ from the loads' own law in
    its coefficients and from each other in the stiffness of the cutter's parts and holder, in nothing else.
    """
    held = ways[0][1]
    cutter, depth, z = setup.cutter, setup.cut.axial_engagement_mm, setup.cutter.teeth
    slope = lag_per_mm(cutter.helix_deg, cutter.diameter_mm)
    wound = slope * depth
    winds = 1 + int((np.pi + wound) / (2.0 * np.pi))
    first = np.minimum(np.maximum(loads.first[:, None], entry), leave)
    last = np.minimum(np.maximum(loads.last[:, None], entry), leave)
    if winds * z > MOST_EDGES:
        return np.array([_mean_bend(height, first, last, setup, loads.under(law), bar) for law, bar in ways])
    tips = (phi - (2.0 * np.pi / z) * loads.tooth[:, None]) % (2.0 * np.pi)
    panel = np.arange(len(loads.tooth))
    if winds > 1:
        tips = (tips + 2.0 * np.pi * np.arange(winds)[:, None, None]).reshape(-1, len(height))
        panel = np.tile(panel, winds)
        first, last = np.tile(first, (winds, 1)), np.tile(last, (winds, 1))
    if wound < STRAIGHT:
        slope = 0.0
        low = np.zeros(tips.shape)
        high = np.where((tips >= first) & (tips <= last) & (last > first), depth, 0.0)
    else:
        low = np.minimum(np.maximum((tips - last) / slope, 0.0), depth)
        high = np.minimum(np.maximum((tips - first) / slope, 0.0), depth)
    piece, row = np.nonzero(high > low)
    low, high, tips = low[piece, row], high[piece, row], tips[piece, row]
    wide = first.shape[1] > 1
    first, last = [a[piece, row] if wide else a[piece, 0] for a in (first, last)]
    panel = panel[piece]
    for joint in (None, *[joint for joint in held.joints if joint < depth]):
        at = height[row] if joint is None else np.full(row.shape, joint)
        split = ((low < at) & (at < high)).nonzero()[0]
        if split.size:
            cut = at[split]
            row, tips, panel, first, last = [np.concatenate([v, v[split]]) for v in (row, tips, panel, first, last)]
            low = np.concatenate([low, cut])
            high = np.concatenate([high, high[split]])
            high[split] = cut
    share, part = _CROWDED if isinstance(loads.law.law, PowerLaw) else _EVEN
    zeta = low[:, None] + (high - low)[:, None] * share
    u = np.minimum(np.maximum(tips[:, None] - slope * zeta, first[:, None]), last[:, None])
    chips, place = loads.chips(panel, u), height[row][:, None]
    length = high - low
    # What several ways share, such as the law of all that differ in the holder, is worked out once.
    pressing: dict[int, Array] = {}
    giving: dict[int, Array] = {}
    moved = np.empty((len(ways), len(height)))
    for i, (law, bar) in enumerate(ways):
        if id(law) not in pressing:
            pressing[id(law)] = law.across_chip(*chips) * loads.per_mm
        if id(bar) not in giving:
            giving[id(bar)] = bar.compliance(place, zeta)
        moved[i] = np.bincount(row, ((pressing[id(law)] * giving[id(bar)]) @ part) * length, len(height))
    return moved


def _mean_bend(height: Array, first: Array, last: Array, setup: Setup, loads: EdgeLoads, held: HeldCutter) -> Array:
    """Movement under the mean load of a turn, even along the depth: what very many pieces of edge add up to."""
    share, part = gauss(24)
    u = first[..., None] + (last - first)[..., None] * share
    force = np.stack([loads.across(np.arange(len(u)), u[:, i]) for i in range(u.shape[1])], axis=1)
    each_mm = (force @ part * (last - first)).sum(axis=0) / (2.0 * np.pi)
    depth = setup.cut.axial_engagement_mm
    below, above = height[:, None] * share, height[:, None] + (depth - height[:, None]) * share
    bent = (held.compliance(height[:, None], below) @ part) * height
    bent += (held.compliance(height[:, None], above) @ part) * (depth - height)
    return np.asarray(each_mm * bent)
