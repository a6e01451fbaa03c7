"""What a cut asks beyond what machine and drawing allow, in the sentence: said only where a limit is crossed."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure
from ..base.words import say
from ..effects.limit_range import limit_range
from ..effects.machine_limits import LimitCheck, crossed_checks
from ..setup.setup import Setup
from .rough_words import rough

SLACK_DECIMALS = {"metric": 2, "inch": 4}
"""Decimals of a lost motion, which nobody knows to the micrometre."""


def _told(check: LimitCheck, setup: Setup, units: Units, ranged: bool) -> str:
    figure = rough(check.value, limit_range(check, setup) if ranged else None)
    value, limit = figure.told_beside(check.limit, check.quantity, units)
    fields = {"value": value, "limit": limit}
    if check.id == "table" and setup.machine is not None:
        fields["slack"] = clear_figure(setup.machine.backlash_mm, "deflection", units, decimals=SLACK_DECIMALS[units])
    return say("beyond", check.id, **fields)


def crossed_limits(setup: Setup, units: Units, *, ranged: bool = True) -> list[str]:
    """What the cut asks beyond spindle, table and tolerance: a main clause for each limit that is crossed.

    ranged : with the ranges of what it asks; without them that has two digits.
    """
    return [_told(check, setup, units, ranged) for check in crossed_checks(setup)]
