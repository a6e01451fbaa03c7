"""The first mode of a cutter from its own beam: an estimate where nobody has measured.

The cutter is a beam of flutes and shank in a holder that may give sideways; flutes bend as a round bar of 0.8 D (Kops
and Vo 1990, CIRP Annals 39:93) and, no source, weigh as one.  Shape and frequency of its first mode come from
Stodola's iteration (each shape is the bending under the inertia of the one before), which ends at Euler's slender
beam: for a uniform one ``omega = 1.8751^2 sqrt(E I / (rho A)) / L^2`` and a modal stiffness at the tip of
``3.09 E I / L^3``.

Left out: the joint in the holder, the holder's own bending, the spindle.  All of them make the true mode lower and
softer (common practice: by a fifth and more, no source), so only a tap test tells the mode.
The damping ratio is not computed at all: 0.01 to 0.05 in common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array
from ..setup.setup import Mode

EQUIVALENT_SHARE = 0.8
DAMPING = 0.02
"""Damping ratio that is assumed where nobody says (common practice, no source)."""

SLICES, ITERATIONS = 400, 12


@dataclass(frozen=True, slots=True)
class Beam:
    """A cutter out of its holder: lengths and diameters in mm, modulus in N/mm2, density in kg/m3.

    ``flute_length`` from the tip up, the rest of ``stickout`` is shank; ``holder_stiffness`` (N/mm) moves the whole
    cutter sideways without tilting it.
    """

    stickout: float
    diameter: float
    youngs_modulus: float
    density: float
    flute_length: float | None = None
    shank_diameter: float | None = None
    holder_stiffness: float = math.inf

    def sections(self) -> tuple[Array, Array, float]:
        """Slices from the holder to the tip: middle (mm from the holder), diameter (mm), (SLICES,); their length."""
        width = self.stickout / SLICES
        middle = (np.arange(SLICES) + 0.5) * width
        flutes = self.stickout if self.flute_length is None else min(self.flute_length, self.stickout)
        shank = self.diameter if self.shank_diameter is None else self.shank_diameter
        size = np.where(middle > self.stickout - flutes, EQUIVALENT_SHARE * self.diameter, shank)
        return np.asarray(middle, float), np.asarray(size, float), width


@lru_cache(maxsize=64)
def beam_mode(beam: Beam) -> tuple[float, float]:
    """Frequency (Hz) and modal stiffness at the tip (N/mm) of the first bending mode; see the file for its limits."""
    middle, size, width = beam.sections()
    bending = beam.youngs_modulus * math.pi * size**4 / 64.0
    # kg/m3 is 1e-12 N s2/mm4.
    mass = 1e-12 * beam.density * math.pi / 4.0 * size**2 * width
    shape = middle / beam.stickout
    rate = 0.0
    for _ in range(ITERATIONS):
        load = mass * shape
        # Moment at each slice from all loads nearer to the tip.
        outside = np.cumsum(load[::-1])[::-1] - load
        lever = np.cumsum((load * middle)[::-1])[::-1] - load * middle
        slope = _integral((lever - outside * middle) / bending, width)
        bent = _integral(slope, width) + load.sum() / beam.holder_stiffness
        tip = float(bent[-1] + slope[-1] * width / 2.0)
        rate, shape = 1.0 / tip, bent / tip
    return math.sqrt(rate) / (2.0 * math.pi), rate * float((mass * shape**2).sum())


def _integral(values: Array, width: float) -> Array:
    """Integral from the holder to the middle of each slice."""
    return np.asarray((np.cumsum(values) - values / 2.0) * width)


def beam_blocks(beam: Beam, damping: float = DAMPING) -> tuple[Mode, Mode]:
    """The first mode on each axis as ``[[dynamics]]`` blocks: the same both ways, an estimate."""
    frequency, stiffness = beam_mode(beam)
    return Mode("x", frequency, damping, stiffness), Mode("y", frequency, damping, stiffness)
