"""The setups along one figure's slider, and how far along it the ladder first says the other direction.

Asked as the setup tells, without draws. Where another check begins to decide, or one passes for another reason (both
walls kept, then both beyond), what lies just beyond that place is asked as well: else an answer with only a narrow
stretch there would be stepped over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..base.errors import ChiparcError
from ..setup.direction_change import with_diameter
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES, check_setup
from ..setup.travel import Travel, travel
from .turning import Told, told_answer

HALVINGS = 4

MOST_CHECKS = 6
"""Places between two that are asked at which another answer begins."""

DIAMETER = "cutter.diameter_mm"


@dataclass(frozen=True, slots=True)
class SliderLine:
    """The setups along one figure's slider; ``share`` is where the figure is set now."""

    setup: Setup
    key: str
    way: Travel
    share: float

    @property
    def step(self) -> float:
        """Part of the travel from one whole figure to the next; 0 for figures that are not whole."""
        return 1.0 / (self.way.high - self.way.low) if RANGES[self.key].whole else 0.0

    def at(self, moved: float) -> Setup | None:
        """The setup with the figure moved by a part of the travel; None beyond the ends, or where it is not legal."""
        share = self.share + moved
        if not -1e-12 <= share <= 1.0 + 1e-12:
            return None
        value = self.way.value_at(share)
        try:
            if self.key == DIAMETER:
                changed = with_diameter(self.setup, value)
            else:
                changed = self.setup.with_keys({self.key: round(value) if self.step else value})
            check_setup(changed)
        except ChiparcError:
            return None
        return changed

    def told(self, moved: float) -> Told | None:
        """What the ladder says there, and by which check; None where there is no legal setup, or no answer."""
        there = self.at(moved)
        if there is not None and self.key == "cut.feed_per_tooth_mm":
            slack = self.setup.value("machine.backlash_mm")
            if slack:
                # Its threshold is a part of the feed: it is crossed once, from whichever side.
                feed = there.cut.feed_per_tooth_mm / self.setup.cut.feed_per_tooth_mm
                there = there.with_keys({"machine.backlash_mm": slack * feed})
        return None if there is None else told_answer(there)


def slider_lines(setup: Setup, keys: tuple[str, ...]) -> Iterator[SliderLine]:
    """The sliders of these figures."""
    for key in keys:
        value = setup.value(key)
        if value is None or (value == 0.0 and key == "cutter.runout_mm"):
            continue
        way = travel(setup, key)
        if way.high > way.low and (not way.logarithmic or (value > 0.0 and way.low > 0.0)):
            yield SliderLine(setup, key, way, way.share_of(value))


def turns_within(line: SliderLine, now: Told, *ends: float) -> bool:
    """Whether the ladder says the other direction anywhere from here past these ends, which are moved to in order.

    Where the slider ends before it is looked at up to its end; from where no setup is legal it does not.
    """
    near, here = 0.0, now
    for end in ends:
        end = min(max(end, -line.share), 1.0 - line.share)
        there = line.told(end)
        if there is None:
            return False
        if there.way != now.way:
            return True
        for _ in range(MOST_CHECKS):
            if there == here:
                break
            near, beyond = _next_answer(line, here, near, end, there)
            if beyond is None:
                return False
            if beyond.way != now.way:
                return True
            here = beyond
        near, here = end, there
    return False


def _next_answer(line: SliderLine, here: Told, near: float, far: float, there: Told) -> tuple[float, Told | None]:
    """Where from ``near`` to ``far``, where it is ``there``, something else than ``here`` is found, and what."""
    beyond: Told | None = there
    for _ in range(HALVINGS):
        middle = 0.5 * (near + far)
        found = line.told(middle)
        if found == here:
            near = middle
        else:
            far, beyond = middle, found
    return far, beyond
