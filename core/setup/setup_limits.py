"""What each figure of a setup may be: one table for documents, typed values, drags and sliders."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..base.errors import ChiparcError
from ..base.language import in_language
from ..base.words import say, say_count
from .name_list import NameList, line_problem, line_words
from .rungs import RUNG_LIST
from .setup import Setup
from .show import LONGEST_LINE, PAGES, VIEW_LISTS
from .work_strip import TOUCH, strip


def plain(value: float) -> str:
    """A limit as a person writes it, thousands set apart, without a power of ten as far as that can be read.

    >>> plain(0.01), plain(1000.0), plain(10000.0), plain(-1e7), plain(1e300)
    ('0.01', '1000', '10,000', '-10,000,000', '1e+300')
    """
    short = f"{value:g}"
    if 1e4 <= abs(value) < 1e15:
        short = f"{value:,.0f}" if "e+" in short else f"{value:,.6g}"
    return in_language(short)


@dataclass(frozen=True, slots=True)
class Range:
    """A legal range in house units; ``over``/``under`` mean that the end itself is not in it.

    ``least`` keeps figures that are over 0 in name only (1e-300 mm) from being divided by.
    """

    low: float
    high: float
    over: bool = False
    under: bool = False
    whole: bool = False
    least: float = -math.inf

    def holds(self, value: float) -> bool:
        """Whether the value is a number in the range."""
        if not math.isfinite(value) or (self.whole and value != int(value)):
            return False
        above = (value > self.low if self.over else value >= self.low) and value >= self.least
        below = value < self.high if self.under else value <= self.high
        return above and below

    @property
    def words(self) -> str:
        """The range in the language that is spoken."""
        told = say("range", self._id, low=plain(self.low), high=plain(self.high))
        return say("range", "whole_number", range=told) if self.whole else told

    @property
    def number_words(self) -> str:
        """What a number in the range is called: ``a number from 0 to 85``."""
        return self.words if self.whole or self._id == "any" else say("range", "number", range=self.words)

    def __str__(self) -> str:
        return self.words

    @property
    def _id(self) -> str:
        if self.low == -math.inf:
            return "any"
        if self.high == math.inf:
            return "over" if self.over else "at_least"
        return f"{'over' if self.over else 'from'}_{'under' if self.under else 'to'}"


_TINY = 1e-12
_COEFFICIENT, _EDGE = Range(0.0, 1e5), Range(0.0, 1e5)
_AXIAL = Range(-1e5, 1e5)
_FORCE = Range(0.0, 1e7)

RANGES: dict[str, Range] = {
    "cutter.diameter_mm": Range(0.01, 1000.0),
    "cutter.teeth": Range(1, 100, whole=True),
    "cutter.helix_deg": Range(0.0, 85.0),
    "cutter.cutting_edge_angle_deg": Range(0.0, 90.0, over=True, least=1e-3),
    "cutter.radial_rake_deg": Range(-45.0, 45.0),
    "cutter.edge_radius_mm": Range(0.0, 10.0),
    "cutter.wear_land_mm": Range(0.0, 2.0),
    "cutter.runout_mm": Range(0.0, 100.0),
    "cutter.runout_angle_deg": Range(-360.0, 360.0),
    "cutter.stickout_mm": Range(0.0, 5000.0, over=True, least=1e-3),
    "cutter.youngs_modulus_n_mm2": Range(0.0, 2e6, over=True, least=1e-3),
    "cutter.flute_length_mm": Range(0.0, 5000.0, over=True, least=1e-3),
    "cutter.shank_diameter_mm": Range(0.01, 1000.0),
    "cutter.neck_diameter_mm": Range(0.01, 1000.0),
    "cutter.neck_length_mm": Range(0.0, 5000.0, over=True, least=1e-3),
    "cutter.holder_stiffness_n_mm": Range(0.0, 1e12, over=True, least=_TINY),
    "cutter.material.conductivity_w_mk": Range(0.1, 3000.0),
    "cutter.material.density_kg_m3": Range(500.0, 25000.0),
    "cutter.material.specific_heat_j_kgk": Range(50.0, 5000.0),
    "cut.radial_engagement_mm": Range(0.0, 1000.0, over=True, least=_TINY),
    "cut.centre_offset_mm": Range(-500.0, 500.0),
    "cut.axial_engagement_mm": Range(0.0, 5000.0, over=True, least=_TINY),
    "cut.feed_per_tooth_mm": Range(0.0, 500.0, over=True, least=_TINY),
    "cut.spindle_speed_rpm": Range(0.0, 1e6, over=True, least=_TINY),
    "cut.wall_tolerance_mm": Range(0.0, 100.0, over=True, least=1e-9),
    "work.force.ktc": _COEFFICIENT,
    "work.force.krc": _COEFFICIENT,
    "work.force.kac": _AXIAL,
    "work.force.kte": _EDGE,
    "work.force.kre": _EDGE,
    "work.force.kae": _AXIAL,
    "work.force.kc11_n_mm2": _COEFFICIENT,
    "work.force.mc": Range(0.0, 1.0, under=True),
    "work.force.radial_ratio": Range(0.0, 100.0),
    "work.force.edge_radius_mm": Range(0.0, 1.0, over=True, least=1e-6),
    "work.skin.thickness_mm": Range(0.0, 1000.0),
    "work.thermal.conductivity_w_mk": Range(0.1, 3000.0),
    "work.thermal.density_kg_m3": Range(500.0, 25000.0),
    "work.thermal.specific_heat_j_kgk": Range(50.0, 5000.0),
    "work.thermal.solidus_c": Range(50.0, 5000.0),
    "work.chip.min_chip_ratio": Range(0.0, 1.0, over=True),
    "work.chip.elastic_recovery": Range(0.0, 1.0),
    "work.chip.contact_ratio": Range(0.5, 10.0),
    "work.chip.edge_contact_mm": Range(0.0005, 1.0),
    "work.chip.friction_share": Range(0.0, 1.0, over=True, under=True),
    "work.chip.chip_ratio": Range(1.0, 10.0),
    "work.chip.tool_heat_share": Range(0.0, 1.0, over=True, under=True),
    "machine.table_friction_n": _FORCE,
    "machine.feed_preload_n": _FORCE,
    "machine.backlash_mm": Range(0.0, 1000.0),
    "machine.power_kw": Range(0.0, 1e4, over=True, least=1e-6),
    "machine.torque_nm": Range(0.0, 1e6, over=True, least=1e-6),
    "dynamics.frequency_hz": Range(0.0, 1e7, over=True, least=_TINY),
    "dynamics.damping_ratio": Range(0.0, 1.0, over=True, under=True),
    "dynamics.stiffness_n_mm": Range(0.0, 1e12, over=True, least=_TINY),
    "show.angle_deg": Range(-360.0, 360.0),
}
"""Legal range of each numeric key.  ``dynamics.`` stands for each ``[[dynamics]]`` block."""

CHOICES: dict[str, tuple[str, ...]] = {
    "cutter.hand": ("right", "left"),
    "cutter.material": ("carbide", "high-speed steel", "hss"),
    "cut.direction": ("climb", "conventional", "straddling"),
    "work.force.model": ("linear-edge", "power-law"),
    "work.thermal.law": (*("carbon steel", "austenitic", "aluminium 3/6xxx", "aluminium 2/5/7xxx", "titanium"),),
    "machine.drive": ("screw", "ball screw"),
    "dynamics.axis": ("x", "y"),
    "show.page": PAGES,
    "show.frame": ("arc", "all"),
    "show.panel": ("none", "which way"),
    "show.motion": ("still", "play", "slow"),
}
"""Legal words of each key that is a choice."""

LISTS: dict[str, NameList] = {"advice.order": RUNG_LIST, "advice.off": RUNG_LIST, **VIEW_LISTS}
"""Legal names of each key that is a list of names."""

CURVE_SPEED, CURVE_POWER = Range(0.0, 1e6), Range(0.0, 1e4)
"""What each point of ``machine.speed_curve`` may be: speed in /min, power in kW."""

FEED_SHARE = 0.5
"""Greatest feed per tooth as a share of the diameter: beyond it the next tooth would pass the work by."""


def check_value(key: str, value: float) -> None:
    """Refuse a figure outside its range, in words.  Raises ChiparcError."""
    if key in RANGES and not RANGES[key].holds(value):
        raise ChiparcError(key, say("refusal", "found", value=plain(value)), RANGES[key].words)


def curve_words() -> str:
    """What a speed curve may be."""
    return say("speed_curve", "allowed", speeds=CURVE_SPEED.words, powers=CURVE_POWER.words)


def curve_problem(points: Any) -> tuple[str, int]:
    """What is wrong with a speed curve, as what was found (empty if nothing is), and at which point."""
    if len(points) < 2:
        return say_count("speed_curve", "points", len(points)), 0
    last = -math.inf
    for i, point in enumerate(points, 1):
        pair = isinstance(point, list | tuple) and len(point) == 2
        if not pair or any(isinstance(v, bool) or not isinstance(v, int | float) for v in point):
            return say("speed_curve", "no_pair", point=i), i - 1
        for value, limits, unit in zip(point, (CURVE_SPEED, CURVE_POWER), ("/min", "kW"), strict=True):
            # Compared before it is made a float: a whole number of a document may have any number of digits.
            if not limits.low <= value <= limits.high:
                if abs(value) < 1e300 or value != value:
                    return say("speed_curve", "beyond", value=in_language(f"{value:g}"), unit=unit, point=i), i - 1
                return say("speed_curve", "beyond_all", unit=unit, point=i), i - 1
        if point[0] <= last:
            speeds = {"value": in_language(f"{point[0]:g}"), "last": in_language(f"{last:g}")}
            return say("speed_curve", "turns_back", point=i, **speeds), i - 1
        last = point[0]
    return "", 0


def _found(value: float) -> str:
    """That a figure was found."""
    return say("refusal", "found", value=in_language(f"{value:g}"))


def _check_held(setup: Setup) -> None:
    """The flutes against stick-out and depth: a cutter is held by its shank and cuts with its flutes."""
    cutter, cut = setup.cutter, setup.cut
    flutes, out = cutter.flute_length_mm, cutter.stickout_mm
    if flutes is None:
        return
    if out is not None and flutes > out:
        found = _found(flutes)
        raise ChiparcError("cutter.flute_length_mm", found, say("together", "to_stickout", most=out))
    if cut.axial_engagement_mm > flutes:
        found = _found(cut.axial_engagement_mm)
        raise ChiparcError("cut.axial_engagement_mm", found, say("together", "to_flutes", most=flutes))


def _check_spindle(setup: Setup) -> None:
    """One source for the power, and a speed that its curve tells of."""
    machine = setup.machine
    if machine is None or machine.speed_curve is None:
        return
    if machine.power_kw is not None:
        raise ChiparcError(
            "machine.power_kw",
            say("together", "power_twice", power=machine.power_kw),
            say("together", "one_power"),
        )
    speed, low, high = setup.cut.spindle_speed_rpm, machine.speed_curve[0][0], machine.speed_curve[-1][0]
    if not low <= speed <= high:
        raise ChiparcError(
            "cut.spindle_speed_rpm",
            say("together", "beyond_curve", speed=speed),
            say("together", "on_curve", low=low, high=high),
        )


def check_together(setup: Setup) -> None:
    """Refuse figures that are each legal but not together.  Raises ChiparcError with the key to mend."""
    cutter, cut = setup.cutter, setup.cut
    d, ae, key = cutter.diameter_mm, cut.radial_engagement_mm, "cut.radial_engagement_mm"
    if cutter.runout_mm >= d / 2:
        found = _found(cutter.runout_mm)
        raise ChiparcError("cutter.runout_mm", found, say("together", "under_half", most=d / 2))
    if cut.feed_per_tooth_mm > FEED_SHARE * d:
        found = _found(cut.feed_per_tooth_mm)
        raise ChiparcError("cut.feed_per_tooth_mm", found, say("together", "to_half", most=d / 2))
    _check_held(setup)
    _check_spindle(setup)
    if cut.direction != "straddling":
        if cut.centre_offset_mm != 0.0:
            raise ChiparcError(
                "cut.centre_offset_mm",
                say("together", f"offset_{cut.direction}", offset=cut.centre_offset_mm),
                say("together", "no_offset"),
            )
        if ae >= d:
            raise ChiparcError(
                key,
                say("together", "too_wide", width=ae, diameter=d),
                say("together", "under_diameter", diameter=d),
            )
        return
    if ae > d:
        found = _found(ae)
        raise ChiparcError(key, found, say("together", "to_diameter", most=d))
    x1, x2 = (float(x) for x in strip("straddling", d, ae, cut.centre_offset_mm))
    slack = TOUCH * d
    if x1 < -d / 2 - slack or x2 > d / 2 + slack:
        room = max((d - ae) / 2, 0.0)
        raise ChiparcError(
            "cut.centre_offset_mm",
            say("together", "beyond_cutter", offset=cut.centre_offset_mm),
            say("together", "at_width", low=-room, high=room),
        )
    left, right = x1 <= -d / 2 + slack, x2 >= d / 2 - slack
    if left != right:
        touched = "left" if left else "right"
        raise ChiparcError(
            "cut.direction", say("together", f"touches_{touched}"), say("together", f"touches_{touched}_allowed")
        )


PARTS = ("cutter", "cut", "work", "machine")
"""The parts of a setup that hold its figures."""


def _figures_of(prefix: str, part: Any) -> dict[str, Any]:
    """Figures of one part and of the parts in it, by document key."""
    given: dict[str, Any] = {}
    for name in part.__dataclass_fields__:
        value, key = getattr(part, name), f"{prefix}{name}"
        if hasattr(value, "__dataclass_fields__"):
            given |= _figures_of(f"{key}.", value)
        elif value is not None and not isinstance(value, tuple):
            given[key] = value
    return given


def figures(setup: Setup) -> dict[str, Any]:
    """Every figure that the setup gives, by its document key; what is unknown (None) is left out."""
    given: dict[str, Any] = {}
    for name in PARTS:
        part = getattr(setup, name)
        if part is not None:
            given |= _figures_of(f"{name}.", part)
    return given


@lru_cache(maxsize=64)
def _check_part(name: str, part: Any) -> None:
    """Refuse a figure or a word of one part of a setup; a part that was found legal is not looked at again."""
    for key, value in _figures_of(f"{name}.", part).items():
        if key in RANGES:
            check_value(key, value)
        elif key in CHOICES and value not in CHOICES[key]:
            allowed = ", ".join(say("refusal", "quoted", text=choice) for choice in CHOICES[key])
            raise ChiparcError(key, say("refusal", "found_text", text=value), allowed)


def check_setup(setup: Setup) -> None:
    """Refuse a setup that is outside the physical range, in words.  Raises ChiparcError."""
    for name in (*PARTS, "show"):
        part = getattr(setup, name)
        if part is not None:
            _check_part(name, part)
    curve = setup.machine.speed_curve if setup.machine is not None else None
    if curve is not None and (found := curve_problem(curve)[0]):
        raise ChiparcError("machine.speed_curve", found, curve_words())
    for key, allowed in LISTS.items():
        part, _, name = key.partition(".")
        if found := allowed.problem(getattr(getattr(setup, part), name)):
            raise ChiparcError(key, found, allowed.words)
    if found := line_problem(setup.show.line, LONGEST_LINE):
        raise ChiparcError("show.line", found, line_words(LONGEST_LINE))
    for mode in setup.dynamics:
        for name in ("frequency_hz", "damping_ratio", "stiffness_n_mm"):
            check_value(f"dynamics.{name}", getattr(mode, name))
    check_together(setup)
