"""Runout: each tooth's own chip, which teeth miss the work, and which cut double after them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .chip import ChipSummary, chip_summary
from .engagement import engagement
from .setup import Setup
from .tooth_path import tooth_radius


@dataclass(frozen=True, slots=True)
class ToothChip:
    """One tooth of a cutter with runout: its radius (mm) and its chip in both models.

    ``misses``: it never touches the work within the nominal arc.  ``cuts_double``: it cuts, and the tooth
    just before it misses, so that it takes at least that one's feed as well.  Both by the true path.
    """

    tooth: int
    radius: float
    arc: ChipSummary
    trochoid: ChipSummary
    misses: bool
    cuts_double: bool


@lru_cache(maxsize=16)
def runout_chips(setup: Setup) -> tuple[ToothChip, ...]:
    """Every tooth's own chip, tooth 0 first, with the setup's runout."""
    cutter, arc = setup.cutter, engagement(setup)
    at = np.radians(cutter.runout_angle_deg)
    radii = tooth_radius(np.arange(cutter.teeth), cutter.teeth, cutter.diameter_mm / 2, cutter.runout_mm, at)
    true = [chip_summary(setup, arc, "trochoid", j) for j in range(cutter.teeth)]
    misses = [chip.h_max == 0.0 for chip in true]
    return tuple(
        ToothChip(
            tooth=j,
            radius=float(radii[j]),
            arc=chip_summary(setup, arc, "arc", j),
            trochoid=true[j],
            misses=misses[j],
            cuts_double=not misses[j] and misses[j - 1],
        )
        for j in range(cutter.teeth)
    )
