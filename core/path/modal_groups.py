"""G and M words that are read, by their groups: of each group one word in a block."""

from __future__ import annotations

from collections.abc import Iterable

from ..base.errors import ChiparcError

GROUPS: dict[str, tuple[int, ...]] = {
    "motion": (0, 1, 2, 3),
    "dwell": (4,),
    "exact stop": (9,),
    "plane": (17,),
    "units": (20, 21, 70, 71),
    "cutter radius": (40,),
    "tool length": (43, 49),
    "work offset": (54, 55, 56, 57, 58, 59),
    "path": (61, 64),
    "cycle": (80,),
    "distance": (90, 91),
    "feed": (94, 95),
}
"""Modal groups of ISO 6983-1, with G70 G71 as they are usual for units."""

ENDS = (2, 30)
"""M words that end the program."""

_GROUP_OF = {number: group for group, numbers in GROUPS.items() for number in numbers}
_M_GROUPS = ((0, 1, 2, 30), (3, 4, 5))
_CALLS = (98, 99)
_WANTED = "G0 G1 G2 G3 G4 G9 G17 G20 G21 G40 G43 G49 G54 to G59 G61 G64 G70 G71 G80 G90 G91 G94 G95"
_INSTEAD = {
    18: "arcs in the plane XY, G17",
    19: "arcs in the plane XY, G17",
    41: "the path of the cutter's centre, G40",
    42: "the path of the cutter's centre, G40",
    93: "feed per minute or per turn, G94 or G95",
}


def g_groups(codes: Iterable[str]) -> dict[str, int]:
    """The G words of a block by their group; ``codes`` are their numbers as written.

    Raises ChiparcError for a word that is not read and for two of one group.
    """
    groups: dict[str, int] = {}
    for written in codes:
        number = float(written)
        group = _GROUP_OF.get(int(number)) if number.is_integer() and written[0] != "-" else None
        if group is None:
            allowed = _INSTEAD.get(int(number), _WANTED)
            raise ChiparcError("G" + written, "found a G word that is not read", allowed)
        if group in groups:
            found = f"found G{groups[group]} and G{int(number)}, both of the group of {group}"
            raise ChiparcError("block", found, "one word of each group in a block")
        groups[group] = int(number)
    return groups


def m_numbers(codes: Iterable[str]) -> list[float]:
    """The numbers of a block's M words.  Raises ChiparcError for a subprogram and for two words of one group."""
    numbers = [float(written) for written in codes]
    for group in _M_GROUPS:
        alike = [n for n in numbers if n in group]
        if len(alike) > 1:
            found = f"found M{alike[0]:g} and M{alike[1]:g}, both of one group"
            raise ChiparcError("block", found, "one word of each group in a block")
    for number in numbers:
        if number in _CALLS:
            allowed = "a program in one piece, without M98 and M99"
            raise ChiparcError(f"M{number:g}", "found a call of a subprogram or its end", allowed)
    return numbers


def is_known_m(number: float) -> bool:
    """Whether an M word is one of M0 to M9 or M30."""
    return number in range(10) or number == 30
