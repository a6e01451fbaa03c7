"""The reasons for a direction in words: why each points where it does, and what was decided by which step."""

from __future__ import annotations

from .quantities import Units, clear_figure, number
from .setup import Setup
from .table_pull import table_pull
from .which_way import Decision, Reason
from .words import say


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
    if reason.id == "pull" and setup.machine is not None:
        found = table_pull(setup.facing("climb"))
        told["backlash"] = clear_figure(setup.machine.backlash_mm, "length", units)
        told["jump"] = number(None if found is None else found.jump, 1)
    return say(f"why_{reason.id}", reason.why, **told)


def decision_words(decision: Decision) -> str:
    """What was decided, and by which step of the rule."""
    way = "Climb" if decision.way == "climb" else "Conventional"
    other = "conventional" if decision.way == "climb" else "climb"
    sides = len(decision.for_climb), len(decision.for_conventional)
    return say("decision", decision.rule, way=way, other=other, more=max(sides), less=min(sides))
