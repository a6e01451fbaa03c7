"""The chip load: cross-section of the chips that are cut at one moment, along the helical edges, all teeth.

What force and torque follow: how suddenly it grows at entry, how evenly several teeth share it.  Arc model,
without runout; exact, by the closed integral along the edge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array
from .engagement import engagement
from .setup import Setup

NO_HELIX = 1e-9
"""Lag over the whole depth (rad) below which the edge counts as straight."""


def tooth_section(phi_tip: ArrayLike, setup: Setup) -> Array:
    """Section (mm2) that one tooth cuts when its tip stands at ``phi_tip`` (rad, any turn).

    With a helix ``A = fz ap / lag (cos u1 - cos u2)``: the edge in the arc runs from ``u1`` to ``u2``, and
    ``ap / lag`` is the height for each radian of lag.  Without one ``A = fz ap sin(phi)``.
    """
    e, cut = engagement(setup), setup.cut
    area = cut.feed_per_tooth_mm * cut.axial_engagement_mm
    phi = np.asarray(phi_tip, float)
    base = (phi - e.entry) % (2.0 * np.pi) + e.entry
    if e.edge_lag < NO_HELIX:
        return np.where((base >= e.entry) & (base <= e.exit), area * np.sin(base), 0.0)

    def up_to(x: Array) -> Array:
        """Of all that lies in the arc below the angle ``x``, whole turns included."""
        turns = np.floor((x - e.entry) / (2.0 * np.pi))
        rest = np.maximum(np.minimum(x - 2.0 * np.pi * turns, e.exit), e.entry)
        return turns * (np.cos(e.entry) - np.cos(e.exit)) - np.cos(rest)

    return np.asarray(area / e.edge_lag * (up_to(base) - up_to(base - e.edge_lag)))


def all_teeth_section(phi_tip: ArrayLike, setup: Setup) -> Array:
    """Section (mm2) that all teeth cut together when tooth 0's tip stands at ``phi_tip`` (rad).

    Its mean over a turn is ``ae ap fz z / (pi D)``: volume per turn over the way of the edge.
    """
    phi = np.asarray(phi_tip, float)
    teeth = setup.cutter.teeth
    each = phi + (2.0 * np.pi / teeth) * np.arange(teeth).reshape((-1,) + (1,) * phi.ndim)
    return np.asarray(tooth_section(each, setup).sum(axis=0))
