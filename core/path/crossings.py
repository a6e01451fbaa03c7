"""Where sides of outlines cross or touch: every pair whose boxes meet, lines and arcs exactly.

Sides are rows (x0, y0, x1, y1, cx, cy, sweep) as in :class:`core.path.sides.Side`, arrays of shape (m, 7).
"""

from __future__ import annotations

import numpy as np

from ..maths.arrays import Array
from .sides import JOIN_MM

_ROWS, _COLUMNS = 128, 2048
"""Pairs that are looked at in one go: all of them at once would fill the memory."""


def first_crossing(sides: Array, after: np.ndarray) -> tuple[int, int, float, float] | None:
    """Two sides with a common point, and that point; None if there are none.

    after : (m,) the side that follows each one; what these have in common at their joint does not count.
    """
    low, high = _boxes(sides)
    order = np.argsort(low[:, 0], kind="stable")
    last = np.searchsorted(low[order, 0], high[order, 0], side="right")
    for begin in range(0, len(order), _ROWS):
        rows = np.arange(begin, min(begin + _ROWS, len(order)))
        end = int(last[rows].max())
        for left in range(begin, end, _COLUMNS):
            columns = np.arange(left, min(left + _COLUMNS, end))
            one, other = order[rows][:, None], order[columns][None, :]
            meet = (rows[:, None] < columns) & (columns < last[rows][:, None])
            meet &= (low[one, 1] <= high[other, 1]) & (low[other, 1] <= high[one, 1])
            if not meet.any():
                continue
            meet &= ~(_beside(sides, one, other) | _beside(sides, other, one) | _rounds_apart(sides, one, other))
            i, j = np.nonzero(meet)
            if len(i) and (crossing := _first_common(sides, after, order[rows[i]], order[columns[j]])):
                return crossing
    return None


def _cross(a: Array, b: Array) -> Array:
    """(m,) cross product of vectors (m, 2)."""
    product: Array = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return product


