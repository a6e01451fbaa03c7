"""The zeroth-order limit: the cut with its direction matrix replaced by its mean over a tooth period.

Altintas and Budak 1995, CIRP Annals 44:357 (from memory), in the project's frame: with the mean matrix ``A0`` and the
receptances ``G`` the cut is at its border where ``det(1 - a (1 - exp(-i omega T)) A0 G(i omega)) = 0``.  For each
chatter frequency an eigenvalue ``lambda`` of ``A0 G`` gives ``a (1 - exp(-i omega T)) = 1 / lambda``: its size
gives the depth, its phase the speeds, one a lobe.  Good for long arcs and many teeth; wrong by a factor of four and
more for thin cuts, and blind to period doubling.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from .directional import CuttingSlopes, mean_direction_matrix
from .modes import Modes

POINTS = 400
"""Frequencies on each side of a mode's peak."""


@dataclass(frozen=True, slots=True, eq=False)
class ZerothOrder:
    """The limit at ``speed_rpm`` (S,): ``depth_mm`` (S,), infinite without a limit, and the chatter frequency
    ``chatter_hz`` (S,), nan without one.  Read-only."""

    speed_rpm: Array
    depth_mm: Array
    chatter_hz: Array


def frequencies(modes: Modes) -> Array:
    """Circular frequencies (W,), rad/s, ascending, dense about each mode: from its peak outward by tangents."""
    t = np.tan(np.linspace(-1.0, 1.0, 2 * POINTS + 1) * (math.pi / 2 - 2e-3))
    near = modes.omega[:, None] * (1.0 + 2.0 * modes.damping[:, None] * t)
    wide = np.geomspace(0.2 * modes.omega.min(), 5.0 * modes.omega.max(), 2 * POINTS)
    every = np.concatenate([near.ravel(), wide])
    every = every[(every > wide[0]) & (every < wide[-1])]
    return np.unique(np.concatenate([every, wide[[0, -1]]]))


def _inverse_eigenvalues(modes: Modes, mean: Array, omega: Array) -> np.ndarray:
    """``1 / lambda`` of ``A0 G`` at ``omega`` (...): (2, ...) complex, mm, followed without a jump from one to the
    next; infinite where an eigenvalue is 0."""
    g = modes.receptance(omega)
    trace = mean[0, 0] * g[..., 0] + mean[1, 1] * g[..., 1]
    det = (mean[0, 0] * mean[1, 1] - mean[0, 1] * mean[1, 0]) * g[..., 0] * g[..., 1]
    root = np.sqrt(trace * trace / 4.0 - det)
    # The branch of the root that goes on: of two successive ones the nearer.
    turn = np.where((root[1:] * root[:-1].conj()).real < 0.0, -1.0, 1.0)
    root = root * np.concatenate([[1.0], np.cumprod(turn)])
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.array([1.0 / (trace / 2.0 + root), 1.0 / (trace / 2.0 - root)])


def zeroth_order(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: int,
    speed_rpm: ArrayLike,
    deepest: float = math.inf,
) -> ZerothOrder:
    """The limit at ``speed_rpm`` (S,), /min; depths over ``deepest`` (mm) count as no limit.  Arc in rad.

    Speeds of every lobe are found between neighbouring frequencies by linear interpolation, some 1e-4 off.
    """
    rpm = np.atleast_1d(np.asarray(speed_rpm, float))
    omega = frequencies(modes)
    mean = mean_direction_matrix(entry, leave, teeth, slopes)
    depth, chatter = np.full(len(rpm), math.inf), np.full(len(rpm), math.nan)
    for kappa in _inverse_eigenvalues(modes, mean, omega):
        with np.errstate(divide="ignore", invalid="ignore"):
            # kappa = a (1 - cos psi + i sin psi), so a real positive depth wants a positive real part.
            limit = np.abs(kappa) ** 2 / (2.0 * kappa.real)
        psi = 2.0 * np.arctan2(kappa.real, kappa.imag)
        valid = np.isfinite(limit) & (kappa.real > 0.0)
        for i, n in enumerate(rpm):
            lobes = (omega * (60.0 / (teeth * n)) - psi) / (2.0 * math.pi)
            a, b = lobes[:-1], lobes[1:]
            crossing = valid[:-1] & valid[1:] & (np.floor(a) != np.floor(b)) & (np.abs(b - a) < 0.5)
            k = np.flatnonzero(crossing)
            if not len(k):
                continue
            whole = np.maximum(np.floor(a[k]), np.floor(b[k]))
            share = (whole - a[k]) / (b[k] - a[k])
            deep = limit[k] + share * (limit[k + 1] - limit[k])
            best = int(np.argmin(deep))
            if deep[best] < depth[i] and deep[best] <= deepest:
                depth[i] = deep[best]
                chatter[i] = (omega[k] + share * (omega[k + 1] - omega[k]))[best] / (2.0 * math.pi)
    return ZerothOrder(frozen(rpm), frozen(depth), frozen(chatter))


def least_limit(modes: Modes, slopes: CuttingSlopes, entry: float, leave: float, teeth: int) -> float:
    """The least limit over all speeds, mm: what the zeroth order holds stable at any speed; infinite if all is."""
    mean = mean_direction_matrix(entry, leave, teeth, slopes)
    with np.errstate(divide="ignore", invalid="ignore"):
        kappa = _inverse_eigenvalues(modes, mean, frequencies(modes))
        limit = np.where(kappa.real > 0.0, np.abs(kappa) ** 2 / (2.0 * kappa.real), np.inf)
    return float(np.nanmin(limit))
