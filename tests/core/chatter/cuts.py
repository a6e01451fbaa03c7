"""Usual cuts for the tests of stability: plants, arcs, and both checked against the project's own engagement."""

from __future__ import annotations

import math

from core.chatter.directional import CuttingSlopes
from core.chatter.modes import Modes, modes_of
from core.chatter.stability import ChatterCut
from core.setup.setup import Cut, Cutter, Direction, LinearEdge, Mode, Setup, Work
from tests.published.tables import table

PUBLISHED = table("stability")
PLANT = PUBLISHED["plant"]
SLOPES = CuttingSlopes(PLANT["ktc"], PLANT["krc"])


def plant(axes: str, factor: float = 1.0) -> Modes:
    """Plant P on each of the named axes, its damping ratio times ``factor``."""
    figures = (PLANT["frequency_hz"], PLANT["damping_ratio"] * factor, PLANT["stiffness_n_mm"])
    found = modes_of([Mode("x" if a == "x" else "y", *figures) for a in axes])
    assert found is not None
    return found


def arc(cut: str) -> tuple[float, float]:
    """Entry and exit, rad, of a cut named as in the published tables."""
    if cut == "slot":
        return 0.0, math.pi
    direction, width = cut.split()
    turned = math.acos(1.0 - 2.0 * {"half": 0.5, "tenth": 0.1, "twentieth": 0.05, "hundredth": 0.01}[width])
    return (0.0, turned) if direction == "conventional" else (math.pi - turned, math.pi)


def chatter_cut(axes: str, cut: str, teeth: int, deepest: float = 60.0) -> ChatterCut:
    """Plant P in a named cut."""
    return ChatterCut(plant(axes), SLOPES, *arc(cut), teeth, deepest)


def setup_of(direction: Direction, width: float, teeth: int, rpm: float, axes: str = "xy") -> Setup:
    """A setup with plant P, a cutter of 10 mm and the width as a share of it."""
    law = LinearEdge(PLANT["ktc"], PLANT["krc"], 100.0, 10.0, 12.0, 1.0)
    figures = (PLANT["frequency_hz"], PLANT["damping_ratio"], PLANT["stiffness_n_mm"])
    blocks = tuple(Mode("x" if a == "x" else "y", *figures) for a in axes)
    return Setup(Cutter(10.0, teeth), Cut(direction, 10.0 * width, 1.0, 0.05, rpm), Work(force=law), dynamics=blocks)
