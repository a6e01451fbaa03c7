"""Whether a verdict would stand still under a hand that moves a slider.

A direction is told only where no figure turns it that is moved by less than :data:`STEADY` of its slider's travel,
and where the stretch over which it holds is no shorter than :data:`SHORTEST`: else a verdict would come and go within
a movement that a hand hardly notices, and the figure of a cut is seldom known or kept more exactly than that.

What is near along one slider comes and goes as another moves, so the answers next to it are asked as well, along
every slider: a stretch of "either" shorter than a twentieth of the travel, with one direction on both sides, is told
as that direction, and such a stretch of a direction between two of "either" as "either". :data:`STEADY` is over a
fortieth, so that what the first takes away leaves a twentieth along the slider of the figure that turns. Both are
asked once and not of each other; where three figures meet a shorter stretch may still be left.

Not moved is the diameter: another cutter is no small movement. Where chatter decides nothing is looked at: lobes of
stability lie so close that what is asked beside them makes the verdict hop more, not less; the draws tell of them.
Next to a cutter of many teeth with runout no other answer is asked. Lost motion and skin have their threshold at the
very beginning of their travel, far under what a slider can be set to: across it the verdict turns once, and stays.
Asked as the setup tells, without draws.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from ..base.errors import ChiparcError
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES, check_setup
from ..setup.travel import Travel, travel
from .checks import Way
from .turning import slow_with_runout, told_answer, told_way

STEADY = 0.03
"""Part of a slider's travel within which nothing may turn the verdict."""

TWENTIETH = 0.05
"""Part of a slider's travel within which a verdict may change once."""

SHORTEST = 2.0 * STEADY + TWENTIETH
"""Part of a slider's travel over which a direction has to hold before it is told."""

LOOKED_AT = (
    "cut.wall_tolerance_mm",
    "machine.table_friction_n",
    "machine.feed_preload_n",
    "cut.radial_engagement_mm",
    "cut.feed_per_tooth_mm",
    "cut.axial_engagement_mm",
    "cut.spindle_speed_rpm",
    "cutter.teeth",
    "cutter.helix_deg",
    "cutter.cutting_edge_angle_deg",
    "cutter.edge_radius_mm",
    "cutter.runout_mm",
    "cutter.stickout_mm",
    "cutter.flute_length_mm",
    "cutter.shank_diameter_mm",
    "cutter.neck_diameter_mm",
    "cutter.neck_length_mm",
    "cutter.holder_stiffness_n_mm",
)
"""The figures that are moved, those first with which nothing is worked out anew."""

HALVINGS = 6


@dataclass(frozen=True, slots=True)
class _Line:
    """The setups along one figure's slider; ``share`` is where the figure is set now."""

    setup: Setup
    key: str
    way: Travel
    share: float

    def at(self, moved: float) -> Setup | None:
        """The setup with the figure moved by a part of the travel; None beyond the ends, or where it is not legal."""
        share = self.share + moved
        if not 0.0 <= share <= 1.0:
            return None
        value = self.way.value_at(share)
        try:
            changed = self.setup.with_keys({self.key: round(value) if RANGES[self.key].whole else value})
            check_setup(changed)
        except ChiparcError:
            return None
        return changed


def _lines(setup: Setup, keys: tuple[str, ...] = LOOKED_AT) -> Iterator[_Line]:
    """The sliders of these figures."""
    for key in keys:
        value = setup.value(key)
        if value is None or (value == 0.0 and key == "cutter.runout_mm"):
            continue
        way = travel(setup, key)
        if way.high > way.low and (not way.logarithmic or (value > 0.0 and way.low > 0.0)):
            yield _Line(setup, key, way, way.share_of(value))


def _border(same: Callable[[float], bool], end: float, halvings: int = HALVINGS) -> float:
    """How far toward ``end``, where it is no longer the same, it changes."""
    near, far = 0.0, end
    for _ in range(halvings):
        middle = 0.5 * (near + far)
        near, far = (middle, far) if same(middle) else (near, middle)
    return abs(far)


