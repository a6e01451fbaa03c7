"""What one figure may be in the setup as it is: its own range, narrowed by the figures that it must go with."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..base.words import say
from .setup import Setup
from .setup_limits import FEED_SHARE, RANGES, Range


@dataclass(frozen=True, slots=True)
class Limits:
    """A range in the document's unit, and what sets an end that is not its own; empty for its own end.

    low_by, high_by : id of what sets the end, in the words ``bound``.  else_by : id of what may be done instead.
    """

    range: Range
    low_by: str = ""
    high_by: str = ""
    else_by: str = ""

    @property
    def low_words(self) -> str:
        """What sets the lower end, in the language that is spoken; empty for the range's own."""
        return say("bound", self.low_by) if self.low_by else ""

    @property
    def high_words(self) -> str:
        """What sets the upper end; empty for the range's own."""
        return say("bound", self.high_by) if self.high_by else ""

    @property
    def else_words(self) -> str:
        """What may be done instead, beyond the upper end; empty for nothing."""
        return say("bound", self.else_by) if self.else_by else ""

    def below(self, high: float, by: str, *, under: bool = False, otherwise: str = "") -> Limits:
        """The limits with a lower upper end, if it is one; ``under``: the end itself is not allowed."""
        if high > self.range.high or (high == self.range.high and not under):
            return self
        return replace(self, range=replace(self.range, high=high, under=under), high_by=by, else_by=otherwise)

    def above(self, low: float, by: str, *, over: bool = False) -> Limits:
        """The limits with a higher lower end, if it is one; ``over``: the end itself is not allowed."""
        if low < self.range.low or (low == self.range.low and not over):
            return self
        return replace(self, range=replace(self.range, low=low, over=over), low_by=by)


def limits_for(setup: Setup, key: str) -> Limits | None:
    """What the figure of that key may be while all others stay as they are; None for a key without a range.

    A diameter takes width, offset, feed and runout along where it is set by hand, so that its own range holds.

    >>> from .setup import Cut, Cutter, Setup
    >>> boss = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    >>> limits_for(boss, "cut.radial_engagement_mm").range
    Range(low=0.0, high=12.0, over=True, under=True, whole=False, least=1e-12)
    """
    if key not in RANGES:
        return None
    limits, cutter, cut = Limits(RANGES[key]), setup.cutter, setup.cut
    d = cutter.diameter_mm
    if key == "cut.radial_engagement_mm":
        if cut.direction != "straddling":
            return limits.below(d, "diameter", under=True, otherwise="slot")
        if cut.centre_offset_mm:
            room = d - 2.0 * abs(cut.centre_offset_mm)
            return limits.below(room, "offset", under=True)
        return limits.below(d, "diameter")
    if key == "cut.centre_offset_mm":
        room = max((d - cut.radial_engagement_mm) / 2.0, 0.0) if cut.direction == "straddling" else 0.0
        by = "width" if room else ""
        return limits.below(room, by, under=room > 0.0).above(-room, by, over=room > 0.0)
    if key == "cut.feed_per_tooth_mm":
        return limits.below(FEED_SHARE * d, "half_diameter")
    if key == "cutter.runout_mm":
        return limits.below(d / 2.0, "half_diameter", under=True)
    flutes = cutter.flute_length_mm
    if key == "cutter.flute_length_mm":
        limits = limits.above(cut.axial_engagement_mm, "depth")
        return limits.below(cutter.stickout_mm, "stickout") if cutter.stickout_mm is not None else limits
    if key == "cutter.stickout_mm" and flutes is not None:
        return limits.above(flutes, "flutes")
    if key == "cut.axial_engagement_mm" and flutes is not None:
        return limits.below(flutes, "flutes")
    if key == "cut.spindle_speed_rpm" and setup.machine is not None and setup.machine.speed_curve is not None:
        curve = setup.machine.speed_curve
        return limits.above(curve[0][0], "curve").below(curve[-1][0], "curve")
    return limits
