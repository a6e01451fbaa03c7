"""What the charts beside the plan show: the force round a turn in the plane, and the finished wall over its depth."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from app.drawing.readable_ranges import AxisRange, kept_range
from core.angles import Array
from core.arc_results import ArcResults
from core.force_at_angle import force_at_angle
from core.force_turn import ForceLoop, force_loop
from core.machine_limits import LimitCheck, wall_check
from core.quantities import QUANTITIES, Units
from core.setup import Setup
from core.wall_depth import WallProfile, wall_profile_over_depth

CHART_TITLES = {"loop": "Force over a turn", "wall": "Finished wall"}
"""The charts that can be chosen, by id, in the order in which they are offered."""


def side_of(setup: Setup) -> float:
    """1 for a right-hand cutter, -1 for a left-hand one, whose picture is the mirror image."""
    return -1.0 if setup.cutter.hand == "left" else 1.0


@dataclass(frozen=True, slots=True)
class LoopTrace:
    """The loop of one direction (None where the force is not known), and the force at this moment, (x, y) N."""

    conventional: bool
    loop: ForceLoop | None
    here: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class WallTrace:
    """The wall of one direction; ``on_right``: on the picture the work is to the right of it."""

    conventional: bool
    on_right: bool
    profile: WallProfile | None
    check: LimitCheck | None
    missing: str = ""


@dataclass(frozen=True, slots=True)
class ChartsScene:
    """Both charts: own direction first, then the other of a pair; kept ranges in shown units.

    ``error_range`` is of the wall's error in the small-length unit, ``depth`` the depth of cut in mm.
    """

    loops: tuple[LoopTrace, ...]
    walls: tuple[WallTrace, ...]
    across: AxisRange
    along: AxisRange
    error_range: AxisRange
    depth: float
    side: float
    units: Units = "metric"


def loop_trace(results: ArcResults, angle_deg: float) -> LoopTrace:
    """The loop of these results, with the active tooth at ``angle_deg``."""
    setup = results.setup
    force = force_at_angle(setup, math.radians(angle_deg))
    here = None if force is None else (force.x, force.y)
    return LoopTrace(setup.cut.direction == "conventional", force_loop(setup), here)


def wall_trace(results: ArcResults) -> WallTrace:
    """The wall of these results, or in words why there is none."""
    setup = results.setup
    profile = wall_profile_over_depth(setup)
    missing = ""
    if profile is None:
        if setup.cut.direction == "straddling":
            missing = "no single wall: the cut straddles the axis"
        elif force_loop(setup) is None:
            missing = "no material and no coefficients given"
        else:
            missing = "no stick-out or modulus given"
    conventional = setup.cut.direction == "conventional"
    return WallTrace(conventional, conventional == (side_of(setup) < 0), profile, wall_check(setup), missing)


@dataclass(slots=True)
class ChartRanges:
    """Ranges kept between scenes, so that the axes stand still while a value is dragged."""

    kept: dict[str, AxisRange] = field(default_factory=dict)
    units: Units = "metric"

    def scene(self, traces: list[tuple[ArcResults, float]], units: Units, *, settled: bool) -> ChartsScene:
        """The charts of these results, each with the angle (degrees) of its active tooth."""
        if units != self.units:
            self.kept, self.units = {}, units
        side = side_of(traces[0][0].setup)
        loops = tuple(loop_trace(results, angle) for results, angle in traces)
        walls = tuple(wall_trace(results) for results, _ in traces)
        force, small = QUANTITIES["force"], QUANTITIES["micro"]
        shown = [t.loop for t in loops if t.loop is not None]
        self._keep("across", [force.shown(side * v, units) for t in shown for v in _ends(t.fx)], settled)
        self._keep("along", [force.shown(v, units) for t in shown for v in _ends(t.fy)], settled)
        profiles = [t.profile for t in walls if t.profile is not None]
        errors = [1000.0 * v for p in profiles for v in (p.least, p.greatest)]
        # A tolerance is in the picture as long as it does not flatten the wall.
        for t in walls:
            if t.check is not None and t.check.limit < 3.0 * max(t.check.value, 1e-9):
                errors += [1000.0 * t.check.limit, -1000.0 * t.check.limit]
        self._keep("error", [small.shown(v, units) for v in errors], settled)
        depth = traces[0][0].setup.cut.axial_engagement_mm
        ranges = self.kept
        return ChartsScene(loops, walls, ranges["across"], ranges["along"], ranges["error"], depth, side, units)

    def _keep(self, name: str, values: list[float], settled: bool) -> None:
        low, high = (min(values), max(values)) if values else (0.0, 0.0)
        self.kept[name] = kept_range(self.kept.get(name), low, high, 3, settled=settled)


def _ends(values: Array) -> tuple[float, float]:
    return float(values.min()), float(values.max())
