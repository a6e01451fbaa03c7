"""Climb and conventional of the same cut beside one another, in step: the same progress through either arc."""

from __future__ import annotations

import math
from dataclasses import replace

from app.pages.arc.pinned import with_ghost
from app.pages.arc.plan_scene import PlanScene, direction_title
from core.base.quantities import Units
from core.effects.arc_results import ArcResults, arc_results, paired_angle
from core.setup.show import EVERYTHING, Shown


def other_results(results: ArcResults) -> ArcResults:
    """Results of the same cut in the other direction."""
    return arc_results(results.setup.opposite)


def other_angle(angle_deg: float, own: ArcResults, other: ArcResults) -> float:
    """Angle (degrees) of the other direction's tooth at the same progress through its arc."""
    return math.degrees(paired_angle(math.radians(angle_deg), own.engagement, other.engagement))


def plan_scenes(
    results: ArcResults,
    angle_deg: float,
    units: Units,
    *,
    pair: bool,
    top: float = 0.0,
    shown: Shown = EVERYTHING,
    pin: ArcResults | None = None,
) -> list[PlanScene]:
    """The plan of a cut, or in Pair those of both directions, climb on the left; each with the pinned cut on it.

    top : chip thickness (mm) at the end of the scale of colours; 0 takes each cut's own.
    """
    mine = PlanScene.of(results, angle_deg, units, direction_title(results.setup), top=top, shown=shown)
    scenes = [mine]
    if pair:
        other = other_results(results)
        angle, title = other_angle(angle_deg, results, other), direction_title(other.setup, mirrored=True)
        theirs = PlanScene.of(other, angle, units, title, top=top, shown=shown)
        theirs = replace(theirs, mirrored=other.setup.cut.direction == "straddling")
        scenes = [theirs, mine] if mine.conventional else [mine, theirs]
    if pin is not None:
        scenes = [with_ghost(scene, pin, pair=pair) for scene in scenes]
    return scenes
