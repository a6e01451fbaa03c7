"""The choice of a straddling cut is its offset: what the one that is set does, and from where on teeth leave thin."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..setup.setup import Setup
from ..setup.work_strip import TOUCH
from ..strips.offset_strip import at_offsets, offset_strip, room

PART_OF_ROOM = 0.5
"""Part of the room that a centred cut is moved by where its offset is shown: enough to be seen, far from the edge."""


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


@lru_cache(maxsize=32)
def beside_in_pair(setup: Setup) -> Setup:
    """The cut that a pair shows beside this one; the same cut where there is none, as for a slot.

    Climb and conventional stand beside one another, an offset cut beside its mirror image.  The mirror image of a
    centred cut is the cut itself: beside it stands the same cut off the middle, at the offset from which teeth leave
    thin where the advice gives one, else half-way to the climb side, where they leave thinner.
    """
    cut = setup.cut
    if cut.direction != "straddling" or abs(cut.centre_offset_mm) > TOUCH * setup.cutter.diameter_mm:
        return setup.opposite
    better = offset_advice(setup).better
    offset = PART_OF_ROOM * room(setup) if better is None else better
    if abs(offset) <= TOUCH * setup.cutter.diameter_mm:
        return setup
    return replace(setup, cut=replace(cut, centre_offset_mm=_written_down(offset, room(setup))))


def _written_down(offset: float, most: float) -> float:
    """An offset (mm) to two figures, as a person would set it: outwards, but no farther than there is room."""
    step = 10.0 ** (math.floor(math.log10(abs(offset))) - 1)
    rounded = round(math.ceil(abs(offset) / step - 1e-9) * step, 9)
    return math.copysign(rounded, offset) if rounded < most else offset
