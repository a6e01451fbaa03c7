"""How far the cutter bends: a cantilever of shank and flutes, with holder and spindle as a spring behind it.

Flutes bend as a round bar of about 0.8 D: Kops and Vo, Determination of the equivalent diameter of an end mill based
on its compliance, CIRP Annals 39 (1990) 93; 5 % of D more or less is about 25 % of deflection.  Static, slender
(no shear), the same in every direction across the axis.

- Without more knowledge the whole stick-out is flutes in a rigid holder: ``k = 3 E I / L^3`` with
  ``I = pi (0.8 D)^4 / 64``.
- With a flute length the rest of the stick-out is a round shank (of the cutter's diameter unless given); between the
  two a neck may stand, a round bar of its own diameter and length.
- ``holder_stiffness`` is one lateral spring in series that moves the whole cutter sideways, without tilting it: the
  figure that a push at the line of the tip would give if the cutter did not bend.  A holder that tilts does more at
  a longer reach; then the figure holds for the reach at which it was found.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..base.quantities import Units, clear_figure
from ..base.words import say
from ..maths.arrays import Array
from ..setup.setup import Setup

EQUIVALENT_SHARE = 0.8


def inertia(diameter: float) -> float:
    """Second moment of area of a round section, mm4."""
    return math.pi * diameter**4 / 64.0


def cantilever_stiffness(diameter: float, stickout: float, youngs_modulus: float) -> float:
    """Stiffness at the tip in N/mm of flutes in a rigid holder; lengths in mm, modulus in N/mm2.

    >>> round(cantilever_stiffness(12.0, 42.0, 580_000.0), 2)
    9791.66
    """
    return 3.0 * youngs_modulus * inertia(EQUIVALENT_SHARE * diameter) / stickout**3


@dataclass(frozen=True, slots=True)
class HeldCutter:
    """A cutter as it is held: stick-out and flute length in mm, bending stiffness E I of both parts in N mm2.

    ``holder`` is the lateral stiffness (N/mm) of holder and spindle, infinite where it is rigid.  ``neck`` is the
    length (mm) of a neck between flutes and shank, 0 where there is none, ``neck_ei`` its E I.
    """

    stickout: float
    flutes: float
    flutes_ei: float
    shank_ei: float
    holder: float = math.inf
    neck: float = 0.0
    neck_ei: float = math.inf

    @property
    def joints(self) -> tuple[float, ...]:
        """Heights (mm above the tip) at which one part meets the next, ascending; the holder's is none."""
        joints = (self.flutes, self.flutes + self.neck) if self.neck > 0.0 else (self.flutes,)
        return tuple([height for height in joints if height < self.stickout])

    def compliance(self, height: ArrayLike, force_height: ArrayLike) -> Array:
        """Movement (mm/N) at ``height`` under a force at ``force_height``, both in mm above the tip; broadcast.

        Moment-area: the integral of the moments ``(t - a)(t - z) / E I`` from the higher of the two up to the
        holder, closed in each part.  Maxwell: the two heights may be exchanged.  At and above the holder only the
        holder gives.
        """
        areas = self.areas(height, force_height)
        bent = sum(area / ei for ei, area in zip(self.stiffnesses, areas, strict=True))
        return np.asarray(bent + 1.0 / self.holder)

    @property
    def stiffnesses(self) -> tuple[float, ...]:
        """E I (N mm2) of each part that :meth:`areas` tells of."""
        if self.flutes >= self.stickout:
            return (self.flutes_ei,)
        return (self.flutes_ei, self.neck_ei, self.shank_ei) if self.neck > 0.0 else (self.flutes_ei, self.shank_ei)

    def areas(self, height: ArrayLike, force_height: ArrayLike) -> tuple[Array, ...]:
        """The integral (mm3) of the moments in each part, flutes first, of :meth:`compliance`."""
        z, a = np.asarray(height, float), np.asarray(force_height, float)
        top, apart = np.maximum(z, a), np.abs(z - a)
        reach, half = np.maximum(self.stickout - top, 0.0), apart / 2.0

        def area(r: Array) -> Array:
            """Integral of r (r + apart) over the first r mm above the higher place."""
            return np.asarray(r * r * (r / 3.0 + half))

        whole = area(reach)
        if self.flutes >= self.stickout:
            return (whole,)
        low = area(np.minimum(np.maximum(self.flutes - top, 0.0), reach))
        if self.neck == 0.0:
            return low, whole - low
        middle = area(np.minimum(np.maximum(self.flutes + self.neck - top, 0.0), reach))
        return low, middle - low, whole - middle

    @property
    def tip_stiffness(self) -> float:
        """Stiffness (N/mm) against a force at the tip."""
        return _stiffness_at_tip(self)


