"""The clock ring of one cut, before and after the answer: shapes in cutter radii, marks in degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.cut.engagement import engagement
from core.maths.angles import clock
from core.maths.arrays import Array
from core.setup.setup import Setup

REACH = 1.6
"""Half the side of the square that the drawing needs about the axis, cutter radii."""

MARK_RADIUS, MARK_STEP, MARK_ROWS = 1.28, 0.07, 5
"""Where the first heads stand and how far apart two are at least, cutter radii; how many stand behind one another."""

HEAD_RADIUS = 0.5 * MARK_STEP
"""Radius of a head, cutter radii."""

_TURN_DEG, _TURNS = 3.5, 24
_HEADS = tuple(
    (turn, MARK_RADIUS + row * MARK_STEP)
    for turn in (0.0, *(side * i * _TURN_DEG for i in range(1, _TURNS + 1) for side in (1.0, -1.0)))
    for row in range(MARK_ROWS)
)
"""Where a head may stand: by how much its needle leans, degrees, and its radius; the first that is free is taken."""

_SHARES = np.linspace(0.0, 1.0, 64)


@dataclass(frozen=True, slots=True)
class Mark:
    """A prediction on the ring: tooth angle, degrees; the name beside it, may be empty; whether it counts as near."""

    angle_deg: float
    name: str = ""
    near: bool | None = None


@dataclass(frozen=True, slots=True, eq=False)
class RingScene:
    """What the ring shows.

    work, walls, edges : polygons (n, 2) of material, lines (2, 2) of finished walls and of faces that are still to be
    cut, in cutter radii, x right, y up, mirrored for a left-hand cutter; side : -1 for one.  marks : predictions;
    answer_deg : the true place, None while it is hidden; chip : polygon of the chip, its thickness magnified, None
    while it is hidden.
    """

    setup: Setup
    side: float
    work: tuple[Array, ...]
    walls: tuple[Array, ...]
    edges: tuple[Array, ...]
    marks: tuple[Mark, ...] = ()
    answer_deg: float | None = None
    chip: Array | None = None

    def place(self, angle_deg: float, radius: float = 1.0) -> tuple[float, float]:
        """Place of a tooth angle on the picture, in cutter radii."""
        phi = math.radians(angle_deg)
        return -radius * math.cos(phi) * self.side, radius * math.sin(phi)

    def angle_at(self, x: float, y: float) -> float:
        """Tooth angle, degrees from -180 to 180, of a place on the picture."""
        return math.degrees(math.atan2(y, -x * self.side))

    def hour(self, angle_deg: float) -> str:
        """The hour that stands at an angle."""
        return clock(angle_deg, self.setup.cutter.hand).partition(":")[0]


def _arc(first: float, last: float, side: float, radius: float | Array = 1.0) -> Array:
    phi = first + (last - first) * _SHARES
    return np.stack([-side * radius * np.cos(phi), radius * np.sin(phi)], axis=1)


def ring_scene(
    setup: Setup, *, marks: tuple[Mark, ...] = (), answer_deg: float | None = None, chip: bool = False
) -> RingScene:
    """The ring of a cut.  chip : draw the chip too, which gives away where it is thickest."""
    cut, side = engagement(setup), -1.0 if setup.cutter.hand == "left" else 1.0
    radius = setup.cutter.diameter_mm / 2.0
    x1, x2 = cut.x1 / radius, cut.x2 / radius
    top, low, out = REACH, -1.05, REACH
    rim = _arc(cut.exit, cut.entry, side)
    strip = np.concatenate([[[side * x1, top], [side * x2, top]], rim])
    work, walls, edges = [strip], [], []
    for x, wall_side in ((x1, -1.0), (x2, 1.0)):
        if abs(abs(x) - 1.0) < 1e-9 and math.copysign(1.0, x) == wall_side:
            corners = np.array([[x, top], [wall_side * out, top], [wall_side * out, low], [x, low]])
            work.append(corners * np.array([side, 1.0]))
            walls.append(np.array([[x, 0.0], [x, low]]) * np.array([side, 1.0]))
        else:
            edges.append(np.array([[x, top], [x, math.sqrt(max(1.0 - x * x, 0.0))]]) * np.array([side, 1.0]))
    shape = None
    if chip:
        phi = cut.entry + cut.arc * _SHARES
        inner = 1.0 - 0.28 * np.sin(phi)
        shape = np.concatenate([_arc(cut.entry, cut.exit, side), _arc(cut.entry, cut.exit, side, inner)[::-1]])
    return RingScene(setup, side, tuple(work), tuple(walls), tuple(edges), marks, answer_deg, shape)


@lru_cache(maxsize=8)
def mark_places(marks: tuple[Mark, ...]) -> tuple[tuple[Mark, float, float], ...]:
    """Each mark with the tooth angle, degrees, and the radius of its head: no head lies on another, nor outside.

    Those that share a place stand behind one another, then beside: twenty hands for one place are twenty heads.
    """
    placed: list[tuple[Mark, float, float]] = []
    heads = np.empty((len(marks), 2))
    for i, mark in enumerate(sorted(marks, key=lambda m: m.angle_deg)):
        for turn, radius in _HEADS:
            phi = math.radians(mark.angle_deg + turn)
            heads[i] = radius * math.cos(phi), radius * math.sin(phi)
            if np.all(np.hypot(*(heads[:i] - heads[i]).T) > 0.99 * MARK_STEP):
                break
        placed.append((mark, mark.angle_deg + turn, radius))
    return tuple(placed)
