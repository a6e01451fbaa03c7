"""The border of stability over speeds: the depth below which every smaller depth is stable.

Depths are searched upward in stages, each with characteristic polynomials that hold up to a depth; see
``first_crossing`` for the search and ``period_matrix`` for the method.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from .characteristic import Direct, Form, fitted
from .directional import CuttingSlopes, mean_direction_matrix
from .first_crossing import first_crossing
from .modes import Modes
from .period_matrix import Structure, structure
from .tooth_period import tooth_period

STAGE = 4.0
"""Each stage of the search reaches this many times deeper than the one before."""

SHRUNK = 16.0
"""How many times less deep than first thought a first stage may become."""

MOST_PHASE, MOST_SLOWEST_PHASE = 400.0, 60.0
"""Radians of the fastest and of the slowest mode in the arc of a tooth period: speeds at which there are more of both
are computed as the fastest of them."""

NEAR_FLIP = 1e-5
"""How near to pi the angle of a multiplier counts as period doubling, rad."""


@dataclass(frozen=True, slots=True, eq=False)
class Border:
    """The border at ``speed_rpm`` (S,): ``depth_mm`` (S,), infinite where there is no limit up to the greatest depth
    asked for; ``angle`` (S,) of the multiplier in one tooth period, 0 to pi rad (nan without a limit); ``flip`` (S,)
    where the period doubles (angle pi), else the cut turns unstable with a new frequency (Hopf).  ``slow`` (S,) where
    the speed is lower than the method takes: then the depth is that at the slowest speed it takes, some 5 % off, and
    the angle is nan.  Read-only."""

    speed_rpm: Array
    depth_mm: Array
    angle: Array
    flip: np.ndarray
    slow: np.ndarray
    teeth: int

    @property
    def tooth_passing_hz(self) -> Array:
        """Tooth-passing frequency (S,)."""
        return np.asarray(self.speed_rpm * self.teeth / 60.0)

    def chatter_hz(self, harmonics: int = 20) -> Array:
        """Every chatter frequency of the border up to a harmonic of the tooth passing, (S, 2 harmonics + 1), Hz.

        ``|angle / (2 pi) + k|`` times the tooth-passing frequency (Insperger, Stepan, Bayly and Mann 2003, J. Sound
        Vib. 262:333, from memory).
        """
        k = np.arange(-harmonics, harmonics + 1)
        return np.abs(self.angle[:, None] / (2 * np.pi) + k) * self.tooth_passing_hz[:, None]

    def main_chatter_hz(self, modes: Modes) -> Array:
        """The chatter frequency (S,), Hz, at which the tip gives most; nan without a limit.

        The force has all of them; taking the softest leaves out how strongly the cut drives each.
        """
        fastest = float(modes.omega.max()) / (2.0 * math.pi)
        every = self.chatter_hz(math.ceil(2.0 * fastest / float(self.tooth_passing_hz.min())) + 1)
        softness = np.abs(modes.receptance(2.0 * math.pi * np.nan_to_num(every))).max(-1)
        return np.asarray(every[np.arange(len(every)), softness.argmax(1)])


def border(
    modes: Modes,
    slopes: CuttingSlopes,
    entry: float,
    leave: float,
    teeth: int,
    speed_rpm: ArrayLike,
    deepest: ArrayLike,
) -> Border:
    """The border at ``speed_rpm`` (S,), /min, for depths up to ``deepest``, mm: one or (S,).

    ``entry`` and ``leave``: the arc of engagement, rad.  Even pitch, no helix.  ``modes`` may hold a row for each
    speed: many cutters, each at its own speed.
    """
    rpm = np.atleast_1d(np.asarray(speed_rpm, float))
    speed = rpm * (2.0 * math.pi / 60.0)
    s = structure(modes, slopes, tooth_period(entry, leave, teeth, slopes))
    # The limit hardly changes any more with so many waves in the arc, and a search takes seconds.
    # A mode so slow that its lobes are still far apart keeps the speed as it is.
    span = sum(p.span for p in s.period.pieces)
    slowest = span * np.minimum(modes.omega.max(-1) / MOST_PHASE, modes.omega.min(-1) / MOST_SLOWEST_PHASE)
    slow = speed < slowest
    speed = np.maximum(speed, slowest)
    depth, angle = np.full(len(rpm), math.inf), np.full(len(rpm), math.nan)
    done = np.zeros(len(rpm), bool)
    low = np.zeros(len(rpm))
    limit = np.broadcast_to(np.asarray(deepest, float), rpm.shape)
    if s.strength == 0.0:
        # Without force nothing can turn unstable.
        return _border(rpm, depth, angle, np.zeros(len(rpm), bool), teeth)
    high = np.minimum(first_depth(s, entry, leave, teeth), limit)
    least = high / SHRUNK
    while not done.all():
        open_ = np.flatnonzero(~done)
        forms: list[Form]
        fits, lost = fitted(s.part(open_), speed[open_], high[open_])
        forms = list(fits)
        if len(lost):
            # A smaller circle keeps more digits; one that is nearly as small as what is known to be stable does not.
            shrunk = 0.5 * high[open_[lost]]
            smaller = shrunk > np.maximum(1.2 * low, least)[open_[lost]]
            high[open_[lost[smaller]]] = shrunk[smaller]
            rest = lost[~smaller]
            if len(rest):
                forms.append(Direct(rest, high[open_[rest]], s.part(open_[rest]), speed[open_[rest]]))
        for form in forms:
            at = open_[form.index]
            x, theta = first_crossing(form, low[at] / form.top)
            met = np.isfinite(x)
            depth[at[met]], angle[at[met]] = x[met] * form.top[met], theta[met]
            none = at[~met]
            low[none] = form.top[~met]
            done[at[met]] = True
            done[none[low[none] >= limit[none] * (1.0 - 1e-12)]] = True
            high[none] = np.minimum(high[none] * STAGE, limit[none])
    angle[slow] = math.nan
    return _border(rpm, depth, angle, slow, teeth)


def _border(rpm: Array, depth: Array, angle: Array, slow: np.ndarray, teeth: int) -> Border:
    """The result, made read-only."""
    flip = np.abs(angle - np.pi) < NEAR_FLIP
    flip.setflags(write=False)
    slow.setflags(write=False)
    return Border(frozen(rpm), frozen(depth), frozen(angle), flip, slow, teeth)


def first_depth(s: Structure, entry: float, leave: float, teeth: int) -> float:
    """A depth (mm) of the size of the deepest cut that is stable at every speed, to begin the search with.

    From the mean direction matrix (Altintas and Budak 1995): ``1 / (2 |A| |G|)`` at the softest frequency.
    """
    peak = 1.0 / (2.0 * s.modes.stiffness * s.modes.damping)
    mean = np.abs(mean_direction_matrix(entry, leave, teeth, s.slopes)).max()
    return float(8.0 / (2.0 * max(mean, 1e-3 * s.strength) * peak.max()))
