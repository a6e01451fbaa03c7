"""Conduction into the edge: the rise at the edge of a square corner after heat has entered a patch on its face.

The corner is large, both outer faces are insulated, heat enters a patch of the contact length along the face and of
the engaged width along the edge; the rise is that at the edge, mid-width.  Source: Stephenson and Ali 1992 (abstract
seen), Carslaw and Jaeger 1959 (from memory).  Lengths in m, times in s, flux in W/m2, rise in K.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from ..maths.erf import erf
from ..maths.gauss import gauss
from ..setup.setup import Thermal

TURNS = 6
"""Earlier turns from this one on are taken together, as an integral with its first correction."""

_NODES, _WEIGHTS = gauss(24)
# A wide edge puts all that happens at the near end of the integral: the cube crowds the places there.
_TAIL = _NODES**3
_TAIL_WEIGHTS = 3.0 * _NODES**2 * _WEIGHTS

_DIFFERENCE = 0.1
"""Half the step, in turns, of the difference that the correction takes its slope from."""

FAR = 4.0
"""From here on erf counts as 1, to 2e-8."""

_DIRECT, _LONG_AGO = TURNS - 1, len(_TAIL)
# All places of the sum over earlier turns, one row each: the turns themselves, the integral, the two of the slope.
# How many turns ago each counts from, how far along the integral it lies, and what it counts.
_AGO = np.concatenate(
    [np.arange(1.0, TURNS), np.full(_LONG_AGO, TURNS - 0.5), TURNS - 0.5 + _DIFFERENCE * np.array([-1, 1])]
)
_SHRUNK = np.concatenate([np.ones(_DIRECT), _TAIL, np.ones(2)])
_COUNTS = np.concatenate(
    [np.ones(_DIRECT), 2.0 * _TAIL_WEIGHTS / _TAIL**2, np.array([-1.0, 1.0]) / (48.0 * _DIFFERENCE)]
)

SERIES_ERROR = 1e-9
"""What the power series of erf may leave out, as a part of its value."""

_TERMS = 22
_ORDER = np.arange(_TERMS)
_FACTORIALS = np.cumprod(np.maximum(_ORDER, 1.0))
_SERIES = 2.0 / math.sqrt(math.pi) * (-1.0) ** _ORDER / (_FACTORIALS * (2 * _ORDER + 1))
"""Coefficients of the odd powers: Abramowitz and Stegun 1964, 7.1.5 (from memory)."""

_ENDS = [(0.4 * SERIES_ERROR * math.factorial(n) * (2 * n + 1)) ** (0.5 / n) for n in range(1, _TERMS + 1)]
"""The greatest argument for which one term, two, … are enough.

