"""Curves that are smooth between known kinks: sampled at Chebyshev places of each piece, their least value found.

A polynomial through the places converges as fast as the curve is smooth, so that few samples give it everywhere
(barycentric form: Berrut and Trefethen, Barycentric Lagrange interpolation, SIAM Review 46 (2004) 501, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .arrays import Array

LOOK = 33
"""Places of each piece at which a least value is first looked for."""

FINER, CLOSE = 2, 65
"""Closer looks, and the places of each: every look is at a 32nd of the one before it."""


@lru_cache(maxsize=8)
def places(count: int) -> Array:
    """Chebyshev places (count,) from -1 to 1, both ends in, ascending."""
    found = -np.cos(np.pi * np.arange(count) / (count - 1))
    found[[0, -1]] = -1.0, 1.0
    found.setflags(write=False)
    return found


def through(at: Array, count: int) -> Array:
    """Matrix (k, count) that takes samples at :func:`places` to values at ``at`` (k,), -1 to 1."""
    nodes = places(count)
    weight = (-1.0) ** np.arange(count)
    weight[[0, -1]] *= 0.5
    apart = at[:, None] - nodes
    met = apart == 0.0
    share = weight / np.where(met, 1.0, apart)
    share /= share.sum(axis=1, keepdims=True)
    on = met.any(axis=1, keepdims=True)
    return np.where(on, met.astype(float), share)


@lru_cache(maxsize=8)
def _first_look(count: int) -> tuple[Array, Array]:
    at = np.linspace(-1.0, 1.0, LOOK)
    return at, through(at, count).T.copy()


@lru_cache(maxsize=256)
def _closer_look(count: int, centre: float, half: float) -> tuple[Array, Array]:
    """Places within ``half`` of ``centre``, and the matrix to them: they are about few centres."""
    near = np.linspace(max(centre - half, -1.0), min(centre + half, 1.0), CLOSE)
    return near, through(near, count).T.copy()


@dataclass(frozen=True, slots=True, eq=False)
class SmoothPieces:
    """Curves over pieces between ``edges`` (m + 1,), ascending: samples ``values`` (c, m, n) at :func:`places`."""

    edges: Array
    values: Array

    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Least and greatest value of the lowest curve, each with its place."""
        lowest = self._first().min(axis=0)
        least = self._least(lowest, lambda curves: curves.min(axis=0))
        greatest, at = self._least(-lowest, lambda curves: -curves.min(axis=0))
        return least, (-greatest, at)

    def least(self, of: Callable[[Array], Array]) -> tuple[float, float]:
        """Least value of a figure of all curves, and its place; ``of`` takes (c, ...) and gives (...)."""
        return self._least(of(self._first()), of)

    def _first(self) -> Array:
        """All curves (c, m, LOOK) at the places of the first look."""
        return np.asarray(self.values @ _first_look(self.values.shape[-1])[1])

    def _least(self, found: Array, of: Callable[[Array], Array]) -> tuple[float, float]:
        """As :meth:`least`, from the figure (m, LOOK) at the places of the first look."""
        count = self.values.shape[-1]
        at = _first_look(count)[0]
        lows = found.argmin(axis=1)
        best = found.min(axis=1)
        # How far a piece may fall between two looks: an eighth of its greatest second difference, twice over.
        slopes = found[:, 1:] - found[:, :-1]
        may_fall = 0.25 * np.abs(slopes[:, 1:] - slopes[:, :-1]).max(axis=1)
        value, place = float("inf"), float(self.edges[0])
        for piece in (best - may_fall <= best.min()).nonzero()[0].tolist():
            centre, half = at.item(lows.item(piece)), 2.0 / (LOOK - 1)
            least, where = best.item(piece), centre
            for _ in range(FINER):
                near, matrix = _closer_look(count, centre, half)
                close = of(self.values[:, piece] @ matrix)
                i = int(close.argmin())
                centre, half = near.item(i), 2.0 * half / (CLOSE - 1)
                if close.item(i) < least:
                    least, where = close.item(i), centre
            if least < value:
                low, high = self.edges[piece], self.edges[piece + 1]
                value, place = least, float(low + (high - low) * 0.5 * (where + 1.0))
        return value, place


@lru_cache(maxsize=8)
def _shares(count: int) -> Array:
    """:func:`places` as shares of a piece."""
    found = 0.5 * (places(count) + 1.0)
    found.setflags(write=False)
    return found


def sample_places(edges: Array, count: int) -> Array:
    """Where to sample the pieces between ``edges`` (m + 1,): (m, count)."""
    return np.asarray(edges[:-1, None] + (edges[1:] - edges[:-1])[:, None] * _shares(count))
