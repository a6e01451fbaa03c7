"""How hard the entry is: the steepest rise of the force over a turn, and the jump where a straight edge strikes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..setup.setup import Setup
from .edge_force import EdgeLaw, cutter_force, edge_law, edge_width
from .force_turn import INSIDE, corners

_SHARES = np.linspace(0.0, 1.0, 33)


@dataclass(frozen=True, slots=True)
class ForceRise:
    """Steepest growth of the force in the plane: N for each degree and each ms of turning; greatest sudden jump, N.

    A straight edge meets the work along its whole depth at once: its jump is the shock, and the rise beside it that
    of the curve between jumps.
    """

    n_per_degree: float
    n_per_ms: float
    jump_n: float


def _rate(phi: Array, setup: Setup, law: EdgeLaw) -> Array:
    """Derivative (..., 2) of the force in x and y by angle, N/rad: closed for a helical edge, else by differences."""
    e, z = engagement(setup), setup.cutter.teeth
    if e.edge_lag < STRAIGHT:
        step = 1e-6
        ends = cutter_force(np.stack([phi - step, phi + step]), setup, law)[..., :2]
        return np.asarray((ends[1] - ends[0]) / (2.0 * step))
    each = phi + 2.0 * np.pi / z * np.arange(z).reshape((-1,) + (1,) * phi.ndim)

    def here(u: Array) -> Array:
        """The law where the edge at angle ``u`` is in the arc, else 0."""
        base = (u - e.entry) % (2.0 * np.pi) + e.entry
        inside = (base <= e.exit)[..., None]
        return np.asarray(np.where(inside, law.at(np.minimum(base, e.exit))[..., :2], 0.0))

    # The edge gains at the tip and loses at full depth.
    return np.asarray(edge_width(setup) / e.edge_lag * (here(each) - here(each - e.edge_lag)).sum(axis=0))


@lru_cache(maxsize=64)
def force_rise(setup: Setup) -> ForceRise | None:
    """The steepest rise over a turn; None where the coefficients are not known.

    Looked for at 33 places of each piece between two corners of the force, their one-sided ends included.
    """
    law = edge_law(setup)
    if law is None:
        return None
    meets = corners(setup)
    # Differences of a straight edge must not reach over a jump.
    margin = 2e-6 if engagement(setup).edge_lag < STRAIGHT else INSIDE
    pieces = np.diff(meets) > 4.0 * margin
    low, high = meets[:-1][pieces] + margin, meets[1:][pieces] - margin
    phi = low[:, None] + (high - low)[:, None] * _SHARES
    force, rate = cutter_force(phi, setup, law)[..., :2], _rate(phi, setup, law)
    size = np.hypot(force[..., 0], force[..., 1])
    # Where there is no force yet its size grows as fast as the force itself.
    along = np.where(
        size > 1e-9 * size.max(initial=0.0),
        (force * rate).sum(-1) / np.where(size > 0.0, size, 1.0),
        np.hypot(rate[..., 0], rate[..., 1]),
    )
    steepest = max(float(along.max(initial=0.0)), 0.0)
    sides = cutter_force(np.stack([meets - 2.0 * INSIDE, meets + 2.0 * INSIDE]), setup, law)[..., :2]
    jumps = np.hypot(*np.moveaxis(sides, -1, 0))
    jump = float((jumps[1] - jumps[0]).max())
    # Rounding beside a corner is no jump.
    jump = jump if jump > 1e-6 * max(float(size.max(initial=0.0)), 1e-300) else 0.0
    degree = np.pi / 180.0
    ms = 2.0 * np.pi * setup.cut.spindle_speed_rpm / 60_000.0
    return ForceRise(steepest * degree, steepest * ms, jump)
