"""Between which figures that lies which is held against a limit of machine or drawing."""

from __future__ import annotations

from ..force.force_range import Ends, force_range
from ..setup.setup import Setup
from .machine_limits import LimitCheck
from .wall_range import wall_range


def limit_range(check: LimitCheck, setup: Setup) -> Ends | None:
    """Ends of the value of a check of this setup, in its unit; None where nothing is known roughly."""
    if check.id == "wall":
        wall = wall_range(setup)
        return None if wall is None else Ends(*wall.sizes)
    found = force_range(setup)
    if found is None:
        return None
    return {"power": found.power_kw, "torque": found.torque.greatest, "table": found.fy.greatest}[check.id]
