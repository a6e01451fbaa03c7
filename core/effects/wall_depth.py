"""The wall over its whole depth: how its error runs from tip to top, and what it is where the cutter bends less.

Two curves.  The first takes the tip's whole bend at every height, as the report does.  The second takes the bend of
the cutter at the height itself, under the force spread along the edges in cut: the cutter is stiffer near the holder.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..force.edge_force import EdgeLaw, edge_law
from ..force.force_turn import corners, force_turn
from ..maths.angles import lag
from ..maths.arrays import Array, ascending, frozen
from ..setup.setup import Setup
from .cutter_bending import HeldCutter, held_cutter, tip_stiffness
from .wall import beyond_rounding, error_of, makes_wall

Side = Literal["leaves stock", "undercuts", "both", "true"]

HEIGHTS = 49
"""Heights of the even part of a profile; kinks are heights of their own."""

ROUNDING = 1e-9
"""Part of the greatest error under which an error is nothing but rounding."""

MOST_KINKS = 96
MOST_EDGES = 512
"""Pieces of edge beyond which the second curve is not made: cutters that wind round and round their axis."""

_EVEN, _NEAR = np.linspace(0.0, 1.0, HEIGHTS), np.linspace(0.0, 1.0, 17)
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(10)
# Crowded toward both ends of a piece, where the power law begins with h^(1 - mc): shares of the piece and weights.
_SHARE = (_S := 0.5 + 0.5 * _NODES) * _S * (3.0 - 2.0 * _S)
_PART = 0.5 * _WEIGHTS * 6.0 * _S * (1.0 - _S)


@dataclass(frozen=True, slots=True, eq=False)
class WallProfile:
    """Error of the wall (mm) over the depth: heights (n,) mm above the tip, ascending.

    ``error`` is by the tip's bend; ``local`` by the bend at each height, None where the edge winds round too often,
    and ``local_less_tip`` the greatest difference (mm, signed) of local from error.  ``taper_um_mm`` and
    ``taper_deg`` are top less tip.  ``side`` says in words what it does, ``changes`` at which heights the sign does.
    """

    heights: Array
    error: Array
    local: Array | None
    least: float
    greatest: float
    taper_um_mm: float
    taper_deg: float
    side: Side
    changes: tuple[float, ...]
    local_less_tip: float | None

    @property
    def size(self) -> float:
        """Greatest size of the error over the depth, mm, by the tip's bend."""
        return max(self.greatest, -self.least)


def depth_heights(setup: Setup) -> Array:
    """Heights (mm) from tip to top that show a profile: even ones, and where the force has a kink."""
    cutter, depth = setup.cutter, setup.cut.axial_engagement_mm
    even = depth * _EVEN
    slope = float(lag(1.0, math.radians(cutter.helix_deg), cutter.diameter_mm))
    pitch = 2.0 * np.pi / cutter.teeth
    turns = slope * depth / pitch
    meets = corners(setup)[:-1]
    if slope * depth < STRAIGHT or turns * len(meets) > MOST_KINKS:
        return even
    start = float(makes_wall(0.0, setup)[0])
    kinks = ((meets - start) % pitch + pitch * np.arange(int(turns) + 1)[:, None]).reshape(-1) / slope
    return ascending(np.concatenate([even, kinks[kinks < depth]]))


def error_ends(heights: Array, error: Array, setup: Setup, law: EdgeLaw, stiffness: float) -> tuple[float, float]:
    """Least and greatest error (mm) over the depth: samples, and a finer look about the best two."""
    least, most = int(error.argmin()), int(error.argmax())
    beside = heights.take([least - 1, most - 1, least + 1, most + 1], mode="clip")
    low, high = beside[:2, None], beside[2:, None]
    near = error_of(low + (high - low) * _NEAR, setup, law, stiffness)
    return min(error.item(least), near.min().item()), max(error.item(most), near.max().item())


def local_error(heights: Array, setup: Setup, law: EdgeLaw, held: HeldCutter) -> Array | None:
    """Signed error (n,) mm at heights (n,): bend at each height under the force spread along the edges in cut.

    Gauss points on each piece of edge that is in the arc; None where there are more than MOST_EDGES pieces.
    """
    e, cutter, depth = engagement(setup), setup.cutter, setup.cut.axial_engagement_mm
    phi, sign = makes_wall(heights, setup)
    winds = 1 + int((np.pi + e.edge_lag) / (2.0 * np.pi))
    if winds * cutter.teeth > MOST_EDGES:
        return None
    pitch = 2.0 * np.pi / cutter.teeth
    # Angle of each tooth's tip, once for each turn that its edge may wind round below it: (edges, n).
    tips = (phi + pitch * np.arange(cutter.teeth)[:, None]) % (2.0 * np.pi)
    if winds > 1:
        tips = (tips + 2.0 * np.pi * np.arange(winds)[:, None, None]).reshape(-1, len(heights))
    if e.edge_lag < STRAIGHT:
        slope = 0.0
        low = np.zeros(tips.shape)
        high = np.where((tips >= e.entry) & (tips <= e.exit), depth, 0.0)
    else:
        slope = e.edge_lag / depth
        low, high = (np.minimum(np.maximum((tips - phi) / slope, 0.0), depth) for phi in (e.exit, e.entry))
    edge, row = np.nonzero(high > low)
    low, high, tips = low[edge, row], high[edge, row], tips[edge, row]
    at = low[:, None] + (high - low)[:, None] * _SHARE
    force = law.across(np.minimum(np.maximum(tips[:, None] - slope * at, e.entry), e.exit))
    bend = ((force * held.compliance(heights[row][:, None], at)) @ _PART) * (high - low)
    kappa = math.sin(math.radians(cutter.cutting_edge_angle_deg))
    return np.asarray(sign * np.bincount(row, bend, len(heights)) / kappa)


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


@lru_cache(maxsize=16)
def wall_profile_over_depth(setup: Setup) -> WallProfile | None:
    """The wall's error from tip to top; None where it is not defined (straddling) or not known."""
    law, stiffness, held = edge_law(setup), tip_stiffness(setup), held_cutter(setup)
    if law is None or stiffness is None or held is None or setup.cut.direction == "straddling":
        return None
    heights = depth_heights(setup)
    error = error_of(heights, setup, law, stiffness)
    least, greatest = error_ends(heights, error, setup, law, stiffness)
    local = local_error(heights, setup, law, held)
    level = ROUNDING * max(greatest, -least)
    least, greatest = (0.0 if abs(v) <= level else v for v in (least, greatest))
    taper = float(error[-1] - error[0]) / setup.cut.axial_engagement_mm
    side, changes = _side(heights, error)
    off = None if local is None else local - error
    return WallProfile(
        heights=frozen(heights),
        error=frozen(error),
        local=None if local is None else frozen(local),
        least=least,
        greatest=greatest,
        taper_um_mm=1000.0 * taper,
        taper_deg=math.degrees(math.atan(taper)),
        side=side,
        changes=changes,
        local_less_tip=None if off is None else float(off[np.argmax(np.abs(off))]),
    )


def error_at_tip(setup: Setup) -> float | None:
    """Signed error (mm) at the tip as :func:`core.wall.wall_error` has it, out of the profile; None where that is."""
    profile, turn, stiffness = wall_profile_over_depth(setup), force_turn(setup), tip_stiffness(setup)
    if profile is None or turn is None or stiffness is None:
        return None
    return float(beyond_rounding(profile.error.item(0), turn.resultant_max / stiffness))
