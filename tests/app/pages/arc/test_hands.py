"""Hands on the picture: the work's edge, a tooth, the feed arrow, the line; Esc, undo, both hands, Pair."""

from __future__ import annotations

import math
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.pages.arc.feed_arrow import dragged_feed, feed_arrow
from app.pages.arc.plan_layers import edge_grip
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import PATIENCE_MS, boss, drag, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def direction(setup: Setup, name: str) -> Setup:
    return setup.with_keys({"cut.direction": name})


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_dragging_the_edge_sets_the_width_that_lies_under_the_pointer(hand: str, way: str) -> None:
    with laid_out_on(direction(boss(), way).with_keys({"cutter.hand": hand})) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        grip = edge_grip(scene.shapes.edges[0], frame)
        # Toward the cutter's middle, by a quarter of a radius: the cut gets wider by that much.
        toward = math.copysign(1.0, frame.centre.x() - grip.x()) or 1.0
        drag(plan, grip, grip + QPointF(toward * 0.25 * frame.radius, 0.0))
        wide = window.workbench.setup.cut.radial_engagement_mm
        assert wide == pytest.approx(4.0 + 0.25 * 6.0, abs=0.06)
        assert window.workbench.undo_name == "radial width"
        window.workbench.undo()
        assert window.workbench.setup.cut.radial_engagement_mm == 4.0
        assert window.workbench.undo_name == ""


def test_an_edge_dragged_out_of_range_stays_legal_and_nothing_is_lost() -> None:
    with laid_out_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        grip = edge_grip(scene.shapes.edges[0], frame)
        drag(plan, grip, QPointF(frame.rect.left() + 2.0, grip.y()))
        assert 11.9 < window.workbench.setup.cut.radial_engagement_mm < 12.0
        assert window.workbench.resolved.cut == window.workbench.setup.cut


def test_escape_in_a_drag_puts_it_back() -> None:
    with laid_out_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        grip = edge_grip(scene.shapes.edges[0], frame)
        drag(plan, grip, grip + QPointF(-40.0, 0.0), release=False)
        assert window.workbench.setup.cut.radial_engagement_mm > 4.5
        QTest.keyClick(plan, Qt.Key.Key_Escape)
        settle()
        assert window.workbench.setup == boss() and window.workbench.undo_name == ""
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton)
        assert window.workbench.setup == boss()


def test_dragging_a_tooth_turns_the_cutter() -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        start = frame.point(scene.place(math.radians(120.0)))
        drag(plan, start, frame.point(scene.place(math.radians(150.0))))
        assert window.arc.shown.angle_deg == pytest.approx(150.0, abs=1.0)
        # Another tooth moves the same cutter: the tooth before it stands a pitch behind.
        scene, frame = plan.frames()[0]
        there = math.radians(window.arc.shown.angle_deg + 90.0)
        drag(plan, frame.point(scene.place(there)), frame.point(scene.place(there + math.radians(10.0))))
        assert window.arc.shown.angle_deg == pytest.approx(160.0, abs=1.5)
        assert window.workbench.setup == boss()


def test_dragging_the_feed_arrow_sets_the_feed_and_its_tail_flips() -> None:
    with laid_out_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        tail, tip = feed_arrow(scene, frame)
        drag(plan, tip, tip + QPointF(0.0, -15.0))
        wanted = dragged_feed(0.06, 12.0, 15.0)
        assert window.workbench.setup.cut.feed_per_tooth_mm == pytest.approx(wanted, rel=0.03)
        assert wanted > 0.07
        QTest.mouseClick(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, tail.toPoint())
        settle()
        assert window.workbench.setup.cut.direction == "conventional"
        assert window.workbench.undo_name == "direction"


