"""How far each figure goes on its slider: the ends of the travel, and whether it is even or in equal ratios.

A slider covers what is usual; more may be typed.  The window's sliders take their ends from here, and so does the
advice, which calls nothing clear that the smallest movement of a slider would turn.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from .setup import Setup

End = Callable[[Setup], float]


@dataclass(frozen=True, slots=True)
class Travel:
    """The ends of a slider, in the unit of the document's key; ``logarithmic`` is in equal ratios."""

    low: float
    high: float
    logarithmic: bool = False

    def share_of(self, value: float) -> float:
        """How far along the travel a value is: 0 at the low end, 1 at the high end; outside these beyond the ends."""
        if not self.logarithmic:
            return (value - self.low) / (self.high - self.low)
        return math.log(value / self.low) / math.log(self.high / self.low)

    def value_at(self, share: float) -> float:
        """The value that far along the travel."""
        if not self.logarithmic:
            return self.low + share * (self.high - self.low)
        return float(self.low * (self.high / self.low) ** share)


SLOWEST, FASTEST = 20.0, 60_000.0
"""Spindle speeds that are usual, 1/min."""


def _diameters(share: float) -> End:
    return lambda setup: share * setup.cutter.diameter_mm


def _always(value: float) -> End:
    return lambda setup: value


def usual_reach(setup: Setup) -> float:
    """Length that stands out of the holder (mm), or what would be usual where it is not given."""
    return setup.cutter.stickout_mm or 4.0 * setup.cutter.diameter_mm


def _deepest(setup: Setup) -> float:
    """Greatest depth of cut (mm) that is usual, and that flutes and stick-out allow."""
    cutter = setup.cutter
    return min(4.0 * cutter.diameter_mm, cutter.flute_length_mm or math.inf, cutter.stickout_mm or math.inf)


def _slowest(setup: Setup) -> float:
    """Least usual speed (1/min), within the curve of the machine where it is given."""
    curve = setup.machine.speed_curve if setup.machine is not None else None
    if curve is None:
        return SLOWEST
    return max(SLOWEST, curve[0][0]) if curve[-1][0] > SLOWEST else max(0.5 * curve[-1][0], curve[0][0])


def _fastest(setup: Setup) -> float:
    """Greatest usual speed (1/min), within the same curve."""
    curve = setup.machine.speed_curve if setup.machine is not None else None
    if curve is None:
        return FASTEST
    return min(FASTEST, curve[-1][0]) if curve[0][0] < FASTEST else curve[-1][0]


def _widest(setup: Setup) -> float:
    return (1.0 if setup.cut.direction == "straddling" else 0.995) * setup.cutter.diameter_mm


def _offset(setup: Setup) -> float:
    return (setup.cutter.diameter_mm - setup.cut.radial_engagement_mm) / 2.0 * 0.98


def _shortest(setup: Setup) -> float:
    cutter = setup.cutter
    return max(cutter.flute_length_mm or 0.0, setup.cut.axial_engagement_mm, 0.5 * cutter.diameter_mm)


ENDS: dict[str, tuple[End, End, bool]] = {
    "cut.radial_engagement_mm": (_diameters(0.005), _widest, False),
    "cut.feed_per_tooth_mm": (_diameters(1.0 / 5000.0), _diameters(1.0 / 20.0), True),
    "cut.spindle_speed_rpm": (_slowest, _fastest, True),
    "cut.axial_engagement_mm": (
        _diameters(0.01),
        _deepest,
        True,
    ),
    "cut.centre_offset_mm": (lambda setup: -_offset(setup), _offset, False),
    "cut.wall_tolerance_mm": (_always(0.001), _always(1.0), True),
    "cutter.diameter_mm": (_always(0.5), _always(200.0), True),
    "cutter.teeth": (_always(1.0), _always(24.0), False),
    "cutter.helix_deg": (_always(0.0), _always(60.0), False),
    "cutter.cutting_edge_angle_deg": (_always(5.0), _always(90.0), False),
    "cutter.edge_radius_mm": (_always(0.0), _always(0.06), False),
    "cutter.radial_rake_deg": (_always(-20.0), _always(20.0), False),
    "cutter.runout_mm": (_always(0.0), lambda setup: min(0.1, 0.4 * setup.cutter.diameter_mm), False),
    "cutter.runout_angle_deg": (_always(0.0), _always(360.0), False),
    "cutter.stickout_mm": (
        _shortest,
        lambda setup: max(15.0 * setup.cutter.diameter_mm, usual_reach(setup)),
        True,
    ),
    "cutter.flute_length_mm": (
        lambda setup: min(setup.cut.axial_engagement_mm, 0.99 * usual_reach(setup)),
        usual_reach,
        True,
    ),
    "cutter.shank_diameter_mm": (_diameters(0.3), _diameters(3.0), True),
    "cutter.neck_diameter_mm": (_diameters(0.3), _diameters(1.0), True),
    "cutter.neck_length_mm": (lambda setup: 0.01 * usual_reach(setup), usual_reach, True),
    "cutter.holder_stiffness_n_mm": (_always(500.0), _always(500_000.0), True),
    "machine.power_kw": (_always(0.1), _always(100.0), True),
    "machine.torque_nm": (_always(0.1), _always(2000.0), True),
    "machine.table_friction_n": (_always(0.0), _always(2000.0), False),
    "machine.feed_preload_n": (_always(0.0), _always(2000.0), False),
    "machine.backlash_mm": (_always(0.0), _always(1.0), False),
    "work.skin.thickness_mm": (_always(0.0), lambda setup: max(3.0, setup.cut.radial_engagement_mm), False),
}
"""Of each figure with a slider the low and the high end, and whether it goes in equal ratios."""


def travel(setup: Setup, key: str) -> Travel:
    """The travel of one figure's slider in this setup.  Raises KeyError for a figure without a slider."""
    low, high, logarithmic = ENDS[key]
    return Travel(low(setup), high(setup), logarithmic)
