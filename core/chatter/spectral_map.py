"""The spectral radius over speeds and depths: how much a disturbance grows or shrinks in one tooth period.

It is one over the modulus of the smallest zero of the characteristic polynomial, found for all points at once by
root squaring (Dandelin and Graeffe), which needs no first guess and never takes another zero for the smallest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from .characteristic import Direct, Form, fitted
from .directional import CuttingSlopes
from .modes import Modes
from .period_matrix import Structure, structure
from .tooth_period import tooth_period

SQUARINGS = 8
"""Root squarings: two zeros 1 % apart in modulus are then a factor of 12 apart."""

CHUNK = 1024
"""Points squared at a time, so that they stay in the processor's cache."""

SHALLOWER = 0.5
"""Where one polynomial cannot hold for all depths, the next holds down from this share of them."""


LARGEST = 10.0
"""Greatest radius that a map tells."""

SUSPECT = 2.0
"""Radii below this from a polynomial that lost digits are computed anew."""


@dataclass(frozen=True, slots=True, eq=False)
class SpectralMap:
    """``radius`` (S, D) at ``speed_rpm`` (S,) and ``depth_mm`` (D,): under 1 where the cut is stable.  To 0.5 % from
    0.2 on; below 0.2 only the order of size, and ``LARGEST`` stands for all that is greater.  Read-only."""

    speed_rpm: Array
    depth_mm: Array
    radius: Array


def spectral_map(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: int,
    speed_rpm: ArrayLike,
    depth_mm: ArrayLike,
) -> SpectralMap:
    """The map at ``speed_rpm`` (S,), /min, and ``depth_mm`` (D,), over 0.  Arc in rad; even pitch, no helix."""
    rpm, depth = np.atleast_1d(np.asarray(speed_rpm, float)), np.atleast_1d(np.asarray(depth_mm, float))
    s = structure(modes, slopes, tooth_period(entry, leave, teeth, slopes))
    radius = np.empty((len(rpm), len(depth)))
    _fill(s, rpm * (2.0 * math.pi / 60.0), depth, np.arange(len(rpm)), np.arange(len(depth)), radius)
    return SpectralMap(frozen(rpm), frozen(depth), frozen(np.minimum(radius, LARGEST)))


def _fill(s: Structure, speed: Array, depth: Array, rows: np.ndarray, columns: np.ndarray, radius: Array) -> None:
    """Fill rows and columns of the map."""
    if not len(rows) or not len(columns):
        return
    deepest = float(depth[columns].max())
    fits, lost = fitted(s, speed[rows], np.full(len(rows), deepest))
    for fit in fits:
        radius[np.ix_(rows[fit.index], columns)] = _radii(fit, depth[columns] / deepest)
    if len(lost):
        deep = depth[columns] > SHALLOWER * deepest
        _fill(s, speed, depth, rows[lost], columns[~deep], radius)
        # Mostly so far above the border that the digits which are lost do not count.
        rough, _ = fitted(s, speed[rows[lost]], np.full(len(lost), deepest), rough=True)
        x = depth[columns[deep]] / deepest
        for fit in rough:
            radii = _radii(fit, x)
            for i, j in np.argwhere(~(radii > SUSPECT)):
                one = Direct(fit.index[[i]], fit.top[[i]], s, speed[rows[lost[fit.index[[i]]]]])
                radii[i, j] = _radii(one, x[[j]])[0, 0]
            radius[np.ix_(rows[lost[fit.index]], columns[deep])] = radii


def _radii(form: Form, x: Array) -> Array:
    """Spectral radii (S, len(x)) at depth shares."""
    count = len(form.index)
    radii = np.empty((count, len(x)))
    at_once = max(1, CHUNK // max(len(x), 1))
    for first in range(0, count, at_once):
        rows = np.arange(first, min(first + at_once, count))
        c = form.part(np.repeat(rows, len(x))).coefficients(np.tile(x, len(rows)))
        radii[rows] = (1.0 / smallest_zero(c)).reshape(len(rows), -1)
    return radii


def smallest_zero(coefficients: Array) -> Array:
    """Modulus of the smallest zero of real polynomials (K, degree + 1), lowest coefficient first and not 0: (K,)."""
    p = np.ascontiguousarray(coefficients.T / coefficients[:, 0])
    power = np.arange(1, len(p))[:, None]
    exponent = np.zeros(p.shape[1])
    for k in range(SQUARINGS + 1):
        # The variable is scaled by a power of two so that the greatest coefficient is near 1.
        size = np.frexp(p[1:])[1] / power
        size[p[1:] == 0.0] = -np.inf
        shift = -np.ceil(size.max(0))
        shift = np.where(np.isfinite(shift), shift, 0.0).astype(int)
        exponent += shift / 2.0**k
        p[1:] = np.ldexp(p[1:], shift * power)
        if k < SQUARINGS:
            p = _squared(p)
    # Now the smallest zero, or a pair, stands alone: 1 + p1 x + p2 x^2.
    p1, p2 = p[1], p[2] if len(p) > 2 else np.zeros_like(p[1])
    apart = p1 * p1 - 4.0 * p2
    with np.errstate(divide="ignore"):
        alone = 2.0 / (np.abs(p1) + np.sqrt(np.maximum(apart, 0.0)))
        last = np.where(apart >= 0.0, np.log2(alone), -0.5 * np.log2(np.abs(p2)))
    return np.asarray(2.0 ** (exponent + last / 2.0**SQUARINGS))


def _squared(p: Array) -> Array:
    """The polynomials (degree + 1, K) whose zeros are the squares of theirs: ``p(x) p(-x)`` in powers of ``x^2``."""
    even, odd = p[::2], p[1::2]
    squared = np.zeros_like(p)
    for part, sign, first in ((even, 1.0, 0), (odd, -1.0, 1)):
        for i in range(len(part)):
            own = 2 * i + first
            squared[own] += sign * part[i] * part[i]
            if i + 1 < len(part):
                squared[own + 1 : i + len(part) + first] += (2.0 * sign) * part[i] * part[i + 1 :]
    return squared
