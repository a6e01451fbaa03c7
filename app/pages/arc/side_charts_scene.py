"""What the charts beside the plan show: the force over a turn, the finished wall over its depth, its feed marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np

from app.kit.readable_ranges import AxisRange, kept_range
from app.pages.arc.pair import straddling_name
from app.pages.arc.plan_scene import readable_top, side_of
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.cut.edges_in_arc import STRAIGHT
from core.cut.strip_angles import DOMAIN_DEG
from core.effects.arc_results import ArcResults
from core.effects.feed_marks import MarkedWall, feed_marks, marked_wall
from core.effects.machine_limits import LimitCheck, wall_check
from core.effects.wall import no_chip_forms
from core.effects.wall_depth import WallProfile, wall_profile_over_depth
from core.effects.wall_range import wall_band
from core.force.force_at_angle import force_at_angle
from core.force.force_curves import ForceLoop, force_loop
from core.maths.arrays import Array
from core.setup.setup import Setup
from core.strips.edge_unrolled import EdgeRow, EdgesNow, edge_bands, edge_rows, edges_now, wall_angle_deg
from core.strips.strip_frame import Band

Traces: TypeAlias = Sequence[tuple[ArcResults, float]]
"""Results, each with the angle (degrees) of its active tooth."""

NO_RANGE = AxisRange(0.0, 1.0, 0.5)


@dataclass(frozen=True, slots=True)
class LoopTrace:
    """The loop of one direction (None where the force is not known), and the force at this moment, (x, y) N.

    ``side`` : -1 for a left-hand cutter, whose x runs to the left on the picture.
    ``dotted`` : it is the other one of a straddling pair.
    """

    conventional: bool
    loop: ForceLoop | None
    here: tuple[float, float] | None
    side: float = 1.0
    dotted: bool = False


@dataclass(frozen=True, slots=True)
class WallTrace:
    """The wall of one direction; ``on_right``: on the picture the work is to the right of it.

    ``band`` : heights (mm), lowest and highest error (mm) that the spreads of the inputs allow.
    """

    conventional: bool
    on_right: bool
    profile: WallProfile | None
    check: LimitCheck | None
    missing: str = ""
    band: tuple[Array, Array, Array] | None = None


@dataclass(frozen=True, slots=True)
class MarksTrace:
    """The feed marks of one direction: the wall over one turn's feed ``turn`` (mm), its height (mm).

    ``valleys`` are the places (mm) of the marks' bottoms with the teeth that made them, ``marking`` how many of the
    ``teeth`` leave a mark; ``missing`` says in words why there is no such wall.
    """

    conventional: bool
    wall: MarkedWall | None
    turn: float
    teeth: int
    height: float = 0.0
    marking: int = 0
    valleys: tuple[tuple[float, int], ...] = ()
    missing: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeTrace:
    """The unrolled edges of one direction: its rows, bands, the edges at this moment, the wall's angle (degrees).

    ``slanted``: there is a helix, so that each height makes the wall at its own moment.  ``name``: what it is called
    beside the other one of a pair.
    """

    direction: str
    teeth: int
    depth: float
    slanted: bool
    rows: tuple[EdgeRow, ...]
    bands: tuple[Band, ...]
    now: EdgesNow
    wall_deg: float | None
    name: str = ""

    @property
    def conventional(self) -> bool:
        """Conventional is dashed, climb solid, everywhere."""
        return self.direction == "conventional"


@dataclass(frozen=True, slots=True)
class ChartsScene:
    """The charts: own direction first, then the other of a pair; kept ranges in shown units.

    ``error_range`` is of the wall's error, ``marks_range`` of the feed marks' height, both in the small-length unit;
    ``depth`` the depth of cut in mm.  ``marks`` are empty where that chart is not shown.
    ``figures`` : those that are read off the curves are told.
    ``pinned_loops``, ``pinned_walls``, ``pinned_marks`` and ``pinned_edges`` : those of the pinned cut beside each,
    empty where nothing is pinned.
    ``edges`` are empty where that chart is not shown; ``top`` is the thickness (mm) at the end of their scale.
    """

    loops: tuple[LoopTrace, ...]
    walls: tuple[WallTrace, ...]
    across: AxisRange
    along: AxisRange
    error_range: AxisRange
    depth: float
    side: float
    units: Units = "metric"
    marks: tuple[MarksTrace, ...] = ()
    marks_range: AxisRange = NO_RANGE
    figures: bool = True
    edges: tuple[EdgeTrace, ...] = ()
    top: float = 0.0
    pinned_loops: tuple[LoopTrace, ...] = ()
    pinned_walls: tuple[WallTrace, ...] = ()
    pinned_marks: tuple[MarksTrace, ...] = ()
    pinned_edges: tuple[EdgeTrace, ...] = ()


def loop_trace(results: ArcResults, angle_deg: float, *, other: bool = False) -> LoopTrace:
    """The loop of these results, with the active tooth at ``angle_deg``; ``other``: it is the second of a pair."""
    setup = results.setup
    force = force_at_angle(setup, math.radians(angle_deg))
    here = None if force is None else (force.x, force.y)
    direction = setup.cut.direction
    dotted = other and direction == "straddling"
    return LoopTrace(direction == "conventional", force_loop(setup), here, side_of(setup), dotted)


def wall_trace(results: ArcResults, band: bool = True) -> WallTrace:
    """The wall of these results, or in words why there is none; with the range of its error where asked for."""
    setup = results.setup
    profile = wall_profile_over_depth(setup)
    missing = ""
    if profile is None:
        if setup.cut.direction == "straddling":
            missing = say("chart", "straddles")
        elif force_loop(setup) is None:
            missing = say("strip", "no_coefficients")
        elif no_chip_forms(setup):
            missing = say("chart", "no_chip")
        else:
            missing = say("strip", "no_stickout")
    conventional = setup.cut.direction == "conventional"
    on_right = conventional == (side_of(setup) < 0)
    found = wall_band(setup) if band else None
    return WallTrace(conventional, on_right, profile, wall_check(setup), missing, found)


def marks_trace(results: ArcResults) -> MarksTrace:
    """The feed marks of these results, or in words why there are none."""
    setup = results.setup
    teeth, conventional = setup.cutter.teeth, setup.cut.direction == "conventional"
    turn = teeth * setup.cut.feed_per_tooth_mm
    found, wall = feed_marks(setup), marked_wall(setup, max(8, 120 // teeth))
    if found is None or wall is None:
        straddles = setup.cut.direction == "straddling"
        why = say("chart", "straddles") if straddles else say("chart", "leaves_stock")
        return MarksTrace(conventional, None, turn, teeth, missing=why)
    return MarksTrace(conventional, wall, turn, teeth, found.height, found.teeth, _valleys(wall))


def edge_trace(results: ArcResults, angle_deg: float, name: str = "") -> EdgeTrace:
    """The unrolled edges of these results, with the tip of the active tooth at ``angle_deg``.

    name : what they are called beside those of the other one of a pair.
    """
    setup = results.setup
    return EdgeTrace(
        setup.cut.direction,
        setup.cutter.teeth,
        setup.cut.axial_engagement_mm,
        results.engagement.edge_lag >= STRAIGHT,
        edge_rows(setup),
        edge_bands(setup),
        edges_now(setup, angle_deg, DOMAIN_DEG),
        wall_angle_deg(setup),
        name,
    )


def edge_names(setups: list[Setup], units: Units) -> list[str]:
    """What the edges of each cut are called: by its direction, of a straddling pair by what tells them apart."""
    if setups[0].cut.direction == "straddling":
        return [straddling_name(setups[0], setup, units)[1] for setup in setups]
    return [say("edge_chart", setup.cut.direction) for setup in setups]


def _valleys(wall: MarkedWall) -> tuple[tuple[float, int], ...]:
    """Where each mark is deepest, and its tooth; a mark that the turn's ends share counts where it is deepest."""
    ends = np.flatnonzero(np.diff(wall.tooth)) + 1
    starts = [0, *(int(i) for i in ends)]
    lows = [a + int(np.argmin(wall.height[a:b])) for a, b in zip(starts, [*starts[1:], len(wall.y)], strict=True)]
    first, last = lows[0], lows[-1]
    if len(lows) > 1 and wall.tooth[first] == wall.tooth[last]:
        deepest = min(wall.height[first], wall.height[last])
        slack = 1e-6 * max(float(wall.height.max()), 1e-12)
        lows = [i for i in lows if i not in (first, last) or wall.height[i] <= deepest + slack]
    if len(lows) == 1 and wall.height[-1] <= wall.height[first] and first == 0:
        # One tooth makes the whole wall: it is there at both ends.
        lows.append(len(wall.y) - 1)
    return tuple((float(wall.y[i]), int(wall.tooth[i])) for i in lows)


