"""What the force does to cutter and wall, in the sentence."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, figure, rough_figure
from ..base.words import say
from ..effects.machine_limits import crossed_checks, power_check
from ..effects.wall import no_chip_forms, runout_reach, wall_maker
from ..effects.wall_depth import error_at_tip, wall_profile_over_depth
from ..effects.wall_range import WallRange, sure_at_tip, wall_range
from ..force.force_range import force_range
from ..force.force_turn import ForceTurn, force_turn
from ..setup.setup import Setup
from .rough_words import Rough, rough

SMALL_MM = 5e-5
"""Wall error that is not worth a word: a twentieth of a micrometre."""


WORSE = 1.05
"""How many times worse than at the tip the wall must be elsewhere to be worth a word."""

TOP = 0.98
"""Part of the depth from which on a height is called the top."""


def _size(error: float, ends: tuple[float, float] | None) -> Rough:
    """The size of an error of the wall (mm) on its own side."""
    if ends is None:
        return Rough(abs(error), None)
    low, high = ends if error > 0.0 else (-ends[1], -ends[0])
    return Rough(abs(error), (max(low, 0.0), max(high, 0.0)))


def force_clause(setup: Setup, units: Units, *, ranged: bool = True) -> str:
    """Which way the cutter is pushed and what that leaves on the wall; nothing if forces are not known.

    The sign comes from the computed force at the moment when the tip makes the wall, not from a rule.

    ranged : with the ranges of the figures; without them they have two digits: ranges cost ten times the figures.
    """
    turn = force_turn(setup)
    if turn is None:
        return ""
    error = error_at_tip(setup)
    if error is None:
        return _force_alone(turn, setup, units, ranged)
    off, toward = _across(turn, setup, ranged)
    unsure = _unsure(error, setup)
    if unsure is not None:
        low, high = (rough_figure(v, "deflection", units) for v in unsure)
        return say("sentence", "wall_unsure", force=_greater(off, toward).told("force", units), low=low, high=high)
    wall = wall_range(setup) if ranged else None
    if abs(error) < SMALL_MM:
        fields = {"force": _greater(off, toward).told("force", units)}
        worst = _worst_words(error, wall, setup, units)
        if worst is None:
            return say("sentence", "wall_true", **fields)
        side, words = worst
        return say("sentence", f"wall_true_then_{side}", **fields, **words)
    stock = error > 0.0
    # A tooth that runs out reaches farther than its cutter is pushed back.
    reach = runout_reach(setup) if setup.cutter.runout_mm > 0.0 and not stock else None
    pushed = stock or (reach is not None and error + reach > SMALL_MM)
    size = _size(error, None if wall is None else wall.tip)
    fields = {
        "error": size.told("deflection", units),
        "force": (off if pushed else toward).told("force", units),
    }
    name = "wall_stock" if stock else "pushed_undercut" if pushed else "wall_undercut"
    worst = _worst_words(error, wall, setup, units)
    if worst is not None:
        side, words = worst
        fields |= words
        name += "_more" if (side == "stock") == stock else f"_then_{side}"
    return say("sentence", name, **fields)


def _force_alone(turn: ForceTurn, setup: Setup, units: Units, ranged: bool) -> str:
    """The force where there is no wall to tell of, and the power."""
    ends, check = force_range(setup) if ranged else None, power_check(setup)
    force = rough(turn.resultant_max, None if ends is None else ends.resultant_max).told("force", units)
    if setup.cut.direction != "straddling" and wall_maker(setup) is not None and no_chip_forms(setup):
        return say("sentence", "no_chip_no_wall", force=force)
    if check is not None and check.crossed:
        # The clause of the crossed limit states the power.
        return say("sentence", "force_alone", force=force)
    power = rough(turn.power_kw, None if ends is None else ends.power_kw).told("power", units)
    return say("sentence", "force", force=force, power=power)


def _across(turn: ForceTurn, setup: Setup, ranged: bool) -> tuple[Rough, Rough]:
    """The greatest force off the wall and toward it, N: off is to the left of a climb wall, else to the right."""
    ends = force_range(setup) if ranged else None
    left = Rough(max(-turn.fx.least, 0.0), None)
    right = Rough(max(turn.fx.greatest, 0.0), None)
    if ends is not None:
        least, greatest = ends.fx.least, ends.fx.greatest
        left = Rough(left.value, (max(-least.high, 0.0), max(-least.low, 0.0)))
        right = Rough(right.value, (max(greatest.low, 0.0), max(greatest.high, 0.0)))
    return (left, right) if setup.cut.direction == "climb" else (right, left)


def _greater(one: Rough, other: Rough) -> Rough:
    return one if one.value >= other.value else other


def _worst_words(
    at_tip: float, wall: WallRange | None, setup: Setup, units: Units
) -> tuple[str, dict[str, str]] | None:
    """On which side the wall is off most, with how much and where in words; None where it is at the tip."""
    worst = _worse_place(at_tip, setup)
    if worst is None:
        return None
    error, height = worst
    stock = error > 0.0
    size = _size(error, None if wall is None else wall.greatest if stock else wall.least)
    words = {"worst": size.told("deflection", units), "where": _where(height, setup, units)}
    return "stock" if stock else "undercut", words


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
    spread = None if sure_at_tip(setup) else wall_range(setup)
    if spread is None or max(spread.tip[1], -spread.tip[0]) < SMALL_MM:
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
