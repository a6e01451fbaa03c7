"""Which part of the teeth's edges is in the arc at a moment: what section, force and torque of a cut are sums over.

A tooth's edge reaches along the helix from its tip back to ``tip - lag``.  It can be in the arc while its tip stands
between the entry and ``lag`` beyond the exit; such teeth stand a pitch apart, so that only few need be looked at.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..maths.arrays import Array
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
    pitch, arc = 2.0 * math.pi / teeth, e.arc
    turns, rest = divmod(e.edge_lag, 2.0 * math.pi)
    rows = max(math.ceil((arc + rest) / pitch), 1)
    # Lower ends of the edges, then their tips, as angles from the entry on.
    ends = np.empty((2, rows, *phi.shape))
    np.add((phi - e.entry) % pitch, _steps(pitch, rows, phi.ndim), out=ends[1])
    np.subtract(ends[1], rest, out=ends[0])
    np.maximum(ends[0], 0.0, out=ends[0])
    np.minimum(ends, arc, out=ends)
    ends += e.entry
    return ends[0], ends[1], turns


@lru_cache(maxsize=64)
def _steps(pitch: float, rows: int, ndim: int) -> Array:
    """How far (rad) each tooth in a row is behind the first, (rows, 1, ...) to go with angles of ``ndim`` axes."""
    steps = np.asarray(pitch * np.arange(rows).reshape((-1,) + (1,) * ndim), float)
    steps.setflags(write=False)
    return steps
