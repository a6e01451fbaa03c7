"""Places along the arc for what happens at very different rates: crowded toward both ends, the same for all cuts.

Heat changes fastest just after entry (as the square root of time), where a chip begins or ends at no thickness (over
the first micrometres), and just before the moment that is looked at (the kernel's singularity).  Smooth steps
stretch all three, so that polynomials of a low degree and Gauss points are exact to some 1e-4 and nothing has to be
refined: everything here is worked out once.  Along the arc positions are shares of it, 0 at entry and 1 at exit.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .arrays import Array, frozen
from .gauss import gauss

DEGREE = 32
"""Degree of the polynomial that a temperature is, in the stretched position."""

LAG_POINTS, SOURCE_POINTS, TURN_POINTS, FINE_POINTS = 40, 24, 8, 801
"""Gauss points of the time before each place and of the whole arc; places in the lag for earlier turns; curve."""

NEWTON = 8
"""Steps of Newton's method: two more than the last digit needs."""

_STRETCH = (4, 4)
# The root of the time since entry becomes a square, a chip that starts as h^(1-mc) at least h^2 or so.
_LAG_STRETCH = (10, 4)
# To the moment looked at the contact may be a micrometre long, a thousandth of the chip's a little before.


def smooth_step(x: Array, a: int, b: int) -> Array:
    """A rise from 0 to 1 over x from 0 to 1, flat to the order ``a`` at 0 and ``b`` at 1.

    The incomplete beta function, as a sum of positive terms: tiny values keep all their digits.
    """
    n = a + b - 1
    total, choose = np.zeros_like(x), 1.0
    for j in range(n + 1):
        if j >= a:
            total = total + choose * x**j * (1.0 - x) ** (n - j)
        choose *= (n - j) / (j + 1)
    return total


def _slope(x: Array, a: int, b: int) -> Array:
    """Slope of :func:`smooth_step`."""
    scale = 1.0
    for j in range(1, a):
        scale *= (b - 1 + j) / j
    return scale * (a + b - 1) * x ** (a - 1) * (1.0 - x) ** (b - 1)


def _unstretched(along: Array) -> Array:
    """Position whose smooth step is ``along`` (0 to 1/2), by Newton's method."""
    a, b = _STRETCH
    # The step is 35 y^4 at first.
    y = np.minimum((along / 35.0) ** 0.25, 0.5)
    for _ in range(NEWTON):
        slope = np.where(y > 0.0, _slope(y, a, b), 1.0)
        y = np.clip(y - (smooth_step(y, a, b) - along) / slope, 0.0, 0.5)
    return y


def interpolation(nodes: Array, weights: Array, x: Array) -> Array:
    """What each node's value counts at each ``x``, (..., nodes): the barycentric form (Berrut, Trefethen 2004)."""
    away = x[..., None] - nodes
    exact = away == 0.0
    share = weights / np.where(exact, 1.0, away)
    share = np.where(exact.any(axis=-1, keepdims=True), exact, share)
    return np.asarray(share / share.sum(axis=-1, keepdims=True))


@dataclass(frozen=True, slots=True, eq=False)
class ArcMesh:
    """Places and weights for any arc; times as shares of the time in the arc.

    ``along`` (n,) : positions of the nodes, entry and exit among them.
    ``lag`` (n-1, k) : times before each node but the first, back to entry, ``lag_weights`` to integrate over them,
    ``lag_share`` (n-1, k, n) the value where the tooth then was from the values at the nodes.  ``lag_root`` and
    ``lag_root_weights`` (n-1, k) : one over the root of these times, and what that counts in an integral.
    ``source_weights`` (m,), ``source_share`` (m, n) : the same for places over the whole arc.
    ``heated`` ((n-1) k + m,) : where the tooth was at each of the lags, then those places: see :meth:`parted`.
    ``turn_lag`` (j,) : lags, -1 to 1, between which a smooth function of the lag is interpolated, ``turn_share``
    (n, m, j) its value for each node and source.
    ``fine`` (f,), ``fine_share`` (f, n) : a close row of positions, to draw and to find the greatest value.
    """

    along: Array
    lag: Array
    lag_weights: Array
    lag_share: Array
    lag_root: Array
    lag_root_weights: Array
    source_weights: Array
    source_share: Array
    heated: Array
    turn_lag: Array
    turn_share: Array
    fine: Array
    fine_share: Array
    _nodes: Array
    _weights: Array

    def parted(self, values: Array) -> tuple[Array, Array]:
        """Values at ``heated`` as those at the lags, (n-1, k), and those over the whole arc, (m,)."""
        lags = self.lag.size
        return values[:lags].reshape(self.lag.shape), values[lags:]

    def share(self, along: Array) -> Array:
        """What each node's value counts at these positions of the arc, (..., n)."""
        low = _unstretched(np.minimum(along, 0.5))
        high = 1.0 - _unstretched(np.minimum(1.0 - along, 0.5))
        return interpolation(self._nodes, self._weights, np.where(along <= 0.5, low, high))


def chebyshev(n: int) -> tuple[Array, Array]:
    """``n`` places between -1 and 1 and their barycentric weights (Chebyshev, first kind)."""
    angle = np.pi * (np.arange(n) + 0.5) / n
    return np.cos(angle), np.sin(angle) * np.where(np.arange(n) % 2 == 0, 1.0, -1.0)


@lru_cache(maxsize=1)
def arc_mesh() -> ArcMesh:
    """The mesh, once."""
    j = np.arange(DEGREE + 1)
    nodes, mirrored = (np.asarray(f(np.pi * j / (2 * DEGREE)) ** 2) for f in (np.sin, np.cos))
    weights: Array = np.where(j % 2 == 0, 1.0, -1.0)
    weights[[0, -1]] /= 2.0
    along, left = smooth_step(nodes, *_STRETCH), smooth_step(mirrored, *_STRETCH)

    x, w = gauss(LAG_POINTS)
    a, b = _LAG_STRETCH
    lag = along[1:, None] * smooth_step(x, a, b)
    # Both what is behind and what is ahead, so that either is exact where it is small.
    behind, ahead = along[1:, None] * smooth_step(1.0 - x, b, a), left[1:, None] + lag
    low, high = _unstretched(np.minimum(behind, 0.5)), 1.0 - _unstretched(np.minimum(ahead, 0.5))
    lag_at = np.where(behind <= 0.5, low, high)

    y, v = gauss(SOURCE_POINTS)
    source = smooth_step(y, *_STRETCH)
    turn_lag, turn_weights = chebyshev(TURN_POINTS)
    fine = np.linspace(0.0, 1.0, FINE_POINTS)
    lag_weights = along[1:, None] * _slope(x, a, b) * w
    arrays = (
        along,
        lag,
        lag_weights,
        interpolation(nodes, weights, lag_at),
        1.0 / np.sqrt(lag),
        lag_weights / np.sqrt(lag),
        _slope(y, *_STRETCH) * v,
        interpolation(nodes, weights, y),
        np.concatenate([behind.ravel(), source]),
        turn_lag,
        interpolation(turn_lag, turn_weights, along[:, None] - source),
        smooth_step(fine, *_STRETCH),
        interpolation(nodes, weights, fine),
        nodes,
        weights,
    )
    return ArcMesh(*(frozen(np.ascontiguousarray(array)) for array in arrays))
