"""A list of cuts on one wall, each with its own width, depth and feed: each meets what the one before left.

The first pass leaves its wall off by an error over the depth (:mod:`core.effects.wall_depth`).  The second one meets
its own nominal width and that error; its error is found at the least and at the greatest width that it meets, and the
true one lies between.  Where the first pass undercuts deeper than the second one is wide, nothing is put back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ..cut.chip import chip_summary
from ..cut.engagement import engagement
from ..cut.rates import rates
from ..effects.cutter_bending import held_cutter
from ..effects.wall import no_chip_forms
from ..effects.wall_depth import wall_profile_over_depth
from ..force.edge_law import edge_law
from ..force.force_turn import force_turn
from ..setup.setup import Setup

Way = Literal["climb", "conventional"]

LEAST_WIDTH = 1e-3
"""mm.  A pass that meets less than this takes nothing."""


@dataclass(frozen=True, slots=True)
class ListedCut:
    """One pass: direction, nominal radial width, depth (mm), feed per tooth (mm)."""

    name: str
    direction: Way
    width: float
    depth: float
    feed: float


@dataclass(frozen=True, slots=True)
class PassFigures:
    """What a pass does: lengths in mm, arc in degrees, N, kW, cm3/min; None where it is not known or not defined.

    least_width, greatest_width : the widths that it meets with what the pass before left.  Figures of chip and force
    are those of the greatest one.  least_wall, greatest_wall : error of its wall, + leaves stock.
    met : the width came from a known wall of the pass before, or there was none before.
    """

    cut: ListedCut
    setup: Setup
    least_width: float
    greatest_width: float
    met: bool
    arc_deg: float
    h_max: float
    h_mean: float
    force: float | None
    power: float | None
    removal: float
    least_wall: float | None
    greatest_wall: float | None
    spoilt: bool


def _setup_of(cut: ListedCut, setup: Setup, width: float) -> Setup:
    return setup.with_keys(
        {
            "cut.direction": cut.direction,
            "cut.radial_engagement_mm": width,
            "cut.axial_engagement_mm": cut.depth,
            "cut.feed_per_tooth_mm": cut.feed,
            "cut.centre_offset_mm": 0.0,
        }
    )


def _wall(setup: Setup, width: float) -> tuple[float, float] | None:
    """Least and greatest error (mm) of the wall of a pass that meets ``width`` mm, None where it is not known.

    Where no chip forms, or there is nothing to take, the wall stays as it was: what is there is the error.
    """
    if held_cutter(setup) is None or edge_law(setup) is None:
        return None
    if width <= LEAST_WIDTH or no_chip_forms(setup):
        return width, width
    wall = wall_profile_over_depth(setup)
    return None if wall is None else (wall.least, wall.greatest)


def _figures(cut: ListedCut, setup: Setup, before: PassFigures | None) -> PassFigures:
    low = high = cut.width
    spoilt, met = False, True
    if before is not None:
        met = before.least_wall is not None and before.greatest_wall is not None
        if before.least_wall is not None and before.greatest_wall is not None:
            low, high = cut.width + before.least_wall, cut.width + before.greatest_wall
            spoilt = low < 0.0
    met_widths = (low, high)
    most = setup.cutter.diameter_mm
    low, high = (min(max(width, LEAST_WIDTH), most) for width in (low, high))
    wide = _setup_of(cut, setup, high)
    walls = [_wall(_setup_of(cut, setup, max(width, LEAST_WIDTH)), width) for width in met_widths]
    known = [wall for wall in walls if wall is not None]
    e, turn = engagement(wide), force_turn(wide)
    chip = chip_summary(wide, e, "arc")
    whole = len(known) == len(walls)
    least = min(wall[0] for wall in known) if whole else None
    greatest = max(wall[1] for wall in known) if whole else None
    return PassFigures(
        cut=cut,
        setup=wide,
        least_width=low,
        greatest_width=high,
        met=met,
        arc_deg=math.degrees(e.arc),
        h_max=chip.h_max,
        h_mean=chip.h_mean,
        force=None if turn is None else turn.resultant_max,
        power=None if turn is None else turn.power_kw,
        removal=rates(_setup_of(cut, setup, cut.width)).removal_rate_mm3_min / 1000.0,
        least_wall=least,
        greatest_wall=greatest,
        spoilt=spoilt,
    )


def pass_figures(setup: Setup, cuts: Sequence[ListedCut]) -> tuple[PassFigures, ...]:
    """Figures of passes on one wall in their order, with the cutter, speed and work of a setup (resolved)."""
    figures: list[PassFigures] = []
    for cut in cuts:
        figures.append(_figures(cut, setup, figures[-1] if figures else None))
    return tuple(figures)


def rough_and_finish(setup: Setup) -> tuple[ListedCut, ListedCut]:
    """A list to begin with: the setup's own cut, then a pass of a twentieth of the diameter at the same feed.

    The second width is only a place to begin: common practice, no source.
    """
    cut = setup.cut
    way: Way = "conventional" if cut.direction == "conventional" else "climb"
    rough = ListedCut("rough", way, cut.radial_engagement_mm, cut.axial_engagement_mm, cut.feed_per_tooth_mm)
    width = min(setup.cutter.diameter_mm / 20.0, cut.radial_engagement_mm)
    return rough, ListedCut("finish", way, width, cut.axial_engagement_mm, cut.feed_per_tooth_mm)
