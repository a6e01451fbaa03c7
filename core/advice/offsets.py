"""The choice of a straddling cut is its offset: what the one that is set does, and from where on teeth leave thin."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..setup.setup import Setup
from ..strips.offset_strip import at_offsets, offset_strip


@dataclass(frozen=True, slots=True)
class OffsetAdvice:
    """Angle (degrees) and chip (mm) with which teeth leave, attitude of the face as they enter (degrees).

    ``over_the_edge``: the axis stands near the work's edge, so that teeth leave thick near 90 degrees; ``better`` is
    the nearest offset (mm) at which they do not, None where there is none or it is not needed.
    """

    exit_deg: float
    h_exit: float
    attitude_deg: float
    over_the_edge: bool
    better: float | None


@lru_cache(maxsize=32)
def offset_advice(setup: Setup) -> OffsetAdvice:
    """What the offset of this straddling cut does."""
    now = setup.cut.centre_offset_mm
    here, strip = at_offsets(now, setup), offset_strip(setup)
    over, better = bool(here.warned[0]), None
    if over and strip is not None and not strip.warned.all():
        free = strip.offset[~strip.warned]
        better = float(free[np.argmin(np.abs(free - now))])
    return OffsetAdvice(float(here.exit_deg[0]), float(here.h_exit[0]), float(here.attitude_deg[0]), over, better)
