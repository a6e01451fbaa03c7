"""How far the edges in cut bend the cutter aside: each element of an edge from its own height.

An element at height ``zeta`` above the tip moves the place at height ``y`` by its force times
:meth:`core.effects.cutter_bending.HeldCutter.compliance`; all elements add up.  Gauss points on each piece of edge
that is in the arc, cut up where the compliance has a kink: at ``y``, and where flutes, neck and shank meet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
# Of pieces of a cubic and of waves of the angle and twice the angle no longer than a radian: to 1e-13 of their size.
_SHORT = gauss(7)
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
    its coefficients and from each other in the stiffness of the cutter's parts and holder, in nothing else.  What
    laws of one form have in common is worked out once too.
    """
    pieces = _pieces(height, phi, entry, leave, setup, loads, ways[0][1])
    if pieces is None:
        return np.array([_mean_bend(height, phi, entry, leave, setup, loads.under(law), bar) for law, bar in ways])
    of_form: dict[tuple[float | str, ...], Array] = {}
    moved = np.empty((len(ways), len(height)))
    for i, (law, bar) in enumerate(ways):
        if law.across_form not in of_form:
            of_form[law.across_form] = pieces.parts(law)
        moved[i] = np.bincount(pieces.row, np.array(counts(loads, law, bar)) @ of_form[law.across_form], len(height))
    return moved


def bend_parts(
    height: Array, phi: Array, entry: ArrayLike, leave: ArrayLike, setup: Setup, loads: EdgeLoads, held: HeldCutter
) -> Array | None:
    """What :func:`bend` is a sum of, (parts, n), by :func:`counts`; None where the load is taken as its mean.

    With the counts of another law of the same form, or of a bar that only is otherwise stiff, it is their movement.
    """
    pieces = _pieces(height, phi, entry, leave, setup, loads, held)
    if pieces is None:
        return None
    parts = pieces.parts(loads.law)
    return np.array([np.bincount(pieces.row, part, len(height)) for part in parts])


def counts(loads: EdgeLoads, law: EdgeLaw, held: HeldCutter) -> list[float]:
    """What each of :func:`bend_parts` counts under a law and a bar: those of the law over each part of the bar."""
    gives = [loads.per_mm / ei for ei in held.stiffnesses]
    if math.isfinite(held.holder):
        gives.append(loads.per_mm / held.holder)
    shares = law.across_shares
    return [give * share for give in gives for share in shares]


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Pieces (m,) of edge in the arc: the place (an index) that each moves, its length (mm), and k points on it.

    chips : thickness (mm), sine and cosine, (m, k); areas : of each part of the bar, (m, k); weights (k,); holder :
    whether it gives.
    """

    row: NDArray[np.intp]
    length: Array
    chips: tuple[Array, Array, Array]
    areas: tuple[Array, ...]
    weights: Array
    holder: bool

    def parts(self, law: EdgeLaw) -> Array:
        """Each part of the law over each part of the bar, flutes first, the holder last: (parts, m)."""
        of_law = law.across_parts(*self.chips)
        over = [of_law * area for area in self.areas]
        if self.holder:
            over.append(of_law)
        both = over[0] if len(over) == 1 else np.concatenate(over)
        return np.asarray((both.reshape(-1, len(self.weights)) @ self.weights).reshape(len(both), -1) * self.length)


def _in_arc(entry: ArrayLike, leave: ArrayLike, loads: EdgeLoads) -> tuple[Array, Array]:
    """First and last angle (panels, 1 or n) rad of each panel within the arc."""
    first = np.minimum(np.maximum(loads.first[:, None], entry), leave)
    return first, np.minimum(np.maximum(loads.last[:, None], entry), leave)


def _pieces(
    height: Array, phi: Array, entry: ArrayLike, leave: ArrayLike, setup: Setup, loads: EdgeLoads, held: HeldCutter
) -> _Pieces | None:
    """The pieces of edge that bend the cutter at each place; None where they are more than MOST_EDGES."""
    cutter, depth, z = setup.cutter, setup.cut.axial_engagement_mm, setup.cutter.teeth
    slope = lag_per_mm(cutter.helix_deg, cutter.diameter_mm)
    wound = slope * depth
    winds = 1 + int((np.pi + wound) / (2.0 * np.pi))
    if winds * z > MOST_EDGES:
        return None
    first, last = _in_arc(entry, leave, loads)
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
    if isinstance(loads.law.law, PowerLaw):
        share, part = _CROWDED
    else:
        share, part = _SHORT if wound <= 1.0 else _EVEN
    length = high - low
    zeta = low[:, None] + length[:, None] * share
    u = np.minimum(np.maximum(tips[:, None] - slope * zeta, first[:, None]), last[:, None])
    areas = held.areas(height[row][:, None], zeta)
    return _Pieces(row, length, loads.chips(panel, u), areas, part, math.isfinite(held.holder))


def _mean_bend(
    height: Array, phi: Array, entry: ArrayLike, leave: ArrayLike, setup: Setup, loads: EdgeLoads, held: HeldCutter
) -> Array:
    """Movement under the mean load of a turn, even along the depth: what very many pieces of edge add up to."""
    first, last = _in_arc(entry, leave, loads)
    share, part = gauss(24)
    u = first[..., None] + (last - first)[..., None] * share
    force = np.stack([loads.across(np.arange(len(u)), u[:, i]) for i in range(u.shape[1])], axis=1)
    each_mm = (force @ part * (last - first)).sum(axis=0) / (2.0 * np.pi)
    depth = setup.cut.axial_engagement_mm
    below, above = height[:, None] * share, height[:, None] + (depth - height[:, None]) * share
    bent = (held.compliance(height[:, None], below) @ part) * height
    bent += (held.compliance(height[:, None], above) @ part) * (depth - height)
    return np.asarray(each_mm * bent)
