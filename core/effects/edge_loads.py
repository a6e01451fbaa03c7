"""What presses on each tooth across the feed, along the arc: one chip for teeth alike, each tooth's own with runout.

Arc model.  With runout a tooth's chip is ``sin(kappa) min over k (k fz sin(phi) + R_j - R_(j-k))`` and there is none
below 0; between the angles where another path takes over it is a multiple of ``sin(phi)`` and an offset, so that
each such panel is smooth.  Panels reach over the half turn; which part of them is in the work is another's to say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.runout_chips import tooth_radii
from ..force.edge_force import EdgeLaw, edge_law
from ..maths.arrays import Array, frozen
from ..setup.setup import Setup


@dataclass(frozen=True, slots=True, eq=False)
class EdgeLoads:
    """Panels (p,) of all teeth: the tooth, first and last angle (rad), and the chip ``slope sin(phi) + offset`` (mm).

    ``reach`` (z,) mm is how much further than the nominal radius each tooth reaches; ``alike`` that all are one.
    ``per_mm`` is the width of the edge for each mm of height, ``1 / sin(kappa)``.
    """

    law: EdgeLaw
    alike: bool
    reach: Array
    tooth: Array
    first: Array
    last: Array
    slope: Array
    offset: Array
    per_mm: float

    def across(self, panel: Array, u: Array) -> Array:
        """x force for each mm of height at angles ``u`` (m, k) rad of the panels (m,), N/mm."""
        if self.alike:
            return self.per_mm * self.law.across(u)
        h = self.slope[panel][:, None] * np.sin(u) + self.offset[panel][:, None]
        return self.per_mm * self.law.on_chip(np.maximum(h, 0.0), u)[..., 0]

    def under(self, law: EdgeLaw) -> EdgeLoads:
        """The same chips under another law of the same feed."""
        return EdgeLoads(
            law, self.alike, self.reach, self.tooth, self.first, self.last, self.slope, self.offset, self.per_mm
        )


def _bounding_lines(tooth: int, radii: Array, feed: float) -> list[tuple[float, float, float, float]]:
    """Pieces (from, to, slope, offset) over sin(phi), 0 to 1, of a tooth's chip on its radius; none where it misses."""
    z = len(radii)
    own = float(radii[tooth])
    lines = [(k * feed, own - float(radii[(tooth - k) % z])) for k in range(1, z + 1)]
    # Least of lines of rising slope: from sin(phi) = 0 on, the next is the lower one that is crossed first.
    at = 0.0
    now = min(lines, key=lambda line: (line[1], line[0]))
    found = []
    while True:
        crossings = [
            ((offset - now[1]) / (now[0] - slope), slope, offset) for slope, offset in lines if slope < now[0]
        ]
        ahead = [c for c in crossings if c[0] > at]
        upto, slope, offset = min(ahead, default=(1.0, 0.0, 0.0))
        end = min(upto, 1.0)
        start = max(at, -now[1] / now[0])
        if start < end:
            found.append((start, end, *now))
        if upto >= 1.0:
            return found
        at, now = upto, (slope, offset)


@lru_cache(maxsize=64)
def edge_loads(setup: Setup) -> EdgeLoads | None:
    """The loads of a setup's teeth; None where the coefficients are not known."""
    law = edge_law(setup)
    if law is None:
        return None
    z, kappa = setup.cutter.teeth, math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    if setup.cutter.runout_mm == 0.0 or z == 1:
        every = np.arange(z)
        reach = np.zeros(z) if setup.cutter.runout_mm == 0.0 else tooth_radii(setup) - setup.cutter.diameter_mm / 2.0
        ones = np.ones(z)
        return EdgeLoads(law, True, frozen(reach), every, 0.0 * ones, np.pi * ones, law.feed * ones, 0.0 * ones, 1 / kappa)
    radii, feed = tooth_radii(setup), setup.cut.feed_per_tooth_mm
    rows = []
    for tooth in range(z):
        for low, high, slope, offset in _bounding_lines(tooth, radii, feed):
            a, b = math.asin(low), math.asin(high)
            rows += [(tooth, a, b, slope, offset), (tooth, math.pi - b, math.pi - a, slope, offset)]
    tooth_of, first, last, slopes, offsets = (np.array(c) for c in zip(*rows, strict=True))
    reach = radii - setup.cutter.diameter_mm / 2.0
    return EdgeLoads(
        law, False, frozen(reach), tooth_of, first, last, kappa * slopes, kappa * offsets, 1.0 / kappa
    )
