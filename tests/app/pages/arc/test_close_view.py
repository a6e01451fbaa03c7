"""The close view: the arc fills the eye, what is under the pointer stays there, nothing of the picture is lost."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.kit.look import look
from app.kit.shapes import line_inside, pieces_inside
from app.pages.arc.loupe import loupe_place
from app.pages.arc.plan_close import CloseView, arc_is_small, arc_view, sense
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_inset import inset_place
from app.pages.arc.plan_layers import edge_grip
from app.pages.arc.plan_scene import PlanScene, readable_top
from app.pages.arc.plan_tooth import chip_outline
from core.effects.arc_results import arc_results
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, drag, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

WIDTH = "cut.radial_engagement_mm"
NARROW = boss().with_keys({WIDTH: 0.2})


def framed(setup: Setup, size: tuple[float, float] = (640.0, 520.0)) -> tuple[PlanScene, PlanFrame]:
    """The plan of a setup with its arc framed."""
    results = arc_results(setup)
    scene = PlanScene.of(results, 90.0)
    close = arc_view(results, readable_top(results, "metric"))
    return scene, PlanFrame.of(QRectF(0.0, 0.0, *size), look("light"), True, close, sense(scene))


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
@pytest.mark.parametrize("width", [0.01, 0.05, 0.2, 1.0])
def test_a_framed_arc_is_large_and_whole_and_free_of_loupe_and_inset(hand: str, way: str, width: float) -> None:
    scene, frame = framed(boss().with_keys({"cutter.hand": hand, "cut.direction": way, WIDTH: width}))
    ring = chip_outline(scene, frame)
    low, high = ring.min(axis=0), ring.max(axis=0)
    box = QRectF(QPointF(*low), QPointF(*high))
    assert frame.inner.contains(box)
    # As large as a readable step allows, and never an eighth of the picture any more.
    assert box.height() > 0.33 * frame.inner.height()
    centre, radius = loupe_place(scene, frame)
    assert not box.intersects(QRectF(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius))
    inset = inset_place(scene, frame)
    assert inset is not None and not box.intersects(inset) and frame.inner.contains(inset)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_view_of_one_direction_is_that_of_the_other_mirrored(hand: str) -> None:
    view = CloseView(4.0, 0.7, 0.3)
    places = []
    for way in ("climb", "conventional"):
        scene = PlanScene.of(arc_results(NARROW.with_keys({"cutter.hand": hand, "cut.direction": way})), 90.0)
        frame = PlanFrame.of(QRectF(0.0, 0.0, 640.0, 520.0), look("light"), True, view, sense(scene))
        places.append((frame.centre.x() - frame.inner.center().x(), frame.centre.y()))
    (climb, y), (conventional, other_y) = places
    assert climb == pytest.approx(-conventional, abs=1.0) and y == other_y


@given(st.floats(0.005, 11.9), st.sampled_from(["climb", "conventional"]))
def test_an_arc_is_small_where_it_is_under_a_seventh_of_the_plan(width: float, way: str) -> None:
    results = arc_results(boss().with_keys({WIDTH: width, "cut.direction": way}))
    e = results.engagement
    phi = np.linspace(e.entry, e.exit, 2001)
    side = max(np.ptp(np.cos(phi)), np.ptp(np.sin(phi)))
    if abs(side / 2.58 - 1.0 / 7.0) > 1e-4:
        assert arc_is_small(results) == (side < 2.58 / 7.0)


def only_frame(window: ArcWindow) -> PlanFrame:
    return window.arc.plan.frames()[0][1]


def test_it_is_chosen_by_itself_by_keys_and_remembered() -> None:
    with window_on(NARROW) as window:
        shown = window.arc.shown
        assert shown.close is not None and only_frame(window).scale > 4.0
        QTest.keyClick(window.arc.plan, Qt.Key.Key_0)
        assert only_frame(window).scale == 1.0 and window.arc.state()["frame"] == "all"
        QTest.keyClick(window.arc.plan, Qt.Key.Key_F)
        assert only_frame(window).scale > 4.0 and window.menus.by_id["frame_arc"].isChecked()
        window.menus.by_id["frame_auto"].trigger()
        window.workbench.propose(boss(), steps.WIDTH)
        settle()
        # Held until the hand rests.
        assert only_frame(window).scale > 4.0
        at_rest(window)
        assert only_frame(window).scale == 1.0
        window.arc.restore_state({"frame": "all"})
        assert window.arc.shown.frame == "all"
        window.arc.restore_state({"frame": "nonsense"})
        assert window.arc.shown.frame == "all"


def turn_wheel(window: ArcWindow, at: QPointF, notches: int) -> None:
    plan = window.arc.plan
    event = QWheelEvent(
        at,
        QPointF(plan.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(plan, event)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("pair", [False, True])
def test_the_wheel_goes_nearer_about_the_pointer_and_back(hand: str, pair: bool) -> None:
    with window_on(boss().with_keys({"cutter.hand": hand}), pair=pair) as window:
        frame = window.arc.plan.frames()[-1][1]
        at = frame.inner.center() + QPointF(60.0, -40.0)
        before = frame.radii(at)
        for _ in range(5):
            turn_wheel(window, at, 1)
        near = window.arc.plan.frames()[-1][1]
        assert near.scale == pytest.approx(1.25**5)
        # The axis stands on whole pixels.
        assert near.radii(at) == pytest.approx(before, abs=5.0 / near.radius)
        turn_wheel(window, at, -6)
        assert window.arc.plan.frames()[-1][1].scale == 1.0 and window.arc.shown.frame == "all"
        assert window.menus.by_id["frame_all"].isChecked()


def test_the_edge_is_dragged_finer_in_the_close_view_and_the_frame_holds_meanwhile() -> None:
    with window_on(NARROW) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        grip = edge_grip(scene.shapes.edges[0], frame)
        assert frame.inner.contains(grip)
        drag(plan, grip, grip + QPointF(-30.0, 0.0), release=False)
        width = window.workbench.setup.cut.radial_engagement_mm
        assert width == pytest.approx(0.2 + 30.0 / frame.radius * 6.0, abs=0.02)
        assert only_frame(window) == frame
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, grip.toPoint())


def test_empty_ground_is_dragged_along() -> None:
    with window_on(NARROW) as window:
        plan, frame = window.arc.plan, only_frame(window)
        start = QPointF(frame.inner.center().x() + 120.0, frame.inner.bottom() - 60.0)
        drag(plan, start, start + QPointF(-40.0, -25.0))
        moved = only_frame(window).centre - frame.centre
        assert (moved.x(), moved.y()) == pytest.approx((-40.0, -25.0), abs=8.0)
        assert window.workbench.setup == NARROW


# Whether a line along a side that leaves it by less than rounding is in or out, shapely and we decide differently.
PIXEL = st.floats(-50, 150).map(lambda value: round(value, 9))


@given(st.lists(st.tuples(PIXEL, PIXEL), min_size=2, max_size=8))
def test_lines_are_cut_to_the_picture_as_shapely_cuts_them(places: list[tuple[float, float]]) -> None:
    box, points = QRectF(0.0, 0.0, 100.0, 80.0), np.array(places)
    sides = shapely.box(0.0, 0.0, 100.0, 80.0)
    lines = [shapely.LineString(pair) for pair in itertools.pairwise(points)]
    wanted = sum(line.intersection(sides).length for line in lines)
    pieces = pieces_inside(points, box)
    told = sum(float(np.hypot(*np.diff(piece, axis=0).T).sum()) for piece in pieces)
    assert told == pytest.approx(wanted, abs=1e-6)
    for piece in pieces:
        assert box.adjusted(-1e-6, -1e-6, 1e-6, 1e-6).contains(QPointF(*piece[0]))
    single = line_inside(QPointF(*points[0]), QPointF(*points[1]), box)
    length = 0.0 if single is None else math.hypot(*(single[1] - single[0]).toTuple())
    assert length == pytest.approx(shapely.LineString(points[:2]).intersection(sides).length, abs=1e-6)
