"""Whether a verdict would stand still under a hand that moves a slider.

A direction is told only where no figure turns it that is moved by less than :data:`STEADY` of its slider's travel,
and where the stretch over which it holds is no shorter than :data:`SHORTEST`: else a verdict would come and go within
a movement that a hand hardly notices, and the figure of a cut is seldom known or kept more exactly than that.

What is near along one slider comes and goes as another moves, so the answers next to it are asked as well, along
every slider: a stretch of "either" shorter than a twentieth of the travel, with one direction on both sides, is told
as that direction, and such a stretch of a direction between two of "either" as "either". They are asked at fixed
places of the travel (:data:`PLACES`), so that a stretch is found alike from wherever on it the slider stands.
:data:`STEADY` is over a fortieth, so that what the first takes away leaves a twentieth along the slider of the figure
that turns. Both are asked once and not of each other.

Where chatter decides nothing is looked at: lobes of stability lie closer than a twentieth of the speed's travel, the
speed and half as fast again; what is asked beside them makes the verdict hop more, not less; the draws tell of them.
Next to a cutter of many teeth with runout no other answer is asked. Lost motion and skin have their threshold at the
very beginning of their travel, far under what a slider can be set to: across it the verdict turns once, and stays.
Asked as the setup tells, without draws.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from ..setup.setup import Setup
from .slider_lines import DIAMETER, HALVINGS, SliderLine, slider_lines, turns_within
from .turning import Told, slow_with_runout, told_answer

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
    DIAMETER,
)
"""The figures that are moved, those first with which nothing is worked out anew."""

PLACES = 60
"""Places of a slider's travel at which the answers next to this one are asked."""

FEW = 3
"""Places so few that a stretch over them may be shorter than a twentieth; one fewer, and it is."""


WHOLE_STEPS = 3.5
"""Steps between whole figures over which a direction has to hold: four figures."""


def _holds_along(line: SliderLine, now: Told) -> bool:
    """Whether nothing turns the verdict near this figure, and it holds over long enough a stretch."""
    near = max(STEADY, line.step)
    room = max(SHORTEST, WHOLE_STEPS * line.step)
    far = room - near
    if turns_within(line, now, near) or turns_within(line, now, -near):
        return False
    if not (turns_within(line, now, near, far) and turns_within(line, now, -near, -far)):
        return True
    # Both borders are closed in on by turns, no farther than tells whether they lie far enough apart.
    borders = {-1.0: (near, far), 1.0: (near, far)}
    for _ in range(HALVINGS):
        for side, (inside, end) in tuple(borders.items()):
            if sum(each[0] for each in borders.values()) >= room:
                return True
            if sum(each[1] for each in borders.values()) < room:
                return False
            middle = 0.5 * (inside + end)
            there = line.told(side * middle)
            holds = there is None or there.way == now.way
            borders[side] = (middle, end) if holds else (inside, middle)
    return sum(each[1] for each in borders.values()) >= room


@lru_cache(maxsize=2048)
def _turning(setup: Setup, keys: tuple[str, ...]) -> str | None:
    """The key of a figure, one of ``keys``, near which the ladder turns."""
    now = told_answer(setup)
    if now is None:
        return None
    return next((line.key for line in slider_lines(setup, keys) if not _holds_along(line, now)), None)


Reach = tuple[tuple[str, tuple[float, ...]], ...]
"""Figures along which the ladder turns near here, each with the sides to which it does, 1 and -1."""


def _within_reach(setup: Setup, now: Told) -> Reach:
    """The sliders along which the ladder turns so near that the answers next to this one may see it."""
    far = 2.0 * STEADY + TWENTIETH / 2.0
    found = []
    for line in slider_lines(setup, LOOKED_AT):
        sides = tuple(side for side in (1.0, -1.0) if turns_within(line, now, side * far))
        if sides:
            found.append((line.key, sides))
    return tuple(found)


