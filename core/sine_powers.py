"""Integrals of powers of the sine, for the power-law force along a helical edge: exact to rounding.

``J_q(u) = integral of sin(t)^q from 0 to u``.  At 0 the integrand behaves as ``t^q`` with a fractional ``q``, which
spoils plain quadrature; the weight ``x^q`` is therefore built into a Gauss-Jacobi rule (Golub and Welsch 1969),
and what is left, ``(sin t / t)^q``, is smooth.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array

NODES = 20


@lru_cache(maxsize=64)
def power_rule(q: float, n: int = NODES) -> tuple[Array, Array]:
    """Nodes and weights on [0, 1] for the weight ``x^q``, q > -1."""
    k = np.arange(n, dtype=float)
    # Jacobi polynomials with alpha = 0, beta = q on [-1, 1].
    s = 2.0 * k + q
    with np.errstate(invalid="ignore", divide="ignore"):
        diagonal = np.where(s * (s + 2.0) == 0.0, q / (q + 2.0), q * q / (s * (s + 2.0)))
    diagonal[0] = q / (q + 2.0)
    j = k[1:]
    t = 2.0 * j + q
    side = 4.0 * j * j * (j + q) * (j + q) / (t * t * (t + 1.0) * (t - 1.0))
    matrix = np.diag(diagonal) + np.diag(np.sqrt(side), 1) + np.diag(np.sqrt(side), -1)
    values, vectors = np.linalg.eigh(matrix)
    return (1.0 + values) / 2.0, vectors[0] ** 2 / (q + 1.0)


def sine_power_integral(u: ArrayLike, q: float) -> Array:
    """``J_q(u)`` for u in [0, pi] (rad), q > -1; clipped outside."""
    inside: Array = np.clip(np.asarray(u, float), 0.0, np.pi)
    folded: Array = np.minimum(inside, np.pi - inside)
    x, w = power_rule(q)
    t = folded[..., None] * x
    half = folded ** (q + 1.0) * (np.sinc(t / np.pi) ** q @ w)
    t_all = np.pi / 2.0 * x
    whole = 2.0 * (np.pi / 2.0) ** (q + 1.0) * float(np.sinc(t_all / np.pi) ** q @ w)
    return np.where(inside <= np.pi / 2.0, half, whole - half)
