"""Which way cutter and work move: two arrows with a word each, and the plan in motion either way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.kit.look import look
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_picture import paint_plan
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_ways import LENGTH, travelled
from core.base.glossary import explained
from core.cut.engagement import engagement
from core.effects.arc_results import arc_results
from core.maths.arrays import Array
from core.report.text_report import text_report
from core.setup.setup import Setup
from tests.app.windows import ArcWindow, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def cut(way: str, hand: str, width: float) -> Setup:
    return boss().with_keys({"cut.direction": way, "cutter.hand": hand, "cut.radial_engagement_mm": width})


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(
    ("way", "width"), [("climb", 4.0), ("conventional", 4.0), ("climb", 0.2), ("straddling", 12.0)]
)
def test_the_works_arrow_stands_on_the_work_and_points_at_the_cutter(hand: str, way: str, width: float) -> None:
    with window_on(cut(way, hand, width)) as window:
        plan = window.arc.plan
        ((scene, frame),) = plan.frames()
        place = plan.named(scene, frame)["work"]
        assert not place.isEmpty()
        x, y = frame.radii(QPointF(place.center().x(), place.bottom()))
        x *= scene.side
        e, radius = engagement(scene.results.setup), 6.0
        assert np.hypot(x, max(y, 0.0)) > 1.0
        # On the work: between its sides ahead of the cutter, behind a wall beside it.
        if y > 0.0:
            assert (e.entry <= 1e-9 or x > e.x1 / radius) and (e.exit >= np.pi - 1e-9 or x < e.x2 / radius)
        else:
            assert (x < -1.0 and e.entry <= 1e-9) or (x > 1.0 and e.exit >= np.pi - 1e-9)
        # It comes down, the cutter's arrow goes up: against one another on either hand.
        tail, tip = feed_arrow(scene, frame)
        assert tip.y() < tail.y() and place.height() > LENGTH
        assert "cutter goes" in explained("cutter_way") and "work comes" in explained("work_way")
        assert plan.help_at(place.center()) is not None


@pytest.mark.parametrize("moves", ["work", "cutter"])
def test_the_one_that_moves_is_drawn_strong(moves: str) -> None:
    scene = PlanScene.of(arc_results(boss()), 120.0)
    rect, theme = QRectF(0.0, 0.0, 640.0, 520.0), look("light")
    image = QImage(640, 520, QImage.Format.Format_RGB32)
    image.fill(theme.color("panel"))
    painter = QPainter(image)
    paint_plan(painter, rect, replace(scene, moves=moves), theme)
    painter.end()
    tail, tip = feed_arrow(scene, PlanFrame.of(rect, theme, False))
    middle = ((tail + tip) / 2.0).toPoint()
    shaft = QColor(image.pixel(middle.x(), middle.y()))
    assert (shaft.lightness() < 60) is (moves == "cutter")


def pixels(window: ArcWindow) -> Array:
    image = window.arc.plan.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    return np.array(image.constBits(), dtype=np.uint8).reshape(image.height(), image.width(), 4)[..., :3].astype(int)


def at(window: ArcWindow, angle: float) -> Array:
    window.arc.shown.set("angle_deg", angle)
    settle()
    return pixels(window)


@pytest.mark.parametrize("moves", ["work", "cutter"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_in_motion_one_of_the_two_stands_still(moves: str, hand: str) -> None:
    with window_on(cut("climb", hand, 4.0)) as window:
        window.arc.shown.set("moves", moves)
        window.arc.shown.set("playing", True)
        window.arc.motion.clock.stop()
        ((scene, frame),) = window.arc.plan.frames()
        first = at(window, 200.0)
        second = at(window, 230.0)
        way = travelled(230.0, frame) - travelled(200.0, frame)
        assert way > 2
        # A patch of hatching far from all words, and the ring's 12 o'clock number.
        x = round(frame.centre.x() + scene.side * 1.45 * frame.radius)
        y = round(frame.centre.y() - 0.9 * frame.radius)
        hatch = [np.s_[y - 14 + by : y + 14 + by, x - 14 : x + 14] for by in (0, way)]
        top = round(frame.centre.y() - 1.15 * frame.radius)
        column = round(frame.centre.x())
        ring = [np.s_[top - 12 - by : top + 12 - by, column - 10 : column + 10] for by in (0, way)]
        if moves == "work":
            # The work has come down by so much, and the cutter's ring is where it was.
            assert (first[hatch[0]] == second[hatch[1]]).all() and (first[hatch[0]] != second[hatch[0]]).any()
            assert (first[ring[0]] == second[ring[0]]).all()
        else:
            assert (first[hatch[0]] == second[hatch[0]]).all()
            assert (first[ring[0]] == second[ring[1]]).all() and (first[ring[0]] != second[ring[0]]).any()


def test_it_is_switched_by_a_key_and_remembered_and_still_with_reduced_motion() -> None:
    with window_on(boss()) as window:
        QTest.keyClick(window.arc.plan, Qt.Key.Key_M)
        assert window.arc.shown.moves == "cutter" and window.arc.state()["moves"] == "cutter"
        assert window.menus.by_id["moves_cutter"].isChecked() and not window.menus.by_id["moves_work"].isChecked()
        window.arc.shown.set("playing", True)
        window.arc.motion.clock.stop()
        assert window.arc.plan.sliding
        window.view.set("reduced_motion", True)
        assert not window.arc.plan.sliding and window.arc.plan.slid() == 0
        QTest.keyClick(window.arc.plan, Qt.Key.Key_M)
        assert window.arc.shown.moves == "work"
        # A click on either word does it too.
        plan = window.arc.plan
        for name, moves in (("feed", "cutter"), ("work", "work")):
            ((scene, frame),) = plan.frames()
            place = plan.named(scene, frame)[name]
            word = QPointF(place.center().x(), place.top() + 6.0).toPoint()
            QTest.mouseClick(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, word)
            settle()
            assert window.arc.shown.moves == moves


def test_words_agree_with_the_arrows() -> None:
    # Climb: the tooth goes down past the work's side, as the work does.
    assert "moves the way the work comes" in explained("climb")
    assert "against the work that comes" in explained("conventional")
    for term in ("offset", "force_axes"):
        assert "left-hand cutter" in explained(term)
    assert "9 o'clock" in explained("angle")


def test_the_report_names_the_side_of_x_as_the_picture_shows_it() -> None:
    for hand, side in (("right", "right"), ("left", "left")):
        text = text_report(cut("climb", hand, 4.0))
        assert f"across the feed Fx, + {side}" in text