@pytest.mark.parametrize("pair", [False, True])
def test_the_feed_is_dragged_finely_and_its_arrow_goes_with_the_hand(pair: bool) -> None:
    with laid_out_on(boss(), pair=pair) as window:
        plan = window.arc.plan

        def feed() -> float:
            return window.workbench.setup.cut.feed_per_tooth_mm

        def pulled(pixels: float) -> float:
            """How far the tip went with the hand."""
            _, tip = feed_arrow(*plan.frames()[0])
            # Taken beside its tip, which must not make it jump.
            drag(plan, tip + QPointF(3.0, 5.0), tip + QPointF(3.0, 5.0 - pixels), steps=3)
            return tip.y() - feed_arrow(*plan.frames()[0])[1].y()

        went = pulled(40.0)
        assert 0.06 * 1.5 < feed() <= 0.06 * 2.0
        assert (0.4 if pair else 0.7) * 40.0 < went < 1.3 * 40.0
        pulled(-40.0)
        assert feed() == pytest.approx(0.06, rel=0.05)
        # The whole range is reached by a few drags, and a drag never does nothing.
        for _ in range(8):
            before = feed()
            pulled(-100.0)
            assert feed() < 0.5 * before or feed() == pytest.approx(12.0 / 20000.0, rel=0.01)
        assert feed() == pytest.approx(12.0 / 20000.0, rel=0.01)
        for _ in range(10):
            pulled(100.0)
        assert feed() > 1.0


def mark_at(window: Any, at: QPointF) -> bool:
    """Whether the mark of the hand is at a place."""
    place = window.arc.plan.pointer.place()
    return place is not None and math.hypot(place.x() - at.x(), place.y() - at.y()) < 1.5


def test_the_mark_of_the_hand_goes_with_what_is_dragged() -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        plan = window.arc.plan
        grip = edge_grip(plan.frames()[0][0].shapes.edges[0], plan.frames()[0][1])
        drag(plan, grip, grip - QPointF(60.0, 0.0), release=False)
        scene, frame = plan.frames()[0]
        there = edge_grip(scene.shapes.edges[0], frame)
        assert there.x() == pytest.approx(grip.x() - 60.0, abs=2.0) and mark_at(window, there)
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, there.toPoint())
        assert mark_at(window, there)
        start, end = (frame.point(scene.place(math.radians(phi))) for phi in (120.0, 160.0))
        drag(plan, start, end, release=False)
        assert mark_at(window, end)
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, end.toPoint())


def test_the_mark_goes_when_the_picture_changes_under_a_pointer_that_stands_still() -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        plan = window.arc.plan
        tail, _ = feed_arrow(*plan.frames()[0])
        QTest.mouseMove(plan, tail.toPoint())
        assert mark_at(window, tail) and plan.cursor().shape() == Qt.CursorShape.PointingHandCursor
        # The arrow of the other direction stands on the other side.
        QTest.mouseClick(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, tail.toPoint())
        settle()
        assert plan.pointer.place() is None and plan.cursor().shape() == Qt.CursorShape.ArrowCursor
        scene, frame = plan.frames()[0]
        tooth = frame.point(scene.place(math.radians(scene.angle_deg)))
        QTest.mouseMove(plan, tooth.toPoint())
        assert mark_at(window, tooth)
        # The tooth moves on, and the mark with it as long as it is within reach.
        window.arc.shown.set("angle_deg", scene.angle_deg + 2.0)
        assert mark_at(window, frame.point(scene.place(math.radians(scene.angle_deg + 2.0))))
        window.arc.shown.set("angle_deg", scene.angle_deg + 30.0)
        assert plan.pointer.place() is None
        QTest.mouseMove(plan, tail.toPoint())
        QTest.mouseMove(plan, feed_arrow(*plan.frames()[0])[0].toPoint())
        assert plan.pointer.place() is not None
        window.files.open_example("slot-steel")
        settle()
        assert plan.pointer.place() is None
        QTest.mouseMove(plan, feed_arrow(*plan.frames()[0])[0].toPoint())
        assert plan.pointer.place() is not None
        QApplication.sendEvent(plan, QEvent(QEvent.Type.Leave))
        assert plan.pointer.place() is None


