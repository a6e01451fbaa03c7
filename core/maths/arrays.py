"""Arrays of floats: their type, and the two things that are done with them everywhere."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
"""Any array of floats."""


def ascending(values: ArrayLike) -> Array:
    """The values (n,), any order, in ascending order and each once."""
    found = np.array(values, float)
    found.sort()
    new = np.ones(found.shape, bool)
    np.not_equal(found[1:], found[:-1], out=new[1:])
    return found[new]


def each_once(values: Array) -> tuple[Array, NDArray[np.intp]]:
    """The values (n,), each once and ascending (m,), and which of these every value is, (n,)."""
    order = values.argsort()
    found = values[order]
    new = np.ones(found.shape, bool)
    np.not_equal(found[1:], found[:-1], out=new[1:])
    which = np.empty_like(order)
    which[order] = new.cumsum() - 1
    return found[new], which


def frozen(array: Array) -> Array:
    """The array, made read-only: results are shared between views."""
    array.setflags(write=False)
    return array
