"""The same cut with other numbers, by a seed: round ones, as they would be typed, in the units of the sheet.

Over one lesson a figure that two scenes share stays shared: what is varied is each value of each key, once.
"""

from __future__ import annotations

import random
from dataclasses import replace

from ..base.quantities import Units
from ..setup.setup import Setup
from ..setup.setup_limits import check_setup
from .lesson import Option

DIAMETERS: dict[Units, tuple[float, ...]] = {
    "metric": (4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0),
    "inch": tuple(25.4 * each for each in (0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0)),
}
"""Usual diameters, mm.  Common practice, no source."""

STEPS: dict[Units, dict[str, float]] = {
    "metric": {"width": 0.1, "depth": 0.5, "feed": 0.005, "speed": 50.0},
    "inch": {"width": 25.4 * 0.005, "depth": 25.4 * 0.02, "feed": 25.4 * 0.0002, "speed": 50.0},
}
"""What the figures are rounded to, house units."""

INCH_STICKOUT = 25.4 * 0.05
"""What a stick-out is rounded to on an inch sheet, mm."""

LOW, HIGH = 0.75, 1.3
"""How far a figure is varied at most."""


class Varied:
    """Other numbers in place of those of a lesson's cuts."""

    def __init__(self, seed: str, units: Units) -> None:
        self._random = random.Random(seed)
        self._units = units
        self._drawn: dict[tuple[str, float], float] = {}

    def _factor(self, key: str, value: float) -> float:
        return self._drawn.setdefault((key, value), self._random.uniform(LOW, HIGH))

    def _round(self, value: float, step: float) -> float:
        return float(f"{max(round(value / step), 1) * step:.10g}")

    def _diameter(self, value: float) -> float:
        place = self._drawn.get(("diameter", value))
        if place is None:
            listed = DIAMETERS[self._units]
            nearest = min(range(len(listed)), key=lambda i: abs(listed[i] - value))
            place = listed[min(max(nearest + self._random.choice((-1, 0, 1)), 0), len(listed) - 1)]
            if not listed[0] * 0.7 < value < listed[-1] * 1.3:
                # A face mill, a graver: its diameter is its own.
                place = value
            self._drawn[("diameter", value)] = place
        return place

    def _stickout(self, value: float | None) -> float | None:
        """A stick-out as it would be measured on an inch sheet; a metric one is round as it is."""
        return value if value is None or self._units == "metric" else self._round(value, INCH_STICKOUT)

    def cut(self, setup: Setup) -> Setup:
        """A cut with other diameter, width, depth, feed and speed.  Raises ChiparcError for one that is not legal."""
        step, cut, cutter = STEPS[self._units], setup.cut, setup.cutter
        fixed = cutter.shank_diameter_mm is not None or cutter.neck_diameter_mm is not None or setup.dynamics
        diameter = cutter.diameter_mm if fixed else self._diameter(cutter.diameter_mm)
        larger = diameter / cutter.diameter_mm
        width = cut.radial_engagement_mm * larger * self._factor("width", cut.radial_engagement_mm)
        fine = 0.1 if cut.radial_engagement_mm < 1.0 else 1.0
        varied = replace(
            setup,
            cutter=replace(cutter, diameter_mm=diameter, stickout_mm=self._stickout(cutter.stickout_mm)),
            cut=replace(
                cut,
                radial_engagement_mm=min(self._round(width, step["width"] * fine), diameter),
                centre_offset_mm=cut.centre_offset_mm * larger,
                axial_engagement_mm=self._round(
                    cut.axial_engagement_mm * self._factor("depth", cut.axial_engagement_mm), step["depth"] * fine
                ),
                feed_per_tooth_mm=self._round(
                    cut.feed_per_tooth_mm * self._factor("feed", cut.feed_per_tooth_mm),
                    step["feed"] * (0.1 if cut.feed_per_tooth_mm < 0.03 else 1.0),
                ),
                spindle_speed_rpm=self._round(
                    cut.spindle_speed_rpm * self._factor("speed", cut.spindle_speed_rpm), step["speed"]
                ),
            ),
        )
        if cut.direction == "straddling" and cut.radial_engagement_mm == cutter.diameter_mm:
            varied = varied.with_keys({"cut.radial_engagement_mm": diameter, "cut.centre_offset_mm": 0.0})
        check_setup(varied)
        return varied

    def option(self, option: Option) -> Option:
        """An option, its cut varied like the others."""
        return option if option.setup is None else replace(option, setup=self.cut(option.setup))