def test_the_pointer_changes_before_it_can_grab() -> None:
    with laid_out_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        places = (
            (edge_grip(scene.shapes.edges[0], frame), Qt.CursorShape.SizeHorCursor),
            (feed_arrow(scene, frame)[1], Qt.CursorShape.SizeVerCursor),
            (feed_arrow(scene, frame)[0], Qt.CursorShape.PointingHandCursor),
            (frame.point(scene.place(math.radians(scene.angle_deg))), Qt.CursorShape.OpenHandCursor),
            (frame.centre, Qt.CursorShape.ArrowCursor),
        )
        for at, shape in places:
            QTest.mouseMove(plan, at.toPoint())
            settle()
            assert plan.cursor().shape() == shape


def test_in_pair_the_other_plan_has_the_same_hands() -> None:
    with laid_out_on(boss(), size=(1600, 900), pair=True) as window:
        plan = window.arc.plan
        (climb, _), (other, frame) = plan.frames()
        assert climb.results.setup.cut.direction == "climb"
        assert other.results.setup.cut.direction == "conventional"
        grip = edge_grip(other.shapes.edges[0], frame)
        drag(plan, grip, grip + QPointF(0.25 * frame.radius, 0.0))
        assert window.workbench.setup.cut.direction == "climb"
        assert window.workbench.setup.cut.radial_engagement_mm == pytest.approx(5.5, abs=0.1)


@pytest.mark.parametrize("edge", [0, 1])
def test_a_straddling_edge_moves_alone(edge: int) -> None:
    straddling = boss().with_keys({"cut.direction": "straddling", "cut.radial_engagement_mm": 6.0})
    with laid_out_on(straddling) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        before = window.arc.shown.results.engagement
        grip = edge_grip(scene.shapes.edges[edge], frame)
        drag(plan, grip, grip + QPointF(0.1 * frame.radius, 0.0))
        after = window.arc.shown.results.engagement
        moved = (after.x1 - before.x1, after.x2 - before.x2)
        assert moved[edge] == pytest.approx(0.6, abs=0.08)
        assert moved[1 - edge] == pytest.approx(0.0, abs=1e-9)


def test_dragging_the_line_moves_the_tooth_and_the_axes_stand_still(qtbot: Any) -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        strips = window.arc.strips
        frame = strips.stack.frames()[0]
        ranges = dict(strips._keeper.kept)
        start = QPointF(float(frame.x(120.0)), frame.plot.center().y())
        drag(strips.viewport(), start, QPointF(float(frame.x(60.0)), start.y()))
        assert window.arc.shown.angle_deg == pytest.approx(60.0, abs=0.6)
        assert strips._keeper.kept == ranges
        # A screen reader is told when the hand has come to rest.
        qtbot.waitUntil(lambda: "in the air" in strips.accessibleDescription(), timeout=PATIENCE_MS)


def test_axes_keep_still_while_a_value_is_dragged_and_take_in_again_afterwards(qtbot: Any) -> None:
    with laid_out_on(boss()) as window:
        strips, bench, drag_ = window.arc.strips, window.workbench, object()
        first = strips._keeper.kept["chip"]
        for width in (3.0, 2.0, 1.0, 0.2):
            bench.propose(bench.setup.with_keys({"cut.radial_engagement_mm": width}), steps.WIDTH, drag_)
            settle()
            assert strips._keeper.kept["chip"] == first
        qtbot.waitUntil(lambda: strips._keeper.kept["chip"] != first, timeout=PATIENCE_MS)
        assert strips._keeper.kept["chip"].high < first.high


def test_keyboard_twins_of_the_hands() -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        strips = window.arc.strips
        strips.setFocus()
        QTest.keyClick(strips, Qt.Key.Key_Right)
        assert window.arc.shown.angle_deg == pytest.approx(121.0)
        QTest.keyClick(strips, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
        assert window.arc.shown.angle_deg == pytest.approx(131.0)
        QTest.keyClick(strips, Qt.Key.Key_Home)
        assert window.arc.shown.angle_deg == pytest.approx(109.471, abs=1e-3)
        QTest.keyClick(strips, Qt.Key.Key_End)
        assert window.arc.shown.angle_deg == pytest.approx(180.0)
