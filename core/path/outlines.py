"""Sides in any order and sense joined to closed loops, and loops nested: outlines, holes, islands in holes."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say
from .crossings import first_crossing
from .moves import Loop
from .sides import JOIN_MM, Side, joints

MOST_SIDES = 10_000
"""Sides of a stock.  Finding crossings of more could take minutes in a drawing made to be slow."""


@dataclass(frozen=True, slots=True)
class Named:
    """A side and the name of what it was drawn as."""

    side: Side
    name: str


def joined(pieces: list[Named]) -> list[list[Named]]:
    """The sides as closed rounds, each in the order and sense of running around it; a circle is two half ones.

    Raises ChiparcError for a gap with its place and size, for a place where more than two ends meet, and for too
    many sides.
    """
    _check_count(len(pieces))
    rounds: list[list[Named]] = []
    open_sides: list[Named] = []
    for piece in pieces:
        if is_whole(piece.side):
            rounds.append([Named(half, piece.name) for half in _halves(piece.side)])
        else:
            open_sides.append(piece)
    ends = [p for s in open_sides for p in ((s.side.x0, s.side.y0), (s.side.x1, s.side.y1))]
    numbers = joints(ends)
    meeting: dict[int, list[int]] = {}
    for k, number in enumerate(numbers):
        meeting.setdefault(number, []).append(k)
    _check_joints(open_sides, ends, meeting)
    used: set[int] = set()
    for first in range(len(open_sides)):
        if first in used:
            continue
        around, k = [], 2 * first
        while k // 2 not in used:
            used.add(k // 2)
            one = open_sides[k // 2]
            around.append(one if k % 2 == 0 else Named(one.side.backwards(), one.name))
            far = k ^ 1
            pair = meeting[numbers[far]]
            k = pair[0] if pair[1] == far else pair[1]
        rounds.append(_snapped(around))
    return rounds


def is_whole(side: Side) -> bool:
    """Whether a side is a circle of its own, its ends in one place."""
    return abs(side.sweep) > pi and hypot(side.x1 - side.x0, side.y1 - side.y0) < JOIN_MM


def _halves(circle: Side) -> list[Side]:
    x2, y2 = 2.0 * circle.cx - circle.x0, 2.0 * circle.cy - circle.y0
    half = np.copysign(pi, circle.sweep)
    return [
        Side(circle.x0, circle.y0, x2, y2, circle.cx, circle.cy, float(half)),
        Side(x2, y2, circle.x0, circle.y0, circle.cx, circle.cy, float(half)),
    ]


def _snapped(around: list[Named]) -> list[Named]:
    """The round with each end exactly at the next start."""
    starts = [(one.side.x0, one.side.y0) for one in around]
    following = starts[1:] + starts[:1]
    return [
        Named(one.side.moved(*start, *end) if abs(one.side.sweep) < 6.0 else one.side, one.name)
        for one, start, end in zip(around, starts, following, strict=True)
    ]


def _check_joints(sides: list[Named], ends: list[tuple[float, float]], meeting: dict[int, list[int]]) -> None:
    loose = [each[0] for each in meeting.values() if len(each) == 1]
    for each in meeting.values():
        if len(each) > 2:
            x, y = ends[each[0]]
            told = refused("outline_refused", "ends", count=len(each), x=x, y=y)
            raise ChiparcError(sides[each[0] // 2].name, *told)
    if loose:
        x, y = ends[loose[0]]
        others = np.array([ends[k] for k in loose[1:]]).reshape(-1, 2)
        # Never one alone: sides have two ends, and the other corners two each.
        gaps = np.hypot(others[:, 0] - x, others[:, 1] - y)
        nearest = int(np.argmin(gaps))
        where = sides[loose[0] // 2].name
        (x1, y1), other = others[nearest], sides[loose[1 + nearest] // 2].name
        told = refused("outline_refused", "gap", gap=gaps[nearest], x=x, y=y, x1=x1, y1=y1, other=other)
        raise ChiparcError(where, *told)


def nested(rounds: list[list[Named]]) -> tuple[Loop, ...]:
    """Closed rounds as loops, largest first, holes and islands told by which loop holds which.

    Raises ChiparcError if a loop crosses or touches itself or another, or has no area, and for too many sides.
    """
    if not rounds:
        raise ChiparcError(say("refused_place", "stock"), *refused("outline_refused", "no_loop"))
    _check_count(sum(map(len, rounds)))
    _check_crossings(rounds)
    loops = [Loop(*_points_and_bulges(around)) for around in rounds]
    order = sorted(range(len(loops)), key=lambda i: -abs(loops[i].area_mm2))
    loops, names = [loops[i] for i in order], [rounds[i][0].name for i in order]
    points = np.array([loop.points_mm[0] for loop in loops])
    holders: list[list[int]] = [[] for _ in loops]
    for i, loop in enumerate(loops):
        if abs(loop.area_mm2) < 1e-6:
            x, y = points[i]
            raise ChiparcError(names[i], *refused("outline_refused", "no_area", x=x, y=y))
        for k in np.flatnonzero(holds(loop, points[i + 1 :])):
            holders[i + 1 + int(k)].append(i)
    placed = []
    for loop, outer in zip(loops, holders, strict=True):
        hole = len(outer) % 2 == 1
        if (loop.area_mm2 > 0.0) == hole:
            loop = _turned(loop)
        placed.append(Loop(loop.points_mm, loop.bulge, hole, outer[-1] if outer else -1))
    return tuple(placed)


def _check_count(sides: int) -> None:
    if sides > MOST_SIDES:
        told = refused("outline_refused", "sides", count=sides, most=MOST_SIDES)
        raise ChiparcError(say("refused_place", "stock"), *told)


def _check_crossings(rounds: list[list[Named]]) -> None:
    flat = [one for around in rounds for one in around]
    loop_of = np.repeat(np.arange(len(rounds)), [len(around) for around in rounds])
    after = np.arange(1, len(flat) + 1)
    at = 0
    for around in rounds:
        after[at + len(around) - 1] = at
        at += len(around)
    crossing = first_crossing(np.array([one.side for one in flat]), after)
    if crossing is not None:
        i, j, x, y = crossing
        id = "crosses_itself" if loop_of[i] == loop_of[j] else "crosses_other"
        names = f" ({flat[i].name}, {flat[j].name})" if flat[i].name != flat[j].name else ""
        found = say("outline_refused", id, x=x, y=y, names=names)
        raise ChiparcError(flat[i].name, found, say("outline_refused", "crosses_allowed"))


def _points_and_bulges(around: list[Named]) -> tuple[np.ndarray, np.ndarray]:
    sides = [one.side for one in around]
    return np.array([s[:2] for s in sides]), np.array([s.bulge for s in sides])


def _turned(loop: Loop) -> Loop:
    """The loop run the other way round."""
    return Loop(np.roll(loop.points_mm[::-1], 1, 0), 0.0 - loop.bulge[::-1])


def holds(loop: Loop, points: np.ndarray) -> np.ndarray:
    """(n,) whether points (n, 2) that are not on the loop lie inside it: they are circled an odd number of times."""
    turns = np.zeros(len(points))
    centre, sweep = loop.centre_mm, loop.sweep_rad
    following = np.roll(loop.points_mm, -1, 0)
    for k, (start, end) in enumerate(zip(loop.points_mm, following, strict=True)):
        a, b = start - points, end - points
        cross, dot = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(1)
        angle = np.arctan2(cross, dot)
        if sweep[k]:
            # Seen from between chord and arc, the arc runs around the other side than its chord does.
            inside = np.hypot(*(points - centre[k]).T) < hypot(*(start - centre[k]))
            way = float(np.copysign(pi, sweep[k]))
            angle = np.where(inside & (cross * sweep[k] < 0.0), angle + 2.0 * way, angle)
            angle = np.where(inside & (cross == 0.0) & (dot < 0.0), way, angle)
        turns += angle
    return np.abs(turns) > pi
