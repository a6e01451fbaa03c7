"""The wall that is left: the cutter bent aside at the moment when an edge makes the wall.

An edge makes the wall when it passes phi = 0 (conventional) or 180 (climb); along a helix each height does so at a
time of its own, under the force of that time.  Static; a positive error leaves stock, a negative one undercuts.
Kline, DeVor, Shareef 1982 (from memory) build it the same way.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array, lag
from .cutter_bending import tip_stiffness
from .edge_force import cutter_force, edge_law
from .force_turn import INSIDE
from .setup import Setup


def wall_error(height: ArrayLike, setup: Setup) -> Array | None:
    """Signed error of the wall (mm) at heights (mm above the tip); None where it is not defined or not known.

    Not defined for a straddling cut.  The whole bend is taken at every height (the tip's), as in the report.
    """
    law, stiffness = edge_law(setup), tip_stiffness(setup)
    if law is None or stiffness is None or setup.cut.direction == "straddling":
        return None
    cutter = setup.cutter
    trailing = lag(height, np.radians(cutter.helix_deg), cutter.diameter_mm)
    if setup.cut.direction == "conventional":
        return np.asarray(cutter_force(trailing + INSIDE, setup, law)[..., 0] / stiffness)
    return np.asarray(-cutter_force(np.pi + trailing - INSIDE, setup, law)[..., 0] / stiffness)
