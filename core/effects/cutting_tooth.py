"""The tooth that cuts most: with runout rubbing and heat are reported for its chip.

Without runout all teeth are alike and any of them is; tooth 0 then.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.engagement import engagement
from ..cut.runout_chips import tooth_radii
from ..cut.runout_pieces import ToothPieces, bounding_lines, reached, tooth_pieces
from ..setup.setup import Setup


@dataclass(frozen=True, slots=True, eq=False)
class CuttingTooth:
    """The tooth that takes the greatest chip section of all; ``pieces`` of its chip along the arc (arc model).

    ``lines`` bound its chip: how many places before it the earlier tooth is, and by how much shorter it is, mm.
    """

    tooth: int
    pieces: ToothPieces
    lines: tuple[tuple[int, float], ...]
    feed: float

    def reaches(self, thickness_mm: float) -> float:
        """Sine of the angle at which its chip, before the lead angle, is this thick; infinite where it never is."""
        return reached(list(self.lines), self.feed, thickness_mm)

    def feed_for(self, thickness_mm: float, sine: float) -> float:
        """The feed per tooth (mm) at which its chip, before the lead angle, is this thick at a sine; 0 if at any."""
        return max(0.0, *((thickness_mm - shorter) / (k * sine) for k, shorter in self.lines))


def _section(pieces: ToothPieces) -> float:
    """Area of the chip for each unit of width and radius: the integral of the thickness over the arc, mm rad."""
    low, high = pieces.ends[:-1], pieces.ends[1:]
    return float(pieces.offset @ (high - low) + pieces.slope @ (np.cos(low) - np.cos(high)))


@lru_cache(maxsize=64)
def cutting_tooth(setup: Setup) -> CuttingTooth | None:
    """The tooth that cuts most; None where there is no runout, so that all cut alike."""
    if setup.cutter.runout_mm <= 0.0 or setup.cutter.teeth == 1:
        return None
    e, radii = engagement(setup), tooth_radii(setup)
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    feed = setup.cut.feed_per_tooth_mm
    pieces = [tooth_pieces(radii, j, feed, kappa, e.entry, e.exit) for j in range(setup.cutter.teeth)]
    most = max(range(len(pieces)), key=lambda j: (_section(pieces[j]), -j))
    return CuttingTooth(most, pieces[most], tuple(bounding_lines(radii, most)), feed)
