"""The worst places of a path: where the arc of engagement is longest, found whatever lies between the samples.

Both sides of every joint are looked at, and even places between.  The arc can only rise and fall steeply, or have a
corner, where the tooth's circle begins to touch a boundary: a side or corner of the stock, or what an earlier piece
of the path has swept.  Such a touch is a change of sign of a distance, so between two neighbouring places each is
found and looked at too; a thin web of stock cannot slip through.  Then steps are halved where the arc changes much.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .engagement_along import LEVEL, PathEngagement
from .fed_length import FedLength
from .nearby import expanded
from .path_places import Places, places_on

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

MOST_PAIRS = 400_000
"""Pairs of a step and a boundary looked at in one go."""

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
    none = np.zeros(0, np.int64), np.zeros(0)
    if not pair.size:
        return none
    parts, alongs = [none[0]], [none[1]]
    for row, share in _changes(path, at, pair):
        a, b = places.along[row], places.along[row + 1]
        where = a + share * (b - a)
        for s in (where, where + AFTER * path.radius):
            inside = (s > a) & (s < b)
            parts.append(places.part[row[inside]])
            alongs.append(s[inside])
    part, along = np.concatenate(parts), np.concatenate(alongs)
    # Touches of pieces that go on from one another fall together.
    order = np.lexsort([along, part])
    part, along = part[order], along[order]
    new = np.ones(len(part), bool)
    new[1:] = (np.diff(part) != 0) | (np.diff(along) > AFTER * path.radius / 4.0)
    first = np.flatnonzero(new)
    # Beyond any use: every so many of them.
    first = first[:: 1 + len(first) // (2 * MOST)]
    return part[first], along[first]


def _changes(path: PathEngagement, at: Places, row: Index) -> Iterator[tuple[Index, Array]]:
    """Rows and shares of the step from a place to the next one at which a distance changes its sign."""
    own = path.bundles.of_piece[path.pieces.of_move[at.move]]
    # What comes into reach in the step is found from its end, what goes out of it from its beginning.
    for ahead in (0, 1):
        for group, floor in enumerate(path.floor):
            deep = row[at.z[row] >= floor - LEVEL]
            start, count = path.index.lookup(at.place[deep + ahead], group, own[deep] + 1)
            for k, entry in _portions(start, count):
                piece = path.bundles.middle[path.index.piece(entry)]
                yield from _piece_changes(path, at.place, deep[k], piece)
        start, count = path.edge.near.lookup(at.place[row + ahead])
        for k, entry in _portions(start, count):
            yield from _side_changes(path, at.place, row[k], path.edge.near.piece(entry))


def _portions(start: Index, count: Index) -> Iterator[tuple[Index, Index]]:
    """Rows and entries as :func:`expanded` gives them, in portions of so many."""
    ends = np.cumsum(count)
    low = 0
    while low < len(count):
        done = ends[low - 1] if low else 0
        high = max(int(np.searchsorted(ends, done + MOST_PAIRS, side="right")), low + 1)
        row, entry = expanded(start[low:high], count[low:high])
        yield row + low, entry
        low = high


def _root(rows: Index, before: Array, after: Array) -> tuple[Index, Array]:
    """Rows in which a distance changes its sign, and at which share of the step, by a straight line."""
    hit = np.flatnonzero((before < 0.0) != (after < 0.0))
    return rows[hit], before[hit] / (before[hit] - after[hit])


def _far(points: Array, origin: Array) -> Array:
    """Distance of points (n, 2) from others."""
    return np.hypot(points[:, 0] - origin[:, 0], points[:, 1] - origin[:, 1])


def _aside(points: Array, origin: Array, u: Array) -> Array:
    """Signed distance of points from lines through an origin along u, positive to the left."""
    return np.asarray(u[:, 0] * (points[:, 1] - origin[:, 1]) - u[:, 1] * (points[:, 0] - origin[:, 0]))


def _piece_changes(path: PathEngagement, place: Array, rows: Index, piece: Index) -> Iterator[tuple[Index, Array]]:
    """Touches of what earlier pieces have swept."""
    radius, p = path.radius, path.pieces
    a, b = place[rows], place[rows + 1]
    for i in (np.flatnonzero(~p.arc[piece]), np.flatnonzero(p.arc[piece])):
        k, c, d, r = piece[i], a[i], b[i], rows[i]
        if not i.size:
            continue
        if p.arc[k[0]]:
            rho, last = p.radius[k], p.first[k] + p.sweep[k]
            end = p.centre[k] + rho[:, None] * np.stack([np.cos(last), np.sin(last)], 1)
            for ring in (rho + 2.0 * radius, rho, np.abs(rho - 2.0 * radius)):
                yield _root(r, _far(c, p.centre[k]) - ring, _far(d, p.centre[k]) - ring)
        else:
            u = p.along[k]
            end = p.start[k] + u * p.length[k][:, None]
            side = _aside(c, p.start[k], u), _aside(d, p.start[k], u)
            for far in (-2.0 * radius, 0.0, 2.0 * radius):
                yield _root(r, side[0] - far, side[1] - far)
        for point in (p.start[k], end):
            yield _root(r, _far(c, point) - 2.0 * radius, _far(d, point) - 2.0 * radius)


def _side_changes(path: PathEngagement, place: Array, rows: Index, side: Index) -> Iterator[tuple[Index, Array]]:
    """Touches of sides and corners of the stock."""
    radius, edge = path.radius, path.edge
    a, b, ends = place[rows], place[rows + 1], edge.ends[side]
    arc = edge.arc[side]
    step = ends[:, 2:] - ends[:, :2]
    u = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)[:, None]
    for far in (-radius, radius):
        off = (_aside(v, ends[:, :2], u)[~arc] - far for v in (a, b))
        yield _root(rows[~arc], *off)
    for ring in (edge.radius[side] + radius, np.abs(edge.radius[side] - radius)):
        off = ((_far(v, edge.centre[side]) - ring)[arc] for v in (a, b))
        yield _root(rows[arc], *off)
    for point in (ends[:, :2], ends[:, 2:]):
        yield _root(rows, *(_far(v, point) - radius for v in (a, b)))


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
    rows: list[int] = []
    order = np.argsort(-arc, kind="stable")
    accepted = np.zeros(len(arc), bool)
    i = 0
    while i < len(order) and len(rows) < number:
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
            rows.append(int(row[start]))
        taken[span] = True
    return np.array(rows, np.int64)
