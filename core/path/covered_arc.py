"""Which part of the tooth's circle lies in what an earlier piece of the path has swept: angles of intervals.

The circle about a place P and the disc about an earlier place Q have the same radius R, so a point of the circle in
direction u lies in the disc if ``cos(angle from u to PQ) > |PQ| / (2 R)``.  What a piece sweeps is the union of its
discs.

- **Line.**  Along a line both ends of a disc's interval have one extreme, where the point of the circle lies R beside
  the line; so the interval of the whole line ends in the interval of the place nearest to that one.  Closed.
- **Arc** of radius rho: the discs at its two ends, and between the rays to them the ring ``|rho - R| .. rho + R``
  (where rho < R the whole disc of radius rho + R, because the nearest place of the arc lies on the same ray).  The
  circle crosses circles and rays at closed angles; between two neighbouring ones its middle tells.

Derived here; checked by the tests against polygons and against discs set densely along each piece.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Intervals = tuple[Index, Array, Array]
"""Row, lower and upper end (rad, counter-clockwise from +x, upper less lower in 0 .. 2 pi)."""

SAME = 1e-6
"""How near, in radii, an earlier place counts as the place itself: its disc is then the one now under the tooth."""


def covered_by_lines(
    dx: Array, dy: Array, ux: Array, uy: Array, begin: Array | float, end: Array, radius: float
) -> tuple[NDArray[np.intp], Array, Array]:
    """Interval of the circle about each place that a swept line covers.

    dx, dy : (n,) place less start of the line, mm; ux, uy : (n,) direction of the line; begin, end : (n,) part of
    the line that counts, mm from its start.  Returns the rows that have one and its ends, rad.
    """
    along = dx * ux + dy * uy
    height = dy * ux - dx * uy
    h = np.abs(height)
    reach = 4.0 * radius * radius - h * h
    np.maximum(reach, 0.0, out=reach)
    np.sqrt(reach, out=reach)
    low, high = begin - along, end - along
    row = np.flatnonzero((low < reach) & (high > -reach) & (h < 2.0 * radius) & (high >= low))
    if not row.size:
        return row, np.zeros(0), np.zeros(0)
    h, reach, low, high = h[row], reach[row], low[row], high[row]
    left = height[row] >= 0.0
    same = SAME * radius
    # A line that ends or begins at the place itself: its last disc that differs from the tooth's own counts.
    at = h < same
    here = at & (np.abs(low) < same) & (np.abs(high) < same)
    np.copyto(high, -same, where=at & (np.abs(high) < same))
    np.copyto(low, same, where=at & (np.abs(low) < same))
    np.maximum(low, -reach, out=low)
    np.minimum(high, reach, out=high)
    best = np.sqrt(h * np.maximum(2.0 * radius - h, 0.0))
    np.maximum(best, same, out=best)
    far = np.minimum(np.maximum(best, low), high)
    near = np.minimum(np.maximum(-best, low), high)
    inverse = 0.5 / radius
    square = h * h
    upper = np.arctan2(far, h) + np.arccos(np.minimum(np.sqrt(far * far + square) * inverse, 1.0))
    lower = np.arctan2(near, h) - np.arccos(np.minimum(np.sqrt(near * near + square) * inverse, 1.0))
    heading = np.arctan2(uy[row], ux[row])
    quarter = np.pi / 2.0
    start = heading + np.where(left, lower - quarter, quarter - upper)
    width = np.where(here, 0.0, upper - lower)
    return row, start, start + width


def covered_by_arcs(
    dx: Array, dy: Array, rho: Array, first: Array, sweep: Array, radius: float
) -> tuple[NDArray[np.intp], Array, Array]:
    """Intervals of the circle about each place that a swept arc covers; several for one row, they may overlap.

    dx, dy : (n,) place less centre of the arc, mm; rho, first, sweep : (n,) radius (mm), start angle and sweep
    (rad, counter-clockwise, 0 to 2 pi) of the part that counts.  Returns rows and ends, rad.
    """
    q, at = np.hypot(dx, dy), np.arctan2(dy, dx)
    q = np.maximum(q, 1e-9 * radius)
    rows: list[NDArray[np.intp]] = []
    lows: list[Array] = []
    highs: list[Array] = []
    near = np.zeros(len(q), bool)
    for angle in (first, first + sweep):
        ex, ey = rho * np.cos(angle) - dx, rho * np.sin(angle) - dy
        far = np.hypot(ex, ey)
        row = np.flatnonzero((far < 2.0 * radius) & (far >= SAME * radius))
        near |= far < 2.0 * radius
        half, middle = np.arccos(far[row] / (2.0 * radius)), np.arctan2(ey[row], ex[row])
        rows.append(row)
        lows.append(middle - half)
        highs.append(middle + half)
    over = (np.abs(q - rho) < 2.0 * radius) & ((at - first) % (2.0 * np.pi) < sweep)
    # Q of the body may be far from the place while its ends are near, and the other way round.
    body = np.flatnonzero((near | over) & (sweep > 0.0))
    if body.size:
        part, low, high = _ring(q[body], at[body], rho[body], first[body], sweep[body], radius)
        rows.append(body[part])
        lows.append(low)
        highs.append(high)
    return np.concatenate(rows), np.concatenate(lows), np.concatenate(highs)


def _ring(q: Array, at: Array, rho: Array, first: Array, sweep: Array, radius: float) -> Intervals:
    """The part in the ring between the rays: angles measured from the direction away from the arc's centre."""
    n = len(q)
    marks = np.full((n, 10), -np.pi)
    marks[:, 9] = np.pi
    scale = 1.0 / (2.0 * radius * q)
    base = q * q + radius * radius
    for k, edge in ((1, rho + radius), (3, rho - radius)):
        angle = np.arccos(np.clip((edge * edge - base) * scale, -1.0, 1.0))
        marks[:, k], marks[:, k + 1] = angle, -angle
    for k, ray in ((5, first - at), (7, first + sweep - at)):
        c, s = np.cos(ray), np.sin(ray)
        root = radius * radius - (q * s) ** 2
        hit = np.sqrt(np.maximum(root, 0.0))
        for j, t in ((k, q * c - hit), (k + 1, q * c + hit)):
            met = (root >= -1e-9 * radius * radius) & (t > 0.0)
            marks[:, j] = np.where(met, np.arctan2(t * s, t * c - q), -np.pi)
    marks.sort(axis=1)
    row, part = (marks[:, 1:] > marks[:, :-1]).nonzero()
    low, high = marks[row, part], marks[row, part + 1]
    middle = 0.5 * (low + high)
    x, y = q[row] + radius * np.cos(middle), radius * np.sin(middle)
    square = x * x + y * y
    outer, inner = (rho + radius) ** 2, np.where(rho > radius, (rho - radius) ** 2, -1.0)
    # Left of the first ray and right of the last, or either where they are more than a half turn apart.
    after = (np.cos(first - at)[row] * y - np.sin(first - at)[row] * x) >= 0.0
    last = first + sweep - at
    before = (np.cos(last)[row] * y - np.sin(last)[row] * x) < 0.0
    wide = (sweep > np.pi)[row]
    between = np.where(wide, after | before, after & before) | (sweep >= 2.0 * np.pi)[row]
    some = np.flatnonzero((square < outer[row]) & (square > inner[row]) & between)
    row = row[some]
    return row, at[row] + low[some], at[row] + high[some]
