"""How far the cutter bends: a cantilever with the equivalent diameter of its fluted part.

``k = 3 E I / L^3``, ``I = pi (0.8 D)^4 / 64``, rigid holder, the whole force at the tip.  Equivalent diameter about
0.8 D: Kops and Vo, Determination of the equivalent diameter of an end mill based on its compliance, CIRP Annals 39
(1990) 93; 5 % of D more or less is about 25 % of deflection.
"""

from __future__ import annotations

import math

from .setup import Setup

EQUIVALENT_SHARE = 0.8


def cantilever_stiffness(diameter: float, stickout: float, youngs_modulus: float) -> float:
    """Stiffness at the tip in N/mm; lengths in mm, modulus in N/mm2.

    >>> round(cantilever_stiffness(12.0, 42.0, 580_000.0), 2)
    9791.66
    """
    inertia = math.pi * (EQUIVALENT_SHARE * diameter) ** 4 / 64.0
    return 3.0 * youngs_modulus * inertia / stickout**3


def tip_stiffness(setup: Setup) -> float | None:
    """Stiffness (N/mm) of the setup's cutter; None where stick-out or modulus is not given."""
    cutter = setup.cutter
    if cutter.stickout_mm is None or cutter.youngs_modulus_n_mm2 is None:
        return None
    return cantilever_stiffness(cutter.diameter_mm, cutter.stickout_mm, cutter.youngs_modulus_n_mm2)
