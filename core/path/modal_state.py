"""What the words of a program leave behind for the blocks that follow: units, feed, speed, offset, tool, motion."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import nan

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say
from .doubts import Doubts
from .modal_groups import g_groups, is_known_m, m_numbers
from .moves import Units

FARTHEST_MM = 100_000.0
"""mm and mm/min.  No figure of a program may be larger."""

FASTEST_RPM = 1e6
"""As far as a setup's spindle speed."""

INCH_MM = 25.4

Words = list[tuple[str, str]]


def written_word(words: Words, letter: str) -> str:
    """A word of the block as it stands there."""
    return next(f"{each}{number}" for each, number in words if each == letter)


@dataclass(slots=True)
class ModalState:
    """The modal state of a program, and what was doubtful on the way.

    speed_rpm : the setup's speed or nan; left_hand : the cutter.  feed is in mm per minute or, with ``per_turn``, per
    turn, nan where no F holds; speed is nan where no S holds; scale is mm per unit; offset has its G word and line.
    """

    speed_rpm: float
    left_hand: bool
    doubts: Doubts = field(default_factory=lambda: Doubts("program_warning"))
    line: int = 0
    moved: bool = False
    motion: int | None = None
    incremental: bool = False
    units: Units | None = None
    scale: float = 1.0
    per_turn: bool = False
    feed: float = nan
    speed: float = nan
    offset: tuple[int, int] | None = None
    tool: float | None = None

    def set_modes(self, values: dict[str, float], codes: list[str], words: Words) -> bool:
        """Take the block's G words; whether it is a dwell."""
        groups = g_groups(codes)
        if "units" in groups:
            units: Units = "inch" if groups["units"] in (20, 70) else "mm"
            if units != (self.units or "mm") and self.moved:
                names = {"before": say("program_units", self.units or "mm"), "after": say("program_units", units)}
                self.doubts.add("units_change", self.line, **names)
            self.units, self.scale = units, INCH_MM if units == "inch" else 1.0
        if "work_offset" in groups:
            if self.offset is not None and groups["work_offset"] != self.offset[0]:
                first, line = self.offset
                told = refused("program_refused", "work_offset", first=f"G{first}", line=str(line))
                raise ChiparcError(f"G{groups['work_offset']}", *told)
            self.offset = self.offset or (groups["work_offset"], self.line)
        if "feed" in groups and (groups["feed"] == 95) != self.per_turn:
            self.per_turn, self.feed = groups["feed"] == 95, nan  # an F of the other kind means nothing now
        if "distance" in groups:
            self.incremental = groups["distance"] == 91
        self.motion = groups.get("motion", self.motion)
        return "dwell" in groups

    def dwell(self, values: dict[str, float], words: Words) -> None:
        """A dwell's P, X or F is its time; anything that would move or turn beside it is refused."""
        for letter in "YZIJRS":
            if letter in values:
                told = refused("program_refused", "dwell", letter=letter)
                raise ChiparcError(written_word(words, letter), *told)
        for letter in "PXF":
            values.pop(letter, None)

    def set_rates(self, values: dict[str, float], words: Words) -> None:
        """Take F, S and T; F is kept in mm per minute or turn."""
        if "F" in values:
            if not 0.0 < values["F"] * self.scale <= FARTHEST_MM:
                most, unit = FARTHEST_MM / self.scale, say("program_units", self.units or "mm")
                allowed = say("program_refused", "feed_allowed", most=most, unit=unit)
                raise ChiparcError("F", say("refusal", "found", value=written_word(words, "F")), allowed)
            self.feed = values["F"] * self.scale
        if "S" in values:
            if not 0.0 <= values["S"] <= FASTEST_RPM:
                allowed = say("program_refused", "speed_allowed", most=FASTEST_RPM)
                raise ChiparcError("S", say("refusal", "found", value=written_word(words, "S")), allowed)
            self.speed = values["S"] or nan
        if "T" in values:
            self.tool = values["T"] if self.tool is None else self.tool
            if values["T"] != self.tool:
                self.doubts.add("tool", self.line, tool=written_word(words, "T"), first=f"T{self.tool:g}")

    def machine(self, codes: list[str]) -> list[float]:
        """Take the block's M words."""
        numbers = m_numbers(codes)
        for number in numbers:
            if number == (3 if self.left_hand else 4):
                self.doubts.once("turns_right" if self.left_hand else "turns_left", self.line)
            elif not is_known_m(number):
                self.doubts.add("unknown_m", self.line, word=f"M{number:g}")
        return numbers
