"""The front: a setup's axial limit, its border over speeds, its map, and what is missing where there is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from ..cut.engagement import engagement
from ..setup.setup import Setup
from .border import Border, border
from .directional import CuttingSlopes, cutting_slopes
from .modes import Modes, modes_of
from .spectral_map import SpectralMap, spectral_map
from .zeroth_order import ZerothOrder, zeroth_order

DEEPEST = 10.0
"""Depths up to this many diameters are looked at."""

Outcome = Literal["limit", "no limit", "no modes", "no coefficients", "beyond"]
"""``beyond``: so far from any real cut that no limit was searched for (see ``both_ways``)."""


@dataclass(frozen=True, slots=True, eq=False)
class ChatterCut:
    """What the stability of a cut depends on; ``entry`` and ``leave`` in rad, ``deepest`` in mm."""

    modes: Modes
    slopes: CuttingSlopes
    entry: float
    leave: float
    teeth: int
    deepest: float

    def border(self, speed_rpm: ArrayLike) -> Border:
        """The border at speeds (S,), /min."""
        return border(self.modes, self.slopes, self.entry, self.leave, self.teeth, speed_rpm, self.deepest)

    def zeroth_order(self, speed_rpm: ArrayLike) -> ZerothOrder:
        """The zeroth-order limit at speeds (S,), /min."""
        return zeroth_order(self.modes, self.slopes, self.entry, self.leave, self.teeth, speed_rpm, self.deepest)

    def spectral_map(self, speed_rpm: ArrayLike, depth_mm: ArrayLike) -> SpectralMap:
        """The spectral radius at speeds (S,) and depths (D,), mm."""
        return spectral_map(self.modes, self.slopes, self.entry, self.leave, self.teeth, speed_rpm, depth_mm)


@dataclass(frozen=True, slots=True)
class AxialLimit:
    """The largest depth (mm) below which every smaller one is stable, None unless ``outcome`` is ``"limit"``; how the
    cut turns unstable there, and the main chatter frequency, Hz; the zeroth-order limit beside it, mm.

    ``slow``: the speed is lower than the method takes (see :class:`Border`); kind and frequency are None then.
    """

    outcome: Outcome
    depth_mm: float | None = None
    kind: Literal["hopf", "flip"] | None = None
    chatter_hz: float | None = None
    zeroth_order_mm: float | None = None
    slow: bool = False


def missing(setup: Setup) -> Literal["no modes", "no coefficients"] | None:
    """What a setup lacks for its stability to be computed; None if nothing."""
    if not setup.dynamics:
        return "no modes"
    return None if setup.work.force is not None else "no coefficients"


def chatter_cut(setup: Setup) -> ChatterCut | None:
    """What the stability of a resolved setup depends on, in its own direction; None where something is missing.

    Helix and runout are left out.
    """
    modes, slopes = modes_of(setup.dynamics), cutting_slopes(setup)
    if modes is None or slopes is None:
        return None
    e = engagement(setup)
    return ChatterCut(modes, slopes, e.entry, e.exit, setup.cutter.teeth, DEEPEST * setup.cutter.diameter_mm)


def axial_limit(setup: Setup) -> AxialLimit:
    """The axial limit of a resolved setup at its speed, direction and width."""
    cut = chatter_cut(setup)
    if cut is None:
        return AxialLimit(missing(setup) or "no coefficients")
    return limit_at(cut, setup.cut.spindle_speed_rpm)


def limit_at(cut: ChatterCut, rpm: float) -> AxialLimit:
    """The axial limit of a cut at a speed, /min."""
    at_speed = cut.border(rpm)
    plain = float(cut.zeroth_order(rpm).depth_mm[0])
    beside = plain if np.isfinite(plain) else None
    depth = float(at_speed.depth_mm[0])
    if not np.isfinite(depth):
        return AxialLimit("no limit", zeroth_order_mm=beside)
    if at_speed.slow[0]:
        return AxialLimit("limit", depth, zeroth_order_mm=beside, slow=True)
    kind: Literal["hopf", "flip"] = "flip" if at_speed.flip[0] else "hopf"
    return AxialLimit("limit", depth, kind, float(at_speed.main_chatter_hz(cut.modes)[0]), beside)
