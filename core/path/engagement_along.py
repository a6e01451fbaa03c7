"""What is engaged at places of a path: the intervals of the tooth's angle that cut, exact for lines and arcs.

A tooth at phi cuts if its tip lies in the stock and in no disc of the cutter about an earlier place whose tip was at
or below the tip now (``path-report``: each depth is a level of its own; a ramp removes at a height only where its
tip has got there).  Intervals on the circle are found in closed form against the few earlier pieces of the path that
an index gives (:mod:`.nearby`, :mod:`.covered_arc`) and against the stock's outline (:mod:`.stock_edge`), and what
none of them covers is left.  No polygon is cut, so nothing adds up along a long program, and a place costs the same
early and late.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .covered_arc import covered_by_arcs, covered_by_lines
from .front_half import HALF, QUARTER, SLIVER, TURN, FrontHalf, Reach
from .moves import Moves, Stock
from .nearby import Chunks, Grid, chunks_of, expanded, grid
from .path_places import Engaged, Places, places_on
from .pieces import Bundles, Pieces, bundles, repeated, swept_pieces
from .stock_edge import StockEdge, stock_edge

Array = NDArray[np.float64]
Index = NDArray[np.int64]

LEVEL = 1e-6
"""Heights (mm) that differ by no more are one."""

BUNDLE = 0.3
"""Length, in radii, of a bundle of short pieces."""

MOST_PAIRS = 250_000
"""Pairs of place and earlier piece looked at in one go: what a processor's cache holds."""


