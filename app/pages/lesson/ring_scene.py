"""The clock ring of one cut, before and after the answer: shapes in cutter radii, marks in degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.cut.engagement import engagement
from core.maths.angles import clock
from core.maths.arrays import Array
from core.setup.setup import Setup

REACH = 1.6
"""Half the side of the square that the drawing needs about the axis, cutter radii."""

MARK_RADIUS, MARK_STEP = 1.30, 0.085
"""Where marks stand, and by how much further out those that share a place, cutter radii."""

NEAR_MARKS_DEG = 4.0
"""Marks nearer than this stand behind one another."""

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


def spread_marks(marks: tuple[Mark, ...]) -> list[tuple[Mark, float]]:
    """Each mark with the radius at which it stands: those that share a place stand behind one another."""
    placed: list[tuple[Mark, float]] = []
    for mark in sorted(marks, key=lambda m: m.angle_deg):
        taken = {r for other, r in placed if abs(other.angle_deg - mark.angle_deg) < NEAR_MARKS_DEG}
        radius = MARK_RADIUS
        while any(abs(radius - r) < 1e-9 for r in taken):
            radius += MARK_STEP
        placed.append((mark, radius))
    return placed
