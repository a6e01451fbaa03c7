"""Conductivity and specific heat of work materials over temperature, as plain functions.

A law tells how the property of a *kind* of material changes when it gets hot.  A material of the catalogue names its
law and has its own constants at 20 degrees C; :func:`change_since_20` is the factor between the two.

Temperatures in degrees C, array in, array out, nan in, nan out.  Below and above the range that a law is printed
for, the value at that end holds; :class:`ThermalLaw` tells the range, so that whoever shows the result can say so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Values = NDArray[np.float64]

ROOM_C = 20.0
"""Temperature for which the constants of the catalogue hold."""


def _held(t_c: ArrayLike, low: float, high: float) -> Values:
    return np.clip(np.asarray(t_c, dtype=float), low, high)


def carbon_steel_conductivity(t_c: ArrayLike) -> Values:
    """W/(m K), 20 to 1200 degrees C.  EN 1993-1-2, 3.4.1.3 (from memory)."""
    t = _held(t_c, 20.0, 1200.0)
    return np.where(t < 800.0, 54.0 - 3.33e-2 * t, 27.3 + 0.0 * t)


def carbon_steel_specific_heat(t_c: ArrayLike) -> Values:
    """J/(kg K), 20 to 1200 degrees C; its peak at 735 is the change to austenite.

    EN 1993-1-2, 3.4.1.2 (from memory).
    """
    t = _held(t_c, 20.0, 1200.0)
    below = 425.0 + 7.73e-1 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3
    # Each branch is evaluated everywhere: keep the poles at 738 and 731 out of the branches that are not taken.
    rising = 666.0 + 13002.0 / (738.0 - np.minimum(t, 735.0))
    falling = 545.0 + 17820.0 / (np.maximum(t, 735.0) - 731.0)
    hot = np.where(t < 900.0, falling, 650.0 + 0.0 * t)
    return np.where(t < 600.0, below, np.where(t < 735.0, rising, hot))


def austenitic_conductivity(t_c: ArrayLike) -> Values:
    """W/(m K), 20 to 1200 degrees C.  EN 1993-1-2, annex C, for stainless steels, duplex among them (from memory)."""
    return 14.6 + 1.27e-2 * _held(t_c, 20.0, 1200.0)


def austenitic_specific_heat(t_c: ArrayLike) -> Values:
    """J/(kg K), 20 to 1200 degrees C.  EN 1993-1-2, annex C, for stainless steels (from memory)."""
    t = _held(t_c, 20.0, 1200.0)
    return 450.0 + 0.280 * t - 2.91e-4 * t**2 + 1.34e-7 * t**3


def aluminium_36_conductivity(t_c: ArrayLike) -> Values:
    """W/(m K), 20 to 500 degrees C, 3xxx and 6xxx alloys.  EN 1999-1-2, 3.3.2 (from memory)."""
    return 190.0 + 0.07 * _held(t_c, 20.0, 500.0)


def aluminium_257_conductivity(t_c: ArrayLike) -> Values:
    """W/(m K), 20 to 500 degrees C, 2xxx, 5xxx and 7xxx alloys.  EN 1999-1-2, 3.3.2 (from memory)."""
    return 140.0 + 0.1 * _held(t_c, 20.0, 500.0)


def aluminium_specific_heat(t_c: ArrayLike) -> Values:
    """J/(kg K), 20 to 500 degrees C, all alloys.  EN 1999-1-2, 3.3.2 (from memory)."""
    return 903.0 + 0.41 * _held(t_c, 20.0, 500.0)


_TITANIUM_C = (25.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 900.0)
_TITANIUM_W_MK = (7.0, 7.45, 8.75, 10.15, 11.35, 12.6, 14.2, 15.5, 17.8, 20.2)


def titanium_conductivity(t_c: ArrayLike) -> Values:
    """W/(m K), 25 to 900 degrees C, Ti-6Al-4V: about twofold at 650.

    Mills 2002, Recommended values of thermophysical properties for selected commercial alloys (from memory), straight
    between its figures.
    """
    t = np.asarray(t_c, dtype=float)
    return np.asarray(np.interp(t, _TITANIUM_C, _TITANIUM_W_MK))


def titanium_specific_heat(t_c: ArrayLike) -> Values:
    """J/(kg K), 25 to 900 degrees C, Ti-6Al-4V; straight line through the figures of Mills 2002 (from memory)."""
    return 546.0 + 0.215 * (_held(t_c, 25.0, 900.0) - 25.0)


@dataclass(frozen=True, slots=True)
class ThermalLaw:
    """One law: its two functions of temperature, the range in degrees C that it is printed for, and its source."""

    name: str
    conductivity_w_mk: Callable[[ArrayLike], Values]
    specific_heat_j_kgk: Callable[[ArrayLike], Values]
    lowest_c: float
    highest_c: float
    source: str


LAWS: dict[str, ThermalLaw] = {
    law.name: law
    for law in (
        ThermalLaw(
            "carbon steel",
            carbon_steel_conductivity,
            carbon_steel_specific_heat,
            20.0,
            1200.0,
            "EN 1993-1-2, 3.4.1 (from memory)",
        ),
        ThermalLaw(
            "austenitic",
            austenitic_conductivity,
            austenitic_specific_heat,
            20.0,
            1200.0,
            "EN 1993-1-2, annex C (from memory)",
        ),
        ThermalLaw(
            "aluminium 3/6xxx",
            aluminium_36_conductivity,
            aluminium_specific_heat,
            20.0,
            500.0,
            "EN 1999-1-2, 3.3.2 (from memory)",
        ),
        ThermalLaw(
            "aluminium 2/5/7xxx",
            aluminium_257_conductivity,
            aluminium_specific_heat,
            20.0,
            500.0,
            "EN 1999-1-2, 3.3.2 (from memory)",
        ),
        ThermalLaw(
            "titanium",
            titanium_conductivity,
            titanium_specific_heat,
            25.0,
            900.0,
            "Mills 2002, Ti-6Al-4V (from memory)",
        ),
    )
}
"""Every law by the name that an entry of the catalogue gives as ``thermal_law``."""


def change_since_20(law: str, t_c: ArrayLike) -> tuple[Values, Values]:
    """Conductivity and specific heat at a temperature as multiples of what the law gives at 20 degrees C.

    law : a key of :data:`LAWS` (KeyError for another).  t_c : degrees C, any shape; both results have it.
    To be multiplied with a material's own constants: an alloy steel that conducts worse than a structural steel keeps
    its lower level.  That overstates the fall for alloy steels, whose conductivities draw together when red hot (by
    up to a fifth at 800 degrees C, from memory).
    """
    curves = LAWS[law]
    t = np.asarray(t_c, dtype=float)
    return (
        curves.conductivity_w_mk(t) / curves.conductivity_w_mk(ROOM_C),
        curves.specific_heat_j_kgk(t) / curves.specific_heat_j_kgk(ROOM_C),
    )


__all__ = [
    "LAWS",
    "ROOM_C",
    "ThermalLaw",
    "aluminium_36_conductivity",
    "aluminium_257_conductivity",
    "aluminium_specific_heat",
    "austenitic_conductivity",
    "austenitic_specific_heat",
    "carbon_steel_conductivity",
    "carbon_steel_specific_heat",
    "change_since_20",
    "titanium_conductivity",
    "titanium_specific_heat",
]
