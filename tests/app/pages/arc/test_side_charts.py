"""The charts beside the plan, and the arrows of force on it: in a real window, and on paper."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.force_loop_chart import LoopFrame
from app.pages.arc.plan_force import FULL, paint_forces
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene, force_range
from app.pages.arc.side_charts import chart_rects
from app.pages.arc.wall_chart import band_outline, chart_area, end_texts, magnified, name_place, wall_frames
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.effects.wall import wall_error
from core.effects.wall_range import wall_range
from core.force.force_turn import force_turn
from core.report.sentence import sentence
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import PATIENCE_MS, TYPE_SIZES, at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def cut(id: str) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup())


def test_the_point_on_the_loop_follows_the_tooth() -> None:
    with window_on(boss(), angle_deg=125.0) as window:
        first = window.arc.charts.scene_shown.loops[0]
        assert first.here is not None and first.loop is not None
        window.arc.shown.set("angle_deg", 155.0)
        settle()
        second = window.arc.charts.scene_shown.loops[0]
        assert second.here is not None and second.here != first.here
        # Every moment of the turn lies on the loop.
        off = np.hypot(second.loop.fx - second.here[0], second.loop.fy - second.here[1])  # type: ignore[union-attr]
        turn = force_turn(boss())
        assert turn is not None and off.min() < 0.02 * turn.resultant_max


def test_both_scales_of_the_loop_are_one_and_the_whole_loop_is_inside() -> None:
    with window_on(boss(), pair=True) as window:
        charts = window.arc.charts
        scene = charts.scene_shown
        box = dict(chart_rects(QRectF(charts.rect()), window.arc.shown.charts))["loop"]
        frame = LoopFrame.of(box, scene, look("light"))
        for trace in scene.loops:
            assert trace.loop is not None
            at = frame.points(trace.loop.fx, trace.loop.fy)
            inside = frame.plot.adjusted(-1.0, -1.0, 1.0, 1.0)
            assert inside.left() <= at[:, 0].min() and at[:, 0].max() <= inside.right()
            assert inside.top() <= at[:, 1].min() and at[:, 1].max() <= inside.bottom()
        right = (
            frame.points(np.array([100.0]), np.array([0.0]))[0] - frame.points(np.array([0.0]), np.array([0.0]))[0]
        )
        up = frame.points(np.array([0.0]), np.array([100.0]))[0] - frame.points(np.array([0.0]), np.array([0.0]))[0]
        assert right[0] == pytest.approx(-up[1]) and right[0] > 0.0


@pytest.mark.parametrize(("id", "on_right"), [("boss", True), ("left-hand", False)])
def test_the_wall_stands_where_the_plan_has_it_and_stock_leans_toward_the_cutter(id: str, on_right: bool) -> None:
    setup = cut(id)
    with window_on(setup) as window:
        charts = window.arc.charts
        scene = charts.scene_shown
        box = dict(chart_rects(QRectF(charts.rect()), window.arc.shown.charts))["wall"]
        ((trace, frame),) = wall_frames(box, scene, look("light"))
        assert trace.on_right is on_right and trace.profile is not None
        error = wall_error(np.array([0.0]), setup)
        assert error is not None and error[0] > 0.0
        x = frame.points(1000.0 * error, np.array([0.0]))[0, 0]
        assert bool(x < frame.nominal) is on_right
        assert frame.plot.left() < x < frame.plot.right() and frame.plot.left() < frame.nominal < frame.plot.right()
        # How much larger the error is drawn, from pixels alone.
        drawn = abs(x - frame.nominal) / float(error[0])
        assert magnified(frame, scene) == pytest.approx(drawn / (frame.plot.height() / setup.cut.axial_engagement_mm))


@pytest.mark.parametrize("id", ["boss", "left-hand"])
@pytest.mark.parametrize("conventional", [False, True])
def test_walls_of_a_pair_stand_as_their_plans_do_with_one_scale(id: str, conventional: bool) -> None:
    setup = cut(id).opposite if conventional else cut(id)
    with window_on(setup, pair=True) as window:
        for theme in TYPE_SIZES:
            window.view.set("theme", theme)
            settle()
            charts, here = window.arc.charts, look(theme)
            box = dict(chart_rects(QRectF(charts.rect()), window.arc.shown.charts))["wall"]
            walls = wall_frames(box, charts.scene_shown, here)
            ((climb, left), (other, right)) = sorted(walls, key=lambda wall: wall[1].plot.left())
            plans = [scene for scene, _ in window.arc.plan.frames()]
            assert (
                [t.conventional for t in (climb, other)] == [scene.conventional for scene in plans] == [False, True]
            )
            assert left.plot.right() < right.plot.left() and left.scale == pytest.approx(right.scale)
            for trace, frame, scene in ((climb, left, plans[0]), (other, right, plans[1])):
                # The work lies on the side of the wall on which the plan has it.
                assert trace.on_right is bool(scene.shapes.walls[0][0, 0] > 0.0)
                assert frame.out == (1.0 if trace.on_right else -1.0)
                text, place = name_place(trace, frame, here)
                assert text in ("conventional", "conv.") if trace.conventional else text == "climb"
                assert frame.plot.left() <= place.left() and place.right() <= frame.plot.right()
                head, _ = chart_area(box, here)
                assert head.bottom() <= place.top() and place.bottom() <= frame.plot.top() + 2.0


def test_axes_stand_still_in_a_drag_and_come_in_after_it() -> None:
    with window_on(boss()) as window:
        charts, bench = window.arc.charts, window.workbench
        before = charts.scene_shown
        gesture = object()
        for width in (3.5, 3.0, 2.0, 1.0, 0.5):
            bench.propose(bench.setup.with_keys({"cut.radial_engagement_mm": width}), steps.WIDTH, gesture)
            settle()
        during = charts.scene_shown
        assert (during.across, during.along, during.error_range) == (before.across, before.along, before.error_range)
        charts.settle()
        assert charts.scene_shown.across.low > before.across.low


def test_charts_are_chosen_by_key_and_go_with_the_room() -> None:
    with window_on(boss()) as window:
        assert window.arc.charts.isVisible() and window.arc.shown.charts == ("loop", "wall")
        for id in ("loop", "wall"):
            action = window.menus.by_id[f"chart_{id}"]
            QTest.keyClick(window, Qt.Key(ord(action.shortcut().toString())))
            settle()
        assert window.arc.shown.charts == () and not window.arc.charts.isVisible()
        window.menus.by_id["chart_wall"].trigger()
        settle()
        assert window.arc.shown.charts == ("wall",) and window.arc.charts.isVisible()
        window.resize(1280, 560)
        settle()
        assert not window.arc.charts.isVisible()
        window.resize(1280, 800)
        settle()
        assert window.arc.charts.isVisible()


@pytest.mark.parametrize(
    ("setup", "words"),
    [
        (cut("slot-steel"), "straddles"),
        (boss().with_keys({"cutter.stickout_mm": None}), "stick-out"),
        (boss().with_keys({"work.force": None}), "no material"),
    ],
)
def test_what_is_not_known_is_said(setup: Setup, words: str) -> None:
    with window_on(setup) as window:
        trace = window.arc.charts.scene_shown.walls[0]
        assert trace.profile is None and words in trace.missing


def test_the_arrow_is_as_long_as_its_force_and_points_its_way(output: Path) -> None:
    """Found again in the pixels: the far end of what the arrows' colour covers."""
    results, theme = arc_results(boss()), look("light")
    scene = PlanScene.of(results, 140.0)
    assert scene.force is not None
    top = force_range(None, [scene]).high
    rect = QRectF(0.0, 0.0, 700.0, 600.0)
    frame = PlanFrame.of(rect, theme, True)
    image = QImage(700, 600, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    # Only the whole force: the tooth's own is taken out of the picture.
    alone = replace(scene.force, tooth_x=0.0, tooth_y=0.0)
    paint_forces(painter, replace(scene, force=alone, force_top=top), frame, theme)
    painter.end()
    image.save(str(output / "force-arrow.png"))
    color = theme.color("third").rgb()
    found = np.array([(x, y) for x in range(700) for y in range(600) if image.pixel(x, y) == color])
    away = found - (frame.centre.x(), frame.centre.y())
    along = np.array([scene.force.x, -scene.force.y]) / scene.force.size
    length = FULL * frame.radius * scene.force.size / top
    near = away[np.abs(away @ (-along[1], along[0])) < 2.0]
    reach = (near @ along)[(near @ along) < length + 3.0].max()
    assert reach == pytest.approx(length, abs=3.5)
    assert math.degrees(math.atan2(scene.force.y, scene.force.x)) > 150.0


def test_both_plans_of_a_pair_share_the_scale_of_their_arrows() -> None:
    with window_on(boss(), pair=True) as window:
        tops = {scene.force_top for scene, _ in window.arc.plan.frames()}
        assert len(tops) == 1
        greatest = max(force_turn(s).resultant_max for s in (boss(), boss().opposite))  # type: ignore[union-attr]
        assert greatest <= tops.pop() < 2.0 * greatest


def test_one_cut_has_arrows_of_one_length_whatever_was_shown_before(qtbot: Any) -> None:
    with window_on(cut("boss")) as window:
        plan, bench = window.arc.plan, window.workbench

        def top() -> float:
            return plan.frames()[0][0].force_top

        fresh = top()
        # A greater force on the way is kept while something is dragged, and forgotten when it comes to rest.
        depth_before = bench.setup.cut.axial_engagement_mm
        for depth in (2.0 * depth_before, depth_before):
            bench.propose(bench.setup.with_keys({"cut.axial_engagement_mm": depth}), steps.ANOTHER)
            settle()
        assert top() > fresh
        qtbot.waitUntil(lambda: top() == fresh, timeout=PATIENCE_MS)
        for id in ("roughing-steel", "slot-steel", "boss"):
            window.files.open_example(id)
            settle()
        assert top() == fresh


@pytest.mark.parametrize(
    ("place", "units", "told"),
    [
        (("tip", 0.0838, (0.0664, 0.1049)), "metric", ("tip +84, 66 to 100", "tip +84")),
        (("top", 0.0822, (0.0652, 0.1029)), "inch", ("top +3200, 2600 to 4100", "top +3200")),
        (("tip", -0.0296, (-0.0371, 0.002)), "metric", ("tip −30, −37 to 2.0", "tip −30")),
        # Known to a tenth: to a tenth of a micrometre, or to a whole microinch.
        (("tip", 0.0838, (0.0820, 0.0850)), "metric", ("tip +83.8",)),
        (("tip", -0.0296, (-0.0300, -0.0290)), "inch", ("tip −1165",)),
        (("top", 0.0, (0.0, 0.0)), "metric", ("top 0.0",)),
        # In a drag it is not known how wide the range is.
        (("tip", 0.0838, None), "metric", ("tip +84",)),
    ],
)
def test_an_end_of_the_wall_is_told_with_its_range_where_it_is_known_roughly(
    place: Any, units: Any, told: tuple[str, ...]
) -> None:
    where, error, ends = place
    assert end_texts(where, error, ends, units) == told


def test_the_range_of_the_wall_comes_as_the_hand_rests() -> None:
    with window_on(cut("long-reach")) as window:
        bench, charts = window.workbench, window.arc.charts
        at_rest(window)
        assert charts.scene_shown.walls[0].band is not None
        bench.propose(bench.setup.with_keys({"cut.radial_engagement_mm": 0.9}), steps.WIDTH)
        settle()
        assert charts.scene_shown.walls[0].band is None
        told = window.sentence.label.text().replace("\n", " ")
        assert told == sentence(bench.resolved, ranged=False) and " N (" not in told
        at_rest(window)
        assert charts.scene_shown.walls[0].band is not None
        told = window.sentence.label.text().replace("\n", " ")
        assert told == sentence(bench.resolved) and " N (" in told


def test_the_band_about_a_wall_is_the_range_of_its_error_and_stays_on_the_picture() -> None:
    with window_on(cut("long-reach")) as window:
        charts = window.arc.charts
        scene = charts.scene_shown
        box = dict(chart_rects(QRectF(charts.rect()), window.arc.shown.charts))["wall"]
        [(trace, frame)] = wall_frames(box, scene, look("light"))
        outline = band_outline(trace, frame, scene)
        assert trace.band is not None and outline is not None
        heights, low, high = trace.band
        found = wall_range(cut("long-reach"))
        assert found is not None
        assert (low[0], high[0]) == pytest.approx(found.tip) and (low[-1], high[-1]) == pytest.approx(found.top)
        error = wall_error(heights, cut("long-reach"))
        assert error is not None and np.all(low <= error) and np.all(error <= high)
        assert outline[:, 0].min() >= frame.plot.left() and outline[:, 0].max() <= frame.plot.right()
