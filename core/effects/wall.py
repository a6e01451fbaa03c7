"""The wall that is left: the cutter bent aside at the moment when an edge makes the wall.

An edge makes the wall when it passes phi = 0 (conventional) or 180 (climb); along a helix each height does so at a
time of its own, under the force of that time.  Static; a positive error leaves stock, a negative one undercuts.
Kline, DeVor, Shareef 1982 (from memory) build it the same way.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from ..force.edge_force import EdgeLaw, cutter_force, edge_law
from ..force.force_turn import INSIDE, NOTHING, force_turn
from ..maths.angles import lag
from ..maths.arrays import Array
from ..setup.setup import Setup
from .cutter_bending import tip_stiffness


def makes_wall(height: ArrayLike, setup: Setup) -> tuple[Array, float]:
    """Tip angle (rad) at which the edge at ``height`` (mm) makes the wall, and the sign from movement to error."""
    trailing = lag(height, math.radians(setup.cutter.helix_deg), setup.cutter.diameter_mm)
    if setup.cut.direction == "conventional":
        return np.asarray(trailing + INSIDE), 1.0
    return np.asarray(np.pi + trailing - INSIDE), -1.0


def error_of(height: ArrayLike, setup: Setup, law: EdgeLaw, stiffness: float) -> Array:
    """Signed error (mm) at heights (mm) of a one-sided cut under that law: the tip's whole bend at every height."""
    phi, sign = makes_wall(height, setup)
    return np.asarray(sign * cutter_force(phi, setup, law)[..., 0] / stiffness)


def wall_error(height: ArrayLike, setup: Setup) -> Array | None:
    """Signed error of the wall (mm) at heights (mm above the tip); None where it is not defined or not known.

    Not defined for a straddling cut.  The whole bend is taken at every height (the tip's), as in the report.  What
    is but rounding beside the greatest force is 0: an edge that has only just touched makes a true wall.
    """
    law, stiffness, turn = edge_law(setup), tip_stiffness(setup), force_turn(setup)
    if law is None or stiffness is None or turn is None or setup.cut.direction == "straddling":
        return None
    return beyond_rounding(error_of(height, setup, law, stiffness), turn.resultant_max / stiffness)


def beyond_rounding(error: ArrayLike, greatest: float) -> Array:
    """Errors (mm) of which those are 0 that are but rounding beside the ``greatest`` bend (mm) of a turn."""
    return np.where(np.abs(error) <= NOTHING * greatest, 0.0, error)
