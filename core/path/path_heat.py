"""The edge's temperature along a path: that of the steady cut with the arc, feed and speed of each place.

A place of a path lasts many turns of the cutter, so the steady rhythm of :mod:`core.effects.edge_temperature` is
reached long before the arc changes; the slow warming of the whole tool is left out.  An arc with gaps is taken from
its first entry to its last exit.  Places whose arcs differ by less than :data:`ALIKE` share one computation.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..effects.edge_temperature import edge_temperature
from ..maths.arrays import Array
from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .place_setup import setup_at
from .samples import Samples

ALIKE = 0.005
"""Parts of their arc by which places may differ and still share a computation: the rise goes as about its root."""


@dataclass(frozen=True, eq=False)
class EdgeRises:
    """Greatest rise of the edge (m,) at m places, K: 0 in the air, nan where it is not known.

    ended : (m,) where the edge comes so near to the solidus that the model ends: the rise is the least it can be.
    """

    rise: Array
    ended: NDArray[np.bool_]


def edge_rises(path: PathEngagement, samples: Samples, setup: Setup) -> EdgeRises:
    """The rise at the places of ``samples``, with the resolved setup."""
    m = len(samples.s)
    rise, ended = np.zeros(m), np.zeros(m, bool)
    cuts = np.flatnonzero(np.diff(samples.engaged.first) > 0)
    if not len(cuts):
        return EdgeRises(rise, ended)
    if edge_temperature(setup) is None:
        rise[cuts] = np.nan
        return EdgeRises(rise, ended)
    entry = samples.engaged.entry[samples.engaged.first[cuts]]
    leave = samples.engaged.exit[samples.engaged.first[cuts + 1] - 1]
    speed = path.moves.speed_rpm[samples.places.move[cuts]]
    arc = np.maximum(leave - entry, 1e-6)
    # Arcs on a scale of even ratios; where they begin, in steps of a part of the arc's own size.
    size = np.round(np.log(arc) / ALIKE)
    step = ALIKE * np.exp(ALIKE * size)
    key = np.stack([size, np.round(entry / step), samples.feed[cuts], np.nan_to_num(speed)], 1)
    _, first, which = np.unique(key, axis=0, return_index=True, return_inverse=True)
    tops, over = np.full(len(first), np.nan), np.zeros(len(first), bool)
    for k, i in enumerate(cuts[first].tolist()):
        place = setup_at(path, samples, i, setup)
        heat = None if place is None else edge_temperature(place.setup)
        if heat is not None:
            tops[k], over[k] = min(heat.peak, heat.end_rise), heat.at_end
    rise[cuts], ended[cuts] = tops[which.reshape(-1)], over[which.reshape(-1)]
    return EdgeRises(rise, ended)
