"""What a cut asks beyond what machine and drawing allow, in the sentence: said only where a limit is crossed."""

from __future__ import annotations

from ..base.quantities import QUANTITIES, Units, clear_figure
from ..base.words import say
from ..effects.machine_limits import LimitCheck, crossed_checks
from ..setup.setup import Setup

SLACK_DECIMALS = {"metric": 2, "inch": 4}
"""Decimals of a lost motion, which nobody knows to the micrometre."""


def _told(check: LimitCheck, setup: Setup, units: Units) -> str:
    # As many decimals as tell the two apart, up to three more.
    usual = QUANTITIES[check.quantity].decimals_in(units)
    for decimals in range(usual, usual + 4):
        value, limit = (clear_figure(v, check.quantity, units, decimals=decimals) for v in (check.value, check.limit))
        if value != limit:
            break
    fields = {"value": value, "limit": limit}
    if check.id == "table" and setup.machine is not None:
        fields["slack"] = clear_figure(setup.machine.backlash_mm, "deflection", units, decimals=SLACK_DECIMALS[units])
    return say("beyond", check.id, **fields)


def crossed_limits(setup: Setup, units: Units) -> list[str]:
    """What the cut asks beyond spindle, table and tolerance: a main clause for each limit that is crossed."""
    return [_told(check, setup, units) for check in crossed_checks(setup)]