def _beside(sides: Array, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Whether of pairs of lines b lies wholly to one side of the line of a, which is quickly told."""
    x, y = sides[a, 0], sides[a, 1]
    way_x, way_y = sides[a, 2] - x, sides[a, 3] - y
    least = JOIN_MM * np.hypot(way_x, way_y)
    level = way_x * y - way_y * x
    first = way_x * sides[b, 1] - way_y * sides[b, 0] - level
    last = way_x * sides[b, 3] - way_y * sides[b, 2] - level
    beside = (np.minimum(first, last) > least) | (np.maximum(first, last) < -least)
    result: np.ndarray = beside & (sides[a, 6] == 0.0) & (sides[b, 6] == 0.0)
    return result


def _rounds_apart(sides: Array, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Whether of pairs of arcs the whole circles are apart or one in the other, which is quickly told."""
    ra = np.hypot(sides[a, 0] - sides[a, 4], sides[a, 1] - sides[a, 5])
    rb = np.hypot(sides[b, 0] - sides[b, 4], sides[b, 1] - sides[b, 5])
    far = np.hypot(sides[a, 4] - sides[b, 4], sides[a, 5] - sides[b, 5])
    result: np.ndarray = (far > ra + rb + JOIN_MM) | (far < np.abs(ra - rb) - JOIN_MM)  # False with a line, nan
    return result


def _boxes(sides: Array) -> tuple[Array, Array]:
    """(m, 2) low and high corners of the sides' boxes, a tolerance wider."""
    low = np.minimum(sides[:, 0:2], sides[:, 2:4])
    high = np.maximum(sides[:, 0:2], sides[:, 2:4])
    radius = np.hypot(*(sides[:, 0:2] - sides[:, 4:6]).T)
    for angle in (0.0, np.pi / 2, np.pi, -np.pi / 2):  # an arc may reach past its ends in four directions
        point = sides[:, 4:6] + radius[:, None] * np.array([np.cos(angle), np.sin(angle)])
        on = _on_arc(sides, point)[:, None]
        low = np.where(on, np.fmin(low, point), low)
        high = np.where(on, np.fmax(high, point), high)
    return low - JOIN_MM, high + JOIN_MM


def _on_arc(sides: Array, point: Array) -> np.ndarray:
    """(m,) whether points on the circles of the sides lie on the arcs, ends within a tolerance; False for lines."""
    x, y, _, _, centre_x, centre_y, sweep = sides.T
    to_start, to_point = (x - centre_x, y - centre_y), (point[:, 0] - centre_x, point[:, 1] - centre_y)
    radius = np.hypot(*to_start)
    start, angle = np.arctan2(to_start[1], to_start[0]), np.arctan2(to_point[1], to_point[0])
    way = np.sign(sweep)
    with np.errstate(divide="ignore", invalid="ignore"):
        slack = np.minimum(JOIN_MM / 2.0 / radius, 1.0)
        run = np.mod(way * (angle - start) + slack, 2.0 * np.pi) - slack
        return (sides[:, 6] != 0.0) & (run <= np.abs(sides[:, 6]) + slack)


def _on_line(sides: Array, point: Array) -> np.ndarray:
    """(m,) whether points on the lines of the sides lie between their ends, within a tolerance."""
    way = sides[:, 2:4] - sides[:, 0:2]
    length = np.hypot(*way.T)
    with np.errstate(divide="ignore", invalid="ignore"):
        run = ((point - sides[:, 0:2]) * way).sum(1) / length
        return (run >= -JOIN_MM / 2.0) & (run <= length + JOIN_MM / 2.0)


def _near_joint(sides: Array, after: np.ndarray, a: np.ndarray, b: np.ndarray, point: Array) -> np.ndarray:
    """Whether a common point of two sides is the joint at which one follows the other."""
    near = np.zeros(len(a), bool)
    for first, second in ((a, b), (b, a)):
        gap = np.hypot(*(point - sides[first, 2:4]).T)
        near |= (after[first] == second) & (gap < 2.0 * JOIN_MM)
    return near


def _first_common(
    sides: Array, after: np.ndarray, a: np.ndarray, b: np.ndarray
) -> tuple[int, int, float, float] | None:
    """The first common point, not at a joint, of pairs of sides a and b."""
    one, other = sides[a], sides[b]
    for points in (*_circle_points(one, other), *_end_points(one, other)):
        on = np.isfinite(points).all(1)
        for each in (one, other):
            on &= np.where(each[:, 6] == 0.0, _on_line(each, points), _on_arc(each, points))
        on &= ~_near_joint(sides, after, a, b, points)
        if on.any():
            k = int(np.argmax(on))
            return int(a[k]), int(b[k]), float(points[k, 0]), float(points[k, 1])
    return None


def _end_points(one: Array, other: Array) -> list[Array]:
    """Ends of one side that lie on the curve of the other: how sides touch, or run along each other."""
    points = []
    for x, y in ((one, other), (other, one)):
        for columns in (slice(0, 2), slice(2, 4)):
            point = x[:, columns]
            way = y[:, 2:4] - y[:, 0:2]
            with np.errstate(divide="ignore", invalid="ignore"):
                off_line = _cross(way, point - y[:, 0:2]) / np.hypot(*way.T)
                off_arc = np.hypot(*(point - y[:, 4:6]).T) - np.hypot(*(y[:, 0:2] - y[:, 4:6]).T)
            off = np.abs(np.where(y[:, 6] == 0.0, off_line, off_arc))
            points.append(np.where((off < JOIN_MM / 2.0)[:, None], point, np.nan))
    return points


def _circle_points(one: Array, other: Array) -> list[Array]:
    """Points that the whole lines and circles of pairs of sides have in common, two of each pair, else nan."""
    lines_a, lines_b = one[:, 6] == 0.0, other[:, 6] == 0.0
    points = [np.full((len(one), 2), np.nan) for _ in range(2)]
    with np.errstate(divide="ignore", invalid="ignore"):
        both = lines_a & lines_b
        p, r = one[both, 0:2], one[both, 2:4] - one[both, 0:2]
        q, s = other[both, 0:2], other[both, 2:4] - other[both, 0:2]
        share = _cross(q - p, s) / _cross(r, s)
        points[0][both] = p + share[:, None] * r
        for lines, line, arc in ((lines_a & ~lines_b, one, other), (~lines_a & lines_b, other, one)):
            start, way = line[lines, 0:2], line[lines, 2:4] - line[lines, 0:2]
            way = way / np.hypot(*way.T)[:, None]
            centre = arc[lines, 4:6]
            radius = np.hypot(*(arc[lines, 0:2] - centre).T)
            foot = ((centre - start) * way).sum(1)
            off = _cross(way, centre - start)
            half = np.sqrt((radius - off) * (radius + off))
            for k, sign in enumerate((1.0, -1.0)):
                points[k][lines] = start + (foot + sign * half)[:, None] * way
        arcs = ~lines_a & ~lines_b
        c, d = one[arcs, 4:6], other[arcs, 4:6] - one[arcs, 4:6]
        ra = np.hypot(*(one[arcs, 0:2] - c).T)
        rb = np.hypot(*(other[arcs, 0:2] - other[arcs, 4:6]).T)
        apart = np.hypot(*d.T)
        way = d / apart[:, None]
        foot = (apart * apart + (ra - rb) * (ra + rb)) / (2.0 * apart)
        half = np.sqrt((ra - foot) * (ra + foot))
        across = np.stack([-way[:, 1], way[:, 0]], 1)
        for k, sign in enumerate((1.0, -1.0)):
            points[k][arcs] = c + foot[:, None] * way + sign * half[:, None] * across
    return points
