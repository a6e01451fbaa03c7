"""Speeds and rates of the cut: cutting speed, table feed, removal rate, volume of one chip."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..setup.setup import Setup


@dataclass(frozen=True, slots=True)
class Rates:
    """Cutting speed m/min, table feed mm/min, removal rate mm3/min, volume per tooth mm3, turn ms."""

    cutting_speed_m_min: float
    table_feed_mm_min: float
    removal_rate_mm3_min: float
    volume_per_tooth_mm3: float
    turn_ms: float


def rates(setup: Setup) -> Rates:
    """Rates of a setup: ``vc = pi D n / 1000``, ``vf = fz z n``, ``Q = ap ae vf``, ``V = fz ae ap``.

    Source of the forms: W. Groover, Fundamentals of Modern Manufacturing, ch. 22 (from memory).
    """
    cutter, cut = setup.cutter, setup.cut
    feed = cut.feed_per_tooth_mm * cutter.teeth * cut.spindle_speed_rpm
    section = cut.axial_engagement_mm * cut.radial_engagement_mm
    return Rates(
        cutting_speed_m_min=math.pi * cutter.diameter_mm * cut.spindle_speed_rpm / 1000.0,
        table_feed_mm_min=feed,
        removal_rate_mm3_min=section * feed,
        volume_per_tooth_mm3=section * cut.feed_per_tooth_mm,
        turn_ms=60_000.0 / cut.spindle_speed_rpm,
    )


def side_approach(diameter: ArrayLike, radial_engagement: ArrayLike) -> Array:
    """Travel (mm) from first touch to full width, milling the side of work: ``sqrt(ae (D - ae))``.

    diameter, radial_engagement : mm, broadcast, 0 <= ae <= D.  Beyond D/2 the axis stands over the work
    and the cutter has bitten in by its radius before full width: R.  The slab mill of the textbooks, whose
    "depth" is ae.  W. Groover, Fundamentals of Modern Manufacturing, ch. 22 (from memory).

    >>> round(float(side_approach(50.0, 3.2)), 3)
    12.238
    """
    diameter, width = np.asarray(diameter, float), np.asarray(radial_engagement, float)
    reach = np.minimum(width, diameter / 2.0)
    return np.sqrt(reach * (diameter - reach))


def face_approach(diameter: ArrayLike, width: ArrayLike) -> Array:
    """Travel (mm) from first touch to full width, facing work of ``width`` centred under the cutter.

    ``(D - sqrt(D^2 - w^2)) / 2``, written without loss for narrow work; diameter, width : mm, broadcast,
    0 <= w <= D.  W. Groover, Fundamentals of Modern Manufacturing, ch. 22 (from memory).

    >>> round(float(face_approach(63.5, 30.0)), 4)
    3.7667
    """
    diameter, width = np.asarray(diameter, float), np.asarray(width, float)
    return width**2 / (2.0 * (diameter + np.sqrt((diameter - width) * (diameter + width))))


def spindle_speed(cutting_speed: ArrayLike, diameter: ArrayLike) -> Array:
    """Spindle speed (1/min) that gives a cutting speed (m/min) to a cutter of ``diameter`` mm; broadcast.

    >>> round(float(spindle_speed(100.0, 75.0)), 2)
    424.41
    """
    return 1000.0 * np.asarray(cutting_speed, float) / (np.pi * np.asarray(diameter, float))
