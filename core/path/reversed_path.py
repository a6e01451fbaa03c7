"""A program run the other way: every move from its end to its start, the last one first.

Where the program climbs, the reversed one cuts conventional.  Feeds, speeds and heights stay with their moves, so
that a plunge becomes a lift at the same place.  It is a comparison, not a program for a machine.
"""

from __future__ import annotations

from dataclasses import replace

from .moves import Moves, Program


def reversed_program(program: Program) -> Program:
    """The same moves run backwards; warnings of the file stay as they are."""
    m = program.moves
    back = slice(None, None, -1)
    moves = Moves(
        kind=m.kind[back],
        start_mm=m.end_mm[back],
        end_mm=m.start_mm[back],
        centre_mm=m.centre_mm[back],
        sweep_rad=-m.sweep_rad[back],
        feed_mm_min=m.feed_mm_min[back],
        speed_rpm=m.speed_rpm[back],
        line=m.line[back],
        clear=m.clear[back],
    )
    chains = None if program.chains is None else len(m) - program.chains[back, back]
    return replace(program, moves=moves, chains=chains)