def _steady_there(setup: Setup, told: Told, reach: Reach) -> bool:
    """Whether nothing that turns near by has come near there."""
    for key, sides in reach:
        for line in slider_lines(setup, (key,)):
            near = max(STEADY, line.step)
            # Between two turnings the stretch may be too short to be told.
            if not _holds_along(line, told) if len(sides) > 1 else turns_within(line, told, sides[0] * near):
                return False
    return True


class _Stretches:
    """The answers at fixed places of one slider, counted outward from where it is set."""

    def __init__(self, line: SliderLine, now: Told, keys: tuple[str, ...], reach: Reach) -> None:
        self.line, self.now, self.keys, self.reach = line, now, keys, reach
        self.step = line.step or 1.0 / PLACES
        self.few = 1 if line.step else FEW
        # Whole figures stand on places themselves.
        place = line.share / self.step
        self.next = {1: math.floor(place + 1e-9) + 1, -1: math.ceil(place - 1e-9) - 1}

    def steady(self, place: int) -> bool | None:
        """Whether the answer there is steady; None beyond the ends, or where it is the other direction."""
        there = self.line.at(place * self.step - self.line.share)
        told = None if there is None else told_answer(there)
        if there is None or told is None or told.way != self.now.way:
            return None
        return _turning(there, self.keys) is None

    def count(self, start: int, side: int, kind: bool) -> tuple[int, bool | None]:
        """How many places from ``start`` on to a side are of a kind, up to one more than few; what comes after."""
        for i in range(self.few + 1):
            found = self.steady(start + side * i)
            if found is not kind:
                return i, found
        return self.few + 1, kind

    def long(self) -> bool:
        """Whether a steady answer still is to one side, so far off that it stands over a twentieth.

        Asked at that one place, and only of what turns near here: what comes near between does not go again.
        """
        for side, place in self.next.items():
            there = self.line.at((place + side * self.few) * self.step - self.line.share)
            told = None if there is None else told_answer(there)
            if there is None or told is None:
                return True
            if told.way == self.now.way and _steady_there(there, told, self.reach):
                return True
        return False

    def short(self, steady: bool) -> bool:
        """Whether the answer here, steady or not, stands over less than a twentieth between two of the other kind."""
        length, most = (1 if self.line.step else 0), self.few if steady else self.few - (0 if self.line.step else 1)
        for side in (1, -1):
            place = self.next[side]
            while True:
                more, after = self.count(place, side, steady)
                length, place = length + more, place + side * more
                # A stretch that ends with the slider, or with the other direction, is no short one.
                if length > most or after is not (not steady):
                    return False
                if steady:
                    break
                # A direction that is no stretch of its own there goes into this one.
                beyond, after = self.count(place, side, True)
                if beyond > self.few or after is None:
                    break
                length, place = length + beyond, place + side * beyond
        return True


@lru_cache(maxsize=1024)
def turned_nearby(setup: Setup) -> str | None:
    """The key of a figure that would turn the verdict if it were moved a little on its slider; None if none would."""
    if setup.cut.direction == "straddling":
        return None
    setup = setup.facing("climb")
    now = told_answer(setup)
    # Lobes of stability lie closer than any slider is set, and take long to find: the draws tell of them.
    if now is None or now.by == "stability":
        return None
    setup = replace(setup, dynamics=())
    now = told_answer(setup)
    assert now is not None
    by = _turning(setup, LOOKED_AT)
    if slow_with_runout(setup):
        return by
    reach = _within_reach(setup, now)
    keys = tuple(key for key, _ in reach)
    if by is not None:
        # Most of the answers next to this one turn with the same figure.
        keys = (by, *(key for key in keys if key != by))
    if not keys:
        return by
    for line in slider_lines(setup, LOOKED_AT):
        stretches = _Stretches(line, now, keys, reach)
        if not (by is None and stretches.long()) and stretches.short(by is None):
            return line.key if by is None else None
    return by
