"""The single questions of the ladder: each answers climb, conventional or nothing in every world, or is not known.

A check never weighs: the rung that it stands on asks its checks in their order, and the first answer is the rung's.
Limits are ours unless a source is named with the reason (``reason_source`` in the words).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..cut.engagement import engagement
from ..cut.skin import skin_crossing
from ..effects.edge_temperature import edge_temperature
from ..effects.feed_marks import feed_marks
from ..effects.machine_limits import LOST_MOTION_SHARE, power_check, torque_check
from ..effects.rubbing import PUBLISHED_RATIOS, least_chip
from ..setup.setup import Setup
from .draws import EDGE_RADIUS, EXIT_BAND, FRICTION, HEAT_ORDER, MARKS, Worlds
from .kept_by import KEPT, for_heat
from .stability import stability
from .tool_life import edge_material
from .within_limits import pulls_over, wall_kept

Way = Literal["climb", "conventional"]
Votes = NDArray[np.int_]
"""Answers (n,): 1 for climb, -1 for conventional, 0 for neither."""

HOLD_SHARE = 0.5
"""Part of friction and preload that a pull may be before its direction is excluded."""

CURED_SHARE = 1.0 / 3.0
"""The same for a change that is offered as a cure."""

SKIN_MM = 0.02
"""Skin up to this thickness is none."""

RUB_SHARE = 0.05
"""Part of the arc that a tooth may slide in over before it counts."""

EXIT_BAND_DEG, EXIT_H_MM, EXIT_SHARE = (60.0, 120.0), 0.05, 0.5
"""Exit angles at which a thick chip endangers a brittle edge, and how thick: from memory, and disputed."""

BRITTLE = ("carbide", "ceramic")
"""Edges that break rather than bend, by the names of the tables of tool life."""

HEAT_SHARE = 0.20
"""By how much more the hotter edge's rise must be: the spread of the order."""

MARK_SHARE, MARK_UM = 0.10, 0.1
"""By how much more the higher marks must be, as a share and in micrometres."""

NOTHING_RAD = 1e-11


@dataclass(frozen=True, slots=True, eq=False)
class Check:
    """The answers of one question.  ``missing`` are the document's keys that it lacks; ``why`` the word for it.

    ``out`` (2, n) says, where the question is whether a direction is excluded, which are: climb, conventional.
    ``unsure`` are directions that something not told may exclude yet.
    """

    votes: Votes
    why: str
    missing: tuple[str, ...] = ()
    out: NDArray[np.bool_] | None = None
    unsure: tuple[Way, ...] = ()

    @property
    def told(self) -> Way | None:
        """The answer in the world that the setup tells of."""
        return {1: "climb", -1: "conventional"}.get(int(self.votes[0]))  # type: ignore[return-value]


def _none(worlds: Worlds) -> Votes:
    return np.zeros(len(worlds.places), int)


def _vote(climb: NDArray[np.bool_], conventional: NDArray[np.bool_]) -> Votes:
    """1 where only climb is so, -1 where only conventional is."""
    return climb.astype(int) - conventional.astype(int)


def _both(setup: Setup) -> tuple[Setup, Setup]:
    return setup.facing("climb"), setup.facing("conventional")


