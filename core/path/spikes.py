"""The worst places of a path: where the arc of engagement is longest, found whatever lies between the samples.

Both sides of every joint are looked at, and even places between.  The arc can only rise and fall steeply, or have a
corner, where the tooth's circle begins to touch a boundary: a side or corner of the stock, or what an earlier piece
of the path has swept.  Such a touch is a change of sign of a distance, so between two neighbouring places each is
found and looked at too; a thin web of stock cannot slip through.  Then steps are halved where the arc changes much.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .engagement_along import PathEngagement, places_on
from .fed_length import FedLength
from .nearby import expanded

Array = NDArray[np.float64]
Index = NDArray[np.int64]

FALL = 0.9
"""Two spikes are told apart if the arc falls to this share of the lesser one between them (path-report)."""

EVEN = 1.0 / 20.0
"""Step of the even places, in radii."""

STEEP, FINEST = np.radians(1.0), 1e-4
"""Change of the arc (rad) over which a step is halved, and the least step, in radii."""

MOST = 400_000
"""Places beyond which no more are added by halving."""

EVEN_ARC = 1e-6
"""Arcs (rad) that differ by no more are one."""

AFTER = 1e-7
"""How far (in radii) after a touch it is looked."""


@dataclass(frozen=True, eq=False)
class Profile:
    """The arc along the path: distance s (m,) mm ascending, move (m,), along it (m,) mm, arc (m,) rad."""

    s: Array
    move: Index
    along: Array
    arc: Array


def arc_profile(path: PathEngagement, fed: FedLength) -> Profile:
    """The arc of engagement along the whole path, dense where it changes."""
    length = fed.end - fed.begin
    count = np.maximum(np.ceil(length / (EVEN * path.radius)), 1.0)
    # Very long paths: as many even places as can be had.
    count = np.maximum(np.minimum(count, np.ceil(count * MOST / max(count.sum(), MOST))), 1.0).astype(np.int64)
    part, k = expanded(np.zeros(len(count), np.int64), count + 1)
    along = length[part] * (k / count[part])
    places = _Sorted(path, fed, part, along)
    places.add(*_touches(path, fed, places))
    for _ in range(14):
        if len(places.part) > MOST:
            break
        step = np.diff(places.along)
        steep = (np.diff(places.part) == 0) & (step > FINEST * path.radius)
        steep &= np.abs(np.diff(places.arc)) > STEEP
        # Beside the tops, too: a crown is rounded.
        top = np.zeros(len(places.arc), bool)
        top[1:-1] = (places.arc[1:-1] >= places.arc[:-2]) & (places.arc[1:-1] > places.arc[2:])
        crown = (top[1:] | top[:-1]) & (np.diff(places.part) == 0) & (step > 0.002 * path.radius)
        at = np.flatnonzero(steep | crown)
        if not at.size:
            break
        places.add(places.part[at], places.along[at] + 0.5 * step[at])
    return Profile(fed.begin[places.part] + places.along, fed.move[places.part], places.along, places.arc)


class _Sorted:
    """Places in the order of the path, with their arcs; ``part`` counts the fed moves."""

    def __init__(self, path: PathEngagement, fed: FedLength, part: Index, along: Array) -> None:
        self.path, self.fed = path, fed
        self.part, self.along = part, along
        self.arc = path.at(fed.move[part], along).arc

    def add(self, part: Index, along: Array) -> None:
        if not len(part):
            return
        arc = self.path.at(self.fed.move[part], along).arc
        part, along = np.concatenate([self.part, part]), np.concatenate([self.along, along])
        order = np.lexsort([along, part])
        self.part, self.along, self.arc = part[order], along[order], np.concatenate([self.arc, arc])[order]


def _touches(path: PathEngagement, fed: FedLength, places: _Sorted) -> tuple[Index, Array]:
    """Fed moves (as parts) and distances along them just at and after each touch between neighbouring places."""
    move = fed.move[places.part]
    at = places_on(path.moves, move, places.along, path.stock.top_z_mm)
    pair = np.flatnonzero((np.diff(places.part) == 0) & ~(at.air[1:] & at.air[:-1]))
    parts, alongs = [], []
    for go in np.array_split(pair, max(1, len(pair) // 8000)):
        for row, share in _changes(path, at.place, go):
            a, b = places.along[row], places.along[row + 1]
            where = a + share * (b - a)
            for s in (where, where + AFTER * path.radius):
                inside = (s > a) & (s < b)
                parts.append(places.part[row[inside]])
                alongs.append(s[inside])
    if not parts:
        return np.zeros(0, np.int64), np.zeros(0)
    # Touches of pieces that go on from one another fall together.
    part, along = np.concatenate(parts), np.concatenate(alongs)
    _, first = np.unique(np.stack([part, np.round(along / (AFTER * path.radius / 4.0))]), axis=1, return_index=True)
    return part[first], along[first]


def _changes(path: PathEngagement, place: Array, row: Index) -> list[tuple[Index, Array]]:
    """Rows and shares of the step from a place to the next one at which a distance changes its sign."""
    radius, p = path.radius, path.pieces
    found = []

    def roots(rows: Index, before: Array, after: Array) -> None:
        hit = np.flatnonzero((before < 0.0) != (after < 0.0))
        found.append((rows[hit], before[hit] / (before[hit] - after[hit])))

    # What comes into reach in the step is found from its end, what goes out of it from its beginning.
    for group, ahead in itertools.product(range(len(path.floor)), (0, 1)):
        k, entry = expanded(*path.index.lookup(place[row + ahead], group))
        rows, piece = row[k], path.bundles.middle[path.index.piece(entry)]
        a, b = place[rows], place[rows + 1]
        end = p.start[piece] + p.along[piece] * p.length[piece][:, None]
        u, line = p.along[piece], ~p.arc[piece]
        d, e = a - p.start[piece], b - p.start[piece]
        side0, side1 = (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0] for v in (d, e))
        # Beyond the ends of a line its discs tell, not its sides.
        foot = (e * u).sum(1)
        beside = line & (foot > -2.0 * radius) & (foot < p.length[piece] + 2.0 * radius)
        for far in (-2.0 * radius, 0.0, 2.0 * radius):
            roots(rows[beside], side0[beside] - far, side1[beside] - far)
        q0, q1 = (np.hypot(*(v - p.centre[piece]).T) for v in (a, b))
        arc = ~line
        rho = p.radius[piece]
        for ring in (rho + 2.0 * radius, rho, np.abs(rho - 2.0 * radius)):
            roots(rows[arc], (q0 - ring)[arc], (q1 - ring)[arc])
        last = p.first[piece] + p.sweep[piece]
        on_arc = p.centre[piece] + rho[:, None] * np.stack([np.cos(last), np.sin(last)], 1)
        for point in (p.start[piece], np.where(line[:, None], end, on_arc)):
            roots(rows, *(np.hypot(*(v - point).T) - 2.0 * radius for v in (a, b)))
    edge = path.edge
    for ahead in (0, 1):
        k, entry = expanded(*edge.near.lookup(place[row + ahead]))
        rows, side = row[k], edge.near.piece(entry)
        a, b = place[rows], place[rows + 1]
        ends = edge.ends[side]
        step = ends[:, 2:] - ends[:, :2]
        u = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)[:, None]
        off0, off1 = (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0] for v in (a - ends[:, :2], b - ends[:, :2]))
        line = ~edge.arc[side]
        for far in (-radius, radius):
            roots(rows[line], (off0 - far)[line], (off1 - far)[line])
        q0, q1 = (np.hypot(*(v - edge.centre[side]).T) for v in (a, b))
        for ring in (edge.radius[side] + radius, np.abs(edge.radius[side] - radius)):
            roots(rows[~line], (q0 - ring)[~line], (q1 - ring)[~line])
        for point in (ends[:, :2], ends[:, 2:]):
            roots(rows, *(np.hypot(*(v - point).T) - radius for v in (a, b)))
    return found


def spikes(profile: Profile, number: int) -> Index:
    """Rows of the profile that are its highest spikes, highest first, at most ``number``.

    A lesser spike counts if the arc falls to 0.9 of it between it and every higher one; between two moves that do
    not follow one another the cutter is lifted or fed down, and the arc falls to nothing.
    """
    m = len(profile.arc)
    # A row of nothing wherever the path is interrupted.
    broken = np.flatnonzero(np.diff(profile.move) > 1) + 1
    arc = np.insert(profile.arc, broken, 0.0)
    row = np.insert(np.arange(m), broken, -1)
    taken = np.zeros(len(arc), bool)
    found: list[int] = []
    order = np.argsort(-arc, kind="stable")
    accepted = np.zeros(len(arc), bool)
    i = 0
    while i < len(order) and len(found) < number:
        at = order[i]
        i += 1
        if taken[at]:
            continue
        if arc[at] <= 0.0:
            break
        low = arc <= FALL * arc[at]
        left = np.flatnonzero(low[:at])
        right = np.flatnonzero(low[at:])
        span = slice(left[-1] + 1 if left.size else 0, at + right[0] if right.size else len(arc))
        if not accepted[span].any():
            accepted[at] = True
            # Of a long even stretch its beginning.
            start = span.start + int(np.argmax(arc[span] >= arc[at] - EVEN_ARC))
            found.append(int(row[start]))
        taken[span] = True
    return np.array(found, np.int64)
