"""What the force does to cutter and wall, in the sentence."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, figure
from ..base.words import say
from ..effects.machine_limits import crossed_checks, power_check
from ..effects.wall import no_chip_forms, runout_reach, wall_maker
from ..effects.wall_depth import error_at_tip, wall_profile_over_depth
from ..effects.wall_range import wall_range
from ..force.force_turn import force_turn
from ..setup.setup import Setup

SMALL_MM = 5e-5
"""Wall error that is not worth a word: a twentieth of a micrometre."""


WORSE = 1.05
"""How many times worse than at the tip the wall must be elsewhere to be worth a word."""

TOP = 0.98
"""Part of the depth from which on a height is called the top."""


def force_clause(setup: Setup, units: Units) -> str:
    """Which way the cutter is pushed and what that leaves on the wall; nothing if forces are not known.

    The sign comes from the computed force at the moment when the tip makes the wall, not from a rule.
    """
    found = force_turn(setup)
    if found is None:
        return ""
    error = error_at_tip(setup)
    if error is None:
        force, check = figure(found.resultant_max, "force", units), power_check(setup)
        if setup.cut.direction != "straddling" and wall_maker(setup) is not None and no_chip_forms(setup):
            return say("sentence", "no_chip_no_wall", force=force)
        if check is not None and check.crossed:
            # The clause of the crossed limit states the power.
            return say("sentence", "force_alone", force=force)
        return say("sentence", "force", force=force, power=figure(found.power_kw, "power", units))
    # Off the wall is to the left of a climb wall, to the right of a conventional one.
    climb = setup.cut.direction == "climb"
    off = max(-found.fx.least if climb else found.fx.greatest, 0.0)
    toward = max(found.fx.greatest if climb else -found.fx.least, 0.0)
    size = abs(error)
    unsure = _unsure(error, setup)
    if unsure is not None:
        low, high = (clear_figure(v, "deflection", units) for v in unsure)
        return say("sentence", "wall_unsure", force=figure(max(off, toward), "force", units), low=low, high=high)
    if size < SMALL_MM:
        fields = {"force": figure(max(off, toward), "force", units)}
        worst = _worse_place(error, setup)
        if worst is None:
            return say("sentence", "wall_true", **fields)
        worst_error, height = worst
        fields |= {"worst": figure(abs(worst_error), "deflection", units), "where": _where(height, setup, units)}
        return say("sentence", "wall_true_then_stock" if worst_error > 0.0 else "wall_true_then_undercut", **fields)
    stock = error > 0.0
    fields = {"error": figure(size, "deflection", units), "force": figure(off if stock else toward, "force", units)}
    name = "wall_stock" if stock else "wall_undercut"
    worst = _worse_place(error, setup)
    if worst is not None:
        worst_error, height = worst
        fields |= {"worst": figure(abs(worst_error), "deflection", units), "where": _where(height, setup, units)}
        name += "_more" if (worst_error > 0.0) == stock else "_then_undercut" if stock else "_then_stock"
    return say("sentence", name, **fields)


def reach_clause(setup: Setup, units: Units) -> str:
    """How much of the wall's error at the tip is the reach of a tooth that runs out; nothing where it is none."""
    reach = runout_reach(setup) if setup.cutter.runout_mm > 0.0 else None
    if reach is None or abs(reach) < SMALL_MM:
        return ""
    return say("sentence", "reach", reach=figure(abs(reach), "deflection", units))


def _unsure(error: float, setup: Setup) -> tuple[float, float] | None:
    """The range of the error at the tip (mm) where it is not known on which side it is; None where it is.

    A climb wall without runout has but one side: no spread pulls that cutter in.
    """
    if error > 0.0 and setup.cut.direction == "climb" and setup.cutter.runout_mm == 0.0:
        return None
    spread = wall_range(setup)
    if spread is None or spread.sure or max(spread.tip[1], -spread.tip[0]) < SMALL_MM:
        return None
    return spread.tip


def _worse_place(at_tip: float, setup: Setup) -> tuple[float, float] | None:
    """Error and height (mm) where the wall is off most, if that is worse than at the tip.

    None where a limit is crossed: that is stated instead, and a sentence must have an end.
    """
    profile = wall_profile_over_depth(setup)
    if profile is None or crossed_checks(setup):
        return None
    worst, height = profile.worst
    return (worst, height) if abs(worst) > WORSE * abs(at_tip) + SMALL_MM else None


def _where(height: float, setup: Setup, units: Units) -> str:
    """Where on the wall a height (mm) is, from the tip on."""
    if height >= TOP * setup.cut.axial_engagement_mm:
        return say("place", "at_top")
    return say(
        "place", "above_tip", height=clear_figure(height, "depth", units, decimals=1 if units == "metric" else 2)
    )