def check_pull(setup: Setup, worlds: Worlds) -> Check:
    """A direction is excluded that pulls a table with lost motion harder than half of what holds it.

    Of lost motion that is told, but not what holds the table, every pull excludes.  Where the lost motion is not told
    nothing is excluded by it, and a direction that what is told would not hold is ``unsure``.
    """
    machine, n = setup.machine, len(worlds.places)
    slack = None if machine is None else machine.backlash_mm
    if slack is not None and slack <= LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm:
        return Check(_none(worlds), "no_backlash", out=np.zeros((2, n), bool))
    names = ("backlash_mm", "table_friction_n", "feed_preload_n")
    lacks = [f"machine.{name}" for name in names if machine is None or getattr(machine, name) is None]
    friction = 0.0 if machine is None else machine.table_friction_n or 0.0
    preload = 0.0 if machine is None else machine.feed_preload_n or 0.0
    hold = friction * worlds.factor("friction", FRICTION) + preload
    climb, conventional = (pulls_over(each, HOLD_SHARE * hold, worlds) for each in _both(setup))
    if climb is None or conventional is None:
        # Climb pulls unless it is shown not to; what conventional does is not known either.
        lacks.append("work.force")
        out = np.array([np.full(n, slack is not None), np.zeros(n, bool)])
        return Check(_vote(out[1], out[0]), "unknown", tuple(lacks), out, ("climb", "conventional"))
    over = np.array([climb, conventional])
    ways: tuple[Way, Way] = ("climb", "conventional")
    if slack is None:
        unsure = tuple(way for way, is_over in zip(ways, over, strict=True) if is_over.any())
        return Check(_none(worlds), "no_machine", tuple(lacks) if unsure else (), np.zeros((2, n), bool), unsure)
    votes = _vote(over[1], over[0])
    if over[:, 0].all():
        why = "both"
    elif not over[:, 0].any():
        why = "none"
    else:
        why = "conventional" if over[0, 0] else "climb"
    if lacks and over[:, 0].any():
        why = f"{why}_hold_unknown"
    return Check(votes, why, tuple(lacks) if over.any() else (), over)


def check_limits(setup: Setup, worlds: Worlds) -> Check:
    """Power and torque of the spindle: over either, that excludes, but being all but alike it never chooses."""
    n, machine = len(worlds.places), setup.machine
    if machine is None or (machine.power_kw, machine.torque_nm, machine.speed_curve) == (None, None, None):
        # No force is worked out where there is no limit.
        return Check(_none(worlds), "within", out=np.zeros((2, n), bool))
    over = [
        any(check is not None and check.crossed for check in (power_check(each), torque_check(each)))
        for each in _both(setup)
    ]
    out = np.repeat(np.array(over)[:, None], n, axis=1)
    return Check(_none(worlds), "over" if any(over) else "within", out=out)


def check_stability(setup: Setup, worlds: Worlds) -> Check:
    """One direction is stable at this depth and the other not.

    Modes estimated from the beam choose nothing: they are the same along both axes, and a tap test tells others.
    """
    limits = [stability(each, worlds) for each in _both(setup)]
    missing = tuple(dict.fromkeys(key for each in limits for key in each.missing))
    climb, conventional = (each.stable for each in limits)
    ways: tuple[Way, Way] = ("climb", "conventional")
    if missing or climb is None or conventional is None:
        unsure = tuple(way for way, each in zip(ways, limits, strict=True) if each.known and not each.sure)
        why = "estimated" if any(each.estimated for each in limits) else "unknown"
        return Check(_none(worlds), why, missing or ("stability.axial_limit_mm",), unsure=unsure)
    votes = _vote(climb, conventional)
    if climb[0] == conventional[0]:
        why = "both" if climb[0] else "neither"
    else:
        why = "climb" if climb[0] else "conventional"
    return Check(votes, why, out=np.array([~climb, ~conventional]))


def check_wall(setup: Setup, worlds: Worlds) -> Check:
    """One direction keeps the tolerance over the whole depth and the other does not."""
    tolerance, cutter = setup.cut.wall_tolerance_mm, setup.cutter
    wanted = {
        "cut.wall_tolerance_mm": tolerance,
        "work.force": setup.work.force,
        "cutter.stickout_mm": cutter.stickout_mm,
        "cutter.youngs_modulus_n_mm2": cutter.youngs_modulus_n_mm2,
    }
    missing = tuple(key for key, value in wanted.items() if value is None)
    if tolerance is None or missing:
        return Check(_none(worlds), "no_tolerance" if tolerance is None else "unknown", missing)
    climb, conventional = (wall_kept(each, tolerance, worlds) for each in _both(setup))
    if climb is None or conventional is None:
        return Check(_none(worlds), "no_chip")
    votes = _vote(climb, conventional)
    if climb[0] == conventional[0]:
        why = "within" if climb[0] else "beyond"
    else:
        why = "climb" if climb[0] else "conventional"
    return Check(votes, why)


