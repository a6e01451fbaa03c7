"""The reasons for a direction in words: why each points where it does, and what was decided by which step."""

from __future__ import annotations

import math
from collections.abc import Collection

from ..advice.which_way import Decision, Reason
from ..base.quantities import Units, clear_figure, figure, number
from ..base.words import say
from ..cut.engagement import engagement
from ..force.table_pull import table_pull
from ..setup.setup import Setup


def why(reason: Reason, setup: Setup, units: Units = "metric") -> str:
    """Why a reason points where it does, with its figures."""
    told = {
        name: clear_figure(value, reason.quantity, units)
        for name, value in (
            ("climb", reason.climb),
            ("conventional", reason.conventional),
            ("threshold", reason.threshold),
        )
    }
    if reason.id == "pull":
        told |= _pull_figures(reason, setup, units)
    if reason.id == "exit":
        for way in ("climb", "conventional"):
            leaves = engagement(setup.facing(way)).exit
            told[f"angle_{way}"] = figure(math.degrees(leaves), "angle", units)
    return say(f"why_{reason.id}", reason.why, **told)


def _pull_figures(reason: Reason, setup: Setup, units: Units) -> dict[str, str]:
    """What pulls and what holds: the greatest pull is what is left of friction and preload, taken from them."""
    machine, found = setup.machine, table_pull(setup.facing("climb"))
    if machine is None:
        return {}
    hold = machine.table_friction_n + machine.feed_preload_n
    told = {
        "hold": clear_figure(hold, "force", units),
        "backlash": clear_figure(machine.backlash_mm, "length", units),
        "jump": number(None if found is None else found.jump, 1),
    }
    for way in ("climb", "conventional"):
        margin = reason.figure(way)
        # A push all the way is no pull.
        pull = None if margin is None else max(hold - margin, 0.0)
        told[f"pull_{way}"] = clear_figure(pull, "force", units)
    return told


def decision_words(decision: Decision, found: Collection[Reason] = (), off: Collection[str] = ()) -> str:
    """What was decided, and by which step of the rule; of ``found`` those that were switched ``off`` (ids) by name.

    A reason to stop that is switched off is told as such: it does not go away by not being counted.
    """
    way = "Climb" if decision.way == "climb" else "Conventional"
    other = "conventional" if decision.way == "climb" else "climb"
    sides = len(decision.for_climb), len(decision.for_conventional)
    told = [say("decision", decision.rule, way=way, other=other, more=max(sides), less=min(sides))]
    left_out = [reason for reason in found if reason.id in off]
    if left_out:
        told.append(say("decision", "without", names=", ".join(say("reason", reason.id) for reason in left_out)))
    for reason in left_out:
        if reason.weight == "stop" and reason.favours is not None:
            stopped = "conventional" if reason.favours == "climb" else "climb"
            told.append(say("decision", "stop_off", name=say("reason", reason.id), way=stopped))
    return " ".join(told)
