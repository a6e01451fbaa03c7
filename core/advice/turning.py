"""What would turn the verdict: of each input the nearest figure with which the ladder says another direction.

The ladder is asked as the setup tells, without draws.  Each input is looked at alone, in ratios of :data:`STEP` up to
:data:`FARTHEST` of the figure set now; the first that turns it is closed in on to three digits.  What turns it only
between two steps is not seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from ..base.errors import ChiparcError
from ..effects.machine_limits import LOST_MOTION_SHARE
from ..setup.setup import Setup, Skin
from ..setup.setup_limits import RANGES, check_setup
from .checks import CHECKS_OF, Way, check
from .draws import as_told

STEP, FARTHEST = 1.6, 5.0

UNITS = {
    "machine.backlash_mm": "mm",
    "machine.table_friction_n": "N",
    "machine.feed_preload_n": "N",
    "cut.wall_tolerance_mm": "mm",
    "work.skin.thickness_mm": "mm",
    "cutter.edge_radius_mm": "mm",
    "work.chip.min_chip_ratio": "1",
    "cutter.stickout_mm": "mm",
    "cut.radial_engagement_mm": "mm",
    "cut.feed_per_tooth_mm": "mm",
    "cut.axial_engagement_mm": "mm",
    "cut.spindle_speed_rpm": "1/min",
}
"""The inputs that are looked at, each with the unit of its key in plain letters."""

OF_THE_CUT = (
    "cutter.stickout_mm",
    "cut.radial_engagement_mm",
    "cut.feed_per_tooth_mm",
    "cut.axial_engagement_mm",
    "cut.spindle_speed_rpm",
)
"""Those with which force, wall and heat are worked out anew."""

MOST_TEETH = 8
"""Teeth with runout up to which they are: each is another, and a cut takes long to work out."""

_FROM_NOTHING = {
    "machine.backlash_mm": (1e-3, 2.0),
    "machine.table_friction_n": (1.0, 1e5),
    "machine.feed_preload_n": (1.0, 1e5),
    "work.skin.thickness_mm": (0.005, 5.0),
}
"""Where a figure that is 0 now is looked for, from the smallest up."""

_TIGHTER = ("cut.wall_tolerance_mm", 1.0, 0.001)
"""A tolerance that is not given is looked for from a loose one down."""


@dataclass(frozen=True, slots=True)
class Turn:
    """``key`` at ``value`` (in ``unit``) makes the verdict ``direction``."""

    key: str
    value: float
    unit: str
    direction: Way


@dataclass(frozen=True, slots=True)
class Told:
    """A direction, the check that gives it ("" for custom), and why those that were asked before it gave none."""

    way: Way
    by: str
    passed: tuple[str, ...] = ()


@lru_cache(maxsize=1024)
def told_answer(setup: Setup) -> Told | None:
    """Direction of :func:`.ladder.nominal_verdict` and the check that gives it, no more asked than decides it."""
    passed: list[str] = []
    for rung in setup.advice.whole_order:
        if rung in setup.advice.off:
            continue
        if rung == "custom":
            return Told("climb", "", tuple(passed))
        for id in CHECKS_OF[rung]:
            if id == "limits" or (id == "pull" and setup.value("machine.backlash_mm") is None):
                # Power and torque choose no direction, nor does a lost motion that is not told.
                continue
            found = check(id, setup, as_told())
            if found.told is not None:
                return Told(found.told, id, tuple(passed))
            passed.append(found.why)
    return None


def told_way(setup: Setup) -> Way | None:
    """The direction of :func:`told_answer`."""
    answer = told_answer(setup)
    return None if answer is None else answer.way


def slow_with_runout(setup: Setup) -> bool:
    """Whether its teeth are so many, each on another chip, that a cut takes long to work out."""
    return setup.cutter.teeth > MOST_TEETH and setup.cutter.runout_mm > 0.0


def value_of(setup: Setup, key: str) -> float | None:
    """The figure that is set now; no skin is one of 0."""
    value = setup.value(key)
    return 0.0 if value is None and key == "work.skin.thickness_mm" else value


def with_value(setup: Setup, key: str, value: float) -> Setup:
    """The setup with another figure.  Raises ChiparcError where that is not legal."""
    if key == "work.skin.thickness_mm":
        changed = replace(setup, work=replace(setup.work, skin=Skin(value)))
    elif key == "work.chip.min_chip_ratio":
        changed = replace(setup, work=replace(setup.work, chip=replace(setup.work.chip, min_chip_ratio=value)))
    else:
        changed = setup.with_keys({key: value})
    check_setup(changed)
    return changed


def _way_at(setup: Setup, key: str, value: float) -> Way | None:
    """The direction with that figure; None where it is not legal or nothing answers."""
    try:
        return told_way(with_value(setup, key, value))
    except ChiparcError:
        return None


def _steps(start: float, end: float) -> Iterator[float]:
    """Figures from ``start``, without it, to ``end``, both over 0, in equal ratios of about STEP."""
    count = max(1, math.ceil(abs(math.log(end / start)) / math.log(STEP)))
    for i in range(1, count + 1):
        yield start * (end / start) ** (i / count)


def _digits(value: float, up: bool) -> float:
    """The figure of three digits at or beyond the value."""
    if value <= 0.0:
        return value
    scale = 10.0 ** (2 - math.floor(math.log10(value)))
    rounded = math.ceil(value * scale - 1e-9) if up else math.floor(value * scale + 1e-9)
    return float(f"{rounded / scale:.3g}")


def _along(setup: Setup, key: str, now: Way, start: float, end: float) -> tuple[float, Way] | None:
    """The first figure from ``start`` to ``end`` that turns the verdict, and to which direction."""
    last = start
    for value in _steps(start, end):
        there = _way_at(setup, key, value)
        if there is None:
            return None
        if there != now:
            return _closed_in(setup, key, now, last, value)
        last = value
    return None


def _closed_in(setup: Setup, key: str, now: Way, holds: float, turns: float) -> tuple[float, Way] | None:
    """The nearest figure of three digits between one that holds and one that turns, both over 0."""
    while abs(math.log(turns / holds)) > 0.005:
        middle = math.sqrt(holds * turns)
        if _way_at(setup, key, middle) == now:
            holds = middle
        else:
            turns = middle
    told = _digits(turns, up=turns > holds)
    for value in (told, turns):
        there = _way_at(setup, key, value)
        if there is not None and there != now:
            return value, there
    return None


def turn_of(setup: Setup, key: str) -> Turn | None:
    """The nearest figure of one input that turns the verdict; None where there is none, or no choice."""
    if setup.cut.direction == "straddling":
        return None
    setup = setup.facing("climb")
    value, now = value_of(setup, key), told_way(setup)
    if now is None:
        return None
    limits = RANGES[key]
    if value is None:
        if key != _TIGHTER[0]:
            return None
        ends = [_TIGHTER[1:]]
    elif value == 0.0:
        if key not in _FROM_NOTHING:
            return None
        ends = [_FROM_NOTHING[key]]
    else:
        # Somewhat off the figure, so that a step never stands on it.
        least = max(limits.least, limits.low, value / FARTHEST)
        if key == "machine.backlash_mm":
            least = min(least, LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm / 2.0)
        ends = [(value, least), (value, min(limits.high, value * FARTHEST))]
        ends = [(a, b) for a, b in ends if b > 0.0 and a != b]
    places = [each for each in (_along(setup, key, now, *pair) for pair in ends) if each is not None]
    if value and key == "work.skin.thickness_mm" and not places:
        there = _way_at(setup, key, 0.0)
        places = [(0.0, there)] if there is not None and there != now else []
    if not places:
        return None
    best = min(places, key=lambda one: abs(math.log(one[0] / value)) if value and one[0] else math.inf)
    return Turn(key, best[0], UNITS[key], best[1])


def inputs(setup: Setup) -> tuple[str, ...]:
    """The inputs that are looked at in this setup."""
    slow = slow_with_runout(setup)
    return tuple(key for key in UNITS if not (slow and key in OF_THE_CUT))


def turns(setup: Setup) -> tuple[Turn, ...]:
    """Of every input the nearest figure that turns the verdict, the least change first; alike either way."""
    return _turns(replace(setup.facing("climb"), title="")) if setup.cut.direction != "straddling" else ()


@lru_cache(maxsize=1024)
def _turns(setup: Setup) -> tuple[Turn, ...]:
    nearest = [turn for turn in (turn_of(setup, key) for key in inputs(setup)) if turn is not None]

    def change(turn: Turn) -> Any:
        now = value_of(setup, turn.key)
        return abs(math.log(turn.value / now)) if now and turn.value else math.inf

    return tuple(sorted(nearest, key=change))
