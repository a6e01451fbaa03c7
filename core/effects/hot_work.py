"""The work when it is hot: mean properties up to a temperature, and how its shear stress falls toward the solidus.

**Properties.** Conductivity and specific heat of a material with a law (:mod:`core.documents.thermal_laws`) are those
constants at 20 degrees C times the law's change, as the mean from the surroundings up to the temperature: the chip
passes through all of them on its way, so that the specific heat's mean is its heat content over its rise, and a
narrow peak such as steel's at 735 degrees C counts with its area.

**Shear stress.** It falls in a straight line from the surroundings to nothing at the solidus, the thermal term of
Johnson and Cook 1983 with the exponent 1 (from memory; published exponents are 0.7 to 1.6).  A chip that is sheared
without loss of heat then nears the solidus and never passes it: ``dT = tau(T) dgamma / (rho cp)`` gives
``theta (1 - exp(-T0 / theta))`` in place of the rise ``T0`` that a constant stress would give.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..documents.thermal_laws import ROOM_C, change_since_20
from ..maths.arrays import Array, frozen
from ..setup.setup import Thermal

HOTTEST_C = 3000.0
"""Where the table of means ends; no law says anything beyond 1200 degrees C and holds its last value."""


@lru_cache(maxsize=16)
def _mean_changes(law: str) -> tuple[Array, Array, Array]:
    """Temperatures (degrees C), and the mean change of conductivity and specific heat from 20 up to each of them."""
    t = np.arange(ROOM_C, HOTTEST_C + 1.0)
    means = []
    for change in change_since_20(law, t):
        area = np.concatenate([[0.0], np.cumsum(0.5 * (change[1:] + change[:-1]))])
        means.append(frozen(np.concatenate([change[:1], area[1:] / (t[1:] - ROOM_C)])))
    return frozen(t), means[0], means[1]


def mean_properties(material: Thermal, law: str | None, t_c: float) -> Thermal:
    """Properties of a material as their means from 20 degrees C up to ``t_c``; its constants where it has no law."""
    if law is None or t_c <= ROOM_C:
        return Thermal(material.conductivity_w_mk, material.density_kg_m3, material.specific_heat_j_kgk)
    t, conductivity, heat = _mean_changes(law)
    return Thermal(
        material.conductivity_w_mk * float(np.interp(t_c, t, conductivity)),
        material.density_kg_m3,
        material.specific_heat_j_kgk * float(np.interp(t_c, t, heat)),
    )


def softened_rise(rise: ArrayLike, solidus_rise: float) -> Array:
    """Rise (K) of sheared work whose stress falls to nothing at ``solidus_rise``; ``rise`` at constant stress."""
    rise = np.asarray(rise, float)
    if math.isinf(solidus_rise):
        return rise
    return np.asarray(-solidus_rise * np.expm1(-rise / solidus_rise))
