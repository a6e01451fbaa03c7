"""What a cut asks beyond what machine and drawing allow, in the sentence: said only where a limit is crossed."""

from __future__ import annotations

from .machine_limits import LimitCheck, power_check, torque_check, wall_check
from .quantities import QUANTITIES, Units, clear_figure
from .setup import Setup
from .words import say


def _told(check: LimitCheck | None, units: Units) -> str:
    if check is None or not check.crossed:
        return ""
    # As many decimals as tell the two apart, up to three more.
    usual = QUANTITIES[check.quantity].decimals_in(units)
    for decimals in range(usual, usual + 4):
        value, limit = (clear_figure(v, check.quantity, units, decimals=decimals) for v in (check.value, check.limit))
        if value != limit:
            break
    return say("sentence", f"limit_{check.id}", value=value, limit=limit)


def power_clause(setup: Setup, units: Units) -> str:
    """Mean power over what the spindle gives at this speed; nothing if it is not, or not known."""
    return _told(power_check(setup), units)


def torque_clause(setup: Setup, units: Units) -> str:
    """Peak torque over the spindle's; nothing if it is not, or not known."""
    return _told(torque_check(setup), units)


def wall_limit_clause(setup: Setup, units: Units) -> str:
    """The wall's error over its tolerance somewhere along the depth; nothing if it is not, or not known."""
    return _told(wall_check(setup), units)
