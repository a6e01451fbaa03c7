"""Places of a path, and the intervals of the tooth angle that are engaged there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .moves import ARC, Moves

Array = NDArray[np.float64]
Index = NDArray[np.int64]

QUARTER = np.pi / 2.0


@dataclass(frozen=True, eq=False)
class Places:
    """Places on moves: (m,) move, distance along it in XY (mm); place (m, 2) mm, height (m,), heading (m,) rad.

    air : (m,) the tip is clear of the stock.
    """

    move: Index
    along: Array
    place: Array
    z: Array
    heading: Array
    air: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.move)


def places_on(moves: Moves, move: ArrayLike, along: ArrayLike, top_z: float = 0.0) -> Places:
    """Places at distances ``along`` (m,) mm, in the plane, from the starts of moves (m,) that have a length there."""
    k, s = np.asarray(move, np.int64), np.asarray(along, float)
    start, end = moves.start_mm[k], moves.end_mm[k]
    length = moves.length_mm[k]
    share = np.clip(s / np.where(length > 0.0, length, 1.0), 0.0, 1.0)
    step = (end - start)[:, :2]
    place = start[:, :2] + step * share[:, None]
    heading = np.arctan2(step[:, 1], step[:, 0])
    arc = np.flatnonzero(moves.kind[k] == ARC)
    if arc.size:
        out = start[arc, :2] - moves.centre_mm[k[arc]]
        sweep = moves.sweep_rad[k[arc]]
        angle = np.arctan2(out[:, 1], out[:, 0]) + sweep * share[arc]
        rho = np.hypot(out[:, 0], out[:, 1])
        place[arc] = moves.centre_mm[k[arc]] + rho[:, None] * np.stack([np.cos(angle), np.sin(angle)], 1)
        # The ends are the program's own points, to the last digit.
        for at, point in ((share[arc] == 0.0, start), (share[arc] == 1.0, end)):
            place[arc[at]] = point[arc[at], :2]
        heading[arc] = angle + np.copysign(QUARTER, sweep)
    z = start[:, 2] + (end[:, 2] - start[:, 2]) * share
    ramp = start[:, 2] != end[:, 2]
    return Places(k, s, place, z, heading, moves.clear[k] | (ramp & (z >= top_z)))


@dataclass(frozen=True, eq=False)
class Engaged:
    """Intervals of the tooth angle at each of m places, rad, ascending.

    first : (m + 1,) where the intervals of each place begin in ``entry`` and ``exit`` (k,).
    """

    first: Index
    entry: Array
    exit: Array

    @property
    def place(self) -> Index:
        """(k,) the place of each interval."""
        return np.repeat(np.arange(len(self.first) - 1), np.diff(self.first))

    def summed(self, values: Array) -> Array:
        """Sum (m,) over each place's intervals of values (k,)."""
        return np.asarray(np.bincount(self.place, values, len(self.first) - 1), float)

    @property
    def arc(self) -> Array:
        """(m,) sum of the intervals, rad."""
        return self.summed(self.exit - self.entry)

    def width(self, radius: float, low: float = 0.0, high: float = np.pi) -> Array:
        """(m,) ``ae``: sum of R (cos entry - cos exit), mm, of the parts from ``low`` to ``high`` rad."""
        a, b = np.clip(self.entry, low, high), np.clip(self.exit, low, high)
        return self.summed(2.0 * radius * np.sin(0.5 * (a + b)) * np.sin(0.5 * (b - a)))
