"""Scales hold while a hand is down; a pin holds them until it is released and leaves the cut as a ghost."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest

from app.kit import debounce
from app.kit.look import look
from app.pages.arc import arc_page, arc_picture, plan
from app.pages.arc.pinned import Ghost, ghost_results, pinned_words
from app.pages.arc.plan_scene import PlanScene, force_range
from app.pages.arc.side_charts_scene import ChartsScene
from app.pages.arc.strips_scene import StripsScene
from app.pages.page_picture import save_page
from core.base.quantities import clear_figure, rough_figure
from core.cut.runout_chips import runout_chips
from core.cut.true_chip import true_chip
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.force.force_turn import force_turn
from core.setup.setup import Setup
from core.strips.strip_curves import chip_thickness_strip
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

FEED, WIDTH = "cut.feed_per_tooth_mm", "cut.radial_engagement_mm"


def scales(window: ArcWindow) -> tuple[object, ...]:
    """Every scale that a picture of the page is drawn on."""
    scene, _ = window.arc.plan.frames()[0]
    shown = window.arc.strips.stack.scene_shown
    assert shown is not None
    charts = window.arc.charts.scene_shown
    ranges = (charts.across, charts.along, charts.error_range)
    return scene.top, scene.shapes.magnification, scene.force_top, tuple(shown.ranges.items()), ranges


def propose(window: ArcWindow, key: str, value: float) -> None:
    window.workbench.propose(window.workbench.setup.with_keys({key: value}), steps.ANOTHER)
    settle()
    at_rest(window)


def test_no_scale_follows_before_the_hand_has_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    with window_on(boss().with_keys({FEED: 0.12})) as window:
        before = scales(window)
        down = [True]
        for module in (arc_page, plan, debounce):
            monkeypatch.setattr(module, "hand_is_down", lambda: down[0])
        window.workbench.propose(boss().with_keys({FEED: 0.04}), steps.FEED)
        settle()
        QTest.qWait(900)
        # Longer than any scale waits for a hand that has let go.
        assert scales(window) == before
        down[0] = False
        at_rest(window)
        after = scales(window)
        assert all(old != new for old, new in zip(before, after, strict=True))


def test_a_pin_holds_every_scale_until_it_is_released() -> None:
    with window_on(boss()) as window:
        QTest.keyClick(window.arc.plan, Qt.Key.Key_K)
        pinned = window.workbench.resolved
        assert window.arc.shown.pin is not None and window.arc.shown.pin.setup == pinned
        assert window.menus.by_id["pin"].isChecked()
        before = scales(window)
        for feed in (0.03, 0.01, 0.005):
            propose(window, FEED, feed)
            # The loop of so light a cut leaves its chart, whose axis gives way; it comes back in for none.
            assert scales(window)[:4] == before[:4]
        scene, _ = window.arc.plan.frames()[0]
        assert scene.ghost is not None and "0.0600 mm/tooth" in scene.note[0]
        # A twelfth of the feed is a twelfth of the chip, beside the ghost that is as it was.
        drawn = max(scene.shapes.chip.h) * scene.shapes.magnification
        ghost = 1.0 - np.hypot(*scene.ghost.outline.T).min()
        assert ghost / drawn == pytest.approx(12.0, rel=0.02)
        shown = window.arc.strips.stack.scene_shown
        assert shown is not None
        (trace,) = shown.ghosts
        assert trace.strips[0] == chip_thickness_strip(pinned)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_K)
        at_rest(window)
        assert window.arc.shown.pin is None and scales(window) != before
        assert window.arc.plan.frames()[0][0].ghost is None


def test_a_chip_that_would_leave_the_picture_widens_the_scale_for_both() -> None:
    with window_on(boss().with_keys({FEED: 0.02})) as window:
        window.menus.by_id["pin"].trigger()
        propose(window, FEED, 0.24)
        scene, _ = window.arc.plan.frames()[0]
        assert scene.ghost is not None
        ghost = 1.0 - np.hypot(*scene.ghost.outline.T).min()
        drawn = max(scene.shapes.chip.h) * scene.shapes.magnification
        assert drawn / ghost == pytest.approx(12.0, rel=0.05) and drawn < 0.6


def test_a_pin_holds_the_frame_too_and_the_picture_has_the_ghost(tmp_path: Path) -> None:
    with window_on(boss()) as window:
        window.menus.by_id["pin"].trigger()
        propose(window, WIDTH, 0.2)
        # So small an arc would be framed by itself: before and after are seen in one place.
        assert window.arc.shown.close is None
        file = tmp_path / "pinned.svg"
        save_page(window.arc, window.workbench.resolved, file, QSize(1400, 900), "light")
        assert "pinned: fz 0.0600 mm/tooth, ae 4.000 mm" in file.read_text("utf-8")
        QTest.keyClick(window.arc.plan, Qt.Key.Key_F)
        assert window.arc.shown.close is not None


def test_units_another_document_and_a_second_direction() -> None:
    with window_on(boss()) as window:
        window.menus.by_id["pin"].trigger()
        window.view.set("units", "inch")
        at_rest(window)
        assert window.arc.shown.thickness_top == pytest.approx(0.0025 * 25.4)
        window.view.set("pair", True)
        at_rest(window)
        for scene, _ in window.arc.plan.frames():
            assert scene.ghost is not None
            assert scene.ghost.results.setup.cut.direction == scene.results.setup.cut.direction
        window.workbench.open(boss().with_keys({FEED: 0.02}), None)
        settle()
        assert window.arc.shown.pin is None


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_the_ghost_is_the_pinned_chip_in_its_place(hand: str, way: str) -> None:
    pinned: Setup = boss().with_keys({"cutter.hand": hand, "cut.direction": way})
    there = arc_results(pinned)
    scene = PlanScene.of(arc_results(pinned.with_keys({FEED: 0.03, WIDTH: 2.0, "cutter.diameter_mm": 16.0})), 90.0)
    ghost = Ghost.of(there, scene.results, scene.shapes, scene.top)
    n = len(ghost.outline) // 2
    outer, inner = ghost.outline[:n], ghost.outline[n:][::-1]
    # In millimetres it is where the pinned chip is, as many times thicker as the chip beside it is drawn.
    chip = true_chip(pinned)
    np.testing.assert_allclose(np.hypot(*outer.T) * 8.0, 6.0, rtol=1e-12)
    thick = (np.hypot(*outer.T) - np.hypot(*inner.T)) * 8.0 / scene.shapes.magnification
    np.testing.assert_allclose(thick, chip.band_h, rtol=1e-9, atol=1e-15)
    side = 1.0 if (way == "climb") == (hand == "right") else -1.0
    assert (side * outer[:, 0]).mean() > 0.0
    middle = float(chip.band_phi[36])
    assert ghost.thickness(middle) == pytest.approx(float(chip.band_h[36]))
    assert math.isnan(ghost.thickness(-1.0))
    assert ghost_results(there, arc_results(pinned.opposite), pair=True).setup == pinned.opposite
    assert ghost_results(there, arc_results(pinned.opposite), pair=False) is there


def test_arrows_of_a_smaller_force_stay_on_their_scale_in_a_drag() -> None:
    strong, weak = (PlanScene.of(arc_results(boss().with_keys({FEED: feed})), 120.0) for feed in (0.1, 0.004))
    kept = force_range(None, [strong])
    assert force_range(kept, [weak]) == kept
    assert force_range(kept, [weak], settled=True).high < kept.high


def test_the_strips_show_the_arc_alone() -> None:
    with window_on(boss().with_keys({WIDTH: 0.3})) as window:
        QTest.keyClick(window.arc.plan, Qt.Key.Key_A)
        shown = window.arc.strips.stack.scene_shown
        assert shown is not None and window.arc.state()["span"] == "arc"
        e = window.arc.shown.results
        low, high = math.degrees(e.true_entry), math.degrees(e.true_exit)
        assert (
            low - 0.1 * (high - low) < shown.angles.low <= low < high <= shown.angles.high < high + 0.1 * (high - low)
        )
        frame = window.arc.strips.stack.frames()[0]
        assert frame.x(shown.angles.low) == pytest.approx(frame.plot.left())
        assert frame.x(shown.angles.high) == pytest.approx(frame.plot.right())
        QTest.keyClick(window.arc.plan, Qt.Key.Key_A)
        shown = window.arc.strips.stack.scene_shown
        assert shown is not None and (shown.angles.low, shown.angles.high) == (-10.0, 190.0)


def test_a_picture_has_strips_and_charts_on_the_scale_that_the_pin_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    scenes = []
    for name in ("paint_strips", "paint_charts"):
        paint = getattr(arc_picture, name)

        def spy(*given: Any, paint: Any = paint) -> None:
            scenes.append(next(a for a in given if isinstance(a, StripsScene | ChartsScene)))
            paint(*given)

        monkeypatch.setattr(arc_picture, name, spy)
    with window_on(boss().with_keys({FEED: 0.12}), charts=("edge",)) as window:
        QTest.keyClick(window, Qt.Key.Key_K)
        propose(window, FEED, 0.04)
        top = window.arc.shown.thickness_top
        image = QImage(1600, 1000, QImage.Format.Format_RGB32)
        painter = QPainter(image)
        window.arc.paint(painter, QRectF(image.rect()), look("light"), "metric")
        painter.end()
    assert [scene.top for scene in scenes] == [top, top] and top >= 0.12


def test_the_pinned_chip_is_told_as_thick_as_the_tooth_that_cuts_most_takes_it() -> None:
    setup = resolved(example("runout-two-teeth").setup())
    turn, chips = force_turn(setup), runout_chips(setup)
    assert turn is not None and chips is not None
    told = pinned_words(arc_results(setup), "metric")[0]
    thickest = max(chip.trochoid.h_max for chip in chips)
    assert thickest > 1.5 * arc_results(setup).trochoid.h_max
    assert f"h max {clear_figure(thickest, 'chip_thickness')}," in told
    assert told.endswith(f"greatest F {rough_figure(turn.resultant_max, 'force')}")
