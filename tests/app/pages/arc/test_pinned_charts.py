"""The pinned cut on the charts: its loop, wall, feed marks and edges, thin and grey, on axes that hold."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.kit.look import look
from app.kit.thickness_colours import colour_of
from app.pages.arc.edge_chart import edge_frames, paint_edges, pinned_lines, pinned_outline, pinned_ribbon
from app.pages.arc.force_loop_chart import LoopFrame, loop_line, paint_loops
from app.pages.arc.marks_chart import MarksFrame, paint_marks
from app.pages.arc.marks_chart import pinned_line as marks_pinned_line
from app.pages.arc.pinned import ghost_traces
from app.pages.arc.side_charts_scene import ChartRanges, ChartsScene
from app.pages.arc.wall_chart import paint_walls, pinned_line, wall_frames
from core.base.quantities import clear_figure
from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.documents.materials import resolved
from core.effects.arc_results import arc_results
from core.effects.feed_marks import feed_marks, marked_wall
from core.effects.wall_depth import wall_profile_over_depth
from core.force.force_at_angle import force_at_angle
from core.force.force_curves import force_loop
from core.setup.setup import Setup
from core.strips.edge_unrolled import edge_rows
from tests.app import steps
from tests.app.painted import Painted
from tests.app.windows import at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

FEED, DEPTH = "cut.feed_per_tooth_mm", "cut.axial_engagement_mm"
RECT = QRectF(0.0, 0.0, 420.0, 260.0)
LIGHT = look("light")


def charts(
    pinned: Setup,
    shown: Setup,
    *,
    pair: bool = False,
    angle: float = 130.0,
    ids: tuple[str, ...] = ("loop", "wall"),
) -> ChartsScene:
    """The charts of one cut with another one pinned."""
    traces = [(arc_results(shown), angle)]
    if pair:
        traces.append((arc_results(shown.opposite), 180.0 - angle))
    pins = ghost_traces(arc_results(pinned), traces)
    return ChartRanges().scene(traces, "metric", settled=True, ids=ids, pins=pins)


@pytest.mark.parametrize("pair", [False, True])
def test_loop_and_wall_of_the_pinned_cut_stay_and_go_with_the_pin(pair: bool) -> None:
    with window_on(boss(), pair=pair) as window:
        QTest.keyClick(window, Qt.Key.Key_K)
        pinned = window.workbench.resolved
        before = window.arc.charts.scene_shown
        for feed in (0.045, 0.01):
            window.workbench.propose(window.workbench.setup.with_keys({FEED: feed}), steps.FEED)
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


@pytest.mark.parametrize("feed", [0.02, 0.06, 0.19])
@pytest.mark.parametrize("pair", [False, True])
def test_the_pinned_feed_marks_are_drawn_where_they_are_along_the_feed(feed: float, pair: bool) -> None:
    pinned, shown = resolved(boss().with_keys({FEED: feed})), resolved(boss())
    scene = charts(pinned, shown, pair=pair, ids=("marks",))
    frame, turn = MarksFrame.of(RECT, scene, LIGHT), scene.marks[0].turn
    assert [t.conventional for t in scene.pinned_marks] == ([False, True] if pair else [False])
    for trace, cut in zip(scene.pinned_marks, (pinned, pinned.opposite), strict=False):
        line, wall = marks_pinned_line(trace, turn, frame, scene), marked_wall(cut, 30)
        assert line is not None and wall is not None
        places = (line[:, 0] - frame.plot.left()) / frame.plot.width() * turn
        heights = (frame.base - line[:, 1]) / frame.scale
        assert (places[0], places[-1]) == pytest.approx((0.0, turn)) and np.all(np.diff(places) >= -1e-12)
        # A turn of the pinned feed comes again and again, at its own length.
        own = np.interp(places % (4 * feed), wall.y, wall.height)
        np.testing.assert_allclose(heights, 1000.0 * own, atol=1e-4)
        assert scene.marks_range.high >= heights.max()
    painted = Painted()
    paint_marks(painted, RECT, scene, LIGHT)
    painted.end()
    grey, ink = LIGHT.color("soft"), LIGHT.color("main")
    assert painted.polylines == [grey, grey, ink, ink] if pair else [grey, ink]
    told = [text for text, _ in painted.written if text.startswith("pinned ")]
    found = feed_marks(pinned)
    assert found is not None
    assert told == ([] if pair else [f"pinned {clear_figure(1000.0 * found.height, 'micro', 'metric', counting=3)}"])


def test_pinned_marks_too_close_to_be_told_apart_are_the_line_of_their_crests() -> None:
    scene = charts(resolved(boss().with_keys({FEED: 0.0005})), resolved(boss()), ids=("marks",))
    frame, (trace,) = MarksFrame.of(RECT, scene, LIGHT), scene.pinned_marks
    line = marks_pinned_line(trace, scene.marks[0].turn, frame, scene)
    assert line is not None and line.shape == (2, 2)
    assert (frame.base - line[:, 1]) / frame.scale == pytest.approx(1000.0 * trace.height)


def test_a_pinned_cut_without_a_finished_wall_has_no_marks_to_compare_with() -> None:
    scene = charts(resolved(boss()), resolved(boss()), ids=("marks",))
    (trace,) = scene.pinned_marks
    bare = replace(trace, wall=None, missing="straddles")
    painted = Painted()
    paint_marks(painted, RECT, replace(scene, pinned_marks=(bare,)), LIGHT)
    painted.end()
    assert painted.polylines == [LIGHT.color("main")]
    assert not any(text.startswith("pinned") for text, _ in painted.written)


@pytest.mark.parametrize(("depth", "width"), [(4.0, 2.0), (16.0, 9.0)])
@pytest.mark.parametrize("pair", [False, True])
def test_the_pinned_edges_are_drawn_at_their_angles_and_heights(depth: float, width: float, pair: bool) -> None:
    keys = {DEPTH: depth, "cut.radial_engagement_mm": width}
    pinned, shown = resolved(boss().with_keys(keys)), resolved(boss())
    angle = 170.0
    scene = charts(pinned, shown, pair=pair, ids=("edge",), angle=angle)
    frames = edge_frames(RECT, scene, LIGHT)
    assert len(frames) == (2 if pair else 1)
    for frame, cut, at in zip(frames, (pinned, pinned.opposite), (angle, 180.0 - angle), strict=False):
        e, top = engagement(cut), min(depth, shown.cut.axial_engagement_mm)
        outline = pinned_outline(frame)
        phis = [frame.across.value(p.x()) for p in outline]
        heights = [frame.up.value(p.y()) for p in outline]
        assert (phis[0], phis[2]) == pytest.approx((np.degrees(e.entry), np.degrees(e.exit)))
        assert heights[:4] == pytest.approx([top, 0.0, 0.0, top])
        # It is open where it goes on above the row.
        assert len(outline) == (5 if depth <= shown.cut.axial_engagement_mm else 4)
        lines = pinned_lines(frame)
        assert lines
        lag = np.degrees(e.edge_lag) / depth
        for line in lines:
            for point in (line.p1(), line.p2()):
                phi, height = frame.across.value(point.x()), frame.up.value(point.y())
                assert -1e-9 <= height <= top + 1e-9
                # On one of the edges: a tooth's tip, a whole number of pitches behind, less the helix' lag.
                assert (at - phi - lag * height) % 90.0 == pytest.approx(0.0, abs=1e-6) or (
                    at - phi - lag * height
                ) % 90.0 == pytest.approx(90.0, abs=1e-6)


def test_the_pinned_chip_keeps_its_colours_on_the_scale_that_its_pin_holds() -> None:
    pinned, shown = resolved(boss().with_keys({FEED: 0.02, "cutter.helix_deg": 0.0})), resolved(boss())
    traces = [(arc_results(shown), 100.0)]
    pins = ghost_traces(arc_results(pinned), traces)
    scene = ChartRanges().scene(traces, "metric", settled=True, ids=("edge",), top=0.08, pins=pins)
    (frame,) = edge_frames(RECT, scene, LIGHT)
    ribbon = pinned_ribbon(frame)
    assert ribbon is not None
    image = QImage(420, 260, QImage.Format.Format_RGB32)
    image.fill(LIGHT.color("panel"))
    painter = QPainter(image)
    paint_edges(painter, RECT, scene, LIGHT)
    painter.end()
    for phi in (140.0, 150.0, 160.0):
        want = colour_of(float(thickness(np.radians(phi), pinned, "trochoid")) / scene.top, LIGHT.thick_is_dark)
        found = image.pixelColor(round(frame.across.pixel(phi)), round(ribbon.center().y()))
        assert max(abs(a - b) for a, b in zip(rgb(found), rgb(want), strict=True)) <= 12


def rgb(color: QColor) -> tuple[int, int, int]:
    return color.red(), color.green(), color.blue()


def test_with_runout_each_row_has_the_pinned_chip_of_its_own_tooth() -> None:
    worn = resolved(boss().with_keys({"cutter.runout_mm": 0.01}))
    frames = edge_frames(RECT, charts(worn, worn.with_keys({FEED: 0.03}), ids=("edge",)), LIGHT)
    rows = edge_rows(worn)
    assert [frame.row.tooth for frame in frames] == [0, 1, 2, 3]
    for frame, row in zip(frames, rows, strict=True):
        assert frame.pinned_row is not None
        np.testing.assert_array_equal(frame.pinned_row.h, row.h)
    # A row of all teeth has the chip of the tooth that is looked at; rows of a worn cutter that of all, pinned true.
    (frame,) = edge_frames(RECT, charts(worn, resolved(boss()), ids=("edge",)), LIGHT)
    assert frame.pinned_row is not None and frame.pinned_row.tooth == 0
    frames = edge_frames(RECT, charts(resolved(boss()), worn, ids=("edge",)), LIGHT)
    assert [f.pinned_row.tooth for f in frames if f.pinned_row is not None] == [None] * 4


@pytest.mark.parametrize("pair", [False, True])
def test_marks_and_edges_of_the_pinned_cut_stay_and_go_with_the_pin(pair: bool) -> None:
    with window_on(boss(), (1280, 800), pair=pair, charts=("marks", "edge")) as window:
        bare = window.arc.charts.grab().toImage()
        QTest.keyClick(window, Qt.Key.Key_K)
        pinned = window.workbench.resolved
        propose = window.workbench.propose
        propose(window.workbench.setup.with_keys({FEED: 0.03, "cut.radial_engagement_mm": 8.0}), steps.FEED)
        settle()
        at_rest(window)
        scene = window.arc.charts.scene_shown
        cuts = [pinned, pinned.opposite] if pair else [pinned]
        found = [feed_marks(c) for c in cuts]
        assert [t.height for t in scene.pinned_marks] == [f.height for f in found if f is not None]
        assert [t.rows for t in scene.pinned_edges] == [edge_rows(c) for c in cuts]
        # The held axis: the pinned feed's marks are the higher.
        assert scene.marks_range.high >= 1000.0 * max(t.height for t in scene.pinned_marks)
        with_ghost = window.arc.charts.grab().toImage()
        QTest.keyClick(window, Qt.Key.Key_K)
        at_rest(window)
        scene = window.arc.charts.scene_shown
        assert not scene.pinned_marks and not scene.pinned_edges
        assert window.arc.charts.grab().toImage() != with_ghost != bare
