"""What a path sweeps, in its order: lines (plunges are lines without length) and arcs that remove something.

Consecutive moves on one straight line at one height are one piece: what they sweep is the same, and a program that
cuts a line into short moves then costs no more than the line.  Short pieces that follow one another at one height are
bundled, so that most of them need never be looked at one by one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .moves import ARC, Moves

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STRAIGHT = 1e-9
"""How far (mm) from one line the joints of moves may be that count as one piece: rounding."""

MOST = 32
"""Pieces in a bundle."""


@dataclass(frozen=True, eq=False)
class Pieces:
    """Swept pieces of the centre's path, ascending in time; lengths in mm, angles in rad.

    arc : (n,) bool.  start : (n, 2).  length : (n,) of a line, 0 for a plunge.  along : (n, 2) unit vector of a
    line.  centre, radius, first, sweep : of an arc; ``first`` is its start angle, ``sweep`` is signed.
    z : (n, 2) height of the tip at start and end.  of_move : (moves,) piece of each move, -1 where it removes
    nothing.  begin : (n,) first move of each piece.
    """

    arc: NDArray[np.bool_]
    start: Array
    length: Array
    along: Array
    centre: Array
    radius: Array
    first: Array
    sweep: Array
    z: Array
    of_move: Index
    begin: Index

    def __len__(self) -> int:
        return len(self.arc)

    @property
    def flat(self) -> NDArray[np.bool_]:
        """(n,) pieces whose tip stays at one height."""
        return np.asarray(self.z[:, 0] == self.z[:, 1])


def _joined(moves: Moves, keep: Index) -> NDArray[np.bool_]:
    """For each kept move whether it goes on straight from the kept move before it, at the same height."""
    if not len(keep):
        return np.zeros(0, bool)
    start, end = moves.start_mm[keep], moves.end_mm[keep]
    line, flat = moves.kind[keep] != ARC, start[:, 2] == end[:, 2]
    step = end[:, :2] - start[:, :2]
    length = np.hypot(step[:, 0], step[:, 1])
    along = step / np.where(length > 0.0, length, 1.0)[:, None]
    turn = np.abs(along[1:, 0] * along[:-1, 1] - along[1:, 1] * along[:-1, 0])
    plain = line & flat & (length > 0.0)
    joined = np.zeros(len(keep), bool)
    joined[1:] = (
        (keep[1:] == keep[:-1] + 1)
        & (plain[1:] & plain[:-1])
        & (start[1:] == end[:-1]).all(1)
        & ((along[1:] * along[:-1]).sum(1) > 0.0)
        & (turn * np.maximum(length[1:], length[:-1]) <= STRAIGHT)
    )
    # Many turns too small to see may add up: every joint must lie on the line from the run's first to its last point.
    run = np.cumsum(~joined) - 1
    head = np.flatnonzero(~joined)
    last = np.append(head[1:], len(keep)) - 1
    whole = end[last, :2] - start[head, :2]
    whole = whole / np.maximum(np.hypot(whole[:, 0], whole[:, 1]), 1e-300)[:, None]
    off = end[:, :2] - start[head[run], :2]
    aside = np.abs(whole[run, 0] * off[:, 1] - whole[run, 1] * off[:, 0])
    bent = np.bincount(run, aside > STRAIGHT, len(head)) > 0
    return np.asarray(joined & ~bent[run])


def swept_pieces(moves: Moves) -> Pieces:
    """The pieces of all moves that remove something (not ``clear``)."""
    keep = np.flatnonzero(~moves.clear)
    joined = _joined(moves, keep)
    group = np.cumsum(~joined) - 1
    begin = keep[~joined]
    end = keep[np.append(~joined[1:], True)] if len(keep) else keep
    of_move = np.full(len(moves), -1)
    of_move[keep] = group
    start = moves.start_mm[begin]
    step = moves.end_mm[end][:, :2] - start[:, :2]
    arc = moves.kind[begin] == ARC
    length = np.where(arc, 0.0, np.hypot(step[:, 0], step[:, 1]))
    along = np.where(length[:, None] > 0.0, step / np.where(length > 0.0, length, 1.0)[:, None], [1.0, 0.0])
    centre = np.where(arc[:, None], moves.centre_mm[begin], 0.0)
    out = start[:, :2] - centre
    return Pieces(
        arc=arc,
        start=np.ascontiguousarray(start[:, :2]),
        length=length,
        along=along,
        centre=centre,
        radius=np.where(arc, np.hypot(out[:, 0], out[:, 1]), 0.0),
        first=np.arctan2(out[:, 1], out[:, 0]),
        sweep=np.where(arc, moves.sweep_rad[begin], 0.0),
        z=np.stack([start[:, 2], moves.end_mm[end][:, 2]], 1),
        of_move=of_move,
        begin=begin,
    )


@dataclass(frozen=True, eq=False)
class Bundles:
    """Runs of short flat lines that go on from one another; every other piece is a bundle of its own.

    first : (b + 1,) first piece of each.  of_piece : (n,).  middle : (b,) the piece in the middle.
    centre : (b, 2) middle of that piece, mm; spread : (b,) how far any point of the bundle may be from there.
    """

    first: Index
    of_piece: Index
    middle: Index
    centre: Array
    spread: Array

    def __len__(self) -> int:
        return len(self.middle)

    @property
    def many(self) -> NDArray[np.bool_]:
        """(b,) bundles of more than one piece."""
        return np.diff(self.first) > 1


def bundles(pieces: Pieces, longest: float) -> Bundles:
    """Bundles at most about ``longest`` mm long of pieces at most half as long."""
    n = len(pieces)
    short = ~pieces.arc & pieces.flat & (pieces.length <= longest / 2.0)
    end = pieces.start + pieces.along * pieces.length[:, None]
    goes_on = np.zeros(n, bool)
    goes_on[1:] = (
        (short[1:] & short[:-1])
        & (np.abs(pieces.start[1:] - end[:-1]).max(1) <= STRAIGHT)
        & (pieces.z[1:, 0] == pieces.z[:-1, 0])
    )
    stretch = np.floor(np.cumsum(np.where(short, pieces.length, 0.0)) / longest)
    goes_on[1:] &= stretch[1:] == stretch[:-1]
    count = np.arange(n) - np.maximum.accumulate(np.where(goes_on, 0, np.arange(n)))
    goes_on &= count % MOST != 0
    head = np.flatnonzero(~goes_on)
    of_piece = np.cumsum(~goes_on) - 1
    first = np.append(head, n)
    middle = (first[:-1] + first[1:]) // 2
    centre = pieces.start[middle] + pieces.along[middle] * (pieces.length[middle] / 2.0)[:, None]
    spread = np.zeros(len(head))
    for points in (pieces.start, end):
        off = points - centre[of_piece]
        np.maximum.at(spread, of_piece, np.hypot(off[:, 0], off[:, 1]))
    return Bundles(first, of_piece, middle, centre, spread)


def repeated(pieces: Pieces) -> NDArray[np.bool_]:
    """(n,) flat pieces that sweep what one before them has swept, whichever way round: they remove nothing more.

    A program that runs many times along the same line would else look at all of them at each of its places.
    """
    p = pieces
    end = p.start + p.along * p.length[:, None]
    turned = (end[:, 0] < p.start[:, 0]) | ((end[:, 0] == p.start[:, 0]) & (end[:, 1] < p.start[:, 1]))
    low, high = (np.where(turned[:, None], *pair) for pair in ((end, p.start), (p.start, end)))
    first = np.minimum(p.first, p.first + p.sweep) % (2.0 * np.pi)
    whole = np.abs(p.sweep) >= 2.0 * np.pi
    arcs = np.stack([p.radius, np.where(whole, 0.0, first), np.abs(p.sweep), np.ones(len(p))], 1)
    lines = np.hstack([high, np.zeros((len(p), 2))])
    rows = np.hstack([np.where(p.arc[:, None], p.centre, low), np.where(p.arc[:, None], arcs, lines), p.z])
    _, first_of = np.unique(np.round(rows / STRAIGHT), axis=0, return_index=True)
    again = np.ones(len(p), bool)
    again[first_of] = False
    return np.asarray(again & p.flat)
