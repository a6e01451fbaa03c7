"""One step in time of vibration modes under a force that varies linearly over the step: exact, not approximated.

For ``q'' + 2 zeta w q' + w^2 q = (w^2 / k) F`` and a force that runs straight from F0 to F1, the solution over the
step is closed: the matrix exponential of the free motion about the particular solution
``q = F / k - 2 zeta F' / (k w)``.  So the step is bound by how the force varies, not by the modes, and no damping
is added or lost however long the step is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..maths.arrays import Array
from ..setup.setup import Mode
from .modes import free_entries

AXES = ("x", "y")


@dataclass(frozen=True, slots=True)
class ModeTransition:
    """Matrices of one step for P step lengths; the state of m modes is (2 m,): each mode's q, then each one's q'/w,
    mm.

    step : (P, 2 m + 2, 2 m + 4), from (state, Fx0, Fy0, Fx1, Fy1) to (new state, new x, new y); held : (P, 2, 2 m +
    2), from (state, Fx, Fy) to the x, y that a force without change leads to; place : (2, 2 m), from the state to
    x, y.
    """

    step: Array
    held: Array
    place: Array


def free_motion(damping_ratio: float, turned: Array) -> Array:
    """Matrix exponential of a free mode for (q, q'/w): (..., 2, 2); ``turned`` is w dt, rad, (...)."""
    entries = np.stack(free_entries(damping_ratio, 1.0, turned), axis=-1)
    return np.asarray(entries.reshape(*entries.shape[:-1], 2, 2))


def mode_transition(modes: Sequence[Mode], seconds: Array) -> ModeTransition:
    """The step of ``modes`` over ``seconds`` (P,).  Damping ratios are under 1, as the setup document asks."""
    seconds = np.atleast_1d(np.asarray(seconds, float))
    m, points = len(modes), len(seconds)
    transition = np.zeros((points, 2 * m, 2 * m + 4))
    place = np.zeros((2, 2 * m))
    for i, mode in enumerate(modes):
        axis, zeta, k = AXES.index(mode.axis), mode.damping_ratio, mode.stiffness_n_mm
        turned = 2.0 * np.pi * mode.frequency_hz * seconds
        free = free_motion(zeta, turned)
        rows = [i, m + i]
        for r, row in enumerate(rows):
            for c, column in enumerate(rows):
                transition[:, row, column] = free[:, r, c]
        # Particular solution at both ends, (P, 2), for a unit force at the start and for one at the end.
        slope = np.stack([-2.0 * zeta / (k * turned), 1.0 / (k * turned)], -1)
        static = np.array([1.0 / k, 0.0])
        for at, (begin, end) in enumerate(((static - slope, -slope), (slope, static + slope))):
            transition[:, rows, 2 * m + 2 * at + axis] = end - np.einsum("pij,pj->pi", free, begin)
        place[axis, i] = 1.0
    moved = place @ transition
    held = np.concatenate([moved[:, :, : 2 * m], moved[:, :, 2 * m : 2 * m + 2] + moved[:, :, 2 * m + 2 :]], -1)
    return ModeTransition(np.concatenate([transition, moved], 1), held, place)
