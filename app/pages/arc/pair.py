"""Climb and conventional of the same cut beside one another, in step: the same progress through either arc."""

from __future__ import annotations

import math
from functools import partial

from app.pages.arc.pinned import with_ghost
from app.pages.arc.plan_scene import PlanScene, direction_title
from core.advice.offsets import beside_in_pair
from core.base.quantities import Units, short_figure
from core.base.words import say
from core.effects.arc_results import ArcResults, arc_results, paired_angle
from core.report.figures import offset_titles
from core.setup.setup import Setup
from core.setup.show import EVERYTHING, Shown


def other_results(results: ArcResults) -> ArcResults | None:
    """Results of the cut that stands beside this one in Pair; None where that is the same, as for a slot."""
    other = beside_in_pair(results.setup)
    return None if other == results.setup else arc_results(other)


def is_mirror_image(setup: Setup, other: Setup) -> bool:
    """Whether the other of a straddling pair is its mirror image, not the same side at another offset."""
    return setup.cut.direction == "straddling" and other == setup.opposite


def other_angle(angle_deg: float, own: ArcResults, other: ArcResults) -> float:
    """Angle (degrees, -90 to 270 as the own one) of the other tooth at the same progress through its arc.

    So counted, a tooth just before its entry at 0 degrees has its cut still before it, on both plans.
    """
    angle = math.degrees(paired_angle(math.radians(angle_deg), own.engagement, other.engagement))
    return (angle + 90.0) % 360.0 - 90.0


def straddling_name(own: Setup, shown: Setup, units: Units) -> tuple[str, str]:
    """The glossary's term and the word for one of a straddling pair beside its curves."""
    if shown == own:
        return "straddling", say("pair", "this_cut")
    if is_mirror_image(own, shown):
        return "mirrored", say("pair", "mirrored")
    return "offset", short_figure(shown.cut.centre_offset_mm, "offset", units, signed=True)


def plan_scenes(
    results: ArcResults,
    angle_deg: float,
    units: Units,
    *,
    pair: bool,
    hint: str = "",
    top: float = 0.0,
    shown: Shown = EVERYTHING,
    pin: ArcResults | None = None,
    moves: str = "work",
    heated: bool = False,
) -> list[PlanScene]:
    """The plan of a cut, or in Pair those of both directions, climb on the left; each with the pinned cut on it.

    hint : what the plan of a cut alone tells who has not dragged it yet.
    top : chip thickness (mm) at the end of the scale of colours; 0 takes each cut's own.
    moves, heated : see :class:`PlanScene`.
    """
    setup, other = results.setup, other_results(results) if pair else None
    straddling = setup.cut.direction == "straddling"
    if other is not None:
        if straddling:
            title, other_title = offset_titles(setup, other.setup, units)
        else:
            title, other_title = direction_title(setup), direction_title(other.setup)
    else:
        title = say("pair", "same") if pair else direction_title(setup)
    of = partial(PlanScene.of, units=units, top=top, shown=shown, moves=moves, heated=heated)
    mine = of(results, angle_deg, title=title, hint=hint)
    scenes = [mine]
    if other is not None:
        mirrored = is_mirror_image(setup, other.setup)
        theirs = of(
            other,
            other_angle(angle_deg, results, other),
            title=other_title,
            second=True,
            mirrored=mirrored,
            compared=straddling and not mirrored,
        )
        scenes = [theirs, mine] if mine.conventional else [mine, theirs]
    if pin is not None:
        scenes = [with_ghost(scene, pin, pair=pair) for scene in scenes]
    return scenes
