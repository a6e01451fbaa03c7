"""Why a place of a path is one of its worst, as a person would say it, from the geometry beside it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..base.words import say
from .engagement_along import PathEngagement
from .fed_length import FedLength
from .path_places import places_on

Array = NDArray[np.float64]
Index = NDArray[np.int64]

TURN = np.radians(15.0)
"""Turn within one radius of path that makes a corner."""

LEAST = 0.6
"""Share of its arc that a place one radius before must be below for the cut to count as growing into it."""

GROWS = 1.02
"""Share of the arc one radius before that a corner's arc must exceed."""

WHOLE = np.pi - 1e-3


def reasons(path: PathEngagement, fed: FedLength, move: Index, along: Array, arc: Array) -> list[str]:
    """A sentence for each place (m,) at ``along`` mm on ``move``, whose arc is ``arc`` rad."""
    s = fed.begin[np.searchsorted(fed.move, move)] + along
    here = places_on(path.moves, move, along, path.stock.top_z_mm)
    # Places half a radius before and after, and one radius before, as far as the path goes.
    beside = [fed.on(np.clip(s + off * path.radius, 0.0, fed.length)) for off in (-0.5, 0.5, -1.0)]
    back, ahead, before = (places_on(path.moves, *at, path.stock.top_z_mm) for at in beside)
    turn = (ahead.heading - back.heading + np.pi) % (2.0 * np.pi) - np.pi
    arc_before = path.engaged(before).arc
    parts = np.diff(path.engaged(here).first)
    told = []
    for i in range(len(s)):
        degrees = f"{abs(np.degrees(turn[i])):.0f}"
        near = np.hypot(*(ahead.place[i] - back.place[i])) <= 1.01 * path.radius
        if arc[i] >= WHOLE:
            told.append(say("path_reason", "slot"))
        elif near and abs(turn[i]) >= TURN and arc[i] > GROWS * arc_before[i]:
            told.append(
                say("path_reason", "corner", turn=degrees, side=say("side", "left" if turn[i] > 0 else "right"))
            )
        elif parts[i] > 1:
            told.append(say("path_reason", "several", count=int(parts[i])))
        elif arc_before[i] < LEAST * arc[i]:
            told.append(say("path_reason", "entry"))
        else:
            told.append(say("path_reason", "wide"))
    return told
