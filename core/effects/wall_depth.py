"""The wall over its whole depth: how its error runs from tip to top, where it is greatest, where it changes sides."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from ..maths.arrays import Array, frozen
from ..maths.smooth_pieces import SmoothPieces, sample_places
from ..setup.setup import Setup
from .wall import WallMaker, beyond_rounding, one_sided, wall_curves_and_tip_parts

Side = Literal["leaves stock", "undercuts", "both", "true"]

ROUNDING = 1e-9
"""Part of the greatest error under which an error is nothing but rounding."""


@dataclass(frozen=True, slots=True, eq=False)
class WallProfile:
    """Error of the wall (mm) over the depth: heights (n,) mm above the tip, ascending.

    ``least`` and ``greatest`` are the algebraic extremes, at ``least_at`` and ``greatest_at`` mm above the tip.
    ``taper_um_mm`` and ``taper_deg`` are top less tip.  ``side`` says in words what the wall does, ``changes`` at
    which heights its sign does.  ``curves`` is each tooth's own error, of which the least is the wall, ``tip_parts``
    what each is made of at the tip: see :meth:`.wall.WallMaker.errors_and_tip_parts`.
    """

    heights: Array
    error: Array
    least: float
    greatest: float
    least_at: float
    greatest_at: float
    taper_um_mm: float
    taper_deg: float
    side: Side
    changes: tuple[float, ...]
    curves: SmoothPieces
    tip_parts: Array | None

    @property
    def size(self) -> float:
        """Greatest size of the error over the depth, mm."""
        return max(self.greatest, -self.least)

    @property
    def worst(self) -> tuple[float, float]:
        """The error (mm, signed) of the greatest size, and the height (mm) at which it stands."""
        stock = self.greatest >= -self.least
        return (self.greatest, self.greatest_at) if stock else (self.least, self.least_at)


def extremes(curves: SmoothPieces, makers: Sequence[WallMaker]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Least and greatest error (mm) of the wall, each with the height (mm) at which it stands.

    Found on the curves, then worked out there: a place that is a little off costs the square of that.  At a kink,
    where most of them lie, the curve was sampled.
    """
    (least, least_at), (greatest, greatest_at) = curves.ends()
    kinks = set(curves.edges.tolist())
    if least_at in kinks and greatest_at in kinks:
        return (least, least_at), (greatest, greatest_at)
    at = np.array([least_at, greatest_at])
    least, greatest = np.concatenate([maker.errors(at) for maker in makers]).min(axis=0).tolist()
    return (least, least_at), (greatest, greatest_at)


def _joined(pieces: Array) -> Array:
    """Samples (m, n) in one row (k,): the end of each piece is the beginning of the next."""
    return np.concatenate([pieces[0, :1], pieces[:, 1:].reshape(-1)])


def _side(heights: Array, error: Array) -> tuple[Side, tuple[float, ...]]:
    """What the wall is in words, and the heights (mm) at which the error changes its sign, by straight lines."""
    least, greatest = float(error.min()), float(error.max())
    level = ROUNDING * max(greatest, -least)
    if least >= -level:
        return ("leaves stock" if greatest > 0.0 else "true"), ()
    if greatest <= level:
        return "undercuts", ()
    i = np.flatnonzero(np.sign(error[:-1]) * np.sign(error[1:]) < 0)
    at = heights[i] - error[i] * (heights[i + 1] - heights[i]) / (error[i + 1] - error[i])
    return "both", tuple(float(h) for h in at)


@lru_cache(maxsize=64)
def wall_profile_over_depth(setup: Setup) -> WallProfile | None:
    """The wall's error from tip to top; None where it is not defined (straddling, no chip forms) or not known."""
    maker = one_sided(setup)
    if maker is None:
        return None
    curves, tip_parts = wall_curves_and_tip_parts(maker)
    count = curves.values.shape[-1]
    heights, error = _joined(sample_places(curves.edges, count)), _joined(curves.values.min(axis=0))
    (least, least_at), (greatest, greatest_at) = extremes(curves, [maker])
    level = ROUNDING * max(greatest, -least)
    ends = [0.0 if abs(v) <= level else v for v in (least, greatest)]
    error = beyond_rounding(np.concatenate([error, ends]), setup)
    (least, greatest), error = error[-2:].tolist(), error[:-2]
    taper = float(error[-1] - error[0]) / setup.cut.axial_engagement_mm
    side, changes = _side(heights, error)
    return WallProfile(
        heights=frozen(heights),
        error=frozen(error),
        least=least,
        greatest=greatest,
        least_at=least_at,
        greatest_at=greatest_at,
        taper_um_mm=1000.0 * taper,
        taper_deg=math.degrees(math.atan(taper)),
        side=side,
        changes=changes,
        curves=curves,
        tip_parts=tip_parts,
    )


def error_at_tip(setup: Setup) -> float | None:
    """Signed error (mm) at the tip as :func:`core.effects.wall.wall_error` has it, out of the profile; or None."""
    profile = wall_profile_over_depth(setup)
    return None if profile is None else profile.error.item(0)
