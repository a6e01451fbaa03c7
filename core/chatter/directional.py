"""How a small movement of the cutter changes the cutting force: directional coefficients along the arc.

A movement ``(dx, dy)`` of the tip changes the chip of a tooth at ``phi`` by ``sin(kappa_r) e . d`` with the outward
radius ``e = (-cos phi, sin phi)``; the force for each mm of depth changes by ``A(phi) d``,
``A = (kt t - kr e) e^T`` with the tangent ``t = (-sin phi, -cos phi)``.  The sine of ``kappa_r`` in the chip and
that in the width of the edge (depth over its sine) cancel.  Altintas and Budak 1995, CIRP Annals 44:357; for
``kappa_r`` other than 90 degrees the part toward the axis as in Engin and Altintas 2001 (both from memory).

Left out: movement along the spindle and its effect on the chip (matters for flat ``kappa_r`` and slender work),
torsion, the edge forces (which do not depend on the chip), the true path, runout and the helix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..maths.gauss import gauss
from ..setup.setup import LinearEdge, PowerLaw, Setup

THINNEST = 1e-3
"""The power law is linearised at the local chip, taken not below this share of the feed per tooth."""

_GRADES = (0.004, 0.02, 0.1)
"""Where panels end beside the thinnest chip of a power law: its slope changes fast there.  rad."""


@dataclass(frozen=True, slots=True)
class CuttingSlopes:
    """The slope of the cutting force with the chip, N/mm2: tangential, and toward the axis.

    ``exponent`` 0: ``tangential`` and ``radial`` hold at any chip (linear-edge).  Otherwise (power law) times
    ``h^-exponent`` with ``h = thickest sin(phi)`` in mm, not below ``least``.
    """

    tangential: float
    radial: float
    exponent: float = 0.0
    thickest: float = 1.0
    least: float = 0.0

    def at(self, phi: ArrayLike) -> tuple[Array, Array]:
        """Slopes at tooth angles ``phi`` (rad, ...): tangential and toward the axis, N/mm2."""
        phi = np.asarray(phi, float)
        if self.exponent == 0.0:
            return np.full(phi.shape, self.tangential), np.full(phi.shape, self.radial)
        h = np.maximum(self.thickest * np.sin(phi), self.least)
        factor = h**-self.exponent
        return self.tangential * factor, self.radial * factor

    def breaks(self, entry: float, leave: float) -> list[float]:
        """Angles (rad) inside the arc at which panels of integration should end."""
        if self.exponent == 0.0:
            return []
        first = math.asin(min(self.least / self.thickest, 1.0))
        near = [first, *(g for g in _GRADES if g > first)]
        return sorted(a for a in near + [math.pi - n for n in near] if entry < a < leave)

    def scaled(self, factor: float) -> CuttingSlopes:
        """Both slopes times a factor."""
        return CuttingSlopes(self.tangential * factor, self.radial * factor, self.exponent, self.thickest, self.least)


def cutting_slopes(setup: Setup) -> CuttingSlopes | None:
    """The slopes of a setup whose coefficients are known; None otherwise."""
    law = setup.work.force
    kappa = math.radians(setup.cutter.cutting_edge_angle_deg)
    if isinstance(law, LinearEdge):
        return CuttingSlopes(law.ktc, law.krc * math.sin(kappa) + law.kac * math.cos(kappa))
    if isinstance(law, PowerLaw):
        feed = setup.cut.feed_per_tooth_mm
        slope = law.kc11_n_mm2 * (1.0 - law.mc)
        radial = law.radial_ratio * slope * math.sin(kappa)
        return CuttingSlopes(slope, radial, law.mc, feed * math.sin(kappa), THINNEST * feed)
    return None


def outward(phi: ArrayLike) -> Array:
    """Outward radius ``e`` at tooth angles (rad, ...): (..., 2)."""
    phi = np.asarray(phi, float)
    return np.stack([-np.cos(phi), np.sin(phi)], -1)


def force_direction(phi: ArrayLike, slopes: CuttingSlopes) -> Array:
    """Force on the cutter for each mm of depth and of chip (as ``e . d``) at ``phi`` (rad, ...): (..., 2), N/mm2."""
    phi = np.asarray(phi, float)
    kt, kr = slopes.at(phi)
    s, c = np.sin(phi), np.cos(phi)
    return np.stack([kr * c - kt * s, -kt * c - kr * s], -1)


def direction_matrix(phi: ArrayLike, slopes: CuttingSlopes) -> Array:
    """``A(phi)`` of one tooth in cut at ``phi`` (rad, ...): (..., 2, 2), N/mm2; rows force, columns movement."""
    return np.asarray(force_direction(phi, slopes)[..., :, None] * outward(phi)[..., None, :])


def mean_direction_matrix(entry: float, leave: float, teeth: int, slopes: CuttingSlopes) -> Array:
    """Mean of the summed ``A`` over a tooth period, (2, 2), N/mm2: ``z / (2 pi)`` times its integral over the arc.

    By Gauss-Legendre panels of at most a quarter turn: exact to rounding for linear-edge, 1e-6 for a power law.
    """
    ends = [entry, *slopes.breaks(entry, leave), leave]
    nodes, weights = gauss(16)
    total = np.zeros((2, 2))
    for a, b in pairwise(ends):
        pieces = max(1, math.ceil((b - a) / (math.pi / 2)))
        edges = np.linspace(a, b, pieces + 1)
        for low, high in pairwise(edges):
            phi = low + (high - low) * nodes
            total += np.einsum("i,iab->ab", weights * (high - low), direction_matrix(phi, slopes))
    return total * teeth / (2.0 * math.pi)
