"""Each tooth's own greatest force over a turn, on its own chip: which tooth of a cutter with runout bears most."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array
from ..maths.peaks import greatest_between
from ..setup.setup import Setup
from .edge_force import edge_law
from .force_turn import INSIDE
from .runout_force import runout_force


@dataclass(frozen=True, slots=True)
class ToothPeak:
    """Greatest force in the plane (N) and greatest torque (N m) of one tooth, alone."""

    tooth: int
    resultant: float
    torque: float


@lru_cache(maxsize=16)
def tooth_peaks(setup: Setup) -> tuple[ToothPeak, ...] | None:
    """Every tooth's greatest, tooth 0 first, found between the corners of its force; None if not known."""
    law = edge_law(setup)
    if law is None:
        return None
    running, radius_m = runout_force(setup, law), setup.cutter.diameter_mm / 2000.0
    peaks = []
    for j in range(setup.cutter.teeth):

        def sizes(phi: Array, tooth: int = j) -> Array:
            force = running.tooth(tooth, phi)
            return np.stack([np.hypot(force[:, 0], force[:, 1]), force[:, 3]])

        resultant, tangential = greatest_between(sizes, running.corners(j), INSIDE)
        peaks.append(ToothPeak(j, float(resultant), float(tangential) * radius_m))
    return tuple(peaks)
