"""An index of the plane: which pieces of a path or a stock may lie within a reach of a place.

A square grid.  A piece is entered in every cell of which some point may be within the reach, so that a place looks
into its own cell alone, where it finds the pieces in ascending order: the earlier ones are a part of that list.
Cells are folded onto a finite table; two that fall together only give pieces that are then found to be far.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.int64]

MOST = 12_000_000
"""Entries beyond which the cells are made larger: the table must fit any computer."""

FOLD = 1 << 17
"""Cells along an axis before the table repeats itself."""


def expanded(start: Index, count: Index) -> tuple[Index, Index]:
    """Rows and entries of ragged ranges: row i (repeated) and ``start[i] .. start[i] + count[i] - 1``."""
    row = np.repeat(np.arange(len(count)), count)
    ends = np.cumsum(count)
    first = np.repeat(start - (ends - count), count)
    return row, first + np.arange(len(row))


@dataclass(frozen=True, eq=False)
class Chunks:
    """Short straight spans that stand for pieces: ends (n, 2) mm, how far the piece strays from them, the piece."""

    start: Array
    end: Array
    stray: Array
    piece: Index


@dataclass(frozen=True, eq=False)
class Grid:
    """The index.  ``keys`` (entries,) ascending hold group, cell and piece, of which there are ``pieces``."""

    cell: float
    pieces: int
    keys: Index

    def lookup(self, place: Array, group: Index | int = 0, before: Index | None = None) -> tuple[Index, Index]:
        """For places (m, 2) the first entry and the number of entries of pieces below ``before`` (m,)."""
        at = np.floor(place / self.cell).astype(np.int64) % FOLD
        base = ((np.asarray(group) * FOLD + at[:, 0]) * FOLD + at[:, 1]) * self.pieces
        start = np.searchsorted(self.keys, base)
        last = np.searchsorted(self.keys, base + (self.pieces if before is None else before))
        return start, last - start

    def piece(self, entry: Index) -> Index:
        """The piece of each entry."""
        return np.asarray(self.keys[entry] % self.pieces)


def _entries(chunks: Chunks, cell: float, reach: float) -> tuple[Array, Index, Index]:
    """Lower corner (n, 2) in cells of each chunk's rectangle of cells, and the number of cells along x and y."""
    wide = (reach + chunks.stray)[:, None]
    low = np.floor((np.minimum(chunks.start, chunks.end) - wide) / cell)
    high = np.floor((np.maximum(chunks.start, chunks.end) + wide) / cell)
    size = (high - low).astype(np.int64) + 1
    return low, size[:, 0], size[:, 1]


def grid(chunks: Chunks, pieces: int, reach: float, cell: float, group: Index | None = None) -> Grid:
    """The index of chunks within ``reach`` (mm), with cells of ``cell`` mm or, if these were too many, larger ones.

    group : (pieces,) at most 32 groups that are looked up separately.
    """
    pieces = max(pieces, 1)
    while True:
        low, nx, ny = _entries(chunks, cell, reach)
        if int((nx * ny).sum()) <= max(MOST, 16 * len(nx)):
            break
        cell *= 2.0
    parts = []
    for part in np.array_split(np.arange(len(nx)), max(1, int((nx * ny).sum()) // 2_000_000)):
        row, k = expanded(np.zeros(len(part), np.int64), (nx * ny)[part])
        row = part[row]
        i, j = np.divmod(k, ny[row])
        x, y = low[row, 0] + i, low[row, 1] + j
        a, b = chunks.start[row], chunks.end[row]
        step = b - a
        off = np.stack([x + 0.5, y + 0.5], 1) * cell - a
        square = (step * step).sum(1)
        share = np.clip((off * step).sum(1) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
        off -= share[:, None] * step
        far = reach + chunks.stray[row] + 0.7072 * cell
        near = (off * off).sum(1) <= far * far
        x, y, piece = x[near].astype(np.int64) % FOLD, y[near].astype(np.int64) % FOLD, chunks.piece[row[near]]
        key = x * FOLD + y
        if group is not None:
            key = key + group[piece] * (FOLD * FOLD)
        parts.append(np.unique(key * pieces + piece))
    keys = np.concatenate(parts) if parts else np.zeros(0, np.int64)
    return Grid(cell, pieces, np.unique(keys) if len(parts) > 1 else keys)


def chunks_of(
    start: Array,
    along: Array,
    length: Array,
    centre: Array,
    radius: Array,
    first: Array,
    sweep: Array,
    arc: NDArray[np.bool_],
    step: float,
) -> Chunks:
    """Chunks at most about ``step`` mm long of lines (where not ``arc``) and arcs."""
    whole = np.where(arc, np.abs(sweep) * radius, length)
    # An arc has at least one chunk for each eighth of a turn, so that it hardly strays from its chords.
    least = np.where(arc, np.ceil(np.abs(sweep) / (np.pi / 4.0)), 1.0)
    count = np.maximum(np.maximum(np.ceil(whole / step), least), 1.0).astype(np.int64)
    piece, k = expanded(np.zeros(len(count), np.int64), count)
    ends = []
    for share in (k / count[piece], (k + 1) / count[piece]):
        angle = first[piece] + sweep[piece] * share
        on_arc = centre[piece] + radius[piece, None] * np.stack([np.cos(angle), np.sin(angle)], 1)
        on_line = start[piece] + along[piece] * (length[piece] * share)[:, None]
        ends.append(np.where(arc[piece, None], on_arc, on_line))
    stray = np.where(arc, radius * (1.0 - np.cos(sweep / count / 2.0)), 0.0)
    return Chunks(ends[0], ends[1], stray[piece], piece)
