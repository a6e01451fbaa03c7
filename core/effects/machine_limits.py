"""What the cut asks, against what machine and drawing allow: power, torque, table pull, how far the wall may be off.

Efficiency is not assumed: the power that a setup gives is taken as power at the cutter.  Mean power stands against
what the spindle gives at this speed; peak torque against the spindle's torque, although its inertia carries a short
peak: a crossed torque is a reason to look, not a verdict.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..force.force_turn import force_turn
from ..setup.setup import Setup
from .wall_depth import wall_profile_over_depth

SLACK = 1e-6
"""Relative slack within which a limit is met and not crossed: a value found for a limit then keeps it."""

LOST_MOTION_SHARE = 0.1
"""Lost motion, as a share of the feed per tooth, over which a pulled table matters."""


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """One figure against its limit, both in house units of ``quantity``."""

    id: str
    quantity: str
    value: float
    limit: float

    @property
    def crossed(self) -> bool:
        """Whether the value is over the limit."""
        return self.value > self.limit * (1.0 + SLACK)

    @property
    def share(self) -> float | None:
        """Value as a part of the limit; None where the limit is 0."""
        return self.value / self.limit if self.limit > 0.0 else None


def power_available(setup: Setup) -> float | None:
    """Power (kW) that the spindle gives at the setup's speed; None where the setup does not tell.

    From one figure, or along straight lines of the curve; never more than the torque gives at that speed.
    """
    machine, speed = setup.machine, setup.cut.spindle_speed_rpm
    if machine is None:
        return None
    power = machine.power_kw
    if machine.speed_curve is not None:
        rpm, kw = zip(*machine.speed_curve, strict=True)
        power = float(np.interp(speed, rpm, kw))
    if power is None or machine.torque_nm is None:
        return power
    return min(power, machine.torque_nm * 2.0 * math.pi * speed / 60.0 / 1000.0)


def power_check(setup: Setup) -> LimitCheck | None:
    """Mean cutting power against the spindle's at this speed, kW; None where either is not known."""
    turn, limit = force_turn(setup), power_available(setup)
    return None if turn is None or limit is None else LimitCheck("power", "power", turn.power_kw, limit)


def torque_check(setup: Setup) -> LimitCheck | None:
    """Greatest torque of a turn against the spindle's, N m; None where either is not known."""
    turn, limit = force_turn(setup), setup.machine.torque_nm if setup.machine is not None else None
    return None if turn is None or limit is None else LimitCheck("torque", "torque", turn.torque.greatest, limit)


def wall_check(setup: Setup) -> LimitCheck | None:
    """Greatest size of the wall's error over the whole depth against its tolerance, mm; None where not known."""
    limit = setup.cut.wall_tolerance_mm
    profile = None if limit is None else wall_profile_over_depth(setup)
    return None if profile is None or limit is None else LimitCheck("wall", "deflection", profile.size, limit)


def pull_check(setup: Setup) -> LimitCheck | None:
    """Greatest pull on the table along the feed against friction and preload, N; None where it cannot jump.

    A table without lost motion has nowhere to jump to; where lost motion or what holds it is not known, None too.
    """
    machine, turn = setup.machine, force_turn(setup)
    if machine is None or turn is None or machine.backlash_mm is None or machine.hold_n is None:
        return None
    if machine.backlash_mm <= LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm:
        return None
    return LimitCheck("table", "force", turn.fy.greatest, machine.hold_n)


def limit_checks(setup: Setup) -> tuple[LimitCheck, ...]:
    """Every check of spindle and drawing whose figures are known: those that the strips show as levels."""
    checks = (power_check(setup), torque_check(setup), wall_check(setup))
    return tuple([check for check in checks if check is not None])


def crossed_checks(setup: Setup) -> tuple[LimitCheck, ...]:
    """What the cut asks beyond spindle, drawing and table."""
    pull = pull_check(setup)
    checks = limit_checks(setup) if pull is None else (*limit_checks(setup), pull)
    return tuple([check for check in checks if check.crossed])
