"""The border as a band: modes and coefficients are uncertain, so the border is never one line.

A draw is a factor on each uncertain input.  Which draws, and how wide, is the caller's: the same 64 as in the advice
give the same band there and here.  What they should span, where nothing better is known:

- force coefficients 15 % (the project's figure for the advice, ours);
- natural frequency 2 % and modal stiffness 10 % where measured, 15 % and 30 % where estimated from the beam (ours);
- damping ratio 30 %: repeated taps scatter so (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, frozen
from .border import border
from .stability import ChatterCut

COEFFICIENTS, FREQUENCY, STIFFNESS, DAMPING = 0.15, 0.02, 0.1, 0.3
"""Spreads of measured modes, as shares: see above."""

ESTIMATED_FREQUENCY, ESTIMATED_STIFFNESS = 0.15, 0.3
"""Spreads of modes that are estimated from the beam."""


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Factors on force coefficients (N,) and on frequency, stiffness and damping ratio of the modes, (N,) for all
    alike or (N, modes); over 0."""

    coefficients: Array
    frequency: Array
    stiffness: Array
    damping: Array

    def part(self, chosen: slice) -> Draws:
        """Some of the draws."""
        return Draws(
            *(column[chosen] for column in (self.coefficients, self.frequency, self.stiffness, self.damping))
        )


def draws_between(places: ArrayLike, estimated: bool = False) -> Draws:
    """Draws from places (N, 4) in 0..1, spread evenly over the ranges of this file: coefficients, frequency,
    stiffness, damping ratio."""
    u = 2.0 * np.asarray(places, float) - 1.0
    frequency, stiffness = (ESTIMATED_FREQUENCY, ESTIMATED_STIFFNESS) if estimated else (FREQUENCY, STIFFNESS)
    shares = (COEFFICIENTS, frequency, stiffness, DAMPING)
    return Draws(*(frozen(1.0 + share * u[:, i]) for i, share in enumerate(shares)))


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Borders of all draws at ``speed_rpm`` (S,): ``depth_mm`` (N, S), infinite without a limit.  Read-only."""

    speed_rpm: Array
    depth_mm: Array

    def between(self, low: float = 0.1, high: float = 0.9) -> tuple[Array, Array]:
        """Depths (S,), mm, under which so large a share of the borders lies: always one of the draws."""
        ordered = np.sort(self.depth_mm, axis=0)
        last = len(ordered) - 1
        return ordered[round(low * last)], ordered[round(high * last)]

    def stable_draws(self, depth: float) -> np.ndarray:
        """In how many draws a cut of ``depth`` (mm) lies below its border, (S,)."""
        return np.asarray((self.depth_mm > depth).sum(0))


def border_band(cut: ChatterCut, speed_rpm: ArrayLike, draws: Draws) -> Band:
    """The borders of all draws at speeds (S,), /min.

    Coefficients only scale depths; frequency, stiffness and damping make each draw a cutter of its own, and all of
    them are searched together.
    """
    rpm = np.atleast_1d(np.asarray(speed_rpm, float))
    count, speeds = len(draws.coefficients), len(rpm)
    rows = (np.repeat(_columns(f), speeds, axis=0) for f in (draws.frequency, draws.stiffness, draws.damping))
    modes = cut.modes.scaled(*rows)
    factor = np.repeat(draws.coefficients, speeds)
    depth_mm = border(
        modes, cut.slopes, cut.entry, cut.leave, cut.teeth, np.tile(rpm, count), cut.deepest * factor
    ).depth_mm
    return Band(frozen(rpm), frozen((depth_mm / factor).reshape(count, speeds)))


def _columns(factors: Array) -> Array:
    """Factors (N,) or (N, modes) as (N, 1) or (N, modes)."""
    return factors[:, None] if factors.ndim == 1 else factors
