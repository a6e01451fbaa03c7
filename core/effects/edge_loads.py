"""What presses on each tooth across the feed, along the arc: one chip for teeth alike, each tooth's own with runout.

Arc model.  With runout a tooth's chip is ``sin(kappa) min over k (k fz sin(phi) + R_j - R_(j-k))`` and there is none
below 0; between the angles where another path takes over it is a multiple of ``sin(phi)`` and an offset, so that
each such panel is smooth.  Panels reach over the half turn; which part of them is in the work is another's to say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..cut.runout_chips import radii_of
from ..cut.runout_pieces import tooth_pieces
from ..force.edge_law import EdgeLaw, edge_law
from ..maths.arrays import Array, frozen
from ..setup.setup import Cutter, Setup

MANY_TEETH = 12
"""Teeth that are looked at, at most, for the one that makes the wall."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeLoads:
    """Panels (p,) of all teeth: the tooth, first and last angle (rad), and the chip ``slope sin(phi) + offset`` (mm).

    ``reach`` (z,) mm is how much further than the nominal radius each tooth reaches; ``alike`` that all are one.
    ``per_mm`` is the width of the edge for each mm of height, ``1 / sin(kappa)``.  ``wall_teeth`` are those that may
    make the wall: one of alike ones, else those that reach furthest, as many as MANY_TEETH, for of more teeth the
    shorter ones follow where longer ones have been.
    """

    law: EdgeLaw
    alike: bool
    reach: Array
    tooth: NDArray[np.intp]
    first: Array
    last: Array
    slope: Array
    offset: Array
    per_mm: float
    wall_teeth: NDArray[np.intp]

    def across(self, panel: NDArray[np.intp], u: Array) -> Array:
        """x force for each mm of height at angles ``u`` (m, k) rad of the panels (m,), N/mm."""
        return self.per_mm * self.law.across_chip(*self.chips(panel, u))

    def chips(self, panel: NDArray[np.intp], u: Array) -> tuple[Array, Array, Array]:
        """Thickness (mm) of the chip, sine and cosine, (m, k) each, at angles ``u`` (m, k) rad of the panels (m,)."""
        s, c = np.sin(u), np.cos(u)
        if self.alike:
            return self.law.feed * np.maximum(s, 0.0), s, c
        return np.maximum(self.slope[panel][:, None] * s + self.offset[panel][:, None], 0.0), s, c

    def under(self, law: EdgeLaw) -> EdgeLoads:
        """The same chips under another law of the same feed."""
        return replace(self, law=law)


def edge_loads(setup: Setup) -> EdgeLoads | None:
    """The loads of a setup's teeth; None where the coefficients are not known."""
    law = edge_law(setup)
    return None if law is None else _loads(law, setup.cutter, setup.cut.feed_per_tooth_mm)


@lru_cache(maxsize=64)
def _loads(law: EdgeLaw, cutter: Cutter, feed: float) -> EdgeLoads:
    """See :func:`edge_loads`: all that it depends on, so that a cut of another width or depth meets it again."""
    z, kappa = cutter.teeth, math.sin(math.radians(cutter.cutting_edge_angle_deg))
    nominal = cutter.diameter_mm / 2.0
    radii = radii_of(cutter)
    alike = cutter.runout_mm == 0.0 or z == 1
    rows = []
    for tooth in range(1 if alike else z):
        pieces = tooth_pieces(radii, tooth, feed, kappa, 0.0, math.pi, law.lost_below if law.lost else 0.0)
        rows.append(
            np.array(
                [np.full(len(pieces.slope), tooth), pieces.ends[:-1], pieces.ends[1:], pieces.slope, pieces.offset]
            )[:, pieces.touches]
        )
    tooth_of, first, last, slope, offset = np.concatenate(rows, axis=1)
    if alike:
        tooth_of = np.repeat(np.arange(z, dtype=float), len(first))
        first, last, slope, offset = np.tile(np.stack([first, last, slope, offset]), z)
    which = np.asarray(tooth_of, np.intp)
    reach = frozen(radii - nominal)
    makers = np.sort(np.argsort(-reach, kind="stable")[: 1 if alike else MANY_TEETH])
    return EdgeLoads(law, alike, reach, which, first, last, slope, offset, 1.0 / kappa, makers)
