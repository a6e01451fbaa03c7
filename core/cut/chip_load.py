"""The chip load: cross-section of the chips that are cut at one moment, along the helical edges, all teeth.

What force and torque follow: how suddenly it grows at entry, how evenly several teeth share it.  Arc model,
without runout; exact, by the closed integral along the edge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..setup.setup import Setup
from .edges_in_arc import STRAIGHT, helical_edges, straight_edges
from .engagement import engagement


def _section(phi: Array, teeth: int, setup: Setup) -> Array:
    """Section (mm2) of ``teeth`` even ones of which one has its tip at ``phi`` (rad): see :func:`tooth_section`."""
    e, cut = engagement(setup), setup.cut
    area = cut.feed_per_tooth_mm * cut.axial_engagement_mm
    if e.edge_lag < STRAIGHT:
        tips, inside = straight_edges(phi, teeth, e)
        return np.asarray(np.add.reduce(np.where(inside, area * np.sin(tips), 0.0), 0))
    low, high, turns = helical_edges(phi, teeth, e)
    # The difference of the cosines as a product, which keeps the digits of a short piece.
    pieces = np.add.reduce(np.sin(0.5 * (low + high)) * np.sin(0.5 * (high - low)), 0)
    if turns:
        pieces = pieces + turns * teeth * np.sin(0.5 * (e.entry + e.exit)) * np.sin(0.5 * e.arc)
    return np.asarray(2.0 * area / e.edge_lag * pieces)


def tooth_section(phi_tip: ArrayLike, setup: Setup) -> Array:
    """Section (mm2) that one tooth cuts when its tip stands at ``phi_tip`` (rad, any turn).

    With a helix ``A = fz ap / lag (cos u1 - cos u2)``: the edge in the arc runs from ``u1`` to ``u2``, and
    ``ap / lag`` is the height for each radian of lag.  Without one ``A = fz ap sin(phi)``.
    """
    return _section(np.asarray(phi_tip, float), 1, setup)


def all_teeth_section(phi_tip: ArrayLike, setup: Setup) -> Array:
    """Section (mm2) that all teeth cut together when tooth 0's tip stands at ``phi_tip`` (rad).

    Its mean over a turn is ``ae ap fz z / (pi D)``: volume per turn over the way of the edge.
    """
    return _section(np.asarray(phi_tip, float), setup.cutter.teeth, setup)
