"""How hard the entry is: the steepest rise of the force over a turn, and the jump where a straight edge strikes.

The rise is that over one degree of turning, whatever the edge: a straight edge meets the work along its whole depth
at once, an edge of little helix within a fraction of a degree, and both strike alike.  A derivative would grow
without bound as the helix goes to 0, and be a small figure at 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..maths.peaks import greatest_between
from ..setup.setup import Setup
from .edge_force import cutter_force, edge_law
from .force_turn import INSIDE, corners

BASIS_DEG = 1.0
"""Turning over which the rise is taken, degrees."""


@dataclass(frozen=True, slots=True)
class ForceRise:
    """Steepest growth of the force in the plane over a degree, N for each degree and each ms; greatest jump, N.

    The jump is the shock of a straight edge, which is in the rise too; 0 for an edge with a helix.
    """

    n_per_degree: float
    n_per_ms: float
    jump_n: float


@lru_cache(maxsize=64)
def force_rise(setup: Setup) -> ForceRise | None:
    """The steepest rise over a turn; None where the coefficients are not known.

    Looked for between the corners of the force and the places a degree before them, one-sided ends included.
    """
    law = edge_law(setup)
    if law is None:
        return None
    meets = corners(setup)
    period, step = float(meets[-1]), math.radians(BASIS_DEG)

    def size(phi: Array) -> Array:
        force = cutter_force(phi, setup, law)
        return np.hypot(force[..., 0], force[..., 1])

    def rise(phi: Array) -> Array:
        return (size(phi + step) - size(phi))[None]

    places = np.unique(np.concatenate([meets, (meets - step) % period]))
    # A rise that begins just before a jump and one that ends just after it are distinguished by both sides of it.
    steepest = max(float(greatest_between(rise, places, 2.0 * INSIDE)[0]), 0.0)
    jump = 0.0
    if engagement(setup).edge_lag < STRAIGHT:
        before, after = size(meets - 2.0 * INSIDE), size(meets + 2.0 * INSIDE)
        jump = float((after - before).max())
        # Rounding beside a corner is no jump.
        jump = jump if jump > 1e-6 * max(float(after.max()), float(before.max()), 1e-300) else 0.0
        steepest = max(steepest, float((size(meets + step - 2.0 * INSIDE) - before).max()))
    ms = 360.0 * setup.cut.spindle_speed_rpm / 60_000.0
    return ForceRise(steepest / BASIS_DEG, steepest / BASIS_DEG * ms, jump)
