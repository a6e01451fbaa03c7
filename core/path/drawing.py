"""A drawing as a path of the cutter's centre: one chain at feed for each polyline, lifted between the chains."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection
from math import nan

import numpy as np

from .dxf_pieces import Piece, read_pieces
from .moves import ARC, LINE, RAPID, Moves, Program
from .sides import Side, joints


def read_drawing(data: bytes, file: str, *, top_z_mm: float = 0.0, layers: Collection[str] | None = None) -> Program:
    """The path that a DXF drawing shows; ``file`` is its name for the errors.

    Polylines run in file order and vertex order.  Single LINEs run from start to end, ARCs and CIRCLEs
    counter-clockwise; those that meet end to start are one chain.  Every chain is at depth, between them the cutter
    is lifted.  top_z_mm : the height that all moves are put at.  layers : names of those to read, all if None.

    Raises DocumentError naming entity type, handle, place, what was found and what is allowed.
    """
    drawn = read_pieces(data, file, layers)
    if any(piece.kind != "LWPOLYLINE" for piece in drawn.pieces):
        drawn.doubts.add("direction", None)
    rows: list[tuple[float, ...]] = []
    bounds: list[tuple[int, int]] = []
    for chain in _chains(drawn.pieces):
        x, y = chain[0].x0, chain[0].y0
        if rows and rows[-1][3:5] != (x, y):
            rows.append((RAPID, *rows[-1][3:5], x, y, nan, nan, 0.0))
        first = len(rows)
        for side in chain:
            joined = side.moved(x, y, side.x1, side.y1) if abs(side.sweep) < 6.0 else side
            rows.append((ARC if joined.sweep else LINE, *joined))
            x, y = joined.x1, joined.y1
        bounds.append((first, len(rows)))
    table = np.array(rows)
    n = len(table)
    height = np.full((n, 1), top_z_mm)
    nowhere = np.full(n, nan)
    moves = Moves(
        table[:, 0],
        np.hstack([table[:, 1:3], height]),
        np.hstack([table[:, 3:5], height]),
        table[:, 5:7],
        table[:, 7],
        nowhere,
        nowhere,
        np.zeros(n),
        table[:, 0] == RAPID,
    )
    chains = np.array(bounds)
    chains.flags.writeable = False
    return Program(moves, drawn.units, drawn.doubts.all(), False, chains)


def _chains(pieces: list[Piece]) -> list[list[Side]]:
    """Sides in the order in which they are cut; a chain stands where its first piece stands in the file."""
    single = [i for i, piece in enumerate(pieces) if piece.kind in ("LINE", "ARC")]
    chains = {i: piece.sides for i, piece in enumerate(pieces) if piece.kind not in ("LINE", "ARC")}
    sides = [pieces[i].sides[0] for i in single]
    numbers = joints([p for s in sides for p in ((s.x0, s.y0), (s.x1, s.y1))])
    starting: dict[int, deque[int]] = {}
    for k in range(len(sides)):
        starting.setdefault(numbers[2 * k], deque()).append(k)
    follower: dict[int, int] = {}
    for k in range(len(sides)):
        waiting = starting.get(numbers[2 * k + 1])
        if waiting:
            follower[k] = waiting.popleft()
    begun = set(follower.values())
    seen: set[int] = set()
    # Open chains begin where nothing leads to; what is left then are closed ones, begun at their first piece.
    for head in (*(k for k in range(len(sides)) if k not in begun), *range(len(sides))):
        if head in seen:
            continue
        chain, k = [], head
        while k not in seen:
            seen.add(k)
            chain.append(k)
            if k not in follower:
                break
            k = follower[k]
        chains[min(single[k] for k in chain)] = [sides[k] for k in chain]
    return [chains[i] for i in sorted(chains)]
