"""Which part of the teeth's edges is in the arc at a moment: what section, force and torque of a cut are sums over.

A tooth's edge reaches along the helix from its tip back to ``tip - lag``.  It can be in the arc while its tip stands
between the entry and ``lag`` beyond the exit; such teeth stand a pitch apart, so that only few need be looked at.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from .angles import Array
from .engagement import Engagement

STRAIGHT = 1e-9
"""Lag over the whole depth (rad) below which the edge counts as straight."""


def straight_edges(phi: Array, teeth: int, e: Engagement) -> tuple[Array, NDArray[np.bool_]]:
    """Angle (teeth, ...) from the entry on, rad, of each of so many even teeth, one at ``phi``; whether it is in cut.

    phi : (...), rad, any turn.  The ends of the arc belong to it.
    """
    places = np.arange(teeth).reshape((-1,) + (1,) * phi.ndim)
    tips = (phi + 2.0 * np.pi / teeth * places - e.entry) % (2.0 * np.pi) + e.entry
    return tips, tips <= e.exit


def helical_edges(phi: Array, teeth: int, e: Engagement) -> tuple[Array, Array, float]:
    """Pieces of edge in the arc, from ``low`` to ``high`` (rows, ...) rad, of even teeth of which one is at ``phi``.

    phi : (...), rad, any turn.  Rows are the tooth that entered last, the one before it, and so on; what is out of
    the arc has no length.  The third is how many whole turns each edge is long: each of these has all of the arc,
    wherever the tip is, and is not in the rows.
    """
    pitch, arc = 2.0 * np.pi / teeth, e.arc
    turns, rest = divmod(e.edge_lag, 2.0 * np.pi)
    rows = max(math.ceil((arc + rest) / pitch), 1)
    tips = (phi - e.entry) % pitch + pitch * np.arange(rows).reshape((-1,) + (1,) * phi.ndim)
    low, high = np.minimum(np.maximum(tips - rest, 0.0), arc), np.minimum(tips, arc)
    return low + e.entry, high + e.entry, turns
