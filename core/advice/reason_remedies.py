"""What would lift a reason that speaks against the direction, and what each such change does and costs.

A change must clear its reason with a margin, never just so: a pull under a third of what holds the table (a half
excludes), a wall within its tolerance over the whole spread of its error, any other reason in all 64 draws of what is
known only roughly.  None leaves a chip that the edge does not lift.  Only a change that makes the direction's own
figure of the reason better is one; of the changes of one figure those that do not raise the greatest force on the
cutter come first.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache

from ..base.words import say
from ..effects.arc_results import arc_results
from ..effects.machine_limits import LOST_MOTION_SHARE, SLACK
from ..effects.rubbing import PUBLISHED_RATIOS, rubbing
from ..effects.wall_range import wall_range
from ..force.force_turn import force_turn
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES
from .checks import CHECKS, CURED_SHARE, check, chip_forms
from .draws import as_told, drawn
from .remedies import nearest_change
from .stability import stability
from .which_way import reason_of, stands_against

MORE_IS_BETTER = ("pull",)
"""Reasons whose figure is the better the larger it is; of all others the smaller one is."""

BETTER_SHARE = 0.01
"""By what part of itself a figure must become better: less is not worth a change."""

SAME_SHARE = 1e-6
"""Figures that differ by no more than this part of themselves are the same."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure of a setup that a change is judged or told by: its name, quantity (house unit), how it is found."""

    name: str
    quantity: str
    of: Callable[[Setup], float | None]
    more_is_better: bool = False


def own_measure(id: str, setup: Setup) -> Measure:
    """What a reason measures in the direction in which the setup is milled.

    Where the whole arc rubs and no chip forms, it is the part of the arc that does (%): a tooth that climbs rubs
    there, too, but not after its entry.
    """
    if id == "rub" and reason_of(id, setup).why == "feed_first":
        return Measure(say("change", "rubbed"), "share", _rubbed_share)

    if id == "stability":
        return Measure(say("change", "of_limit"), "share", _share_of_limit)

    def figure(setup: Setup) -> float | None:
        return reason_of(id, setup).figure(setup.cut.direction)

    quantity = reason_of(id, setup).quantity
    return Measure(say("reason_figure", id), quantity, figure, more_is_better=id in MORE_IS_BETTER)


def _share_of_limit(setup: Setup) -> float | None:
    """The depth as a share (%) of that from which it chatters."""
    axial = stability(setup, as_told())
    if axial.limit_mm is None:
        return 0.0 if axial.told else None
    return 100.0 * setup.cut.axial_engagement_mm / axial.limit_mm


def _rubbed_share(setup: Setup) -> float | None:
    rub = rubbing(setup)
    return None if rub is None else 100.0 * rub.arc_share


def _greatest_force(setup: Setup) -> float | None:
    turn = force_turn(setup)
    return None if turn is None else turn.resultant_max


def _wall_error(setup: Setup) -> float | None:
    return reason_of("error", setup).figure(setup.cut.direction)


def _removal_rate(setup: Setup) -> float | None:
    return arc_results(setup).rates.removal_rate_mm3_min / 1000.0


def measures(id: str, setup: Setup) -> tuple[Measure, ...]:
    """What is told of every change: the reason's own figure, what it costs, the wall's error; each once."""
    told = [
        own_measure(id, setup),
        Measure(say("change", "rate"), "removal_rate", _removal_rate, more_is_better=True),
    ]
    if id == "error":
        told.append(Measure(say("change", "force"), "force", _greatest_force))
    else:
        told.append(Measure(say("change", "wall"), "deflection", _wall_error))
    return tuple(told)


@dataclass(frozen=True, slots=True)
class Effect:
    """What a change does to one figure: name, quantity (house unit), value before and after; None if not known."""

    name: str
    quantity: str
    before: float | None
    after: float | None
    better: bool = False
    worse: bool = False


def effects(id: str, before: Setup, after: Setup) -> tuple[Effect, ...]:
    """What a change of the setup does to the figures that are told of it (:func:`measures`)."""
    return tuple(_effect(measure, before, after) for measure in measures(id, before))


def _effect(measure: Measure, before: Setup, after: Setup) -> Effect:
    a, b = measure.of(before), measure.of(after)
    if a is None or b is None or abs(b - a) <= SAME_SHARE * max(abs(a), abs(b)):
        return Effect(measure.name, measure.quantity, a, b)
    better = (b > a) is measure.more_is_better
    return Effect(measure.name, measure.quantity, a, b, better, not better)


def _forms_a_chip(setup: Setup) -> bool:
    """Whether a chip forms with the blunter of the published ratios as well; yes where the edge is not known."""
    rub = rubbing(setup)
    if rub is None:
        return True
    edge, top = setup.cutter.edge_radius_mm or 0.0, rub.h_min / rub.feed_for_chip if rub.feed_for_chip else 1.0
    return setup.cut.feed_per_tooth_mm * top >= max(PUBLISHED_RATIOS[1] * edge, rub.h_min)


def cleared(id: str, setup: Setup) -> bool:
    """Whether a reason no longer speaks against the setup's own direction, with its margin."""
    way = setup.cut.direction
    if id not in CHECKS or way == "straddling" or stands_against(id)(setup):
        return False
    if id == "pull":
        return _pull_cleared(setup)
    if id == "error":
        spread, tolerance = wall_range(setup), setup.cut.wall_tolerance_mm
        return spread is not None and tolerance is not None and spread.size <= tolerance * (1.0 + SLACK)
    if id == "rub" and not _forms_a_chip(setup):
        return False
    if id == "stability":
        return stability(setup, drawn()).sure
    against = 1 if way == "conventional" else -1
    return not bool((check(id, setup, drawn()).votes == against).any())


def _pull_cleared(setup: Setup) -> bool:
    machine, turn = setup.machine, force_turn(setup)
    if machine is None or turn is None or machine.backlash_mm is None:
        return False
    if machine.backlash_mm <= LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm:
        return True
    return max(turn.fy.greatest, 0.0) <= CURED_SHARE * machine.least_hold_n


@lru_cache(maxsize=1024)
def lifting_value(id: str, setup: Setup, key: str) -> float | None:
    """The nearest value of one figure of the cut that clears a reason which stands against its direction.

    The reason's own figure is then better by :data:`BETTER_SHARE`.  A value that does not raise the greatest force
    is taken before a nearer one that does, and for a table that is pulled it must not.  None where there is neither,
    or where the reason does not stand against.
    """
    measure, against = own_measure(id, setup), stands_against(id)
    if id not in CHECKS or not against(setup) or not setup.value(key):
        return None
    own, force = measure.of(setup), _greatest_force(setup)
    if own is None:
        return None
    least = BETTER_SHARE * abs(own)
    formed = chip_forms(setup)

    # Asked twice of many a setup: once by either search.
    @cache
    def stays(changed: Setup) -> bool:
        if (formed and not chip_forms(changed)) or not cleared(id, changed):
            return True
        there = measure.of(changed)
        if there is None:
            return True
        return not (there - own if measure.more_is_better else own - there) > least

    def stays_or_is_forced(changed: Setup) -> bool:
        there = _greatest_force(changed)
        raised = force is not None and there is not None and there > (1.0 + SAME_SHARE) * force
        return raised or stays(changed)

    low, high = RANGES[key].low, RANGES[key].high
    gentle = nearest_change(setup, key, stays_or_is_forced, low, high)
    if gentle is not None or id == "pull":
        # A heavier cut on a table that can jump is no cure.
        return gentle
    return nearest_change(setup, key, stays, low, high)