class PathEngagement:
    """A path in its stock with one cutter, ready to tell what is engaged at any of its places.

    moves, stock : as read; radius_mm : of the cutter; left : a left-hand cutter.
    """

    def __init__(self, moves: Moves, stock: Stock, radius_mm: float, left: bool = False) -> None:
        self.moves, self.stock, self.radius, self.left = moves, stock, float(radius_mm), left
        self.pieces: Pieces = swept_pieces(moves)
        self.edge: StockEdge = stock_edge(stock, self.radius)
        p = self.pieces
        lowest = p.z.min(axis=1, initial=np.inf) if len(p) else np.zeros(0)
        heights = np.unique(np.round(lowest / LEVEL) * LEVEL)
        if len(heights) > 16:
            heights = np.unique(np.quantile(lowest, np.linspace(0.0, 1.0, 17)[:-1], method="lower"))
        # A piece belongs to the highest of these that is not above its lowest place.
        self.floor: Array = heights
        group = np.maximum(np.searchsorted(heights, lowest + LEVEL, side="right") - 1, 0)
        self._level = p.flat.all() and bool(len(lowest) == 0 or np.abs(heights[group] - lowest).max() <= 2 * LEVEL)
        self.bundles: Bundles = bundles(p, BUNDLE * self.radius)
        self._many = bool(self.bundles.many.any())
        whole = float(np.where(p.arc, np.abs(p.sweep) * p.radius, p.length).sum())
        step = max(2.0 * self.radius, whole / 2_000_000.0)
        chunks = chunks_of(p.start, p.along, p.length, p.centre, p.radius, p.first, p.sweep, p.arc, step)
        chunks = self._bundled(chunks)
        group = group[self.bundles.middle]
        self.index: Grid = grid(chunks, len(self.bundles), 2.0 * self.radius, self.radius, group)
        # Columns of their own: to gather from them is most of the work.
        self._x, self._y, self._ux, self._uy = (
            np.ascontiguousarray(v) for v in (p.start[:, 0], p.start[:, 1], p.along[:, 0], p.along[:, 1])
        )

    def _bundled(self, chunks: Chunks) -> Chunks:
        """Chunks of pieces as chunks of bundles: of one with many pieces a single point, from which they stray."""
        of = self.bundles.of_piece[chunks.piece]
        single = ~self.bundles.many[of] & ~repeated(self.pieces)[chunks.piece]
        many = np.flatnonzero(self.bundles.many)
        point = self.bundles.centre[many]
        return Chunks(
            np.vstack([chunks.start[single], point]),
            np.vstack([chunks.end[single], point]),
            np.concatenate([chunks.stray[single], self.bundles.spread[many]]),
            np.concatenate([of[single], many]),
        )

    def at(self, move: ArrayLike, along: ArrayLike) -> Engaged:
        """Intervals at places ``along`` (m,) mm from the starts of the moves (m,), which are fed and have a length.

        Where a move ends, what was cut by it up to there counts and nothing of the next one.
        """
        return self.engaged(places_on(self.moves, move, along, self.stock.top_z_mm))

    def engaged(self, places: Places) -> Engaged:
        """Intervals at places, see :meth:`at`."""
        m = len(places)
        cut = np.flatnonzero(~places.air)
        sub = Places(*(getattr(places, name)[cut] for name in ("move", "along", "place", "z", "heading", "air")))
        own = self.pieces.of_move[sub.move]
        rows, starts, counts = [], [], []
        for group, floor in enumerate(self.floor):
            row = np.flatnonzero(sub.z >= floor - LEVEL)
            if row.size:
                before = self.bundles.of_piece[own[row]]
                start, count = self.index.lookup(sub.place[row], group, before)
                some = count > 0
                rows.append(row[some])
                starts.append(start[some])
                counts.append(count[some])
        row = np.concatenate(rows) if rows else np.zeros(0, np.int64)
        order = np.argsort(row, kind="stable")
        row = row[order]
        start, count = (np.concatenate(v)[order] if v else row for v in (starts, counts))
        # Lists of a place stand together; places are taken in goes of so many pairs.
        before = np.searchsorted(row, np.arange(len(sub) + 1))
        pairs = np.concatenate([[0], np.cumsum(count)])[before]
        number, entry, leave = [], [], []
        low = 0
        while low < len(sub):
            high = int(np.searchsorted(pairs, pairs[low] + MOST_PAIRS, side="right")) - 1
            high = min(max(high, low + 1), low + 16_384, len(sub))
            part = slice(before[low], before[high])
            i, a, b = self._left_over(sub, own, low, high, row[part] - low, start[part], count[part])
            number.append(cut[i + low])
            entry.append(a)
            leave.append(b)
            low = high
        place = np.concatenate(number) if number else np.zeros(0, np.int64)
        first = np.concatenate([[0], np.cumsum(np.bincount(place, minlength=m))])
        join = [np.concatenate(v) if v else np.zeros(0) for v in (entry, leave)]
        return Engaged(first, join[0], join[1])

    def _left_over(
        self, all_: Places, all_own: Index, low: int, high: int, row: Index, start: Index, count: Index
    ) -> tuple[Index, Array, Array]:
        """Intervals of the places ``low`` to ``high``: rows from 0 and entry and exit, ascending."""
        n = high - low
        place, z, heading = all_.place[low:high], all_.z[low:high], all_.heading[low:high]
        window = FrontHalf(n, heading)
        list_, entry = expanded(start, count)
        row, bundle = row[list_], self.index.piece(entry)
        # Of a bundle its middle stands for all until it is known where that may matter.
        piece = self.bundles.middle[bundle]
        arcs = self.pieces.arc[piece]
        if arcs.any():
            line = ~arcs
            self._cover_lines(window, place, z, row[line], piece[line])
            self._cover_arcs(window, place, z, row[arcs], piece[arcs])
        else:
            self._cover_lines(window, place, z, row, piece)
        # Of the move itself an arc may come round to its own beginning; a line has only what is behind.
        own = all_own[low:high]
        way = all_.along[low:high] / np.maximum(self.pieces.radius[own], 1e-300)
        # One that is not tighter than the cutter must be more than half round before it does.
        round_ = (self.pieces.radius[own] < self.radius) | (way > np.pi)
        mine = np.flatnonzero(self.pieces.arc[own] & round_)
        if mine.size:
            self._cover_arcs(window, place, z, mine, own[mine], all_.along[low:high][mine])
        self._cover_air(window, place, heading)
        a, b, i = window.gaps()
        if self._many:
            rows = np.concatenate([row, np.arange(n)])
            all_bundles = np.concatenate([bundle, self.bundles.of_piece[own]])
            if self._cover_bundles(window, place, z, own, rows, all_bundles, (a, b, i)):
                a, b, i = window.gaps()
        if self.left:
            a, b = a + QUARTER, b + QUARTER
        else:
            # Angles fall with phi: each place's intervals are turned round.
            first = np.searchsorted(i, np.arange(n + 1))
            turned = first[i] + first[i + 1] - 1 - np.arange(len(i))
            a, b = QUARTER - b[turned], QUARTER - a[turned]
        # What begins or ends at the side to rounding does so.
        return i, np.where(a < SLIVER, 0.0, a), np.where(b > HALF - SLIVER, HALF, b)

    def _shares(self, z: Array, piece: Index) -> tuple[Array, Array] | None:
        """Which part of each piece, as shares of it from 0 to 1, has its tip at or below z; None: all of all."""
        if self._level:
            return None
        z0, z1 = self.pieces.z[piece].T
        flat = z0 == z1
        at = (z - z0) / np.where(flat, 1.0, z1 - z0)
        none = flat & (z0 > z + LEVEL)
        # Falling: from there on; rising: up to there.
        begin = np.where(flat, np.where(none, 2.0, 0.0), np.where(z1 < z0, at, 0.0))
        end = np.where(flat, 1.0, np.where(z1 < z0, 1.0, at))
        return np.maximum(begin, 0.0), np.minimum(end, 1.0)

    def _cover_bundles(
        self,
        window: FrontHalf,
        place: Array,
        z: Array,
        own: Index,
        row: Index,
        bundle: Index,
        gaps: tuple[Array, Array, Index],
    ) -> bool:
        """Cover by the single pieces of bundles, where these may reach into what is left; whether any was covered."""
        many = np.flatnonzero(self.bundles.many[bundle])
        row, bundle = row[many], bundle[many]
        test = Reach(window, place, gaps, self.radius)
        centre = self.bundles.centre
        near = test.reached(row, centre[:, 0][bundle], centre[:, 1][bundle], self.bundles.spread[bundle])
        row, bundle = row[near], bundle[near]
        first = self.bundles.first[bundle]
        # Of the place's own bundle only what came before it.
        count = np.minimum(self.bundles.first[bundle + 1], own[row]) - first
        pair, piece = expanded(first, np.maximum(count, 0))
        row = row[pair]
        half = 0.5 * self.pieces.length[piece]
        x, y = self._x[piece] + half * self._ux[piece], self._y[piece] + half * self._uy[piece]
        near = test.reached(row, x, y, half)
        self._cover_lines(window, place, z, row[near], piece[near])
        return bool(near.size)

    def _cover_lines(self, window: FrontHalf, place: Array, z: Array, row: Index, piece: Index) -> None:
        p = self.pieces
        begin: Array | float = 0.0
        end = p.length[piece]
        shares = self._shares(z[row], piece)
        if shares is not None:
            some = np.flatnonzero(shares[1] >= shares[0])
            row, piece = row[some], piece[some]
            begin, end = shares[0][some] * end[some], shares[1][some] * end[some]
        dx, dy = place[:, 0][row] - self._x[piece], place[:, 1][row] - self._y[piece]
        k, a, b = covered_by_lines(dx, dy, self._ux[piece], self._uy[piece], begin, end, self.radius)
        window.cover(row[k], a, b)

    def _cover_arcs(
        self, window: FrontHalf, place: Array, z: Array, row: Index, piece: Index, upto: Array | None = None
    ) -> None:
        p = self.pieces
        d = place[row] - p.centre[piece]
        rho, sweep = p.radius[piece], p.sweep[piece]
        low, high = np.zeros(len(row)), np.ones(len(row))
        if upto is not None:
            high = np.clip(upto / np.maximum(np.abs(sweep) * rho, 1e-300), 0.0, 1.0)
        shares = self._shares(z[row], piece)
        if shares is not None:
            low, high = np.maximum(low, shares[0]), np.minimum(high, shares[1])
        q = np.hypot(d[:, 0], d[:, 1])
        some = np.flatnonzero((high >= low) & (np.abs(q - rho) < 2.0 * self.radius))
        row, piece, d, rho, sweep = row[some], piece[some], d[some], rho[some], sweep[some]
        low, high = low[some], high[some]
        a, b = p.first[piece] + sweep * low, p.first[piece] + sweep * high
        k, start, end = covered_by_arcs(d[:, 0], d[:, 1], rho, np.minimum(a, b), np.abs(b - a), self.radius)
        window.cover(row[k], start, end)

    def _cover_air(self, window: FrontHalf, place: Array, heading: Array) -> None:
        """Cover what is not in the stock."""
        row, angle, near = self.edge.crossings(place, self.radius)
        far = np.flatnonzero(~near)
        out = far[~self.edge.inside(place[far])]
        window.cover_inside(out, np.full(len(out), -QUARTER), np.full(len(out), QUARTER))
        by = np.flatnonzero(near)
        turned = (angle - heading[row] + HALF) % TURN - HALF
        front = np.abs(turned) < QUARTER
        rows = np.concatenate([row[front], by, by])
        marks = np.concatenate([turned[front], np.full(len(by), -QUARTER), np.full(len(by), QUARTER)])
        order = np.argsort(rows * 4.0 + marks)
        rows, marks = rows[order], marks[order]
        piece = np.flatnonzero((rows[1:] == rows[:-1]) & (marks[1:] > marks[:-1]))
        r, a, b = rows[piece], marks[piece], marks[piece + 1]
        middle = heading[r] + 0.5 * (a + b)
        points = place[r] + self.radius * np.stack([np.cos(middle), np.sin(middle)], 1)
        air = ~self.edge.inside(points)
        window.cover_inside(r[air], a[air], b[air])
