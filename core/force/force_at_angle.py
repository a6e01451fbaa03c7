"""The force at one moment: of the active tooth alone, and of all teeth together, in the plane of the plan."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..setup.setup import Setup
from .edge_force import edge_law, tooth_force
from .runout_force import runout_force


@dataclass(frozen=True, slots=True)
class ForceAtAngle:
    """Force of the work on the cutter, N, x across and y along the feed: all teeth, and the active tooth alone."""

    x: float
    y: float
    tooth_x: float
    tooth_y: float

    @property
    def size(self) -> float:
        """Size of the whole force in the plane, N."""
        return float(np.hypot(self.x, self.y))


@lru_cache(maxsize=64)
def force_at_angle(setup: Setup, phi: float) -> ForceAtAngle | None:
    """Force with the active tooth's tip at ``phi`` (rad); None where the coefficients are not known.

    The active tooth may be cutting higher up its helix although its tip has left the work.
    """
    law = edge_law(setup)
    if law is None:
        return None
    teeth = np.arange(setup.cutter.teeth)
    if setup.cutter.runout_mm > 0.0:
        # Tooth j passes a pitch after tooth j - 1; the active one is tooth 0.
        each = runout_force(setup, law).tooth(teeth, phi - 2.0 * np.pi / setup.cutter.teeth * teeth)
    else:
        each = tooth_force(phi + 2.0 * np.pi / setup.cutter.teeth * teeth, setup, law)
    (x, y), (tooth_x, tooth_y) = each.sum(axis=0)[:2].tolist(), each[0, :2].tolist()
    return ForceAtAngle(x, y, tooth_x, tooth_y)
