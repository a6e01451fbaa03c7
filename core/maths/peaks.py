"""The greatest value of curves: ever finer looks about the best sample, and the crown of a parabola.

Looks need no smoothness: one with n places narrows the bracket to ``2 / (n - 1)`` of what it was, about a corner too.
A parabola through three even samples gives the top of a smooth curve with an error of the third order of their step.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .arrays import Array

_FIRST = np.linspace(0.0, 1.0, 17)
_CLOSER = np.linspace(0.0, 1.0, 17)

LOOK = 33
"""Places of a closer look about a peak: each narrows its bracket to a sixteenth."""


def refined_peaks(
    curves: Callable[[Array], Array], places: Array, values: Array, looks: int, count: int = LOOK
) -> tuple[Array, Array]:
    """Place and height, (m,) each, of the greatest value of m curves.

    places (n,), values (m, n) : their samples.  curves : takes places (m, k), a row for each curve, to values (m, k).
    count : places of a look.
    The bracket is the best sample's two neighbours; the best of all samples is never lost, so that the height is
    never below it.
    """
    every, best = np.arange(len(values)), values.argmax(axis=1)
    at, top = places[best], values[every, best]
    low, high = places[np.maximum(best - 1, 0)], places[np.minimum(best + 1, len(places) - 1)]
    for _ in range(looks):
        fine = np.linspace(low, high, count, axis=1)
        close = curves(fine)
        i = close.argmax(axis=1)
        better = close[every, i] > top
        at, top = np.where(better, fine[every, i], at), np.maximum(top, close[every, i])
        low, high = fine[every, np.maximum(i - 1, 0)], fine[every, np.minimum(i + 1, count - 1)]
    return at, top


def crown(before: Array, best: Array, after: Array) -> Array:
    """Top of the parabola through three even samples, where it lies beside the middle one; else that."""
    bend = before - 2.0 * best + after
    with np.errstate(divide="ignore", invalid="ignore"):
        shift = 0.5 * (before - after) / bend
        top = best - 0.25 * (before - after) * shift
    return np.where((bend < 0.0) & (np.abs(shift) <= 1.0), np.maximum(top, best), best)


def crown_of_row(row: list[float], top: int, last: int, sign: float = 1.0) -> float:
    """Greatest of ``sign`` times even samples, the best at index ``top``: that sample, or the crown of the parabola.

    last : index of the last sample.  For a few short rows, where arrays cost more than they save.  At an end of the
    row the first or last three count.
    """
    inner = min(max(top, 1), last - 1)
    found, a, b, c = sign * row[top], sign * row[inner - 1], sign * row[inner], sign * row[inner + 1]
    bend = a - 2.0 * b + c
    if bend >= 0.0:
        return found
    shift = 0.5 * (a - c) / bend
    # Beside an end of the row, too, but not beyond it.
    return max(found, b - 0.25 * (a - c) * shift) if abs(shift) <= 1.0 else found


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
        close = curves(fine.reshape(-1)).reshape(len(best), len(best), len(_CLOSER))[every, every]
        k = close.argmax(axis=1)
        top = np.maximum(top, close[every, k])
        left, right = fine[every, np.maximum(k - 1, 0)], fine[every, np.minimum(k + 1, len(_CLOSER) - 1)]
    return np.asarray(top)
