"""Which way to mill this cut: reasons, each one a figure for climb and for conventional, and what follows from them.

No score: a ``stop`` excludes its direction; else the direction with more ``strong`` reasons; else with more
``mild`` ones; else climb, which is common practice on a rigid machine without lost motion (Kalpakjian and Schmid,
Manufacturing engineering and technology, from memory).  Thresholds are ours unless a source is named with them.
Arc model, no runout but for the feed marks.  A straddling cut has both halves and no choice of direction.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from ..base.errors import ChiparcError
from ..base.words import say
from ..cut.engagement import engagement
from ..cut.skin import skin_crossing
from ..documents.materials import catalogue
from ..effects.arc_results import arc_results
from ..effects.edge_temperature import edge_temperature
from ..effects.entry_exit import first_contact
from ..effects.feed_marks import feed_marks
from ..effects.machine_limits import LOST_MOTION_SHARE
from ..effects.rubbing import least_chip, rubbing
from ..effects.wall import wall_error
from ..force.force_turn import ForceTurn, Spread, force_turn
from ..force.table_pull import table_pull
from ..setup.setup import Setup

Way = Literal["climb", "conventional"]
Weight = Literal["stop", "strong", "mild"]
Rule = Literal["stop", "strong", "mild", "default"]

RUB_SHARE = 0.05
"""Part of the arc that a tooth may slide in over before it counts."""

EXIT_BAND_DEG = (60.0, 120.0)
"""Exit angles at which a thick chip endangers the edge: from memory, and disputed."""

EXIT_SHARE = 0.5
"""Chip at the exit, as a share of the feed per tooth, over which the band counts."""

HEAT_SHARE, ERROR_SHARE, MARK_SHARE, MARK_UM = 0.05, 0.20, 0.10, 0.1
"""By how much more the larger of two figures must be; for marks by that many micrometres as well."""

NOTHING_DEG, NOTHING_MM = 1e-9, 1e-9
"""Rubbing and errors of the wall up to here are none."""

HARDENING = ("M", "S")
"""Groups of ISO 513 whose surface hardens most under a sliding edge."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: its figure both ways (house unit of ``quantity``), which way it points, how much it weighs.

    ``key`` is the report's name of the figure.  ``threshold`` is a figure in the same unit, or None where it is not
    one.  ``favours`` is None where it does not decide, and ``why`` names the sentence that says why.
    """

    id: str
    key: str
    quantity: str
    climb: float | None
    conventional: float | None
    threshold: float | None
    weight: Weight | None
    favours: Way | None
    why: str

    def figure(self, way: str) -> float | None:
        """The figure of one direction."""
        return self.climb if way == "climb" else self.conventional

    def against(self, way: str) -> bool:
        """Whether it speaks against milling this way: it points to the other, or to neither as it is."""
        return self.why in ("both", "feed_first") if self.favours is None else self.favours != way

    @property
    def source(self) -> str:
        """Where the reason and its threshold come from."""
        return say("reason_source", self.id)


Pair = tuple[float | None, float | None]
"""A figure for climb and for conventional; None where it is not known."""


def _both(figure: Callable[[Setup], float | None], climb: Setup, conventional: Setup) -> Pair:
    return figure(climb), figure(conventional)


def _less_is_better(figures: Pair, share: float, least: float = 0.0) -> tuple[Way | None, str]:
    """The direction of the smaller figure, if the larger is over it by ``share`` and by ``least``; and why."""
    climb, conventional = figures
    if climb is None or conventional is None:
        return None, "unknown"
    low, high = sorted((climb, conventional))
    if not (high > (1.0 + share) * low and high - low > least):
        return None, "none"
    way: Way = "climb" if climb < conventional else "conventional"
    return way, way


def _only_one_bad(climb: bool, conventional: bool) -> tuple[Way | None, str]:
    """The direction that is not bad where the other is; and why."""
    if climb == conventional:
        return None, "both" if climb else "none"
    way: Way = "conventional" if climb else "climb"
    return way, way


def pull(climb: Setup, conventional: Setup) -> Reason:
    """Whether a slack table is pulled along: what friction and preload leave over the greatest pull."""

    def margin(setup: Setup) -> float | None:
        found = table_pull(setup)
        return None if found is None else found.margin

    here, there = margins = _both(margin, climb, conventional)
    machine, favours = climb.machine, None
    if machine is None:
        why = "no_machine"
    elif here is None or there is None:
        why = "unknown"
    elif machine.backlash_mm <= LOST_MOTION_SHARE * climb.cut.feed_per_tooth_mm:
        why = "no_backlash"
    else:
        favours, why = _only_one_bad(here < 0.0, there < 0.0)
    return Reason("pull", "feed.pull_margin_n", "force", *margins, 0.0, "stop", favours, why)


def skin(climb: Setup, conventional: Setup) -> Reason:
    """A skin is better broken out through than struck: chip thickness at the free face."""

    def face(setup: Setup) -> float | None:
        found = skin_crossing(setup)
        return None if found is None or found.cross == 0.0 else found.h

    h, least = _both(face, climb, conventional), least_chip(climb)
    favours: Way | None = None
    why = "none"
    if h[0] is None:
        why = "no_skin"
    elif h[0] > (least or 0.0):
        favours, why = "conventional", "conventional"
    return Reason("skin", "skin.h_mm", "chip_thickness", *h, least, "strong", favours, why)


def hardens(setup: Setup) -> bool:
    """Whether the work is of a group that hardens under a sliding edge; no where its group is not known."""
    if setup.work.material is None:
        return False
    try:
        return catalogue().find(setup.work.material).group in HARDENING
    except ChiparcError:
        return False


def rub(climb: Setup, conventional: Setup) -> Reason:
    """Sliding in under rising pressure before a chip forms: the arc rubbed after entry."""

    def slides_in(setup: Setup) -> float | None:
        found = rubbing(setup)
        return None if found is None else math.degrees(found.entry)

    entry, found = _both(slides_in, climb, conventional), rubbing(climb)
    threshold = 0.0 if hardens(climb) else RUB_SHARE * math.degrees(engagement(climb).arc)
    favours: Way | None = None
    if found is None or entry[0] is None or entry[1] is None:
        why = "unknown"
    elif found.teeth_per_chip != 1:
        # The whole arc is too thin both ways: no direction mends it.
        why = "feed_first"
    else:
        favours, why = _only_one_bad(entry[0] > threshold + NOTHING_DEG, entry[1] > threshold + NOTHING_DEG)
        why = "none" if why == "both" else why
    return Reason("rub", "rubbing.entry_deg", "angle", *entry, threshold, "strong", favours, why)


def leaves_in_band(setup: Setup) -> bool:
    """Whether a tooth leaves thick through a face that stands in the band of exit angles."""
    leave = engagement(setup).exit
    h = setup.cut.feed_per_tooth_mm * math.sin(min(leave, math.pi - leave))
    low, high = EXIT_BAND_DEG
    # A quarter of the diameter is a usual width, and stands on the band's very end.
    inside = low - NOTHING_DEG <= math.degrees(leave) <= high + NOTHING_DEG
    return inside and h > EXIT_SHARE * setup.cut.feed_per_tooth_mm


def exit_breakage(climb: Setup, conventional: Setup) -> Reason:
    """A thick chip pushed off at the exit may break the edge: its thickness on the true path as the tooth leaves.

    Not the tangential force that drops there: that is of a straight edge, and along a helix it drops bit by bit, so
    that no curve of this cut has it.
    """

    def leaving(setup: Setup) -> float | None:
        h = arc_results(setup).trochoid.h_exit
        return h if math.isfinite(h) else None

    favours, why = _only_one_bad(leaves_in_band(climb), leaves_in_band(conventional))
    thick = _both(leaving, climb, conventional)
    return Reason("exit", "chip.trochoid.h_exit_mm", "chip_thickness", *thick, None, "strong", favours, why)


def entry_shock(climb: Setup, conventional: Setup) -> Reason:
    """The edge itself should not strike first: growth of the section in the first degree."""
    first, second = first_contact(climb), first_contact(conventional)
    favours, why = _only_one_bad(*(f.contact in ("edge first", "whole face") for f in (first, second)))
    if first.contact is None:
        why = "unknown"
    areas = first.area_1deg, second.area_1deg
    return Reason("entry", "entry.area_1deg_mm2", "chip_section", *areas, None, "mild", favours, why)


def heat(climb: Setup, conventional: Setup) -> Reason:
    """The cooler edge: peak rise over the surroundings."""

    def peak(setup: Setup) -> float | None:
        found = edge_temperature(setup)
        return None if found is None else found.peak

    peaks = _both(peak, climb, conventional)
    return Reason(
        "heat", "heat.peak_rise_k", "temperature_rise", *peaks, None, "mild", *_less_is_better(peaks, HEAT_SHARE)
    )


def error(climb: Setup, conventional: Setup) -> Reason:
    """The wall that is nearer to where it should be: size of its error at the tip.

    Where the setup has a tolerance of the wall that both directions keep, the difference does not count.
    """

    def size(setup: Setup) -> float | None:
        found = wall_error(0.0, setup)
        # What is left of a force that ends as the tip makes the wall is rounding.
        return None if found is None else 0.0 if abs(float(found)) < NOTHING_MM else abs(float(found))

    sizes, tolerance = _both(size, climb, conventional), climb.cut.wall_tolerance_mm
    favours, why = _less_is_better(sizes, ERROR_SHARE)
    if favours is not None and tolerance is not None and max(s for s in sizes if s is not None) <= tolerance:
        favours, why = None, "within"
    return Reason("error", "wall.error_mm", "deflection", *sizes, None, "mild", favours, why)


def marks(climb: Setup, conventional: Setup) -> Reason:
    """The finer wall: peak to valley of its feed marks."""

    def height(setup: Setup) -> float | None:
        found = feed_marks(setup)
        return None if found is None else 1000.0 * found.height

    heights = _both(height, climb, conventional)
    points = _less_is_better(heights, MARK_SHARE, MARK_UM)
    return Reason("marks", "wall.feed_mark_um", "micro", *heights, None, "mild", *points)


def _greatest(part: Callable[[ForceTurn], Spread | None]) -> Callable[[Setup], float | None]:
    """Greatest size of one component of the force over a turn, N."""

    def size(setup: Setup) -> float | None:
        found = force_turn(setup)
        spread = None if found is None else part(found)
        return None if spread is None else max(abs(spread.least), abs(spread.greatest))

    return size


def _told(id: str, key: str, sizes: Pair) -> Reason:
    """A force that is told and does not count."""
    return Reason(id, key, "force", *sizes, None, None, None, "unknown" if None in sizes else "none")


def wall_push(climb: Setup, conventional: Setup) -> Reason:
    """How hard a thin wall is pushed aside: greatest force across the feed.  Told, not counted: no wall is known."""
    sizes = _both(_greatest(lambda found: found.fx), climb, conventional)
    return Reason(
        "thin_wall", "force.fx_n", "force", *sizes, None, None, None, "unknown" if None in sizes else "none"
    )


def lift(climb: Setup, conventional: Setup) -> Reason:
    """How hard the work is lifted from its clamps: greatest axial force.  Told, not counted: no clamp is known."""
    sizes = _both(_greatest(lambda found: found.fz), climb, conventional)
    return _told("lift", "force.fz_n", sizes)


REASONS: dict[str, Callable[[Setup, Setup], Reason]] = {
    "pull": pull,
    "skin": skin,
    "rub": rub,
    "exit": exit_breakage,
    "entry": entry_shock,
    "heat": heat,
    "error": error,
    "marks": marks,
    "thin_wall": wall_push,
    "lift": lift,
}
"""Every reason by its id, in the order in which they are told: functions of the cut as climb and as conventional."""


@lru_cache(maxsize=64)
def reasons(setup: Setup) -> tuple[Reason, ...]:
    """All reasons of this cut; none for a straddling one, which has no choice of direction."""
    if setup.cut.direction == "straddling":
        return ()
    climb, conventional = setup.facing("climb"), setup.facing("conventional")
    return tuple(reason(climb, conventional) for reason in REASONS.values())


def stands_against(id: str) -> Callable[[Setup], bool]:
    """The question whether a reason speaks against the direction in which a setup is milled."""
    return lambda setup: setup.cut.direction != "straddling" and reason_of(id, setup).against(setup.cut.direction)


def reason_of(id: str, setup: Setup) -> Reason:
    """One reason of a one-sided cut, worked out alone."""
    return REASONS[id](setup.facing("climb"), setup.facing("conventional"))


@dataclass(frozen=True, slots=True)
class Decision:
    """Which way, by which step of the rule, and the ids of the reasons that counted at that step for either side."""

    way: Way
    rule: Rule
    for_climb: tuple[str, ...]
    for_conventional: tuple[str, ...]


def decide(found: Collection[Reason], off: Collection[str] = ()) -> Decision:
    """The rule, step by step, over all reasons but those that are switched ``off`` (ids)."""
    on = [r for r in found if r.id not in off and r.favours is not None]
    steps: tuple[Weight, ...] = ("stop", "strong", "mild")
    for rule in steps:
        step = [r for r in on if r.weight == rule]
        sides: dict[str, tuple[str, ...]] = {
            way: tuple(r.id for r in step if r.favours == way) for way in ("climb", "conventional")
        }
        climb, conventional = len(sides["climb"]), len(sides["conventional"])
        if climb != conventional:
            way: Way = "climb" if climb > conventional else "conventional"
            return Decision(way, rule, sides["climb"], sides["conventional"])
    return Decision("climb", "default", (), ())
