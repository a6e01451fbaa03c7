"""Integrals of powers of the sine, for the power-law force along a helical edge: exact to rounding.

``J_q(u) = integral of sin(t)^q from 0 to u``.  At 0 the integrand behaves as ``t^q`` with a fractional ``q``, which
spoils plain quadrature; the weight ``x^q`` is therefore built into a Gauss-Jacobi rule (Golub and Welsch 1969),
and what is left, ``(sin t / t)^q``, is smooth.  So is ``J_q(u) / u^(q+1)``, an even function of ``u`` without a
singularity nearer than ``pi``: up to a right angle 16 terms of its Chebyshev series hold it to rounding, and an angle
costs one power, whatever ``q`` is.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from .arrays import Array

NODES = 20

TERMS = 16
"""Terms of the series in the square of the angle: each is about a fourteenth of the one before it."""

_TURNS = np.pi * (np.arange(TERMS) + 0.5) / TERMS
_WAVES = 2.0 / TERMS * np.cos(_TURNS[:, None] * np.arange(TERMS))
_WAVES[:, 0] /= 2.0
"""Values at the Chebyshev places times this are the coefficients: the cosines are orthogonal there."""

_POWERS = np.zeros((TERMS, TERMS))
"""Row n: Chebyshev polynomial T_n in powers of its argument, lowest first; whole numbers, exact."""
_POWERS[0, 0] = _POWERS[1, 1] = 1.0
for _n in range(2, TERMS):
    _POWERS[_n, 1:] = 2.0 * _POWERS[_n - 1, :-1]
    _POWERS[_n] -= _POWERS[_n - 2]


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


@lru_cache(maxsize=64)
def _series(q: float) -> tuple[Array, Array]:
    """Coefficients (3, TERMS) of the smooth factors of the moments up to a right angle, and 2 J_q, 2 J_(q+1) there.

    In powers of ``s = 2 (2 u / pi)^2 - 1``, -1 to 1: through the Chebyshev places of ``s``, lowest power first.
    """
    places = np.cos(_TURNS)
    u = np.pi / 2.0 * np.sqrt((places + 1.0) / 2.0)
    smooth = []
    for power in (q, q + 1.0):
        x, w = power_rule(power)
        smooth.append(np.sinc(u[:, None] * x / np.pi) ** power @ w)
    smooth.append(np.sinc(u / np.pi) ** (q + 1.0) / (q + 1.0))
    # A product with a fixed matrix: numpy's own conversion trims a last coefficient that rounds to exactly 0.
    coefficients = np.stack(smooth) @ _WAVES @ _POWERS
    whole = 2.0 * coefficients[:2].sum(axis=1) * (np.pi / 2.0) ** np.array([q + 1.0, q + 2.0])
    return coefficients, whole


def sine_power_moments(u: ArrayLike, q: float) -> Array:
    """Integrals (3, ...) of ``sin(t)^q`` times 1, sin(t) and cos(t) from 0 to ``u`` (rad, 0 to pi), q > -1.

    The first two are ``J_q`` and ``J_(q+1)``, the third is ``sin(u)^(q+1) / (q+1)``; clipped outside.
    """
    inside: Array = np.minimum(np.maximum(np.asarray(u, float), 0.0), np.pi)
    flat = inside.reshape(-1)
    folded = np.minimum(flat, np.pi - flat)
    coefficients, whole = _series(q)
    s = folded * folded
    s *= 8.0 / np.pi**2
    s -= 1.0
    # Terms in pairs, then in pairs of pairs: few steps, and the same angle gives the same figure wherever it stands.
    found = coefficients[:, 0::2, None] + coefficients[:, 1::2, None] * s
    while found.shape[1] > 1:
        s = s * s
        found = found[:, 0::2] + found[:, 1::2] * s
    found = found[:, 0]
    found *= folded ** (q + 1.0)
    found[1] *= folded
    # Beyond the right angle what is lacking of the half turn is what the mirror has.
    past = flat > np.pi / 2.0
    np.subtract(whole[:, None], found[:2], out=found[:2], where=past)
    return np.asarray(found.reshape(3, *inside.shape))
