"""The edge unrolled: the tooth angle across, the height up the edge, and on it every edge of the cutter at a moment.

A helical edge is a straight line on it, because it trails its tip by an angle in proportion to the height.  The chip
has at every height the thickness of the angle at which the edge stands there, on the true path; only with runout do
teeth differ, and each has a row of its own.  The edge is taken as straight down to its tip, as everywhere here: a
cutting edge angle thins the chip alike at all heights.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..base.words import say
from ..cut.chip import thickness
from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..maths.arrays import Array, frozen
from ..setup.setup import Setup
from .strip_frame import Band, cut_band, end_bands

MOST_EDGES = 60
"""Edges in sight above which nobody can tell them apart: a helix that winds dozens of times round the cutter."""

PLACES = 91
"""Angles of the arc at which the thickness is given, its ends included."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight piece of one edge: its tooth, and angle (degrees) and height (mm) of its lower and upper end."""

    tooth: int
    lower: tuple[float, float]
    upper: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class EdgeRow:
    """The chip of one tooth, or of all alike (None): thickness ``h`` (n,) mm at the angles ``phi_deg`` (n,)."""

    tooth: int | None
    phi_deg: Array
    h: Array


@dataclass(frozen=True, slots=True)
class AtWall:
    """Where an edge makes the wall at a moment: its tooth and the height (mm)."""

    tooth: int
    height: float


@dataclass(frozen=True, slots=True, eq=False)
class EdgesNow:
    """All edges in sight at a moment, the pieces of them that are in cut, and where they make the wall.

    ``missing`` says in words why there are none to be drawn.
    """

    edges: tuple[Edge, ...]
    cutting: tuple[Edge, ...]
    at_wall: tuple[AtWall, ...]
    missing: str = ""

    @property
    def teeth_in_cut(self) -> int:
        """How many teeth cut somewhere along their edges."""
        return len({edge.tooth for edge in self.cutting})


@lru_cache(maxsize=16)
def edge_rows(setup: Setup) -> tuple[EdgeRow, ...]:
    """One row for all teeth, or with runout one for each: the true-path chip over the nominal arc."""
    e = engagement(setup)
    phi = np.linspace(e.entry, e.exit, PLACES)
    places = frozen(np.degrees(phi))
    if setup.cutter.runout_mm == 0.0 or setup.cutter.teeth == 1:
        return (EdgeRow(None, places, frozen(thickness(phi, setup, "trochoid", runout=False))),)
    teeth = np.arange(setup.cutter.teeth)[:, None]
    h = thickness(phi[None, :], setup, "trochoid", teeth)
    return tuple(EdgeRow(tooth, places, frozen(h[tooth])) for tooth in range(setup.cutter.teeth))


def edge_bands(setup: Setup) -> tuple[Band, ...]:
    """The arc of engagement, and at its ends where the edge rubs and where it is in the skin."""
    return (cut_band(setup), *end_bands(setup))


def wall_angle_deg(setup: Setup) -> float | None:
    """Angle (degrees) at which an edge makes the finished wall; None for a straddling cut: no one wall."""
    return {"climb": 180.0, "conventional": 0.0}.get(setup.cut.direction)


def edges_now(setup: Setup, angle_deg: float, sight_deg: tuple[float, float]) -> EdgesNow:
    """Every edge within ``sight_deg`` with the tip of tooth 0 at ``angle_deg``, any turn."""
    e, teeth, depth = engagement(setup), setup.cutter.teeth, setup.cut.axial_engagement_mm
    trails, pitch = math.degrees(e.edge_lag), 360.0 / teeth
    arc, wall = (math.degrees(e.entry), math.degrees(e.exit)), wall_angle_deg(setup)
    low, high = sight_deg
    if (high - low + trails) / pitch > MOST_EDGES:
        return EdgesNow((), (), (), say("edge_chart", "too_many", teeth=teeth, angle=f"{trails:.0f}"))
    edges: list[Edge] = []
    cutting: list[Edge] = []
    made: list[AtWall] = []
    for tooth in range(teeth):
        # Tooth 1 comes a pitch after tooth 0.
        tip = angle_deg - tooth * pitch
        turns = range(math.ceil((low - tip) / 360.0), math.floor((high + trails - tip) / 360.0) + 1)
        for at in [tip + 360.0 * turn for turn in turns]:
            for found, (left, right) in ((edges, sight_deg), (cutting, arc)):
                piece = _piece(tooth, at, trails, depth, left, right)
                if piece is not None:
                    found.append(piece)
            if wall is not None and e.edge_lag >= STRAIGHT and at - trails <= wall <= at:
                made.append(AtWall(tooth, depth * (at - wall) / trails))
    return EdgesNow(tuple(edges), tuple(cutting), tuple(made))


def _piece(tooth: int, tip: float, trails: float, depth: float, left: float, right: float) -> Edge | None:
    """What of an edge lies between two angles, degrees; None for nothing.  Straight, it is in or out whole."""
    if trails < math.degrees(STRAIGHT):
        return Edge(tooth, (tip, 0.0), (tip, depth)) if left <= tip <= right else None
    lower, upper = min(tip, right), max(tip - trails, left)
    if not upper < lower:
        return None
    return Edge(tooth, (lower, depth * (tip - lower) / trails), (upper, depth * (tip - upper) / trails))