def check_skin(setup: Setup, worlds: Worlds) -> Check:
    """A skin thicker than 0.02 mm, and than any least chip, is better broken out through than struck."""
    crossed = skin_crossing(setup.facing("climb"))
    if setup.work.skin is None or crossed is None or crossed.cross == 0.0:
        return Check(_none(worlds), "no_skin")
    thick = setup.work.skin.thickness_mm > least_skin(setup)
    return Check(_none(worlds) - int(thick), "conventional" if thick else "none")


def least_skin(setup: Setup) -> float:
    """Thickness (mm) up to which a skin is none: 0.02 mm, or what the edge may not lift with all that is not known.

    The same in every draw, so that the verdict turns once along the skin, and does not halt at "either" on a stretch
    that nobody could set.
    """
    ratio = max(PUBLISHED_RATIOS[1], setup.work.chip.min_chip_ratio)
    return max(SKIN_MM, ratio * (setup.cutter.edge_radius_mm or 0.0) * (1.0 + EDGE_RADIUS))


def _least_chips(setup: Setup, worlds: Worlds) -> NDArray[np.float64]:
    """Least chip (n,) mm in each world; the edge radius is known."""
    usual, radius = setup.work.chip.min_chip_ratio, setup.cutter.edge_radius_mm or 0.0
    low, high = PUBLISHED_RATIOS
    ratio = worlds.between("least_chip", min(low, usual), usual, max(high, usual))
    return np.asarray(ratio * radius * worlds.factor("edge_radius", EDGE_RADIUS))


def _slides_in(setup: Setup, least: NDArray[np.float64]) -> NDArray[np.float64]:
    """Arc (n,) rad after entry with a chip thinner than ``least`` (n,) mm."""
    e = engagement(setup)
    top = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    under = np.arcsin(np.minimum(least / top, 1.0))
    return np.maximum(np.minimum(e.exit, under) - e.entry, 0.0)


def check_rub(setup: Setup, worlds: Worlds) -> Check:
    """Sliding in before a chip: at all where the work hardens, else over more than a twentieth of the arc.

    Only conventional slides in where chips form.  Where none forms, work that hardens is still better climbed, and
    else more feed comes first.
    """
    if setup.cutter.edge_radius_mm is None:
        return Check(_none(worlds), "unknown", ("cutter.edge_radius_mm",))
    facts = setup.work.facts
    hardens = None if facts is None else facts.work_hardens
    missing = () if hardens is not None else ("work.material",)
    least = _least_chips(setup, worlds)
    climb, conventional = (_slides_in(each, least) for each in _both(setup))
    level = NOTHING_RAD if hardens else RUB_SHARE * engagement(setup).arc
    top = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    e = engagement(setup)
    no_chip = least > top * math.sin(min(max(math.pi / 2.0, e.entry), e.exit))
    slides = (conventional > level) & ((climb <= level) | bool(hardens))
    if not hardens:
        slides &= ~no_chip
    turned = (climb > level) & (conventional <= level)
    votes = _vote(slides, turned)
    if no_chip[0]:
        why = "hardens_no_chip" if hardens else "feed_first"
    else:
        why = ("hardens" if hardens else "climb") if votes[0] > 0 else "conventional" if votes[0] < 0 else "none"
    return Check(votes, why, missing if votes[0] == 0 else ())


def check_exit(setup: Setup, worlds: Worlds) -> Check:
    """A brittle edge should not leave with a thick chip at an angle inside the disputed band: a hint."""
    edge = edge_material(setup)
    if edge is None:
        return Check(_none(worlds), "unknown", ("cutter.material",))
    if edge not in BRITTLE:
        return Check(_none(worlds), "tough")
    stretch = worlds.factor("exit_band", EXIT_BAND)
    middle, half = sum(EXIT_BAND_DEG) / 2.0, (EXIT_BAND_DEG[1] - EXIT_BAND_DEG[0]) / 2.0
    inside = []
    for each in _both(setup):
        e = engagement(each)
        top = each.cut.feed_per_tooth_mm * math.sin(math.radians(each.cutter.cutting_edge_angle_deg))
        h = top * math.sin(min(e.exit, math.pi - e.exit))
        greatest = top * math.sin(min(max(math.pi / 2.0, e.entry), e.exit))
        near = abs(math.degrees(e.exit) - middle) <= half * stretch + 1e-9
        inside.append(near & (h * stretch > EXIT_H_MM) & (h > EXIT_SHARE * greatest))
    votes = _vote(inside[1], inside[0])
    why = {1: "climb", -1: "conventional", 0: "both" if inside[0][0] else "none"}[int(votes[0])]
    return Check(votes, why)