def _told_along(line: _Line, now: Way) -> Callable[[float], bool]:
    """Whether the ladder tells the same there; beyond the slider's ends, or where the cut is not legal, it does."""

    def holds(moved: float) -> bool:
        changed = line.at(moved)
        if changed is None:
            return True
        if line.key == "cut.feed_per_tooth_mm" and (slack := line.setup.value("machine.backlash_mm")):
            # Its threshold is a part of the feed: it is crossed once, from whichever side.
            feed = changed.cut.feed_per_tooth_mm / line.setup.cut.feed_per_tooth_mm
            changed = changed.with_keys({"machine.backlash_mm": slack * feed})
        return told_way(changed) == now

    return holds


def _holds_along(holds: Callable[[float], bool]) -> bool:
    """Whether nothing turns the verdict near this figure, and it holds over long enough a stretch."""
    if not (holds(-STEADY) and holds(STEADY)):
        return False
    far = SHORTEST - STEADY
    if holds(far) or holds(-far):
        return True
    # Both borders are closed in on by turns, no farther than tells whether they lie far enough apart.
    borders = {-1.0: (STEADY, far), 1.0: (STEADY, far)}
    for _ in range(HALVINGS):
        for side, (near, end) in tuple(borders.items()):
            if sum(each[0] for each in borders.values()) >= SHORTEST:
                return True
            if sum(each[1] for each in borders.values()) < SHORTEST:
                return False
            middle = 0.5 * (near + end)
            borders[side] = (middle, end) if holds(side * middle) else (near, middle)
    return sum(each[1] for each in borders.values()) >= SHORTEST


@lru_cache(maxsize=1024)
def _told(setup: Setup) -> Way | None:
    return told_way(setup)


@lru_cache(maxsize=1024)
def _turning(setup: Setup, keys: tuple[str, ...]) -> str | None:
    """The key of a figure, one of ``keys``, near which the ladder turns."""
    now = _told(setup)
    if now is None:
        return None
    return next((line.key for line in _lines(setup, keys) if not _holds_along(_told_along(line, now))), None)


def _within_reach(setup: Setup, now: Way) -> tuple[str, ...]:
    """Keys of the sliders along which the ladder turns so near that the answers next to this one may see it."""
    far = 2.0 * STEADY + TWENTIETH / 2.0
    near = []
    for line in _lines(setup):
        holds = _told_along(line, now)
        if not (holds(-far) and holds(far)):
            near.append(line.key)
    return tuple(near)


def _short_along(line: _Line, now: Way, keys: tuple[str, ...], steady: bool) -> bool:
    """Whether the answer, steady or not, stands over less than a twentieth here, between two of the other kind."""

    def same(moved: float) -> bool:
        there = line.at(moved)
        # A stretch that ends with the slider, or with the other direction, is no short one.
        return there is None or _told(there) != now or (_turning(there, keys) is None) is steady

    half = TWENTIETH / 2.0
    ends = [side for side in (half, -half) if not same(side)]
    if len(ends) != 1:
        return len(ends) == 2
    end = ends[0]
    if same(math.copysign(TWENTIETH, -end)):
        return False
    reach = _border(same, end, HALVINGS - 2)
    return not same(math.copysign(TWENTIETH - reach, -end))


@lru_cache(maxsize=1024)
def turned_nearby(setup: Setup) -> str | None:
    """The key of a figure that would turn the verdict if it were moved a little on its slider; None if none would."""
    if setup.cut.direction == "straddling":
        return None
    setup = setup.facing("climb")
    told = told_answer(setup)
    # Lobes of stability lie closer than any slider is set, and take long to find: the draws tell of them.
    if told is None or told[1] == "stability":
        return None
    now, setup = told[0], replace(setup, dynamics=())
    by = _turning(setup, LOOKED_AT)
    if slow_with_runout(setup):
        return by
    keys = _within_reach(setup, now)
    if by is not None:
        # Most of the answers next to this one turn with the same figure.
        keys = (by, *(key for key in keys if key != by))
    short = next((line.key for line in _lines(setup) if keys and _short_along(line, now, keys, by is None)), None)
    if short is None:
        return by
    return short if by is None else None
