"""Borders over widths: how wide a cut holds at its depth and each speed, how deep at its speed and each width."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.limits_for import limits_for
from ..setup.setup import Setup
from .both_ways import beyond_search, slowest_searched
from .estimated_modes import with_modes
from .known_borders import cut_key

WIDTHS, SPEEDS = 20, 25
"""Widths and speeds of the grid."""

LEAST_SHARE = 0.01
"""Narrowest width, as a share of the diameter."""


@dataclass(frozen=True, slots=True, eq=False)
class WidthGrid:
    """Depth at which chatter begins, mm, infinite without a limit: ``own`` and ``other`` (W, S) at ``width_mm`` (W,)
    and ``speed_rpm`` (S,), of which ``here`` is the setup's own.  Widths come one by one, ``done`` after the last.
    """

    setup: Setup
    width_mm: Array
    speed_rpm: Array
    here: int
    own: Array
    other: Array
    missing: str = ""
    done: bool = False

    def at_own_speed(self, own: bool) -> Array:
        """Depths (W,) at the setup's speed."""
        return np.asarray((self.own if own else self.other)[:, self.here])

    def widest(self, own: bool) -> Array:
        """Width (S,), mm, up to which the setup's depth holds at each speed: by a straight line between two widths.

        Infinite where every width that was worked out holds; 0 where none does.
        """
        depth, grid = self.setup.cut.axial_engagement_mm, self.own if own else self.other
        width = np.full(len(self.speed_rpm), np.inf)
        for k in range(len(self.speed_rpm)):
            chatters = np.flatnonzero(grid[:, k] <= depth)
            if not len(chatters):
                continue
            i = int(chatters[0])
            if i == 0:
                width[k] = 0.0
                continue
            a, b = (1.0 / grid[j, k] for j in (i - 1, i))
            share = (1.0 / depth - a) / (b - a)
            width[k] = self.width_mm[i - 1] + share * (self.width_mm[i] - self.width_mm[i - 1])
        return width


def width_grid(setup: Setup, slowest: float, fastest: float) -> Iterator[WidthGrid]:
    """The grid of a resolved setup between two speeds, /min, a width at a time, every fourth first."""
    given, _ = with_modes(setup)
    key = cut_key(given)
    none = frozen(np.empty(0))
    empty = WidthGrid(setup, none, none, 0, np.empty((0, 0)), np.empty((0, 0)), done=True)
    if key is None:
        yield replace(empty, missing="no_coefficients" if given.dynamics else "no_modes")
        return
    diameter, here = setup.cutter.diameter_mm, setup.cut.spindle_speed_rpm
    limits = limits_for(given, "cut.radial_engagement_mm")
    assert limits is not None
    low = max(LEAST_SHARE * diameter, limits.range.low)
    high = min(limits.range.high, diameter * (1.0 if setup.cut.direction == "straddling" else 0.995))
    slowest = max(slowest, slowest_searched(key.cut))
    if beyond_search(key.cut) or slowest >= fastest or not low < high:
        yield replace(empty, missing="beyond")
        return
    speeds = np.union1d(np.linspace(slowest, fastest, SPEEDS), [np.clip(here, slowest, fastest)])
    at = int(np.searchsorted(speeds, np.clip(here, slowest, fastest)))
    widths = np.geomspace(low, high, WIDTHS)
    order = [*range(0, WIDTHS, 4), WIDTHS - 1, *(i for i in range(WIDTHS - 1) if i % 4)]
    known: dict[int, tuple[Array, Array]] = {}
    for place in order:
        wide = given.with_keys({"cut.radial_engagement_mm": float(widths[place])})
        both = cut_key(wide), cut_key(wide.opposite)
        assert both[0] is not None and both[1] is not None
        known[place] = (both[0].border(speeds).depth_mm, both[1].border(speeds).depth_mm)
        if len(known) < len(range(0, WIDTHS, 4)) + 1:
            continue
        have = sorted(known)
        own, other = (frozen(np.array([known[i][k] for i in have])) for k in (0, 1))
        yield WidthGrid(setup, frozen(widths[have]), frozen(speeds), at, own, other, done=len(have) == WIDTHS)
