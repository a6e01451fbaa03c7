"""What to change: the nearest other figure of the cut that lifts what is held against it.

Any yes-or-no question about a setup can be asked; nothing here knows what it is about.  Figures are looked at as
a person would type them, of three digits at most, so that what is proposed is what was tried.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ..base.errors import ChiparcError
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES, check_setup

Holds = Callable[[Setup], bool]
"""Whether what is held against a setup is so."""

STEP, FARTHEST = 1.12, 8.0
"""A way is looked along in equal ratios of STEP, up to FARTHEST times or one FARTHEST-th of the figure set now."""

ROUNDER = 1.01
"""A figure of two digits is taken for one of three if it is no more than this ratio beyond it."""

QUANTITY_OF = {
    "cut.radial_engagement_mm": "radial_width",
    "cut.feed_per_tooth_mm": "feed_per_tooth",
    "cut.spindle_speed_rpm": "spindle_speed",
    "cut.axial_engagement_mm": "depth",
    "cutter.stickout_mm": "stickout",
}
"""The figures that are looked at for a change, each with its entry in ``core.quantities``."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change that lifts it: document key, quantity, both values in the unit of the key, the whole new setup."""

    key: str
    quantity: str
    before: float
    after: float
    setup: Setup

    @property
    def size(self) -> float:
        """How big the change is: the logarithm of its factor, without sign, so that half is as far as double."""
        return abs(math.log(self.after / self.before))


# Figures of three digits are counted through: 1.00 is 0, 9.99 is 899, 10.0 is 900, 0.999 is -1.
_IN_A_DECADE = 900


def _figure(place: int) -> float:
    """The figure at that place; read from its digits, so that it is the float that a typed figure gives."""
    decade, rest = divmod(place, _IN_A_DECADE)
    return float(f"{100 + rest}e{decade - 2}")


def _place(value: float) -> int:
    """The place of the figure nearest to a value over 0."""
    digits, decade = f"{value:.2e}".split("e")
    return int(decade) * _IN_A_DECADE + int(digits.replace(".", "")) - 100


class _Way:
    """The figures on one side of the one set now, nearest first; ``sign`` is 1 upward and -1 downward."""

    def __init__(self, setup: Setup, key: str, holds: Holds, ends: tuple[float, float], sign: int) -> None:
        self.setup, self.key, self.holds, self.ends, self.sign = setup, key, holds, ends, sign
        self.value = float(setup.value(key))
        start = _place(self.value)
        self.first = start if (_figure(start) - self.value) * sign > 0.0 else start + sign
        self.inner = self.first - sign
        self.last = self._farthest()

    def legal(self, place: int) -> bool:
        figure = _figure(place)
        if not self.ends[0] <= figure <= self.ends[1]:
            return False
        try:
            check_setup(self.setup.with_keys({self.key: figure}))
        except ChiparcError:
            return False
        return True

    def lifts(self, place: int) -> bool:
        return self.legal(place) and not self.holds(self.setup.with_keys({self.key: _figure(place)}))

    def _farthest(self) -> int:
        """The last legal place within reach; the place before the first if there is none.

        What is legal for one figure, all others kept, is one unbroken range about the value set now.
        """
        reach = self.value * FARTHEST**self.sign
        good, bad = self.inner, _place(reach)
        if (_figure(bad) - reach) * self.sign > 0.0:
            bad -= self.sign
        if self.legal(bad):
            return bad
        while abs(bad - good) > 1:
            middle = (good + bad) // 2
            good, bad = (middle, bad) if self.legal(middle) else (good, middle)
        return good

    def within(self, place: int) -> bool:
        """Whether the place lies on this way: not before its first, not after its last."""
        return (place - self.first) * self.sign >= 0 and (self.last - place) * self.sign >= 0

    def step(self, count: int) -> int | None:
        """The place ``count`` steps out, the last one at most; None where the way has ended before."""
        before = self.inner
        if not self.within(before + self.sign):
            return None
        aim = _place(self.value * STEP ** (count * self.sign))
        nearest = before + self.sign
        aim = aim if (aim - nearest) * self.sign > 0 else nearest
        return aim if self.within(aim) else self.last

    def closed_in(self, lifted: int) -> int:
        """The first place that lifts it between the last that did not and ``lifted``, which does."""
        holding = self.inner
        while abs(lifted - holding) > 1:
            middle = (holding + lifted) // 2
            holding, lifted = (holding, middle) if self.lifts(middle) else (middle, lifted)
        return lifted

    def rounded(self, lifted: int) -> int:
        """A place of two digits a little farther out if it lifts too, else the same one."""
        # A decade has ten times ninety places, so that multiples of ten are the figures of two digits.
        rounder = -(-lifted // 10) * 10 if self.sign > 0 else lifted // 10 * 10
        near = (_figure(rounder) / _figure(lifted)) ** self.sign <= ROUNDER
        return rounder if rounder != lifted and near and self.within(rounder) and self.lifts(rounder) else lifted


def nearest_change(setup: Setup, key: str, holds: Holds, low: float, high: float) -> float | None:
    """The nearest value of one figure that makes ``holds`` false, all other figures kept; None if none does.

    key : document key of a figure over 0 that need not be whole; else ValueError.  low, high : bounds in the unit of
    the key, within which and within what is legal with the other figures it is looked for.
    holds : must be true of ``setup`` itself and always answer alike; called about 55 times at most.

    Both ways are followed in steps of :data:`STEP` up to :data:`FARTHEST`; the first step that lifts it is closed
    in on, over figures of three digits, and of two where one lies hardly farther out.  Both ways in one step: the
    smaller ratio wins, the smaller figure if they are equal.  The value given has been tried.  What would lift it
    only within less than a step is not seen.

    >>> from .setup import Cut, Cutter
    >>> s = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 5.0, 0.06, 4000.0))
    >>> nearest_change(s, "cut.feed_per_tooth_mm", lambda t: t.cut.feed_per_tooth_mm < 0.0712, 0.0, 1.0)
    0.0712
    """
    now = setup.value(key)
    if key not in RANGES or RANGES[key].whole or now is None or not now > 0.0:
        raise ValueError(f"{key}: a figure over 0 that need not be whole is looked at, not {now!r}")
    ways = [_Way(setup, key, holds, (low, high), sign) for sign in (-1, 1)]
    for count in range(1, math.ceil(math.log(FARTHEST) / math.log(STEP)) + 1):
        lifting = []
        for way in ways:
            place = way.step(count)
            if place is None:
                continue
            if way.lifts(place):
                lifting.append((way, way.closed_in(place)))
            else:
                way.inner = place
        if lifting:
            # Rounded only now: a rounder figure must not lose to one that lies farther the other way.
            way, place = min(lifting, key=lambda one: abs(math.log(_figure(one[1]) / now)))
            return _figure(way.rounded(place))
    return None


def changes(setup: Setup, holds: Holds) -> tuple[Change, ...]:
    """Changes of one figure of the cut that make ``holds`` false, the smallest first; none if it is false now.

    Of :data:`QUANTITY_OF` each figure gives its nearest (:func:`nearest_change`) within its legal range, or none.
    Every setup given is legal.
    """
    if not holds(setup):
        return ()
    nearest = []
    for key, quantity in QUANTITY_OF.items():
        if not setup.value(key):
            continue
        after = nearest_change(setup, key, holds, RANGES[key].low, RANGES[key].high)
        if after is not None:
            nearest.append(Change(key, quantity, setup.value(key), after, setup.with_keys({key: after})))
    return tuple(sorted(nearest, key=lambda change: change.size))
