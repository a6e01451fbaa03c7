"""What each depth of a program has removed when it is done, what is left of the stock there, and the ridges in it.

Areas are of polygons (shapely): arcs are drawn as chords so short that they stray by a hundred-thousandth of the
cutter's radius, which is far finer than a ridge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .engagement_along import LEVEL
from .moves import Moves, Stock
from .pieces import Pieces, swept_pieces

Array = NDArray[np.float64]

STRAY = 1e-5
"""How far (in radii) chords may stray from arcs, and a line from the points that it replaces."""

QUARTER = 64
"""Corners of a quarter of the cutter's circle."""

LEAST = 0.1
"""Area of a ridge, as a share of its width squared, below which it is left out: the square corner of a part."""

MOST = 300
"""Depths of which areas are found: a shape of many heights is no pocket."""

MOST_RAMPS = 100_000
"""Ramps times depths of which areas are found: each ramp counts anew at each depth."""


@dataclass(frozen=True)
class Ridge:
    """Stock too narrow for half the cutter: area mm2, a place in its widest part, its width there, mm."""

    area: float
    x: float
    y: float
    width: float


@dataclass(frozen=True)
class Level:
    """A depth with flat cuts: height (None: not told), fed length there, areas mm2 (None: too many depths)."""

    z: float | None
    length: float
    removed: float | None
    remaining: float | None
    ridges: tuple[Ridge, ...]

    @property
    def ridge_area(self) -> float | None:
        """Area of all ridges, mm2."""
        return None if self.remaining is None else sum((ridge.area for ridge in self.ridges), 0.0)


def stock_polygon(stock: Stock, stray: float) -> Any:
    """The stock as a shapely polygon whose chords stray from arcs by at most ``stray`` mm."""
    from shapely import Polygon, make_valid

    area = Polygon()
    for loop in stock.loops:
        points = []
        for i in range(len(loop.points_mm)):
            points.append(loop.points_mm[i : i + 1])
            sweep = float(loop.sweep_rad[i])
            if sweep:
                out = loop.points_mm[i] - loop.centre_mm[i]
                first = np.arctan2(out[1], out[0])
                rho = float(np.hypot(*out))
                angle = first + sweep * np.linspace(0.0, 1.0, _chords(sweep, rho, stray) + 1)[1:-1]
                points.append(loop.centre_mm[i] + rho * np.stack([np.cos(angle), np.sin(angle)], 1))
        # A loop inside a loop turns material into a hole and a hole into material.
        area = area.symmetric_difference(make_valid(Polygon(np.vstack(points))))
    return area


def _chords(sweep: float, rho: float, stray: float) -> int:
    """Number of chords of an arc that stray by at most ``stray`` mm."""
    each = 2.0 * np.arccos(max(1.0 - stray / max(rho, stray), 0.0))
    return max(int(np.ceil(abs(sweep) / each)), 2)


def _runs(pieces: Pieces, z: float, flat: bool, radius: float) -> list[Array]:
    """Points of chains of pieces: the flat ones whose tip is at z, or what of the others is at or below it."""
    runs: list[list[Array]] = []
    z0, z1 = pieces.z.T
    chosen = pieces.flat & (np.abs(z0 - z) <= LEVEL) if flat else ~pieces.flat & (pieces.z.min(1) <= z)
    for k in np.flatnonzero(chosen):
        begin, end = 0.0, 1.0
        if not flat:
            share = float(np.clip((z - z0[k]) / (z1[k] - z0[k]), 0.0, 1.0))
            begin, end = (share, 1.0) if z1[k] < z0[k] else (0.0, share)
        if pieces.arc[k]:
            count = _chords(float(pieces.sweep[k]) * (end - begin), float(pieces.radius[k]), STRAY * radius)
            angle = pieces.first[k] + pieces.sweep[k] * np.linspace(begin, end, count + 1)
            points = pieces.centre[k] + pieces.radius[k] * np.stack([np.cos(angle), np.sin(angle)], 1)
        else:
            points = pieces.start[k] + np.outer([begin, end], pieces.along[k] * pieces.length[k])
        if runs and np.abs(runs[-1][-1][-1] - points[0]).max() <= 1e-9 and len(runs[-1]) < 64:
            runs[-1].append(points[1:])
        else:
            runs.append([points])
    return [np.vstack(run) for run in runs]


def _swept(runs: list[Array], radius: float) -> Any:
    """Union of the discs along chains of points."""
    from shapely import LineString, Point, union_all

    shapes = []
    for run in runs:
        if len(run) < 2 or float(np.ptp(run, 0).max()) <= 1e-9:
            shapes.append(Point(run[0]).buffer(radius, QUARTER))
            continue
        shapes.append(LineString(run).simplify(STRAY * radius).buffer(radius, QUARTER))
    return union_all(shapes)


def _ridges(remaining: Any, radius: float) -> tuple[Ridge, ...]:
    """Pieces of the remaining stock that no disc of half the cutter's diameter fits into, the largest first."""
    from shapely import maximum_inscribed_circle

    half = radius / 2.0
    wide = remaining.buffer(-half, QUARTER).buffer(half * (1.0 + 10.0 * STRAY), QUARTER)
    narrow = remaining.difference(wide)
    ridges = []
    for shape in getattr(narrow, "geoms", [narrow]):
        if shape.geom_type == "Polygon" and shape.area >= LEAST * radius * radius:
            spoke = maximum_inscribed_circle(shape, 0.01 * half)
            (x, y), _ = spoke.coords
            ridges.append(Ridge(float(shape.area), float(x), float(y), 2.0 * float(spoke.length)))
    return tuple(sorted(ridges, key=lambda ridge: -ridge.area))


def levels(moves: Moves, stock: Stock, radius: float, has_z: bool = True) -> list[Level]:
    """The depths with flat fed cuts, the highest first, each as it is when the whole program is done."""
    from shapely import Polygon

    flat = moves.feed_mask & (moves.length_mm > 0.0) & ~moves.clear & (moves.start_mm[:, 2] == moves.end_mm[:, 2])
    if not flat.any():
        return []
    height = moves.start_mm[:, 2]
    depths = np.unique(np.round(height[flat] / LEVEL) * LEVEL)
    pieces = swept_pieces(moves)
    block = stock_polygon(stock, STRAY * radius)
    # Every depth at which anything is flat, fed or not: what is deeper removes here too.
    every = np.unique(np.round(pieces.z[pieces.flat, 0] / LEVEL) * LEVEL)
    every_level, removed = [], Polygon()
    known = len(every) <= MOST and len(every) * int((~pieces.flat).sum()) <= MOST_RAMPS
    for z in every:
        if known:
            removed = removed.union(_swept(_runs(pieces, float(z), True, radius), radius))
        if z not in depths:
            continue
        length = float(moves.length_mm[flat & (np.abs(height - z) <= LEVEL)].sum())
        told = float(z) if has_z else None
        if not known:
            every_level.append(Level(told, length, None, None, ()))
            continue
        ramps = _runs(pieces, float(z), False, radius)
        cleared = removed.union(_swept(ramps, radius)) if ramps else removed
        remaining = block.difference(cleared)
        gone = float(block.area - remaining.area)
        every_level.append(Level(told, length, gone, float(remaining.area), _ridges(remaining, radius)))
    return every_level[::-1]
