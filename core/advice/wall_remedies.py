"""What brings a wall into its tolerance without another cut: a path that is moved, or the same path once more.

Both clear it with the margin of any other change: over the whole range of the error (:mod:`core.effects.wall_range`),
and with a chip that forms.
"""

from __future__ import annotations

from ..effects.compensation import Compensation, compensation
from ..effects.machine_limits import SLACK
from ..effects.spring_pass import SpringPass, spring_pass
from ..effects.wall_range import wall_range
from ..setup.setup import Setup

WIDTH = "cut.radial_engagement_mm"


def _within(ends: tuple[float, float], setup: Setup) -> bool:
    tolerance = setup.cut.wall_tolerance_mm
    return tolerance is not None and max(ends[1], -ends[0]) <= tolerance * (1.0 + SLACK)


def keeping_compensation(setup: Setup) -> Compensation | None:
    """The offset of the path with which the wall keeps its tolerance for sure; None where none does."""
    found = compensation(setup)
    if found is None:
        return None
    spread = wall_range(setup.with_keys({WIDTH: setup.cut.radial_engagement_mm + found.offset}))
    if spread is None:
        return None
    low, high = (end - found.offset for end in spread.depth)
    return found if _within((low, high), setup) else None


def keeping_spring_pass(setup: Setup) -> SpringPass | None:
    """The second pass after which the wall keeps its tolerance for sure; None where it does not, or no chip forms."""
    found = spring_pass(setup)
    if found is None or not (found.forms_chip and found.chip_known) or found.least is None or found.greatest is None:
        return None
    second = wall_range(setup.with_keys({WIDTH: found.width}))
    if second is None:
        return None
    # What the first pass undercut stays so.
    ends = min(found.least, second.depth[0]), max(found.greatest, second.depth[1])
    return found if _within(ends, setup) else None
