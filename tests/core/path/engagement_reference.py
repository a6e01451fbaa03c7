"""What is engaged, by distances: a point of the circle is free if it is nearer than R to any earlier place."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import numpy as np

from core.path.moves import ARC, LINE, RAPID, Loop, Moves, Stock

Row = tuple[int, Any, Any, Any, float, bool]
"""Kind, start and end (3,), centre (2,) or None, sweep, clear."""


def moves_of(rows: list[Row]) -> Moves:
    """Moves without feed and speed, on lines 1, 2, …"""
    nothing = np.full(len(rows), np.nan)
    return Moves(
        kind=np.array([row[0] for row in rows]),
        start_mm=np.array([row[1] for row in rows], float),
        end_mm=np.array([row[2] for row in rows], float),
        centre_mm=np.array([(np.nan, np.nan) if row[3] is None else row[3] for row in rows], float),
        sweep_rad=np.array([row[4] for row in rows], float),
        feed_mm_min=nothing,
        speed_rpm=nothing,
        line=np.arange(1, len(rows) + 1),
        clear=np.array([row[5] for row in rows], bool),
    )


def line(start: Any, end: Any, z: float = -1.0, kind: int = LINE) -> Row:
    """A straight move at one depth."""
    return (kind, (*start, z), (*end, z), None, 0.0, False)


def arc(start: Any, centre: Any, sweep: float, z: float = -1.0) -> Row:
    """An arc at one depth; a full circle ends where it began."""
    start, centre = np.asarray(start, float), np.asarray(centre, float)
    c, s = np.cos(sweep), np.sin(sweep)
    end = centre + np.array([[c, -s], [s, c]]) @ (start - centre)
    end = start if abs(sweep) == 2.0 * np.pi else end
    return (ARC, (*start, z), (*end, z), tuple(centre), sweep, False)


def chain(points: Any, z: float = -1.0) -> Moves:
    """Straight moves from point to point at one depth."""
    return moves_of([line(a, b, z) for a, b in itertools.pairwise(points)])


def block(x0: float, y0: float, x1: float, y1: float) -> Loop:
    """A rectangle."""
    return Loop(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), np.zeros(4))


def wide_stock() -> Stock:
    """Stock everywhere near a path."""
    return Stock((block(-500.0, -500.0, 500.0, 500.0),))


def free_by_distance(
    moves: Moves, in_stock: Callable[[Any], Any], radius: float, left: bool, move: int, along: float, phi: np.ndarray
) -> np.ndarray:
    """Whether the tooth cuts at each of the angles phi (n,) rad at a place of a move."""
    start, end = moves.start_mm[move], moves.end_mm[move]
    share = along / moves.length_mm[move]
    if moves.kind[move] == ARC:
        centre, sweep = moves.centre_mm[move], moves.sweep_rad[move]
        angle = np.arctan2(start[1] - centre[1], start[0] - centre[0]) + sweep * share
        place = centre + moves.radius_mm[move] * np.array([np.cos(angle), np.sin(angle)])
        heading = angle + np.copysign(np.pi / 2, sweep)
    else:
        place = start[:2] + (end - start)[:2] * share
        heading = np.arctan2(end[1] - start[1], end[0] - start[0])
    z = start[2] + (end[2] - start[2]) * share
    turned = heading - np.pi / 2 + phi if left else heading + np.pi / 2 - phi
    tip = place + radius * np.stack([np.cos(turned), np.sin(turned)], 1)
    cuts = np.array(in_stock(tip))
    for k in range(move + 1):
        if moves.clear[k]:
            continue
        first, last = 0.0, share if k == move else 1.0
        z0, z1 = moves.start_mm[k, 2], moves.end_mm[k, 2]
        if z0 == z1 and z0 > z + 1e-6:
            continue
        if z1 < z0:
            first = max(first, (z - z0) / (z1 - z0))
        elif z1 > z0:
            last = min(last, (z - z0) / (z1 - z0))
        if first <= last:
            cuts &= _distance(moves, k, first, last, tip) >= radius - 1e-9
    return cuts


def cells(count: int) -> np.ndarray:
    """Tooth angles (count,) rad, even and in the middle of their cells."""
    return np.asarray((np.arange(count) + 0.5) / count * np.pi)


def _distance(moves: Moves, k: int, first: float, last: float, tip: np.ndarray) -> np.ndarray:
    """Distance of points from the part of a move between two shares of it."""
    start, end = moves.start_mm[k, :2], moves.end_mm[k, :2]
    if moves.kind[k] == ARC:
        centre, rho = moves.centre_mm[k], moves.radius_mm[k]
        begin = np.arctan2(*(start - centre)[::-1])
        low, high = sorted(begin + moves.sweep_rad[k] * np.array([first, last]))
        off = tip - centre
        beside = (np.arctan2(off[:, 1], off[:, 0]) - low) % (2 * np.pi) <= high - low
        found = np.where(beside, np.abs(np.hypot(off[:, 0], off[:, 1]) - rho), np.inf)
        for angle in (low, high):
            point = centre + rho * np.array([np.cos(angle), np.sin(angle)])
            found = np.minimum(found, np.hypot(*(tip - point).T))
        return found
    start, end = start + (end - start) * first, start + (end - start) * last
    step = end - start
    square = float(step @ step)
    share = np.clip((tip - start) @ step / square, 0.0, 1.0) if square > 0.0 else np.zeros(len(tip))
    return np.asarray(np.hypot(*(tip - start - share[:, None] * step).T))


def random_moves(rng: np.random.Generator, count: int, depths: bool) -> Moves:
    """Lines, rapids at depth, arcs up to full circles; with depths also plunges, ramps, helices and lifts."""
    rows: list[Row] = []
    at = np.array([rng.uniform(0, 20), rng.uniform(0, 20), -1.0])
    for _ in range(count):
        kind = rng.uniform()
        to = np.array([rng.uniform(0, 20), rng.uniform(0, 20), at[2]])
        if depths and rng.uniform() < 0.3:
            to[2] = -rng.uniform(0.5, 3.0)
        if depths and rng.uniform() < 0.1:
            to[2] = 0.5
        if depths and kind < 0.1:
            to[:2] = at[:2]
            to[2] = -rng.uniform(0.5, 3.0)
        clear = bool(min(at[2], to[2]) >= 0.0)
        if kind < 0.65:
            rows.append((RAPID if kind > 0.55 else LINE, at, to, None, 0.0, clear))
        else:
            rho, begin = rng.uniform(0.3, 12.0), rng.uniform(-np.pi, np.pi)
            centre = at[:2] - rho * np.array([np.cos(begin), np.sin(begin)])
            sweep = (2 * np.pi if rng.uniform() < 0.15 else rng.uniform(0.2, 6.0)) * rng.choice([-1.0, 1.0])
            turned = begin + sweep
            to[:2] = at[:2] if abs(sweep) == 2 * np.pi else centre + rho * np.array([np.cos(turned), np.sin(turned)])
            rows.append((ARC, at, to, tuple(centre), float(sweep), clear))
        at = to
    return moves_of(rows)
