"""The first 64 points of Sobol's sequence: even in each input alone, and together.

Direction numbers: Joe and Kuo, Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci.
Comput. 30 (2008) (from memory; checked against another implementation).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from .arrays import Array, frozen

POINTS = 64

_BITS = 6
_DIRECTIONS: tuple[tuple[int, int, tuple[int, ...]], ...] = (
    (1, 0, (1,)),
    (2, 1, (1, 3)),
    (3, 1, (1, 3, 1)),
    (3, 2, (1, 1, 1)),
    (4, 1, (1, 1, 3, 3)),
    (4, 4, (1, 3, 5, 13)),
    (5, 2, (1, 1, 5, 5, 17)),
    (5, 4, (1, 1, 5, 5, 5)),
    (5, 7, (1, 1, 7, 11, 19)),
    (5, 11, (1, 1, 5, 1, 1)),
    (5, 13, (1, 1, 1, 3, 11)),
    (5, 14, (1, 3, 5, 5, 31)),
    (6, 1, (1, 3, 3, 9, 7, 49)),
    (6, 13, (1, 1, 1, 15, 21, 21)),
)
"""Degree, coefficients and first numbers of each dimension after the first."""

DIMENSIONS = len(_DIRECTIONS) + 1


def _numbers(degree: int, coefficients: int, first: tuple[int, ...]) -> list[int]:
    """The direction numbers of one dimension, each in _BITS bits."""
    m = list(first)
    for i in range(degree, _BITS):
        new = m[i - degree] ^ (m[i - degree] << degree)
        for k in range(1, degree):
            if (coefficients >> (degree - 1 - k)) & 1:
                new ^= m[i - k] << k
        m.append(new)
    return [number << (_BITS - 1 - i) for i, number in enumerate(m[:_BITS])]


@lru_cache(maxsize=1)
def sobol_points() -> Array:
    """The points (64, DIMENSIONS), moved by half a step so that each is over 0 and under 1."""
    columns = [[1 << (_BITS - 1 - i) for i in range(_BITS)], *(_numbers(*each) for each in _DIRECTIONS)]
    found = np.zeros((POINTS, len(columns)), int)
    for i in range(1, POINTS):
        lowest_zero = ((i - 1) ^ i).bit_length() - 1
        found[i] = found[i - 1] ^ np.array([column[lowest_zero] for column in columns])
    return frozen((found + 0.5) / POINTS)
