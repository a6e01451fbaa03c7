"""What a worksheet asks about a cut: each task with the working of its answer, step by step, by hand.

The working is the textbook's own and knows nothing of the report; a test holds each answer against the report's key.
Every figure is worked in the units of the sheet, as a learner would.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ..base.language import spoken
from ..base.quantities import QUANTITIES, Units, clear_figure, number
from ..base.words import say
from ..setup.setup import Setup


@dataclass(frozen=True, slots=True)
class Task:
    """A question on one cut.

    ask : in words; steps : the working, a line each; answer : in house units of ``quantity``; told : the answer with
    its unit; unit : what stands behind the blank; key : the figure of the report that it must be equal to.
    """

    id: str
    ask: str
    steps: tuple[str, ...]
    answer: float
    told: str
    unit: str
    key: str


class _Figures:
    """Figures of one cut in the units of the sheet, as text for the working."""

    def __init__(self, setup: Setup, units: Units) -> None:
        self.setup, self.units = setup, units
        cutter, cut = setup.cutter, setup.cut
        self.diameter = self.plain(cutter.diameter_mm, "diameter")
        self.width = self.plain(cut.radial_engagement_mm, "radial_width")
        self.depth = self.plain(cut.axial_engagement_mm, "depth")
        self.feed = self.plain(cut.feed_per_tooth_mm, "feed_per_tooth")
        self.speed = self.plain(cut.spindle_speed_rpm, "spindle_speed")
        self.teeth = str(cutter.teeth)

    def plain(self, value: float, quantity: str) -> str:
        """A figure without its unit and without zeros at its end."""
        q = QUANTITIES[quantity]
        text = clear_figure(value, quantity, self.units, counting=4)
        text = text.removesuffix(q.unit_in(self.units)).strip()
        sign = spoken.language.decimal
        return text.rstrip("0").rstrip(sign) if sign in text else text

    def told(self, value: float, quantity: str) -> str:
        """A figure with its unit."""
        return clear_figure(value, quantity, self.units)

    def unit(self, quantity: str) -> str:
        """The unit of a quantity on this sheet."""
        return QUANTITIES[quantity].unit_in(self.units)


def _task(id: str, f: _Figures, answer: float, quantity: str, key: str, *, ask: str = "", **fields: object) -> Task:
    told = f.told(answer, quantity)
    known = {
        "D": f.diameter,
        "ae": f.width,
        "ap": f.depth,
        "fz": f.feed,
        "n": f.speed,
        "fz_told": f.told(f.setup.cut.feed_per_tooth_mm, "chip_thickness"),
        "z": f.teeth,
        "answer": told,
        **fields,
    }
    steps = tuple(say("worksheet_steps", ask or id, **known).split("\n"))
    return Task(id, say("worksheet_ask", ask or id, **known), steps, answer, told, f.unit(quantity), key)


def _one_sided(setup: Setup) -> bool:
    return setup.cut.direction != "straddling"


def _swept(setup: Setup) -> float:
    """The arc of a one-sided cut, degrees: cos of it is 1 - 2 ae / D."""
    return math.degrees(math.acos(1.0 - 2.0 * setup.cut.radial_engagement_mm / setup.cutter.diameter_mm))


def _arc(setup: Setup, units: Units) -> Task | None:
    """Where the tooth leaves (conventional) or enters (climb)."""
    if not _one_sided(setup):
        return None
    f, arc = _Figures(setup, units), _swept(setup)
    cosine = number(1.0 - 2.0 * setup.cut.radial_engagement_mm / setup.cutter.diameter_mm, 4)
    climb = setup.cut.direction == "climb"
    answer = 180.0 - arc if climb else arc
    key = "engagement.entry_deg" if climb else "engagement.exit_deg"
    ask = "arc_climb" if climb else "arc_conventional"
    return _task("arc", f, answer, "angle", key, ask=ask, cosine=cosine, arc=number(arc, 2))


def _thickest(setup: Setup, units: Units) -> Task | None:
    """The greatest chip thickness, fz sin(phi) sin(kappa_r)."""
    if not _one_sided(setup) or setup.cutter.cutting_edge_angle_deg != 90.0:
        return None
    f, arc = _Figures(setup, units), _swept(setup)
    past = arc >= 90.0
    angle = min(arc, 90.0)
    answer = setup.cut.feed_per_tooth_mm * math.sin(math.radians(angle))
    sine = number(math.sin(math.radians(angle)), 4)
    ask = "thickest_full" if past else "thickest"
    return _task("thickest", f, answer, "chip_thickness", "chip.arc.h_max_mm", ask=ask, arc=number(arc, 2), sine=sine)


def _thinning(setup: Setup, units: Units) -> Task | None:
    """The feed that restores the chip: fz / sin(phi)."""
    if not _one_sided(setup) or setup.cutter.cutting_edge_angle_deg != 90.0 or _swept(setup) >= 80.0:
        return None
    f, arc = _Figures(setup, units), _swept(setup)
    sine = math.sin(math.radians(arc))
    answer = setup.cut.feed_per_tooth_mm / sine
    key = "chip.feed_for_full_thickness_mm"
    return _task("thinning", f, answer, "feed_per_tooth", key, arc=number(arc, 2), sine=number(sine, 4))


def _arc_length(setup: Setup, units: Units) -> Task | None:
    """The way of the tip in the work: arc times radius."""
    if not _one_sided(setup):
        return None
    f, arc = _Figures(setup, units), _swept(setup)
    answer = math.pi * setup.cutter.diameter_mm * arc / 360.0
    return _task("arc_length", f, answer, "length", "engagement.arc_length_mm", arc=number(arc, 2))


def _cutting_speed(setup: Setup, units: Units) -> Task | None:
    f = _Figures(setup, units)
    answer = math.pi * setup.cutter.diameter_mm * setup.cut.spindle_speed_rpm / 1000.0
    ask = "cutting_speed_inch" if units == "inch" else "cutting_speed"
    return _task("cutting_speed", f, answer, "cutting_speed", "rates.cutting_speed_m_min", ask=ask)


def _vf(setup: Setup) -> float:
    return setup.cut.feed_per_tooth_mm * setup.cutter.teeth * setup.cut.spindle_speed_rpm


def _table_feed(setup: Setup, units: Units) -> Task | None:
    f = _Figures(setup, units)
    return _task("table_feed", f, _vf(setup), "table_feed", "rates.table_feed_mm_min")


def _removal(setup: Setup, units: Units) -> Task | None:
    f, cut = _Figures(setup, units), setup.cut
    answer = cut.radial_engagement_mm * cut.axial_engagement_mm * _vf(setup) / 1000.0
    ask = "removal_inch" if units == "inch" else "removal"
    feed = f.plain(_vf(setup), "table_feed")
    return _task("removal", f, answer, "removal_rate", "rates.removal_rate_cm3_min", ask=ask, vf=feed)


def _rubbing(setup: Setup, units: Units) -> Task | None:
    """The arc in which the edge slides: sin of it is the least chip by the feed."""
    radius, ratio = setup.cutter.edge_radius_mm, setup.work.chip.min_chip_ratio
    if not _one_sided(setup) or radius is None or setup.cutter.cutting_edge_angle_deg != 90.0:
        return None
    least = ratio * radius
    sine = least / setup.cut.feed_per_tooth_mm
    if setup.cutter.runout_mm > 0.0 or sine >= 1.0 or math.degrees(math.asin(sine)) >= min(_swept(setup), 90.0):
        return None
    f = _Figures(setup, units)
    climb = setup.cut.direction == "climb"
    answer = math.degrees(math.asin(sine))
    return _task(
        "rubbing",
        f,
        answer,
        "angle",
        "rubbing.exit_deg" if climb else "rubbing.entry_deg",
        ask="rubbing_climb" if climb else "rubbing_conventional",
        radius=f.plain(radius, "length"),
        radius_told=f.told(radius, "length"),
        ratio=number(ratio, 2),
        least=f.plain(least, "chip_thickness"),
        sine=number(sine, 4),
    )


def _jump(setup: Setup, units: Units) -> Task | None:
    """How many times thicker the next chip can be when the table jumps."""
    slack = None if setup.machine is None else setup.machine.backlash_mm
    if slack is None or slack == 0.0:
        return None
    f = _Figures(setup, units)
    answer = (setup.cut.feed_per_tooth_mm + slack) / setup.cut.feed_per_tooth_mm
    return _task(
        "jump",
        f,
        answer,
        "number",
        "feed.jump_chip_ratio",
        slack=f.plain(slack, "length"),
        slack_told=f.told(slack, "length"),
    )


def _contact(setup: Setup, units: Units) -> Task | None:
    """The time of one tip in the work, one turn."""
    if not _one_sided(setup):
        return None
    f, arc = _Figures(setup, units), _swept(setup)
    answer = arc / 360.0 * 60_000.0 / setup.cut.spindle_speed_rpm
    turn = number(60_000.0 / setup.cut.spindle_speed_rpm, 3)
    return _task("contact", f, answer, "time", "engagement.contact_time_ms", arc=number(arc, 2), turn=turn)


def _tooth_passing(setup: Setup, units: Units) -> Task | None:
    """How often a tooth strikes, per second."""
    f = _Figures(setup, units)
    answer = setup.cutter.teeth * setup.cut.spindle_speed_rpm / 60.0
    made = _task("tooth_passing", f, answer, "number", "stability.tooth_passing_hz")
    return Task(made.id, made.ask, made.steps, answer, f"{made.told} Hz", "Hz", made.key)


TASKS: dict[str, Callable[[Setup, Units], Task | None]] = {
    "arc": _arc,
    "thickest": _thickest,
    "thinning": _thinning,
    "arc_length": _arc_length,
    "contact": _contact,
    "cutting_speed": _cutting_speed,
    "table_feed": _table_feed,
    "removal": _removal,
    "rubbing": _rubbing,
    "jump": _jump,
    "tooth_passing": _tooth_passing,
}
"""Every task; each gives None for a cut that it does not fit."""


def task(id: str, setup: Setup, units: Units) -> Task | None:
    """One task on a cut; None where it does not fit."""
    return TASKS[id](setup, units)


def working_of(key: str, setup: Setup, units: Units) -> tuple[str, ...]:
    """The working of a figure of the report, a line each, by the task that asks for it; empty where none does."""
    found = (made for id in TASKS if (made := task(id, setup, units)) is not None and made.key == key)
    return next((made.steps for made in found), ())
