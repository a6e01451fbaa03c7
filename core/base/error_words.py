"""A refusal in one sentence, for a place that has room for no more: the command line tells every fault."""

from __future__ import annotations

from .errors import ChiparcError, DocumentError
from .words import say

MOST_ALSO = 4
"""Further faults whose places are named."""


def in_short(error: ChiparcError) -> str:
    """The first fault whole, and of the others where they are."""
    if not isinstance(error, DocumentError) or not error.more:
        return str(error)
    others = error.faults[1 : 1 + MOST_ALSO]
    places = [say("faults", "place", line=fault.line, key=fault.where) for fault in others]
    if error.more > len(others):
        places.append(say("faults", "more", count=error.more - len(others)))
    return say("faults", "short", first=error.faults[0].sentence(error.file), others=", ".join(places))


__all__ = ["in_short"]
