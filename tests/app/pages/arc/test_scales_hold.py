"""The scales of the chip hold still while a hand moves, and change in readable steps after it."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from app.kit.debounce import SETTLE_MS
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.loupe import loupe_scale
from app.pages.arc.plan_scene import OFF_SCALE, PlanScene, kept_top, readable_top
from core.effects.arc_results import arc_results
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, drag, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
FEED = "cut.feed_per_tooth_mm"


def scales(scene: PlanScene) -> tuple[float, ...]:
    """All that tells how large a chip is drawn."""
    return scene.top, scene.shapes.magnification, loupe_scale(scene, 60.0)


def scene_of(window: ArcWindow) -> PlanScene:
    return window.arc.plan.frames()[0][0]


def strip_top(window: ArcWindow) -> float:
    shown = window.arc.strips.stack.scene_shown
    assert shown is not None
    return shown.top


def rested(window: ArcWindow) -> PlanScene:
    at_rest(window)
    return scene_of(window)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_a_feed_dragged_on_the_picture_leaves_the_scales_until_it_is_let_go(hand: str, way: str) -> None:
    with window_on(boss().with_keys({"cutter.hand": hand, "cut.direction": way})) as window:
        plan = window.arc.plan
        before, (_, tip) = scene_of(window), feed_arrow(*plan.frames()[0])
        drag(plan, tip, tip + QPointF(0.0, -50.0), release=False)
        QTest.qWait(SETTLE_MS + 150)
        held = scene_of(window)
        feed = window.workbench.setup.cut.feed_per_tooth_mm
        assert feed > 0.1 and scales(held) == scales(before)
        assert before.scale_ends()[1] == "0.0600 mm" and held.scale_ends()[1] == "≥ 0.0600 mm"
        # The chip is drawn thicker by as much as it is.
        assert max(held.shapes.chip.h) * held.shapes.magnification == pytest.approx(
            max(before.shapes.chip.h) * before.shapes.magnification * feed / 0.06, rel=0.02
        )
        QTest.mouseRelease(plan, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, tip.toPoint())
        after = rested(window)
        assert after.top == readable_top(after.results, "metric") > before.top
        assert after.shapes.magnification < before.shapes.magnification


def test_a_slider_holds_them_too_and_the_strip_has_the_plans_colours() -> None:
    with window_on(boss()) as window:
        before = scene_of(window)
        feed = window.hand_rail.control(FEED)
        for value in (0.03, 0.02, 0.01, 0.005):
            feed.propose(value, steps.ANOTHER)
            settle()
            assert scales(scene_of(window)) == scales(before)
            assert strip_top(window) == before.top
        after = rested(window)
        assert after.top == 0.005 and strip_top(window) == 0.005


def test_a_chip_that_leaves_the_picture_takes_a_new_scale_in_the_drag() -> None:
    thin, thick = arc_results(boss()), arc_results(boss().with_keys({FEED: 0.06 * OFF_SCALE * 1.01}))
    assert kept_top(0.06, thin, "metric") == 0.06
    assert kept_top(0.06, thick, "metric") == readable_top(thick, "metric") > 0.15


def test_another_document_has_its_own_scale_at_once() -> None:
    with window_on(boss()) as window:
        window.workbench.open(boss().with_keys({FEED: 0.02}), None)
        settle()
        assert scene_of(window).top == 0.02


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_steps_are_round_in_the_shown_unit_and_never_below_the_chip(units: str) -> None:
    met = set()
    for i in range(60):
        feed = 0.003 * 1.07**i
        setup: Setup = boss().with_keys({FEED: feed})
        top = readable_top(arc_results(setup), units)  # type: ignore[arg-type]
        assert feed <= top * (1.0 + 1e-9) and top < 1.34 * feed
        met.add(f"{top / (25.4 if units == 'inch' else 1.0):.6g}")
    digits = {text.replace(".", "").strip("0") for text in met}
    assert digits <= {"1", "12", "15", "2", "25", "3", "4", "5", "6", "8"} and len(met) < 20


def test_units_take_their_own_round_step() -> None:
    with window_on(boss()) as window:
        window.arc.shown.set("units", "inch")
        settle()
        assert scene_of(window).top == pytest.approx(0.0025 * 25.4)
        assert math.isclose(scene_of(window).shapes.magnification, 15)
