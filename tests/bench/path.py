"""``path``: what is engaged at every 0.1 mm of a pocket, against the plain way of cutting polygons.

The plain way subtracts the cutter's disc from the polygon of the remaining stock at every place, after it has laid
the front half circle over it.  Its discs are the library's own circles of 64 corners, its angles good to some tenths
of a degree.  It slows down as the outline gets its scallops, so of the long pockets it does not run all: at several
places along the path the polygon that it would have there is built, untimed, and some steps are timed, which are
then multiplied.  Times are processor time of one core; ours includes making the index.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np

from core.path.engagement_along import PathEngagement
from core.path.moves import Moves, Stock
from core.path.path_places import places_on
from tests.bench.pocket import in_short_moves, pocket
from tests.bench.timing import Timed

RADIUS, STEPOVER, CORNER, STEP = 6.0, 4.0, 3.0, 0.1
SIZES = (2_500, 16_000, 130_000)
STAGES = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Where along the path, as shares of it, the plain way is timed."""

STEPS = 24
"""How many steps of the plain way are timed at each."""

TURN_LENGTH = 8.0
"""Length of a ring over its half width."""


def all_places(moves: Moves, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Move and distance along it of places every 0.1 mm."""
    length = moves.length_mm
    ends = np.cumsum(length)
    s = np.arange(count) * STEP
    move = np.minimum(np.searchsorted(ends, s, side="right"), len(moves) - 1)
    return move, s - (ends - length)[move]


def ours(moves: Moves, stock: Stock, count: int) -> float:
    """Processor time (ms) of all places."""
    move, along = all_places(moves, count)
    start = time.process_time()
    PathEngagement(moves, stock, RADIUS).at(move, along)
    return (time.process_time() - start) * 1e3


def plain_step(remaining: Any, place: np.ndarray, heading: float) -> tuple[Any, float]:
    """One step of the plain way: what is left, and the engaged arc in degrees."""
    from shapely import LineString, Point

    angle = heading + np.linspace(-np.pi / 2, np.pi / 2, 181)
    front = LineString(place + RADIUS * np.column_stack([np.cos(angle), np.sin(angle)]))
    engaged = front.intersection(remaining).length / RADIUS
    return remaining.difference(Point(place).buffer(RADIUS)), float(np.degrees(engaged))


def plain(moves: Moves, stock: Stock, count: int) -> list[float]:
    """Processor time (ms) that the plain way would take for all places, by each of the stages."""
    from shapely import Polygon, box, points, union_all

    at = places_on(moves, *all_places(moves, count))
    block, found = Polygon(stock.loops[0].points_mm), []
    for share in STAGES:
        i = int(share * count)
        half = np.abs(at.place[i]).max()
        ring = slice(max(0, i - int(2.2 * TURN_LENGTH * half / STEP)), i)
        # Two rings of scallops; what is inside of them was cleared whole.
        inner = max(half - 1.5 * STEPOVER, 0.0)
        scallops = union_all([p.buffer(RADIUS) for p in points(at.place[ring])])
        remaining = block.difference(scallops).difference(box(-inner, -inner, inner, inner))
        start = time.process_time()
        for k in range(i, i + STEPS):
            remaining, _ = plain_step(remaining, at.place[k], float(at.heading[k]))
        found.append((time.process_time() - start) * 1e3 * count / STEPS)
    return found


def measure() -> list[Timed]:
    """Pockets as lines and arcs (``path``) and as moves of 0.1 mm (``path-short``); how a place's cost grows."""
    against = "shapely: disc subtracted every 0.1 mm, from steps at 5 places"
    found, place = [], {}
    for count in SIZES:
        moves, stock = pocket(count * STEP, STEPOVER, CORNER, RADIUS)
        peer = plain(moves, stock, count)
        # The peer's share of a pocket is its mean over the stages, not one of them.
        peer = [float(np.mean(peer))]
        for name, path in (("path", moves), ("path-short", in_short_moves(moves, STEP))):
            # The first is untimed: it loads what is loaded once.
            times = [ours(path, stock, count) for _ in range(4)][1:]
            found.append(Timed(name, against, times, peer, count))
    for name, short in (("path-growth", False), ("path-short-growth", True)):
        for count in (10_000, 100_000):
            moves, stock = pocket(count * STEP, STEPOVER, CORNER, RADIUS)
            path = in_short_moves(moves, STEP) if short else moves
            place[count] = [ours(path, stock, count) * 1000.0 / count for _ in range(5)]
        found.append(Timed(name, "1000 of 1e4 places beside 1000 of 1e5", place[100_000], place[10_000], 100_000))
    return found


__all__ = ["all_places", "measure", "plain_step"]