@dataclass(slots=True)
class ChartRanges:
    """Ranges kept between scenes, so that the axes stand still while a value is dragged."""

    kept: dict[str, AxisRange] = field(default_factory=dict)
    units: Units = "metric"

    def scene(
        self,
        traces: list[tuple[ArcResults, float]],
        units: Units,
        *,
        settled: bool,
        ids: tuple[str, ...] = ("loop", "wall"),
        top: float = 0.0,
        bands: bool = True,
        pins: Traces = (),
    ) -> ChartsScene:
        """The charts of these results, each with the angle (degrees) of its active tooth; ``ids`` are the shown.

        top : thickness (mm) at the end of the scale of colours; 0 takes the cut's own.
        bands : the ranges of the walls are shown.  pins : the pinned cut beside each of the traces.
        """
        if units != self.units:
            self.kept, self.units = {}, units
        side = side_of(traces[0][0].setup)
        # A chart that is not shown costs nothing.
        loops: tuple[LoopTrace, ...] = ()
        if "loop" in ids:
            loops = tuple([loop_trace(results, angle, other=i > 0) for i, (results, angle) in enumerate(traces)])
        walls = tuple([wall_trace(results, bands) for results, _ in traces]) if "wall" in ids else ()
        force, small = QUANTITIES["force"], QUANTITIES["micro"]
        pinned_loops: tuple[LoopTrace, ...] = ()
        pinned_walls: tuple[WallTrace, ...] = ()
        if pins and loops:
            pinned_loops = tuple([loop_trace(results, angle) for results, angle in pins])
        if pins and walls:
            pinned_walls = tuple([wall_trace(results, band=False) for results, _ in pins])
        shown = [(t.side, t.loop) for t in (*loops, *pinned_loops) if t.loop is not None]
        if loops:
            self._keep("across", [force.shown(s * v, units) for s, loop in shown for v in _ends(loop.fx)], settled)
            self._keep("along", [force.shown(v, units) for _, loop in shown for v in _ends(loop.fy)], settled)
        profiles = [t.profile for t in (*walls, *pinned_walls) if t.profile is not None]
        errors = [1000.0 * v for p in profiles for v in (p.least, p.greatest)]
        # A tolerance is in the picture as long as it does not flatten the wall.
        for t in walls:
            if t.check is not None and t.check.limit < 3.0 * max(t.check.value, 1e-9):
                errors += [1000.0 * t.check.limit, -1000.0 * t.check.limit]
        if walls:
            self._keep("error", [small.shown(v, units) for v in errors], settled)
        marks: tuple[MarksTrace, ...] = ()
        pinned_marks: tuple[MarksTrace, ...] = ()
        if "marks" in ids:
            marks = tuple(marks_trace(results) for results, _ in traces)
            pinned_marks = tuple([marks_trace(results) for results, _ in pins])
            heights = [small.shown(1000.0 * t.height, units) for t in (*marks, *pinned_marks)]
            self._keep("marks", heights, settled)
        edges: tuple[EdgeTrace, ...] = ()
        pinned_edges: tuple[EdgeTrace, ...] = ()
        if "edge" in ids:
            names = edge_names([results.setup for results, _ in traces], units)
            edges = tuple([edge_trace(*trace, name) for trace, name in zip(traces, names, strict=True)])
            pinned_edges = tuple([edge_trace(*trace) for trace in pins])
        depth = traces[0][0].setup.cut.axial_engagement_mm
        ranges = self.kept
        return ChartsScene(
            loops,
            walls,
            ranges.get("across", NO_RANGE),
            ranges.get("along", NO_RANGE),
            ranges.get("error", NO_RANGE),
            depth,
            side,
            units,
            marks,
            ranges["marks"] if marks else NO_RANGE,
            edges=edges,
            top=top or readable_top(traces[0][0], units),
            pinned_loops=pinned_loops,
            pinned_walls=pinned_walls,
            pinned_marks=pinned_marks,
            pinned_edges=pinned_edges,
        )

    def _keep(self, name: str, values: list[float], settled: bool) -> None:
        low, high = (min(values), max(values)) if values else (0.0, 0.0)
        self.kept[name] = kept_range(self.kept.get(name), low, high, 3, settled=settled)


def _ends(values: Array) -> tuple[float, float]:
    return float(values.min()), float(values.max())
