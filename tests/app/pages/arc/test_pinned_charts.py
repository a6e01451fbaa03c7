"""The pinned cut on the charts: its loop and its wall, thin and grey, on axes that hold."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.force_loop_chart import LoopFrame, loop_line, paint_loops
from app.pages.arc.pinned import ghost_traces
from app.pages.arc.side_charts_scene import ChartRanges, ChartsScene
from app.pages.arc.wall_chart import paint_walls, pinned_line, wall_frames
from core.documents.materials import resolved
from core.effects.arc_results import arc_results
from core.effects.wall_depth import wall_profile_over_depth
from core.force.force_at_angle import force_at_angle
from core.force.force_curves import force_loop
from core.setup.setup import Setup
from tests.app.painted import Painted
from tests.app.windows import at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

FEED, DEPTH = "cut.feed_per_tooth_mm", "cut.axial_engagement_mm"
RECT = QRectF(0.0, 0.0, 420.0, 260.0)
LIGHT = look("light")


def charts(pinned: Setup, shown: Setup, *, pair: bool = False, angle: float = 130.0) -> ChartsScene:
    """The charts of one cut with another one pinned."""
    traces = [(arc_results(shown), angle)]
    if pair:
        traces.append((arc_results(shown.opposite), 180.0 - angle))
    pins = ghost_traces(arc_results(pinned), traces)
    return ChartRanges().scene(traces, "metric", settled=True, pins=pins)


@pytest.mark.parametrize("pair", [False, True])
def test_loop_and_wall_of_the_pinned_cut_stay_and_go_with_the_pin(pair: bool) -> None:
    with window_on(boss(), pair=pair) as window:
        QTest.keyClick(window, Qt.Key.Key_K)
        pinned = window.workbench.resolved
        before = window.arc.charts.scene_shown
        for feed in (0.045, 0.01):
            window.workbench.propose(window.workbench.setup.with_keys({FEED: feed}), "feed")
            settle()
            at_rest(window)
            scene = window.arc.charts.scene_shown
            cuts = [pinned, pinned.opposite] if pair else [pinned]
            assert [t.loop for t in scene.pinned_loops] == [force_loop(c) for c in cuts]
            assert [t.profile for t in scene.pinned_walls] == [wall_profile_over_depth(c) for c in cuts]
            # The axes hold, and give way to nothing but a curve that would leave the chart.
            for name in ("across", "along", "error_range"):
                held, was = getattr(scene, name), getattr(before, name)
                assert held == was or (feed == 0.01 and held.low <= was.low and was.high <= held.high), name
        QTest.keyClick(window, Qt.Key.Key_K)
        at_rest(window)
        scene = window.arc.charts.scene_shown
        assert not scene.pinned_loops and not scene.pinned_walls and scene.across != before.across


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_pinned_loop_is_drawn_where_its_forces_are_and_in_grey(hand: str) -> None:
    pinned = resolved(boss().with_keys({"cutter.hand": hand, FEED: 0.08}))
    scene = charts(pinned, resolved(boss().with_keys({"cutter.hand": hand})))
    frame, (trace,) = LoopFrame.of(RECT, scene, LIGHT), scene.pinned_loops
    mirror = 1.0 if hand == "right" else -1.0
    found, expected = loop_line(trace, frame, 1.0), force_loop(pinned)
    assert expected is not None
    np.testing.assert_allclose(found[:, 0], frame.origin.x() + frame.scale * mirror * expected.fx)
    np.testing.assert_allclose(found[:, 1], frame.origin.y() - frame.scale * expected.fy)
    assert frame.plot.left() <= found[:, 0].min() and found[:, 0].max() <= frame.plot.right()
    painted = Painted()
    paint_loops(painted, RECT, scene, LIGHT)
    painted.end()
    force = force_at_angle(pinned, np.radians(130.0))
    assert force is not None
    ends = [(x2, y2) for _, _, x2, y2 in painted.lines]
    x, y = frame.origin.x() + frame.scale * mirror * force.x, frame.origin.y() - frame.scale * force.y
    assert any(np.hypot(a - x, b - y) < 1e-6 for a, b in ends)


@pytest.mark.parametrize("depth", [4.0, 16.0])
def test_the_pinned_wall_is_drawn_at_its_own_heights(depth: float) -> None:
    pinned, shown = resolved(boss().with_keys({DEPTH: depth})), resolved(boss())
    scene = charts(pinned, shown)
    (_, frame), (trace,) = wall_frames(RECT, scene, LIGHT)[0], scene.pinned_walls
    line, profile = pinned_line(trace, frame, scene), wall_profile_over_depth(pinned)
    assert line is not None and profile is not None
    # In pixels back to µm and mm: where it is drawn is where the core has it.
    errors = (line[:, 0] - frame.nominal) / frame.across.per_unit
    heights = (line[:, 1] - frame.up.zero) / frame.up.per_unit * scene.depth
    assert heights.max() == pytest.approx(min(depth, shown.cut.axial_engagement_mm))
    np.testing.assert_allclose(errors, 1000.0 * np.interp(heights, profile.heights, profile.error), atol=1e-6)


def test_the_pinned_wall_is_grey_under_the_wall_that_is_shown() -> None:
    scene = charts(resolved(boss()), resolved(boss().with_keys({FEED: 0.03})))
    painted = Painted()
    paint_walls(painted, RECT, scene, LIGHT)
    painted.end()
    assert painted.polylines[0] == LIGHT.color("soft") and painted.polylines[-1] == LIGHT.color("ink")


def test_a_direction_that_was_turned_leaves_the_ghost_as_it_was_pinned() -> None:
    climb = resolved(boss())
    scene = charts(climb, climb.opposite, angle=50.0)
    assert [t.conventional for t in scene.pinned_loops] == [False]
    both = charts(climb, climb.opposite, pair=True, angle=50.0)
    assert [t.conventional for t in both.pinned_loops] == [True, False]
    assert [t.conventional for t in both.pinned_walls] == [True, False]
