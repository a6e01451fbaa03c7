"""The modes of vibration at the tip: what they are and how each moves, freely or pushed, in closed form.

A mode lies on ``x`` or ``y`` of the project's frame; modes on one axis add; an axis without a mode is rigid.  For
each mode ``q'' + 2 zeta omega q' + omega^2 q = F / m`` with ``m = k / omega^2``.  Lengths in mm, forces in N,
times in s, so masses are in N s2/mm (tonnes).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from ..setup.setup import Mode

AXES = ("x", "y")


def free_entries(damping_ratio: ArrayLike, omega: ArrayLike, time: ArrayLike) -> tuple[Array, Array, Array, Array]:
    """Entries 11, 12, 21, 22 of the transition matrix of a free mode for ``(q, q' / omega)``, arrays of one shape.

    omega : rad/s; time : s, below 0 the motion is followed back.  Damping ratios are under 1.
    """
    ratio, w, t = (np.asarray(v, float) for v in (damping_ratio, omega, time))
    share = np.sqrt(1.0 - ratio**2)
    angle, decay = w * share * t, np.exp(-ratio * w * t)
    cosine, sine = decay * np.cos(angle), decay * np.sin(angle) / share
    damped = ratio * sine
    return cosine + damped, sine, -sine, cosine - damped


@dataclass(frozen=True, slots=True, eq=False)
class Swing:
    """Modes after some times: damping ``ratio`` and ``share = sqrt(1 - ratio^2)`` beside ``decay``, ``cosine`` and
    ``sine`` (..., n) of the damped motion.  One computation serves free motion and impulse response."""

    ratio: Array
    share: Array
    decay: Array
    cosine: Array
    sine: Array

    def free(self) -> tuple[Array, Array, Array, Array]:
        """As :func:`free_entries`."""
        cosine, sine = self.decay * self.cosine, self.decay * self.sine / self.share
        damped = self.ratio * sine
        return cosine + damped, sine, -sine, cosine - damped

    def between(self) -> Array:
        """``m omega`` times the response at each of K times (..., K, n) to an impulse at each: (n, ..., K, K).

        Rows are the times of the response.  By the addition theorem: as :meth:`free` gives of the differences.
        """
        decay = self.decay / self.share
        after, before = (decay * self.sine, decay * self.cosine), (self.cosine / self.decay, self.sine / self.decay)
        modes_first = (decay.ndim - 1, *range(decay.ndim - 1))
        (a, b), (c, d) = ([each.transpose(modes_first) for each in pair] for pair in (after, before))
        response = a[..., :, None] * c[..., None, :]
        response -= b[..., :, None] * d[..., None, :]
        return np.asarray(response)


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """Modes at the tip, one a column: ``axis`` (n,) 0 for x and 1 for y, ``omega`` (n,) undamped, rad/s, ``damping``
    (n,) ratio over 0 and under 1, ``stiffness`` (n,) N/mm.  Arrays are read-only.

    The last three may also be (S, n), a row for each of many cuts; then times are (S, ...).
    """

    axis: np.ndarray
    omega: Array
    damping: Array
    stiffness: Array

    @property
    def count(self) -> int:
        """How many modes."""
        return len(self.axis)

    @property
    def mass(self) -> Array:
        """Modal masses (n,), N s2/mm."""
        return np.asarray(self.stiffness / self.omega**2)

    @property
    def axes(self) -> tuple[int, ...]:
        """The axes that are not rigid, ascending."""
        return tuple(sorted({int(a) for a in self.axis}))

    def part(self, chosen: np.ndarray | slice) -> Modes:
        """The rows of some of the cuts; the same modes where all cuts share them."""
        if self.omega.ndim == 1:
            return self
        return Modes(self.axis, self.omega[chosen], self.damping[chosen], self.stiffness[chosen])

    def _beside(self, values: Array, dimensions: int) -> Array:
        """Values (n,) or (S, n) so that they stand beside an array (S, ..., n) of so many dimensions."""
        if values.ndim == 1:
            return values
        return values.reshape(len(values), *(1,) * (dimensions - 2), -1)

    def scaled(self, frequency: ArrayLike = 1.0, stiffness: ArrayLike = 1.0, damping: ArrayLike = 1.0) -> Modes:
        """The same modes with each frequency, stiffness and damping ratio times a factor, one or (S, 1) or (S, n)."""
        return Modes(
            self.axis,
            frozen(self.omega * np.asarray(frequency, float)),
            frozen(np.minimum(self.damping * np.asarray(damping, float), 0.999)),
            frozen(self.stiffness * np.asarray(stiffness, float)),
        )

    def swing(self, time: ArrayLike) -> Swing:
        """How far each mode has swung and decayed after ``time`` (s, ...)."""
        t = np.asarray(time, float)[..., None]
        ratio, omega = self._beside(self.damping, t.ndim), self._beside(self.omega, t.ndim)
        share = np.sqrt(1.0 - ratio**2)
        angle = omega * share * t
        return Swing(ratio, share, np.exp(-ratio * omega * t), np.cos(angle), np.sin(angle))

    def free(self, time: ArrayLike) -> tuple[Array, Array, Array, Array]:
        """How a mode moves without force after ``time`` (s, ...): four arrays (..., n).

        With the state ``(q, q' / omega)`` they are the entries 11, 12, 21, 22 of its transition matrix.  ``12`` is
        also ``m omega`` times the response to a unit impulse.  Good for negative times, where the motion grows.
        """
        return self.swing(time).free()

    def receptance(self, omega: ArrayLike) -> np.ndarray:
        """Movement over force of each axis at circular frequencies ``omega`` (rad/s, ...): (..., 2) complex, mm/N."""
        w = np.asarray(omega, float)[..., None]
        r = w / self.omega
        each = 1.0 / (self.stiffness * (1.0 - r * r + 2j * self.damping * r))
        return np.stack([each[..., self.axis == a].sum(-1) for a in (0, 1)], -1)


def modes_of(blocks: Iterable[Mode]) -> Modes | None:
    """The modes of a setup's ``[[dynamics]]`` blocks; None where there is none.

    ``frequency_hz`` of a block is the undamped natural frequency, ``stiffness_n_mm`` is modal.
    """
    listed = tuple(blocks)
    if not listed:
        return None
    return Modes(
        np.array([AXES.index(b.axis) for b in listed]),
        frozen(np.array([2.0 * math.pi * b.frequency_hz for b in listed])),
        frozen(np.array([b.damping_ratio for b in listed])),
        frozen(np.array([b.stiffness_n_mm for b in listed])),
    )
