"""Whether a verdict would stand still under a hand that moves a slider.

A direction is told only where no figure turns it that is moved by less than :data:`STEADY` of its slider's travel,
and where the stretch over which it holds is no shorter than :data:`SHORTEST`: else a verdict would come and go within
a movement that a hand hardly notices, and the figure of a cut is seldom known or kept more exactly than that.

So along a slider a direction is told over at least a twentieth of the travel, and "either" between two directions as
well.  Where two figures narrow a stretch from different sides a shorter one may be left.  Not moved are diameter and
teeth: another cutter is no small movement.  Where chatter decides nothing is looked at.  Lost motion and skin have
their threshold at the very beginning of their travel, far under what a slider can be set to: across it the verdict
turns once, and stays.  Asked as the setup tells, without draws.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from ..base.errors import ChiparcError
from ..setup.setup import Setup
from ..setup.setup_limits import check_setup
from ..setup.travel import Travel, travel
from .checks import Way
from .turning import told_way

STEADY = 0.025
"""Part of a slider's travel within which nothing may turn the verdict."""

SHORTEST = 0.1
"""Part of a slider's travel over which a direction has to hold before it is told."""

LOOKED_AT = (
    "cut.wall_tolerance_mm",
    "machine.table_friction_n",
    "machine.feed_preload_n",
    "cut.radial_engagement_mm",
    "cut.feed_per_tooth_mm",
    "cut.axial_engagement_mm",
    "cut.spindle_speed_rpm",
    "cutter.helix_deg",
    "cutter.cutting_edge_angle_deg",
    "cutter.edge_radius_mm",
    "cutter.runout_mm",
    "cutter.stickout_mm",
    "cutter.flute_length_mm",
    "cutter.shank_diameter_mm",
    "cutter.neck_diameter_mm",
    "cutter.neck_length_mm",
    "cutter.holder_stiffness_n_mm",
)
"""The figures that are moved, those first with which nothing is worked out anew."""

HALVINGS = 6


class _Along:
    """The verdict along one figure, by the share of the travel that the figure is moved."""

    def __init__(self, setup: Setup, key: str, now: Way, way: Travel, share: float) -> None:
        self.setup, self.key, self.now, self.way, self.share = setup, key, now, way, share

    def holds(self, moved: float) -> bool:
        """Whether the verdict is the same; beyond the slider's ends, or where the cut is not legal, it is."""
        share = self.share + moved
        if not 0.0 <= share <= 1.0:
            return True
        value = self.way.value_at(share)
        try:
            changed = self.setup.with_keys({self.key: value})
            if self.key == "cut.feed_per_tooth_mm" and (slack := self.setup.value("machine.backlash_mm")):
                # Its threshold is a part of the feed: it is crossed once, from whichever side.
                changed = changed.with_keys({"machine.backlash_mm": slack * value / self.setup.value(self.key)})
            check_setup(changed)
        except ChiparcError:
            return True
        return told_way(changed) == self.now

    def turns_at(self, end: float) -> float:
        """How far the figure may be moved toward ``end``, where the verdict does not hold."""
        holding, turned = 0.0, end
        for _ in range(HALVINGS):
            middle = 0.5 * (holding + turned)
            holding, turned = (middle, turned) if self.holds(middle) else (holding, middle)
        return abs(turned)

    def steady(self) -> bool:
        """Whether nothing turns the verdict near this figure, and it holds over long enough a stretch."""
        if not (self.holds(-STEADY) and self.holds(STEADY)):
            return False
        far = SHORTEST - STEADY
        if self.holds(far) or self.holds(-far):
            return True
        below, above = self.turns_at(-far), self.turns_at(far)
        return min(below, above) >= STEADY and below + above >= SHORTEST


@lru_cache(maxsize=64)
def turned_nearby(setup: Setup) -> str | None:
    """The key of a figure that would turn the verdict if it were moved a little on its slider; None if none would."""
    if setup.cut.direction == "straddling":
        return None
    now = told_way(setup.facing("climb"))
    # Lobes of stability lie closer than any slider is set, and take long to find: the draws tell of them.
    setup = replace(setup.facing("climb"), dynamics=())
    if now is None or told_way(setup) != now:
        return None
    for key in LOOKED_AT:
        value = setup.value(key)
        if value is None or (value == 0.0 and key == "cutter.runout_mm"):
            continue
        way = travel(setup, key)
        if not way.high > way.low or (way.logarithmic and not (value > 0.0 and way.low > 0.0)):
            continue
        if not _Along(setup, key, now, way, way.share_of(value)).steady():
            return key
    return None