def shank_diameter(setup: Setup) -> float:
    """Diameter of the shank, mm: the cutter's own unless the setup gives another."""
    cutter = setup.cutter
    return cutter.diameter_mm if cutter.shank_diameter_mm is None else cutter.shank_diameter_mm


def neck(setup: Setup) -> tuple[float, float] | None:
    """Diameter and length (mm) of the neck; None where there is none or where it is not known where it stands.

    A neck stands directly above the flutes, so that it wants the flute length; it ends at the holder at the latest.
    """
    c = setup.cutter
    if c.neck_diameter_mm is None or c.neck_length_mm is None or c.flute_length_mm is None:
        return None
    return c.neck_diameter_mm, c.neck_length_mm


def shank_rubs(setup: Setup) -> bool:
    """Whether what stands directly above the flutes, shank or neck, is wider than the cutter: it rubs on the wall."""
    cutter, necked = setup.cutter, neck(setup)
    if cutter.flute_length_mm is None:
        return False
    reaches = cutter.stickout_mm is None or cutter.stickout_mm > cutter.flute_length_mm
    return reaches and (shank_diameter(setup) if necked is None else necked[0]) > cutter.diameter_mm


@lru_cache(maxsize=64)
def _stiffness_at_tip(held: HeldCutter) -> float:
    return 1.0 / float(held.compliance(0.0, 0.0))


def held_cutter(setup: Setup) -> HeldCutter | None:
    """The setup's cutter as it is held; None where stick-out or modulus is not given."""
    c = setup.cutter
    if c.stickout_mm is None or c.youngs_modulus_n_mm2 is None:
        return None
    fluted = c.youngs_modulus_n_mm2 * inertia(EQUIVALENT_SHARE * c.diameter_mm)
    if c.flute_length_mm is None:
        flutes, shank = c.stickout_mm, fluted
    else:
        flutes = min(c.flute_length_mm, c.stickout_mm)
        shank = c.youngs_modulus_n_mm2 * inertia(shank_diameter(setup))
    holder = math.inf if c.holder_stiffness_n_mm is None else c.holder_stiffness_n_mm
    necked = neck(setup)
    if necked is None:
        return HeldCutter(c.stickout_mm, flutes, fluted, shank, holder)
    diameter, length = necked
    return HeldCutter(
        c.stickout_mm, flutes, fluted, shank, holder, length, c.youngs_modulus_n_mm2 * inertia(diameter)
    )


def tip_stiffness(setup: Setup) -> float | None:
    """Stiffness (N/mm) of the setup's cutter at the tip; None where stick-out or modulus is not given.

    Exactly ``3 E I / L^3`` with 0.8 D as long as neither flutes, shank nor holder are given.
    """
    c = setup.cutter
    if c.stickout_mm is None or c.youngs_modulus_n_mm2 is None:
        return None
    if c.flute_length_mm is None and c.holder_stiffness_n_mm is None:
        return cantilever_stiffness(c.diameter_mm, c.stickout_mm, c.youngs_modulus_n_mm2)
    held = held_cutter(setup)
    return None if held is None else held.tip_stiffness


def stiffness_from(setup: Setup, units: Units = "metric") -> str | None:
    """Which model gave the stiffness, in words; None where there is none."""
    c = setup.cutter
    if tip_stiffness(setup) is None:
        return None
    fields: dict[str, str] = {}
    name = "cantilever" if c.flute_length_mm is None else "shank"
    if c.flute_length_mm is not None:
        fields = {
            "shank": clear_figure(shank_diameter(setup), "diameter", units),
            "flutes": clear_figure(c.flute_length_mm, "stickout", units),
        }
        necked = neck(setup)
        if necked is not None:
            name = "neck"
            diameter, length = necked
            fields["neck"] = clear_figure(diameter, "diameter", units)
            fields["length"] = clear_figure(length, "stickout", units)
    if c.holder_stiffness_n_mm is None:
        return say("stiffness", name, **fields)
    holder = clear_figure(c.holder_stiffness_n_mm, "stiffness", units)
    return say("stiffness", f"{name}_holder", holder=holder, **fields)
