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
    correction = compensation(setup)
    if correction is None:
        return None
    spread = wall_range(setup.with_keys({WIDTH: setup.cut.radial_engagement_mm + correction.offset}))
    if spread is None:
        return None
    low, high = (end - correction.offset for end in spread.depth)
    return correction if _within((low, high), setup) else None


def keeping_spring_pass(setup: Setup) -> SpringPass | None:
    """The second pass after which the wall keeps its tolerance for sure; None where it does not, or no chip forms."""
    spring = spring_pass(setup)
    if (
        spring is None
        or not (spring.forms_chip and spring.chip_known)
        or spring.least is None
        or spring.greatest is None
    ):
        return None
    second = wall_range(setup.with_keys({WIDTH: spring.width}))
    if second is None:
        return None
    # What the first pass undercut stays so.
    ends = min(spring.least, second.depth[0]), max(spring.greatest, second.depth[1])
    return spring if _within(ends, setup) else None
