"""Pair held against the core, in a real window: words, colours, arrows, curves, in any direction, for either hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor

from app.kit.look import look
from app.kit.thickness_colours import colour_of
from app.pages.arc.plan_force import force_end
from app.pages.arc.strip_lines import curve_pen
from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.documents.setup_examples import example
from core.effects.arc_results import paired_angle
from core.effects.wall_depth import wall_profile_over_depth
from core.force.force_at_angle import force_at_angle
from core.force.force_curves import force_loop
from core.maths.angles import clock
from core.setup.setup import Setup
from tests.app.windows import at_rest, boss, window_on

pytestmark = pytest.mark.usefixtures("window_app")

LIGHT = look("light")
CUTS: dict[str, dict[str, Any]] = {
    "climb": {"cut.direction": "climb"},
    "conventional": {"cut.direction": "conventional"},
    "straddling": {"cut.direction": "straddling", "cut.radial_engagement_mm": 7.0, "cut.centre_offset_mm": 1.5},
}


def setup_of(way: str, hand: str) -> Setup:
    return boss().with_keys({**CUTS[way], "cutter.hand": hand})


def near(color: QColor, wanted: QColor) -> int:
    """How far two colours are apart, in steps of red, green and blue together."""
    return sum(abs(a - b) for a, b in zip(color.getRgb()[:3], wanted.getRgb()[:3], strict=True))  # type: ignore[index]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", list(CUTS))
def test_both_plans_of_a_pair_are_the_two_cuts_of_the_core(way: str, hand: str) -> None:
    setup, mirror = setup_of(way, hand), 1.0 if hand == "right" else -1.0
    own, other = engagement(setup), engagement(setup.opposite)
    # In the air before its cut a tooth leaves all of its chip to be seen.
    angle = math.degrees(own.entry) - 6.0
    with window_on(setup, (1600, 1000), pair=True, angle_deg=angle, charts=("loop", "wall")) as window:
        at_rest(window)
        plan, plans = window.arc.plan, window.arc.plan.frames()
        image = plan.grab().toImage()
        for scene, frame in plans:
            cut, is_own = scene.results.setup, scene.results.setup.cut == window.workbench.resolved.cut
            e = own if is_own else other
            phi = math.radians(angle) if is_own else paired_angle(math.radians(angle), own, other)
            # Before its cut, on both plans: counted from 6 o'clock on.
            assert math.radians(scene.angle_deg) == pytest.approx((phi + math.pi / 2) % (2 * math.pi) - math.pi / 2)
            # Words of the cards: places on the clock as that hand has it, thickness of the true path.
            (at, first, second), (_, last, _) = scene.ends()
            assert first == f"enters {clock(math.degrees(at), hand)}"
            assert last == f"leaves {clock(math.degrees(scene.ends()[1][0]), hand)}"
            assert f"{scene.results.trochoid.h_entry:.4f}" in second
            # The chip has the colour of its thickness where it stands on the picture.
            found = 0
            for share in (0.3, 0.5, 0.7):
                place = e.entry + share * e.arc
                h = float(thickness(place, cut, "trochoid", runout=False))
                radius = 6.0 - 0.5 * h * scene.shapes.magnification
                x, y = -mirror * radius * math.cos(place), radius * math.sin(place)
                scale = frame.radius / 6.0
                pixel = QPointF(frame.centre.x() + x * scale, frame.centre.y() - y * scale)
                wanted = colour_of(h / scene.top)
                row, column = round(pixel.y()), round(pixel.x())
                found += min(near(image.pixelColor(column + dx, row), wanted) for dx in (-1, 0, 1)) < 40
            # One of them may lie under an arrow or a tooth.
            assert found >= 2
            # The arrow is the force of the core, x mirrored with the hand.
            force, end = force_at_angle(cut, phi), force_end(scene, frame)
            if end is not None:
                assert force is not None
                went = (end.x() - frame.centre.x(), frame.centre.y() - end.y())
                assert math.atan2(*went) == pytest.approx(math.atan2(mirror * force.x, force.y), abs=1e-6)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", list(CUTS))
def test_strips_loop_and_wall_of_a_pair_are_those_of_the_core(way: str, hand: str) -> None:
    setup = setup_of(way, hand)
    with window_on(setup, (1600, 1000), pair=True, charts=("loop", "wall")) as window:
        at_rest(window)
        shown = window.arc.strips.stack.scene_shown
        assert shown is not None and shown.other is not None
        known = window.workbench.resolved
        for trace, cut in ((shown.own, known), (shown.other, known.opposite)):
            assert trace.results.setup == cut
            chip = trace.strips[0].curves[0]
            e = engagement(cut)
            inside = (chip.phi_deg > math.degrees(e.entry) + 0.5) & (chip.phi_deg < math.degrees(e.exit) - 0.5)
            expected = thickness(np.radians(chip.phi_deg[inside]), cut, "trochoid", runout=False)
            np.testing.assert_allclose(chip.values[inside], expected, rtol=1e-6, atol=1e-9)
            # Dashes tell the direction, or the second of a straddling pair; the colour is the curve's.
            pen = curve_pen(chip, trace, shown, LIGHT)
            kind = "conventional" if cut.cut.direction == "conventional" else cut.cut.direction
            second = trace is shown.other and kind == "straddling"
            assert list(pen.dashPattern()) == list(
                LIGHT.pen("main", dashed=kind == "conventional", dotted=second).dashPattern()
            )
        charts = window.arc.charts.scene_shown
        assert [t.loop for t in charts.loops] == [force_loop(known), force_loop(known.opposite)]
        assert {t.side for t in charts.loops} == {1.0 if hand == "right" else -1.0}
        expected_walls = [wall_profile_over_depth(known), wall_profile_over_depth(known.opposite)]
        assert [t.profile for t in charts.walls] == expected_walls
        if way != "straddling":
            # Which side the work is on: climb has it to the right of a right-hand cutter.
            sides = {t.conventional: t.on_right for t in charts.walls}
            assert sides == {False: hand == "right", True: hand == "left"}


def test_rubbing_is_hatched_at_the_thin_ends_of_both_plans() -> None:
    setup = example("slack-table").setup()
    with window_on(setup, (1600, 1000), pair=True, angle_deg=60.0) as window:
        at_rest(window)
        image = window.arc.plan.grab().toImage()
        ink = LIGHT.color("rub_hatch")
        for scene, frame in window.arc.plan.frames():
            r, e = scene.results, scene.results.engagement
            conventional = r.setup.cut.direction == "conventional"
            assert (r.rub_entry > 0.05) == conventional and (r.rub_exit > 0.05) == (not conventional)
            thin = e.entry + 0.5 * r.rub_entry if conventional else e.exit - 0.5 * r.rub_exit
            thick = e.exit - 0.3 * e.arc if conventional else e.entry + 0.3 * e.arc
            dark = []
            for phi in (thin, thick):
                at = frame.point(scene.place(phi, 1.02))
                box = QRectF(at.x() - 5.0, at.y() - 5.0, 11.0, 11.0).toRect()
                dark.append(
                    sum(
                        near(image.pixelColor(x, y), ink) < 120
                        for x in range(box.left(), box.right())
                        for y in range(box.top(), box.bottom())
                    )
                )
            assert dark[0] > dark[1] + 5, r.setup.cut.direction
