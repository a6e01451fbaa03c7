"""G and M words that are read, by their groups: of each group one word in a block."""

from __future__ import annotations

from collections.abc import Iterable

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say

GROUPS: dict[str, tuple[int, ...]] = {
    "motion": (0, 1, 2, 3),
    "dwell": (4,),
    "exact_stop": (9,),
    "plane": (17,),
    "units": (20, 21, 70, 71),
    "cutter_radius": (40,),
    "tool_length": (43, 49),
    "work_offset": (54, 55, 56, 57, 58, 59),
    "path": (61, 64),
    "cycle": (80,),
    "distance": (90, 91),
    "feed": (94, 95),
}
"""Modal groups of ISO 6983-1, with G70 G71 as they are usual for units.  Their names stand in ``[program_group]``."""

ENDS = (2, 30)
"""M words that end the program."""

_GROUP_OF = {number: group for group, numbers in GROUPS.items() for number in numbers}
_M_GROUPS = ((0, 1, 2, 30), (3, 4, 5))
_CALLS = (98, 99)
_INSTEAD = {18: "plane", 19: "plane", 41: "centre", 42: "centre", 93: "feed_kind"}
"""What is allowed in place of a G word that has a counterpart among those that are read."""


def g_groups(codes: Iterable[str]) -> dict[str, int]:
    """The G words of a block by their group; ``codes`` are their numbers as written.

    Raises ChiparcError for a word that is not read and for two of one group.
    """
    groups: dict[str, int] = {}
    for written in codes:
        number = float(written)
        group = _GROUP_OF.get(int(number)) if number.is_integer() and written[0] != "-" else None
        if group is None:
            allowed = say("program_refused", f"{_INSTEAD.get(int(number), 'g_word')}_allowed")
            raise ChiparcError("G" + written, say("program_refused", "g_word"), allowed)
        if group in groups:
            both = {"first": f"G{groups[group]}", "second": f"G{int(number)}"}
            told = refused("program_refused", "same_group", group=say("program_group", group), **both)
            raise ChiparcError(say("refused_place", "block"), *told)
        groups[group] = int(number)
    return groups


def m_numbers(codes: Iterable[str]) -> list[float]:
    """The numbers of a block's M words.  Raises ChiparcError for a subprogram and for two words of one group."""
    numbers = [float(written) for written in codes]
    for group in _M_GROUPS:
        alike = [n for n in numbers if n in group]
        if len(alike) > 1:
            both = {"first": f"M{alike[0]:g}", "second": f"M{alike[1]:g}"}
            found = say("program_refused", "same_machine_group", **both)
            raise ChiparcError(say("refused_place", "block"), found, say("program_refused", "same_group_allowed"))
    for number in numbers:
        if number in _CALLS:
            raise ChiparcError(f"M{number:g}", *refused("program_refused", "subprogram"))
    return numbers


def is_known_m(number: float) -> bool:
    """Whether an M word is one of M0 to M9 or M30."""
    return number in range(10) or number == 30