def _smaller(ratio: NDArray[np.float64], share: float) -> Votes:
    """By the ratio of conventional to climb: the smaller, where the larger is more by ``share``."""
    return _vote(ratio > 1.0 + share, ratio * (1.0 + share) < 1.0)


@lru_cache(maxsize=KEPT)
def _peak(setup: Setup) -> float | None:
    """Highest rise of the edge, K; nan at the model's end, where it has no figure."""
    temperature = edge_temperature(setup)
    return None if temperature is None else math.nan if temperature.at_end else temperature.peak


def check_heat(setup: Setup, worlds: Worlds) -> Check:
    """The edge of one direction is cooler by more than the spread of their order."""
    if setup.work.force is None:
        return Check(_none(worlds), "unknown", ("work.force",))
    climb, conventional = (_peak(for_heat(each)) for each in _both(setup))
    if climb is not None and conventional is not None and math.isnan(climb + conventional):
        # What is beyond the model is not known, and not the same both ways because both stop at its end.
        return Check(_none(worlds), "end", ("heat.end",))
    if climb is None or conventional is None or min(climb, conventional) <= 0.0:
        return Check(_none(worlds), "none")
    votes = _smaller(conventional / climb * worlds.factor("heat_order", HEAT_ORDER), HEAT_SHARE)
    return Check(votes, {1: "climb", -1: "conventional", 0: "none"}[int(votes[0])])


def check_marks(setup: Setup, worlds: Worlds) -> Check:
    """The marks of one direction are lower, by more than a tenth, a tenth of a micrometre, and what runout adds."""
    heights = [feed_marks(each) for each in _both(setup)]
    if heights[0] is None or heights[1] is None:
        return Check(_none(worlds), "unknown")
    climb, conventional = (1000.0 * found.height for found in heights if found is not None)
    least = MARK_UM
    if setup.cutter.runout_mm > 0.0:
        even = [feed_marks(replace(each, cutter=replace(each.cutter, runout_mm=0.0))) for each in _both(setup)]
        plain = [1000.0 * found.height for found in even if found is not None]
        least = max([least, *(abs(a - b) for a, b in zip((climb, conventional), plain, strict=False))])
    if min(climb, conventional) <= 0.0 or abs(climb - conventional) <= least:
        return Check(_none(worlds), "none")
    votes = _smaller(conventional / climb * worlds.factor("marks", MARKS), MARK_SHARE)
    return Check(votes, {1: "climb", -1: "conventional", 0: "none"}[int(votes[0])])


CHECKS: dict[str, Callable[[Setup, Worlds], Check]] = {
    "pull": check_pull,
    "limits": check_limits,
    "stability": check_stability,
    "error": check_wall,
    "skin": check_skin,
    "rub": check_rub,
    "exit": check_exit,
    "heat": check_heat,
    "marks": check_marks,
}
"""Every question by its id."""

CHECKS_OF: dict[str, tuple[str, ...]] = {
    "machine": ("pull", "limits"),
    "part": ("error", "stability"),
    "edge": ("skin", "rub", "exit"),
    "finish": ("heat", "marks"),
    "custom": (),
}
"""The questions of each rung, in the order in which they are asked."""


def check(id: str, setup: Setup, worlds: Worlds) -> Check:
    """The answers of one question."""
    return CHECKS[id](setup, worlds)


def chip_forms(setup: Setup) -> bool:
    """Whether the thickest chip is as thick as the edge lifts; yes where the edge radius is not known."""
    least = least_chip(setup)
    if least is None:
        return True
    e = engagement(setup)
    top = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    return top * math.sin(min(max(math.pi / 2.0, e.entry), e.exit)) >= least
