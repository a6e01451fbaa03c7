"""Sides of outlines and of drawn paths: a line or an arc between two points, and points that are one."""

from __future__ import annotations

from math import cos, hypot, nan, pi, sin, tan
from typing import NamedTuple

from .arcs import of_bulge

JOIN_MM = 0.001
"""mm.  Points of a drawing closer than this are one."""


class Side(NamedTuple):
    """A line or an arc in mm; ``sweep`` is signed, counter-clockwise positive, 0 for a line, whose centre is nan."""

    x0: float
    y0: float
    x1: float
    y1: float
    cx: float = nan
    cy: float = nan
    sweep: float = 0.0

    @property
    def bulge(self) -> float:
        """tan(sweep / 4); of a full circle it has no meaning."""
        return tan(self.sweep / 4.0)

    @property
    def radius(self) -> float:
        """Of an arc; 0 for a line."""
        return hypot(self.x0 - self.cx, self.y0 - self.cy) if self.sweep else 0.0

    def backwards(self) -> Side:
        """The same side, run from its end."""
        return Side(self.x1, self.y1, self.x0, self.y0, self.cx, self.cy, 0.0 - self.sweep)

    def moved(self, x0: float, y0: float, x1: float, y1: float) -> Side:
        """The side between ends that are its own but for the rounding of a joint."""
        if (x0, y0, x1, y1) == self[:4]:
            return self
        return between(x0, y0, x1, y1, self.bulge)


def between(x0: float, y0: float, x1: float, y1: float, bulge: float = 0.0) -> Side:
    """The side of a bulge between two different points."""
    arc = of_bulge(x0, y0, x1, y1, bulge) if bulge else None
    return Side(x0, y0, x1, y1, *(arc or ()))


def round_side(x: float, y: float, radius: float, first: float, last: float) -> Side:
    """The arc about (x, y) from angle ``first`` to ``last`` in rad, signed by which of them is larger."""
    if abs(last - first) >= 2.0 * pi:
        last = first + (2.0 * pi if last > first else -2.0 * pi)
        x1, y1 = x + radius * cos(first), y + radius * sin(first)
    else:
        x1, y1 = x + radius * cos(last), y + radius * sin(last)
    return Side(x + radius * cos(first), y + radius * sin(first), x1, y1, x, y, last - first)


def joints(points: list[tuple[float, float]]) -> list[int]:
    """For each point the number of the place it belongs to; a place is a first point and all within JOIN_MM of it."""
    places: dict[tuple[int, int], list[int]] = {}
    firsts: list[tuple[float, float]] = []
    numbers = []
    for x, y in points:
        column, row = int(x // JOIN_MM), int(y // JOIN_MM)
        near = (
            number
            for i in (column, column - 1, column + 1)
            for j in (row, row - 1, row + 1)
            for number in places.get((i, j), ())
            if (firsts[number][0] - x) ** 2 + (firsts[number][1] - y) ** 2 < JOIN_MM * JOIN_MM
        )
        number = next(near, len(firsts))
        if number == len(firsts):
            firsts.append((x, y))
            places.setdefault((column, row), []).append(number)
        numbers.append(number)
    return numbers
