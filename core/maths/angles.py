"""Tooth angle, clock time and the left-hand mirror.

The tooth angle ``phi`` is 0 at 9 o'clock, 90 degrees at 12 and 180 at 3, growing with rotation;
a tip stands at ``(-R cos phi, R sin phi)``, feed toward +y (12 o'clock), +x to the right.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from .arrays import Array


def clock(phi_deg: float, hand: str = "right") -> str:
    """Clock time of a tooth angle, to the nearest minute, as ``"10:30"``.

    phi_deg : tooth angle, degrees; any real number.  A left-hand cutter is seen as the mirror image
    (hour = 15 - phi/30), a right-hand one reads hour = 9 + phi/30.  Common practice, no source.

    >>> clock(45.0), clock(109.4712206), clock(109.4712206, "left")
    ('10:30', '12:39', '11:21')
    """
    hours = 15.0 - phi_deg / 30.0 if hand == "left" else 9.0 + phi_deg / 30.0
    minutes = math.floor(hours * 60.0 + 0.5) % 720
    hour = minutes // 60 or 12
    return f"{hour}:{minutes % 60:02d}"


def tip(phi: ArrayLike, radius: ArrayLike) -> tuple[Array, Array]:
    """Place of a tip seen from the cutter axis: x, y in mm for phi in rad and radius in mm."""
    phi, radius = np.asarray(phi, float), np.asarray(radius, float)
    return -radius * np.cos(phi), radius * np.sin(phi)


def lag(height: ArrayLike, helix: ArrayLike, diameter: ArrayLike) -> Array:
    """Angle in rad by which the edge at ``height`` mm above the tip trails it, ``2 z tan(b) / D``.

    >>> float(lag(10.0, math.radians(30), 12.0))
    0.9622504486493763
    """
    return np.asarray(2.0 * np.asarray(height, float) * np.tan(helix) / np.asarray(diameter, float))


@lru_cache(maxsize=64)
def lag_per_mm(helix_deg: float, diameter: float) -> float:
    """:func:`lag` for each mm of height of one cutter, rad/mm: helix in degrees, diameter in mm."""
    return float(lag(1.0, math.radians(helix_deg), diameter))


def edge_angle(phi_tip: ArrayLike, height: ArrayLike, helix: ArrayLike, diameter: ArrayLike) -> Array:
    """Angle of the edge at ``height`` mm when its tip stands at ``phi_tip`` (rad)."""
    return np.asarray(phi_tip, float) - lag(height, helix, diameter)
