"""The greatest value of curves that are smooth between known corners: a look at each piece, then closer ones."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .arrays import Array

_FIRST = np.linspace(0.0, 1.0, 17)
_CLOSER = np.linspace(0.0, 1.0, 17)


def greatest_between(curves: Callable[[Array], Array], corners: Array, inside: float, looks: int = 4) -> Array:
    """Greatest value (m,) of each of ``curves``, (n,) to (m, n), between ascending ``corners`` (k,).

    inside : how far from a corner its one-sided limits are taken; pieces shorter than four of it are left out.
    A look narrows a place to an eighth of what it was, the crown of a smooth curve to a sixty-fourth.
    """
    wide = np.diff(corners) > 4.0 * inside
    low, high = corners[:-1][wide] + inside, corners[1:][wide] - inside
    if not low.size:
        return np.asarray(curves(corners).max(axis=1))
    places = (low[:, None] + (high - low)[:, None] * _FIRST).reshape(-1)
    value = curves(places)
    best = value.argmax(axis=1)
    top = value.max(axis=1)
    i, every = best % len(_FIRST), np.arange(len(best))
    left, right = places[best - (i > 0)], places[best + (i < len(_FIRST) - 1)]
    for _ in range(looks):
        fine = left[:, None] + (right - left)[:, None] * _CLOSER
        there = curves(fine.reshape(-1)).reshape(len(best), len(best), len(_CLOSER))[every, every]
        k = there.argmax(axis=1)
        top = np.maximum(top, there[every, k])
        left, right = fine[every, np.maximum(k - 1, 0)], fine[every, np.minimum(k + 1, len(_CLOSER) - 1)]
    return np.asarray(top)
