"""Conduction into the edge: the rise at the edge of a square corner after heat has entered a patch on its face.

The corner is large, both outer faces are insulated, heat enters a patch of the contact length along the face and of
the engaged width along the edge; the rise is that at the edge, mid-width.  Source: Stephenson and Ali 1992 (abstract
seen), Carslaw and Jaeger 1959 (from memory).  Lengths in m, times in s, flux in W/m2, rise in K.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array
from .erf import erf
from .setup import Thermal

TURNS = 6
"""Earlier turns from this one on are taken together, as an integral with its first correction."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
# A wide edge puts all that happens at the near end of the integral: the cube crowds the places there.
_TAIL = ((1.0 + _NODES) / 2.0) ** 3
_TAIL_WEIGHTS = 1.5 * ((1.0 + _NODES) / 2.0) ** 2 * _WEIGHTS

_DIFFERENCE = 0.1
"""Half the step, in turns, of the difference that the correction takes its slope from."""


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
    shape = erf(np.asarray(length, float) * reach) * erf(width / 2.0 * reach)
    return shape * inverse / (math.sqrt(math.pi) * effusivity(material))


def earlier_turns(since: Array, length: Array, width: float, turn: float, material: Thermal) -> Array:
    """The :func:`patch_response` of heat that enters at every turn, this one left out: all that went before.

    since : (n,), s, over minus one turn; length : (m,), m; turn : time of a turn, s.  (m, n), K m2/J.  Turns up to
    :data:`TURNS` one by one, the rest by the rule of Euler and Maclaurin about half turns: ``sum of f = integral
    from half a turn before + turn f' / 24``.  Good to 3e-5 of the sum for edges up to a tenth of a metre wide at any
    usual speed.
    """
    direct = 1.0 / np.sqrt(since + turn * np.arange(1, TURNS)[:, None])
    first = since + (TURNS - 0.5) * turn
    # The integral over 1/sqrt(s), which runs to 0 for the far past.
    tail = _TAIL[:, None] / np.sqrt(first)
    slope = 1.0 / np.sqrt(first + _DIFFERENCE * turn * np.array([[-1.0], [1.0]]))
    places = np.concatenate([direct, tail, slope])
    weights = np.concatenate(
        [
            direct,
            2.0 / turn * (_TAIL_WEIGHTS / _TAIL**2)[:, None] * np.sqrt(first),
            slope * np.array([[-1.0], [1.0]]) / (48.0 * _DIFFERENCE),
        ]
    )
    reach = places / (2.0 * math.sqrt(diffusivity(material)))
    across = weights * erf(width / 2.0 * reach)
    along = erf(length[:, None, None] * reach)
    return np.einsum("mkn,kn->mn", along, across) / (math.sqrt(math.pi) * effusivity(material))


def lasting_rise(length: ArrayLike, width: float, material: Thermal) -> Array:
    """Rise at the edge under unit flux for ever, K m2/W: the integral of :func:`patch_response` over all time.

    ``2/(pi k) (l asinh(b/(2l)) + (b/2) asinh(2l/b))``: Carslaw and Jaeger 1959 (from memory).
    """
    along, half = np.asarray(length, float), width / 2.0
    found = along * np.arcsinh(half / along) + half * np.arcsinh(along / half)
    return np.asarray(2.0 / (math.pi * material.conductivity_w_mk) * found)
