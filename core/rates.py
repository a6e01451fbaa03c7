"""Speeds and rates of the cut: cutting speed, table feed, removal rate, volume of one chip."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .setup import Setup


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
