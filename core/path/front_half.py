"""The half circle before each of many cutters: what covers it, what is left, and what may still reach into that."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .nearby import expanded

Array = NDArray[np.float64]
Index = NDArray[np.int64]

SLIVER = 1e-5
"""Intervals (rad) below which there is none: a path run twice is the same only to rounding, whose root this is."""

HALF, QUARTER, TURN = np.pi, np.pi / 2.0, 2.0 * np.pi


class FrontHalf:
    """The half circle before each of n cutters, angles from -90 to 90 degrees of the heading, and what covers it."""

    def __init__(self, n: int, heading: Array) -> None:
        self.n, self.heading = n, heading
        self._rows: list[Index] = [np.arange(n), np.arange(n)]
        self._low: list[Array] = [np.full(n, -2.0), np.full(n, QUARTER)]
        self._high: list[Array] = [np.full(n, -QUARTER), np.full(n, 2.0)]

    def cover(self, row: Index, low: Array, high: Array) -> None:
        """Cover intervals in world angles, rad, 0 to a turn long."""
        start = (low - self.heading[row] + HALF) % TURN - HALF
        end = start + (high - low)
        front = np.flatnonzero((end > -QUARTER) & (start < QUARTER))
        self.cover_inside(row[front], np.maximum(start[front], -2.0), np.minimum(end[front], 2.0))
        round_ = np.flatnonzero(end > TURN - QUARTER)
        self.cover_inside(row[round_], np.full(len(round_), -2.0), np.minimum(end[round_] - TURN, 2.0))

    def cover_inside(self, row: Index, low: Array, high: Array) -> None:
        """Cover intervals in the window's own angles."""
        self._rows.append(row)
        self._low.append(low)
        self._high.append(high)

    def gaps(self) -> tuple[Array, Array, Index]:
        """Lower and upper ends and rows of what nothing covers, ascending."""
        rows = np.concatenate(self._rows)
        base = rows * 8.0
        low, high = base + np.concatenate(self._low), base + np.concatenate(self._high)
        order = np.argsort(low)
        low, reached = low[order], np.maximum.accumulate(high[order])
        gap = np.flatnonzero(low[1:] - reached[:-1] > SLIVER)
        # Between the rows lies the end of one's window and the beginning of the next one's.
        row = rows[order[gap + 1]]
        gap, row = gap[rows[order[gap]] == row], row[rows[order[gap]] == row]
        base = row * 8.0
        return reached[gap] - base, low[gap + 1] - base, row


class Reach:
    """Asks whether a disc about a point may reach into what is still left of a place's circle."""

    def __init__(self, window: FrontHalf, place: Array, gaps: tuple[Array, Array, Index], radius: float) -> None:
        low, high, row = gaps
        self.radius = radius
        self.first = np.searchsorted(row, np.arange(window.n + 1))
        x, y = place[row, 0], place[row, 1]
        heading = window.heading[row]
        self.ends = []
        for angle in (low, high):
            self.ends.append((x + radius * np.cos(heading + angle), y + radius * np.sin(heading + angle)))
        middle = heading + 0.5 * (low + high)
        self.x, self.y, self.mx, self.my = x, y, np.cos(middle), np.sin(middle)
        self.cosine = np.cos(0.5 * (high - low))

    def reached(self, row: Index, x: Array, y: Array, spread: Array) -> Index:
        """Which of the points (k,), each of the place ``row``, may have a disc of R + spread that reaches in.

        It does if it holds an end of the gap or if its middle is seen in the gap: an interval about a point is
        symmetric about the direction to it.
        """
        pair, gap = expanded(self.first[row], self.first[row + 1] - self.first[row])
        x, y = x[pair], y[pair]
        far = self.radius + spread[pair]
        far *= far
        near = np.zeros(len(pair), bool)
        for ex, ey in self.ends:
            dx, dy = x - ex[gap], y - ey[gap]
            near |= dx * dx + dy * dy < far
        dx, dy = x - self.x[gap], y - self.y[gap]
        cosine, toward = self.cosine[gap], dx * self.mx[gap] + dy * self.my[gap]
        near |= toward * np.abs(toward) >= cosine * np.abs(cosine) * (dx * dx + dy * dy)
        hit = np.zeros(len(row), bool)
        hit[pair[near]] = True
        return np.flatnonzero(hit)
