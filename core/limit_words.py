"""What a cut asks beyond what machine and drawing allow, in the sentence: said only where a limit is crossed."""

from __future__ import annotations

from .machine_limits import LimitCheck, limit_checks, pull_check
from .quantities import QUANTITIES, Units, clear_figure
from .setup import Setup
from .words import say

SLACK_DECIMALS = {"metric": 2, "inch": 4}
"""Decimals of a lost motion, which nobody knows to the micrometre."""


def _told(check: LimitCheck, units: Units, **more: str) -> str:
    # As many decimals as tell the two apart, up to three more.
    usual = QUANTITIES[check.quantity].decimals_in(units)
    for decimals in range(usual, usual + 4):
        value, limit = (clear_figure(v, check.quantity, units, decimals=decimals) for v in (check.value, check.limit))
        if value != limit:
            break
    return say("beyond", check.id, value=value, limit=limit, **more)


def crossed_limits(setup: Setup, units: Units) -> list[str]:
    """What the cut asks beyond spindle, table and tolerance: a main clause for each limit that is crossed."""
    told = [_told(check, units) for check in limit_checks(setup) if check.crossed]
    pull = pull_check(setup)
    if pull is not None and pull.crossed and setup.machine is not None:
        slack = clear_figure(setup.machine.backlash_mm, "deflection", units, decimals=SLACK_DECIMALS[units])
        told.append(_told(pull, units, slack=slack))
    return told
