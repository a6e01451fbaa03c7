"""A pocket cleared from the middle outwards, as long as one likes: what the benchmark of the path runs along."""

from __future__ import annotations

import numpy as np

from core.path.moves import ARC, LINE, Loop, Moves, Stock

DEPTH = -5.0


def pocket(length: float, stepover: float, corner: float, radius: float) -> tuple[Moves, Stock]:
    """Square rings about each other, corners rounded by arcs of ``corner`` mm, about ``length`` mm in all, climb.

    Cut in the middle of a block that is as much larger as the cutter of ``radius`` mm.
    """
    kinds, points, centres, sweeps = [], [np.array([0.0, 0.0])], [], []

    def go(point: np.ndarray, centre: np.ndarray | None = None, sweep: float = 0.0) -> float:
        kinds.append(LINE if centre is None else ARC)
        step = np.hypot(*(point - points[-1]))
        points.append(point)
        centres.append(np.full(2, np.nan) if centre is None else centre)
        sweeps.append(sweep)
        return float(step) if centre is None else corner * abs(sweep)

    done, half = 0.0, 0.0
    while done < length:
        half += stepover
        r = min(corner, half)
        done += go(np.array([half, 0.0]))
        for turn in range(4):
            c, s = np.cos(turn * np.pi / 2), np.sin(turn * np.pi / 2)
            rotate = np.round(np.array([[c, -s], [s, c]]))
            if half > r:
                done += go(rotate @ [half, half - r])
            done += go(rotate @ [half - r, half], rotate @ [half - r, half - r], np.pi / 2)
        if half > r:
            done += go(np.array([half, 0.0]))
    n = len(kinds)
    ends = np.column_stack([np.array(points), np.full(n + 1, DEPTH)])
    moves = Moves(
        kind=np.array(kinds),
        start_mm=ends[:-1],
        end_mm=ends[1:],
        centre_mm=np.array(centres),
        sweep_rad=np.array(sweeps),
        feed_mm_min=np.full(n, np.nan),
        speed_rpm=np.full(n, np.nan),
        line=np.arange(1, n + 1),
        clear=np.zeros(n, bool),
    )
    side = half + 3.0 * radius
    block = np.array([[-side, -side], [side, -side], [side, side], [-side, side]])
    return moves, Stock((Loop(block, np.zeros(4)),))


def in_short_moves(moves: Moves, step: float) -> Moves:
    """The same path in straight moves of about ``step`` mm, ends on the path."""
    points = [moves.start_mm[:1, :2]]
    for k in range(len(moves)):
        count = max(round(float(moves.length_mm[k]) / step), 1)
        share = np.arange(1, count + 1)[:, None] / count
        start, end, centre = moves.start_mm[k, :2], moves.end_mm[k, :2], moves.centre_mm[k]
        if moves.kind[k] == ARC:
            out = start - centre
            angle = np.arctan2(out[1], out[0]) + moves.sweep_rad[k] * share
            points.append(centre + np.hypot(*out) * np.hstack([np.cos(angle), np.sin(angle)]))
        else:
            points.append(start + (end - start) * share)
    at = np.vstack(points)
    n = len(at) - 1
    ends = np.column_stack([at, np.full(n + 1, DEPTH)])
    nothing = np.full(n, np.nan)
    return Moves(
        kind=np.full(n, LINE),
        start_mm=ends[:-1],
        end_mm=ends[1:],
        centre_mm=np.full((n, 2), np.nan),
        sweep_rad=np.zeros(n),
        feed_mm_min=nothing,
        speed_rpm=nothing,
        line=np.arange(1, n + 1),
        clear=np.zeros(n, bool),
    )


__all__ = ["DEPTH", "in_short_moves", "pocket"]
