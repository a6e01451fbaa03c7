"""The outline of the stock: where the tooth's circle crosses it, and whether a point lies in the material.

Sides are cut into parts that run one way in y, lines and arcs alike; a point lies in the material if a ray from it
along +x crosses an odd number of them, whatever the order of outlines, holes and islands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .moves import Stock
from .nearby import FOLD, Grid, chunks_of, expanded, grid

Array = NDArray[np.float64]
Index = NDArray[np.int64]

SLACK = 1e-9
"""How far (in radii) a circle and a side may miss one another and still count as touching: rounding."""


@dataclass(frozen=True, eq=False)
class StockEdge:
    """Sides one way in y.  ends : (n, 4) x, y of start and end; arc : (n,); centre (n, 2), radius (n,).

    right : (n,) of an arc, whether it is the half on the right of its centre.
    """

    ends: Array
    arc: NDArray[np.bool_]
    centre: Array
    radius: Array
    right: NDArray[np.bool_]
    near: Grid
    bins: Grid
    reach: float

    def __len__(self) -> int:
        return len(self.arc)

    def inside(self, points: Array) -> NDArray[np.bool_]:
        """Whether points (m, 2) lie in the material."""
        within = np.zeros(len(points), bool)
        for part in np.array_split(np.arange(len(points)), max(1, len(points) // 50_000)):
            at = points[part]
            # The bins are rows of y alone: all of one row have the same x.
            start, count = self.bins.lookup(np.stack([np.zeros(len(at)), at[:, 1]], 1))
            row, entry = expanded(start, count)
            side = self.bins.piece(entry)
            x, y = at[row, 0], at[row, 1]
            x0, y0, x1, y1 = self.ends[side].T
            spans = (y0 <= y) != (y1 <= y)
            row, side, x, y = row[spans], side[spans], x[spans], y[spans]
            x0, y0, x1, y1 = (v[spans] for v in (x0, y0, x1, y1))
            on_line = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            out = np.sqrt(np.maximum(self.radius[side] ** 2 - (y - self.centre[side, 1]) ** 2, 0.0))
            on_arc = self.centre[side, 0] + np.where(self.right[side], out, -out)
            crosses = np.where(self.arc[side], on_arc, on_line) > x
            within[part] = np.bincount(row[crosses], minlength=len(at)) % 2 == 1
        return within

    def crossings(self, place: Array, radius: float) -> tuple[Index, Array, NDArray[np.bool_]]:
        """Where circles of ``radius`` (at most the reach) about places (m, 2) cross the outline.

        Returns rows (k,) and angles (k,) rad from +x, and (m,) whether any side may be near: where none is, the
        whole disc lies in the material or out of it.
        """
        start, count = self.near.lookup(place)
        near = count > 0
        row, entry = expanded(start, count)
        side = self.near.piece(entry)
        p = place[row]
        x0, y0, x1, y1 = self.ends[side].T
        rows, angles = [], []
        line = np.flatnonzero(~self.arc[side])
        if line.size:
            sx, sy = (x1 - x0)[line], (y1 - y0)[line]
            length = np.hypot(sx, sy)
            ux, uy = sx / length, sy / length
            dx, dy = p[line, 0] - x0[line], p[line, 1] - y0[line]
            foot, h = dx * ux + dy * uy, dy * ux - dx * uy
            root = radius * radius - h * h
            hit = np.sqrt(np.maximum(root, 0.0))
            for way in (-1.0, 1.0):
                t = foot + way * hit
                # A touch counts, and a side a little beyond its ends: what is split once too often does no harm,
                # but a part that is not split is taken by its middle, which a touch may just be.
                slack = SLACK * radius
                met = np.flatnonzero((root > -slack * radius) & (t >= -slack) & (t <= length + slack))
                rows.append(row[line[met]])
                # Seen from the place: along the side by +-hit, across it by -h.
                wx, wy = way * hit[met] * ux[met] + h[met] * uy[met], way * hit[met] * uy[met] - h[met] * ux[met]
                angles.append(np.arctan2(wy, wx))
        arc = np.flatnonzero(self.arc[side])
        if arc.size:
            c, rho = self.centre[side[arc]], self.radius[side[arc]]
            vx, vy = p[arc, 0] - c[:, 0], p[arc, 1] - c[:, 1]
            q = np.hypot(vx, vy)
            k = (rho * rho - q * q - radius * radius) / np.maximum(2.0 * radius * q, 1e-300)
            half, away = np.arccos(np.clip(k, -1.0, 1.0)), np.arctan2(vy, vx)
            low, high = np.minimum(y0[arc], y1[arc]), np.maximum(y0[arc], y1[arc])
            for way in (-1.0, 1.0):
                angle = away + way * half
                x, y = vx + radius * np.cos(angle), vy + radius * np.sin(angle)
                room = SLACK * (rho + radius)
                height = c[:, 1] + y
                met = (np.abs(k) < 1.0 + SLACK) & (height >= low - room) & (height <= high + room)
                met &= np.where(self.right[side[arc]], x >= -room, x <= room)
                rows.append(row[arc[met]])
                angles.append(angle[met])
        if not rows:
            return np.zeros(0, np.int64), np.zeros(0), near
        return np.concatenate(rows), np.concatenate(angles), near


def _sides(stock: Stock) -> tuple[Array, Array, Array, Array]:
    """All sides: ends (n, 4), centre (n, 2) nan for a line, start angle and sweep (n,)."""
    ends, centre, sweep = [np.zeros((0, 4))], [np.zeros((0, 2))], [np.zeros(0)]
    for loop in stock.loops:
        ends.append(np.hstack([loop.points_mm, np.roll(loop.points_mm, -1, 0)]))
        centre.append(loop.centre_mm)
        sweep.append(loop.sweep_rad)
    e, c, w = np.vstack(ends), np.vstack(centre), np.concatenate(sweep)
    return e, c, np.arctan2(e[:, 1] - c[:, 1], e[:, 0] - c[:, 0]), w


def _one_way(end: Array, centre: Array, first: float, sweep: float) -> list[tuple[float, ...]]:
    """A side as parts one way in y: x, y of start and end, centre, radius (0 for a line), start angle, sweep."""
    if sweep == 0.0:
        return [(*end, 0.0, 0.0, 0.0, 0.0, 0.0)]
    rho = float(np.hypot(end[0] - centre[0], end[1] - centre[1]))
    low, high = sorted((first, first + sweep))
    # Tops and bottoms of the circle, at odd multiples of a right angle.
    k = np.arange(np.ceil(low / np.pi - 0.5), np.floor(high / np.pi - 0.5) + 1)
    turns = [t for t in ((k + 0.5) * np.pi).tolist() if low + 1e-12 < t < high - 1e-12]
    angles = [low, *turns, high] if sweep > 0.0 else [high, *turns[::-1], low]
    points = [tuple(centre + rho * np.array([np.cos(t), np.sin(t)])) for t in angles]
    points[0], points[-1] = tuple(end[:2]), tuple(end[2:])
    return [
        (*points[i], *points[i + 1], *centre, rho, angles[i], angles[i + 1] - angles[i])
        for i in range(len(angles) - 1)
    ]


def stock_edge(stock: Stock, radius: float) -> StockEdge:
    """The outline of a stock, ready for circles of ``radius`` mm."""
    parts = [part for side in zip(*_sides(stock), strict=True) for part in _one_way(*side)]
    table = np.array(parts, float).reshape(-1, 9)
    ends, centre = table[:, :4], table[:, 4:6]
    rho, first, sweep = table[:, 6], table[:, 7], table[:, 8]
    arc = rho > 0.0
    step = ends[:, 2:] - ends[:, :2]
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / np.where(length > 0.0, length, 1.0)[:, None]
    total = float(np.where(arc, np.abs(sweep) * rho, length).sum())
    far = max(2.0 * radius, total / 500_000.0)
    pieces = chunks_of(ends[:, :2], along, length, centre, rho, first, sweep, arc, far)
    near = grid(pieces, len(ends), radius * (1.0 + 1e-6), radius)
    return StockEdge(ends, arc, centre, rho, np.cos(first + sweep / 2.0) > 0.0, near, _bins(ends), radius)


def _bins(ends: Array) -> Grid:
    """Sides by rows of y: a grid of one column, at x = 0."""
    n = len(ends)
    span = float(np.ptp(ends[:, 1::2])) if n else 1.0
    cell = max(span / min(max(n, 16), 4096), 1e-6)
    low, high = (np.floor(f(ends[:, 1], ends[:, 3]) / cell).astype(np.int64) for f in (np.minimum, np.maximum))
    side, bin_ = expanded(low, high - low + 1)
    return Grid(cell, max(n, 1), np.unique(bin_ % FOLD * max(n, 1) + side))
