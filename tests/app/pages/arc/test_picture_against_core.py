"""The pictures of the window held against the core: sides, tolerance, motion, heat."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF

from app.kit.frame_clock import FRAME_MS, REDUCED_MS
from app.kit.look import look
from app.pages.arc.arc_state import ArcState
from app.pages.arc.force_loop_chart import LoopFrame, paint_loop_axes, paint_loops
from app.pages.arc.loupe import HEAT_STEPS, _paint_heat
from app.pages.arc.motion import Motion
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.side_charts_scene import ChartRanges
from app.pages.arc.wall_chart import paint_walls, wall_frames
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.effects.machine_limits import wall_check
from core.effects.wall_depth import wall_profile_over_depth
from core.force.force_at_angle import force_at_angle
from core.setup.setup import Setup
from tests.app.painted import Painted, figures, value
from tests.app.windows import boss

pytestmark = pytest.mark.usefixtures("window_app")

RECT = QRectF(0.0, 0.0, 480.0, 320.0)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("angle_deg", [125.0, 160.0])
def test_the_figures_under_the_loop_read_the_force_on_it_whatever_the_hand(hand: str, angle_deg: float) -> None:
    setup = boss().with_keys({"cutter.hand": hand})
    scene = ChartRanges().scene([(arc_results(setup), angle_deg)], "metric", settled=True)
    force, theme = force_at_angle(setup, math.radians(angle_deg)), look("light")
    assert force is not None and abs(force.x) > 10.0
    painter = Painted()
    paint_loop_axes(painter, RECT, scene, theme)
    plot = LoopFrame.of(RECT, scene, theme).plot
    across = figures(painter, plot.bottom(), RECT.bottom())
    paint_loops(painter, RECT, scene, theme)
    painter.end()
    # What a ruler through the figures reads at the mark of this moment.
    pixels, read = np.array([*across.values()]), np.array([value(text) for text in across])
    slope, start = np.polyfit(pixels, read, 1)
    (mark,) = painter.ellipses
    assert slope * mark.x() + start == pytest.approx(force.x, abs=0.01 * abs(force.x) + 0.5)
    # On the plan the work of a left-hand cutter lies on the other side: so does the force.
    assert bool(slope > 0.0) is (hand == "right")


def with_tolerance(times: float) -> Setup:
    """The opening setup with a tolerance of so many times the wall's greatest error."""
    profile = wall_profile_over_depth(boss())
    assert profile is not None
    error = max(abs(profile.least), abs(profile.greatest))
    return boss().with_keys({"cut.wall_tolerance_mm": times * error})


@pytest.mark.parametrize(("times", "seen"), [(0.5, True), (2.5, True), (3.5, False)])
def test_the_tolerance_is_in_the_range_of_the_wall_unless_it_would_flatten_it(times: float, seen: bool) -> None:
    setup, theme = with_tolerance(times), look("light")
    scene = ChartRanges().scene([(arc_results(setup), 125.0)], "metric", settled=True)
    check, profile = wall_check(setup), wall_profile_over_depth(setup)
    assert check is not None and profile is not None
    limit = 1000.0 * check.limit
    assert (scene.error_range.low <= -limit and limit <= scene.error_range.high) is seen
    assert scene.error_range.low <= 1000.0 * profile.least and 1000.0 * profile.greatest <= scene.error_range.high
    painter = Painted()
    paint_walls(painter, RECT, scene, theme)
    painter.end()
    ((_, frame),) = wall_frames(RECT, scene, theme)
    off = {round((x - frame.nominal) / frame.scale, 6) for x, _, end, _ in painter.lines if x == end} - {0.0}
    if seen:
        assert sorted(off) == pytest.approx([-limit, limit])


@pytest.mark.parametrize("reduced", [False, True])
def test_reduced_motion_steps_a_degree_twice_a_second_instead_of_gliding(reduced: bool) -> None:
    now = [10.0]
    bench, shared = Workbench(boss()), ViewState()
    shown = ArcState(shared, bench.resolved)
    motion = Motion(bench, shown, clock=lambda: now[0])
    shown.set("angle_deg", 100.0)
    shared.set("reduced_motion", reduced)
    shown.set("playing", True)
    assert motion.clock.interval() == (REDUCED_MS if reduced else FRAME_MS) and motion.clock.isActive()
    for _ in range(3):
        now[0] += 0.25
        motion.tick()
    gone = 3.0 if reduced else 0.75 * motion.degrees_a_second
    assert shown.angle_deg == pytest.approx(100.0 + gone)
    # Chosen while it plays, it counts at once.
    shared.set("reduced_motion", not reduced)
    assert motion.clock.interval() == (FRAME_MS if reduced else REDUCED_MS)
    motion.stop()
    assert not motion.clock.isActive()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_cold_edge_is_grey_and_the_hottest_in_the_colour_of_warning(theme: str) -> None:
    here, scene = look(theme), PlanScene.of(arc_results(resolved(example("boss").setup())), 125.0)
    colours = []
    for share in (0.0, 0.25, 1.0):
        painter = Painted()
        heated = replace(scene, heated=True, rise=400.0 * share, rise_top=400.0)
        _paint_heat(painter, heated, QPointF(60.0, 80.0), 500.0, 0.01, 60.0, here)
        painter.end()
        colours.append(painter.polylines[0])
    cold, warm, hot = colours
    assert cold.name() == here.color("reference").name() and hot.name() == here.color("warn").name()
    # A quarter of the way is nearer to cold.
    apart = [sum(abs(a - b) for a, b in zip(warm.getRgb(), end.getRgb(), strict=True)) for end in (cold, hot)]  # type: ignore[call-overload]
    assert apart[0] < 0.5 * apart[1]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_eye_tells_two_steps_of_heat_beside_one_another_apart(theme: str) -> None:
    scene, colours = PlanScene.of(arc_results(resolved(example("boss").setup())), 125.0), []
    for step in range(HEAT_STEPS + 1):
        painter = Painted()
        heated = replace(scene, heated=True, rise=400.0 * step / HEAT_STEPS, rise_top=400.0)
        _paint_heat(painter, heated, QPointF(60.0, 80.0), 500.0, 0.01, 60.0, look(theme))
        painter.end()
        colours.append(np.array(painter.polylines[0].getRgb()))
    assert np.abs(np.diff(colours, axis=0)).max() <= 4
