"""Gauss-Legendre quadrature: the rules, worked out once and shared read-only.

A rule of n nodes is exact for polynomials of degree 2 n - 1, and for a smooth curve its error falls exponentially
with n (Abramowitz and Stegun 1964, 25.4.29, from memory).  Panels serve curves with known corners.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from .arrays import Array, frozen


@lru_cache(maxsize=32)
def legendre(count: int) -> tuple[Array, Array]:
    """Nodes and weights (count,) on -1 to 1, read-only."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return frozen(np.asarray(nodes, float)), frozen(np.asarray(weights, float))


@lru_cache(maxsize=32)
def gauss(count: int) -> tuple[Array, Array]:
    """Nodes and weights (count,) on 0 to 1, read-only."""
    nodes, weights = legendre(count)
    return frozen(0.5 * (nodes + 1.0)), frozen(0.5 * weights)


@lru_cache(maxsize=64)
def gauss_panels(count: int, panels: int) -> tuple[Array, Array]:
    """Nodes and weights (panels * count,) on 0 to 1, ascending, ``count`` in each of even panels; read-only."""
    nodes, weights = gauss(count)
    places = (np.arange(panels)[:, None] + nodes) / panels
    return frozen(places.reshape(-1)), frozen(np.tile(weights / panels, panels))


@lru_cache(maxsize=8)
def gauss_crowded(count: int) -> tuple[Array, Array]:
    """Nodes and weights (count,) on 0 to 1, crowded toward both ends by ``s = t^2 (3 - 2 t)``; read-only.

    For curves that begin or end with a broken power, as ``h^(1 - mc)`` where a chip comes to nothing: the square of
    the distance makes the curve smoother by twice that power.
    """
    t, weights = gauss(count)
    return frozen(t * t * (3.0 - 2.0 * t)), frozen(weights * 6.0 * t * (1.0 - t))