The terms alternate, so that the error is less than the first that is left out; erf itself is at least 0.4 of its
first term up to an argument of 2, about where this ends.
"""

SERIES_END = _ENDS[-1]
"""Beyond this argument the series is not used."""


def diffusivity(material: Thermal) -> float:
    """Thermal diffusivity ``k / (rho cp)``, m2/s."""
    return material.conductivity_w_mk / (material.density_kg_m3 * material.specific_heat_j_kgk)


def effusivity(material: Thermal) -> float:
    """Thermal effusivity ``sqrt(k rho cp)``, W sqrt(s) / (m2 K)."""
    return math.sqrt(material.conductivity_w_mk * material.density_kg_m3 * material.specific_heat_j_kgk)


def patch_response(since: ArrayLike, length: ArrayLike, width: float, material: Thermal) -> Array:
    """Rise at the edge for unit heat on unit area, K m2/J, ``since`` (s, over 0) after it entered; both broadcast.

    ``erf(l / (2 sqrt(a s))) erf(b / (4 sqrt(a s))) / sqrt(pi k rho cp s)``; for short times that of a flat wall.
    """
    inverse = 1.0 / np.sqrt(np.asarray(since, float))
    reach = inverse / (2.0 * math.sqrt(diffusivity(material)))
    return patch_part(reach, length, width) * inverse / (math.sqrt(math.pi) * effusivity(material))


def patch_part(reach: Array, length: ArrayLike, width: float) -> Array:
    """The part of a flat wall's response that a patch has: ``erf(l reach) erf(b/2 reach)``, length broadcast.

    reach : 1/m, over 0, ``1 / (2 sqrt(a s))`` at ``s`` seconds after the heat has entered.
    """
    part = erf(np.asarray(length, float) * reach)
    # The ends of a wide edge are mostly too far away for anything to come from there; nan is compared as false.
    if not width / 2.0 * reach.min(initial=np.inf) >= FAR:
        part *= erf(width / 2.0 * reach)
    return part


def earlier_turns(since: Array, length: Array, width: float, turn: float, material: Thermal) -> Array:
    """The :func:`patch_response` of heat that enters at every turn, this one left out: all that went before.

    since : (n,), s, over minus one turn; length : (m,), m; turn : time of a turn, s.  (m, n), K m2/J.  Turns up to
    :data:`TURNS` one by one, the rest by the rule of Euler and Maclaurin about half turns: ``sum of f = integral
    from half a turn before + turn f' / 24``.  Good to 3e-5 of the sum for edges up to a tenth of a metre wide at any
    usual speed.
    """
    return summed_turns(length, *each_earlier_turn(since, width, turn, material))


def each_earlier_turn(since: Array, width: float, turn: float, material: Thermal) -> tuple[Array, Array]:
    """``reach`` (1/m) and ``across`` (K m2/J), (k, n): :func:`earlier_turns` sums ``across erf(length reach)``.

    They do not depend on the chip.
    """
    ago = since + turn * _AGO[:, None]
    inverse = 1.0 / np.sqrt(ago)
    # The integral is one over 1/sqrt(s), which runs to 0 for the far past.
    reach = inverse * (_SHRUNK / (2.0 * math.sqrt(diffusivity(material))))[:, None]
    across = inverse * (_COUNTS / (math.sqrt(math.pi) * effusivity(material)))[:, None]
    across[_DIRECT : _DIRECT + _LONG_AGO] *= ago[_DIRECT] / turn
    across *= erf(width / 2.0 * reach)
    return frozen(reach), frozen(across)


def summed_turns(length: Array, reach: Array, across: Array) -> Array:
    """The sum of ``across erf(length reach)`` over the places, (m, n): length (m,), reach and across (k, n)."""
    longest = length.max(initial=0.0)
    # Written so that nan goes the way of erf, as do contacts that are long.
    if 0.0 < longest * reach.max(initial=0.0) <= SERIES_END:
        return _summed_series(length, reach, across)
    greatest = longest * reach.max(axis=1, initial=0.0)
    short = (greatest > 0.0) & (greatest <= SERIES_END)
    total = np.zeros((len(length), reach.shape[1]))
    if short.any():
        total += _summed_series(length, reach[short], across[short])
    # One place after another: all at once would be a large array for each step of erf.
    for near, counts in zip(reach[~short], across[~short], strict=True):
        total += erf(length[:, None] * near) * counts
    return total


def _summed_series(length: Array, reach: Array, across: Array) -> Array:
    """As :func:`summed_turns`, where no ``length reach`` is over :data:`SERIES_END`.

    In an earlier turn the contact is mostly short against the way of the heat, so that few terms of the power series
    are enough, and each is a product of a power of the length and a sum over the places.
    """
    furthest = reach.max()
    terms = bisect_left(_ENDS, length.max() * furthest) + 1
    # Powers of what is 1 at most on one side, 2 on the other: they stay within the range of numbers.
    near = reach / furthest
    moments = np.empty((terms, *reach.shape))
    np.multiply(across, near, out=moments[0])
    near *= near
    for before, after in pairwise(moments):
        np.multiply(before, near, out=after)
    # Odd powers of the length, one after the other: a power costs as much as ten products.
    powers = np.empty((terms, len(length)))
    np.multiply(length, furthest, out=powers[0])
    powers[1:] = powers[0] * powers[0]
    powers = np.multiply.accumulate(powers, axis=0)
    return np.asarray(powers.T @ (moments.sum(axis=1) * _SERIES[:terms, None]))


def lasting_rise(length: ArrayLike, width: float, material: Thermal) -> Array:
    """Rise at the edge under unit flux for ever, K m2/W: the integral of :func:`patch_response` over all time.

    ``2/(pi k) (l asinh(b/(2l)) + (b/2) asinh(2l/b))``: Carslaw and Jaeger 1959 (from memory).
    """
    along, half = np.asarray(length, float), width / 2.0
    integral = along * np.arcsinh(half / along) + half * np.arcsinh(along / half)
    return np.asarray(2.0 / (math.pi * material.conductivity_w_mk) * integral)
