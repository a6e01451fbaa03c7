"""Cutting force of teeth that are all alike, exact along a helical edge; and of the cutter as it runs.

Arc-model chip; the law is that of :mod:`.edge_law`.  A cutter with runout has teeth that are not alike: its force is
that of :mod:`.runout_force`, and what is asked for here hands it on.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..cut.edges_in_arc import STRAIGHT, helical_edges, straight_edges
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..setup.setup import Setup
from .edge_law import COMPONENTS, EdgeLaw, edge_law, edge_width
from .runout_force import runout_force

__all__ = [
    "COMPONENTS",
    "EdgeLaw",
    "cutter_force",
    "edge_law",
    "edge_width",
    "mean_force",
    "tooth_force",
]


def _teeth_force(phi: Array, teeth: int, setup: Setup, law: EdgeLaw) -> Array:
    """Force (..., 4), N, of ``teeth`` even ones of which one has its tip at ``phi`` (rad, any turn).

    A helical edge has the width ``b / lag`` for each rad of lag.  The parts of the law are added up over the teeth
    before they are mixed: a few sums instead of a force for each tooth.
    """
    e, width = engagement(setup), edge_width(setup)
    if e.edge_lag < STRAIGHT:
        tips, inside = straight_edges(phi, teeth, e)
        at = law.parts_at(tips[inside])
        parts = np.zeros((len(at), *tips.shape))
        parts[:, inside] = at
        return law.mixed(np.add.reduce(parts, 1), width)
    low, high, turns = helical_edges(phi, teeth, e)
    parts = np.add.reduce(law.parts_between(low, high), 1)
    if turns:
        whole = law.parts_between(np.array(e.entry), np.array(e.exit))
        parts += turns * teeth * whole.reshape((-1,) + (1,) * phi.ndim)
    return law.mixed(parts, width / e.edge_lag)


def tooth_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of one tooth with its tip at ``phi_tip`` (rad, any turn): (..., 4), N; 0 in the air.

    With runout that of tooth 0.
    """
    if setup.cutter.runout_mm > 0.0:
        return runout_force(setup, law).tooth(0, phi_tip)
    return _teeth_force(np.asarray(phi_tip, float), 1, setup, law)


def cutter_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of all teeth with tooth 0's tip at ``phi_tip`` (rad): (..., 4), N, with the runout that there is."""
    if setup.cutter.runout_mm > 0.0:
        return runout_force(setup, law).cutter(phi_tip)
    return _teeth_force(np.asarray(phi_tip, float), setup.cutter.teeth, setup, law)


def mean_force(setup: Setup, law: EdgeLaw) -> Array:
    """Mean over a turn, (4,), N: closed over the arc; a helix does not change a mean."""
    if setup.cutter.runout_mm > 0.0:
        return runout_force(setup, law).mean
    e = engagement(setup)
    parts = law.parts_between(np.array(e.entry), np.array(e.exit))
    return law.mixed(parts, setup.cutter.teeth * edge_width(setup) / (2.0 * np.pi))
