"""With runout the plan, the loupe and the strip show each tooth's own chip; the curled chip keeps its colours."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PySide6.QtCore import QRectF

from app.kit.look import look
from app.kit.thickness_colours import colours, step_of
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene, tooth_in_cut
from app.pages.arc.plan_tooth import chip_outline, paint_curl
from core.cut.chip import thickness
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.setup.setup import Setup
from core.strips.strip_curves import chip_thickness_strip
from tests.app.painted import Painted
from tests.app.windows import boss

pytestmark = pytest.mark.usefixtures("window_app")

RECT = QRectF(0.0, 0.0, 640.0, 520.0)
FRAME_LOOK = look("light")


def uneven(teeth: int, hand: str = "right", way: str = "climb") -> Setup:
    return boss().with_keys(
        {"cutter.runout_mm": 0.015, "cutter.teeth": teeth, "cutter.hand": hand, "cut.direction": way}
    )


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
@pytest.mark.parametrize("teeth", [2, 4])
def test_the_chip_on_the_plan_is_that_of_the_tooth_in_the_work(teeth: int, way: str, hand: str) -> None:
    setup = uneven(teeth, hand, way)
    results, pitch = arc_results(setup), 360.0 / teeth
    e = results.engagement
    middle = math.degrees(e.entry + 0.5 * e.arc)
    frame, met = PlanFrame.of(RECT, FRAME_LOOK, True), []
    for tooth in range(teeth):
        # Tooth j follows tooth 0 by j pitches.
        scene = PlanScene.of(results, (middle + pitch * tooth + 90.0) % 360.0 - 90.0)
        assert scene.tooth == tooth and scene.tooth_deg == pytest.approx(middle)
        wanted = float(thickness(math.radians(middle), setup, "trochoid", tooth))
        assert scene.thickness_here() == pytest.approx(wanted, rel=1e-9, abs=1e-12)
        ring = chip_outline(scene, frame)
        n = len(ring) // 2
        outer, inner = ring[:n], ring[n:][::-1]
        drawn = np.hypot(*(outer - inner).T)[n // 2] / frame.radius / scene.shapes.magnification * 6.0
        assert drawn == pytest.approx(wanted, rel=1e-6, abs=1e-9)
        met.append(wanted)
    assert max(met) > 1.3 * min(met)
    # The scale has room for the thickest.
    assert max(met) <= scene.top * (1.0 + 1e-9)


def test_the_next_tooth_is_shown_once_one_has_left() -> None:
    results = arc_results(uneven(2))
    e = results.engagement
    first, last = math.degrees(e.entry), math.degrees(e.exit)
    assert tooth_in_cut(results, first + 1.0) == 0 and tooth_in_cut(results, last - 1.0) == 0
    assert tooth_in_cut(results, last + 1.0) == 1 and tooth_in_cut(results, first - 1.0 - 360.0 + 360.0) == 0
    assert tooth_in_cut(results, last - 1.0 - 180.0) == 1


def test_the_strip_has_a_curve_for_each_tooth() -> None:
    setup = uneven(4)
    strip = chip_thickness_strip(setup)
    assert [curve.id for curve in strip.curves] == ["tooth0", "tooth1", "tooth2", "tooth3", "arc"]
    for tooth, curve in enumerate(strip.curves[:4]):
        inside = np.isfinite(curve.values) & (curve.phi_deg > 0.0) & (curve.phi_deg < 180.0)
        wanted = thickness(np.radians(curve.phi_deg[inside]), setup, "trochoid", tooth)
        np.testing.assert_allclose(curve.values[inside], wanted, rtol=1e-9, atol=1e-12)
    many = chip_thickness_strip(uneven(12))
    assert 3 <= len(many.curves) <= 4 and many.curves[0].id == "tooth0"
    even = chip_thickness_strip(boss())
    assert [curve.id for curve in even.curves] == ["trochoid", "arc"]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_the_curl_is_bright_where_it_is_thick(way: str, hand: str) -> None:
    setup = example("slot-steel").setup() if way == "both" else boss()
    results = arc_results(setup.with_keys({"cut.direction": way, "cutter.hand": hand}))
    e = results.engagement
    scene = PlanScene.of(results, math.degrees(e.entry + 0.8 * e.arc))
    painter = Painted()
    paint_curl(painter, scene, PlanFrame.of(RECT, FRAME_LOOK, True), FRAME_LOOK)
    painter.end()
    # The whole chip first, then its pieces from the edge to the end that was cut first.
    shown = [brush.name() for brush, _ in painter.polygons[1:-1]]
    chip = scene.chip()
    at = math.radians(scene.angle_deg)
    for name, share in ((shown[0], 0.1), (shown[-1], 0.9)):
        cut_at = at - (at - results.true_entry) * share
        step = int(step_of(np.array([np.interp(cut_at, chip.phi, chip.share)]))[0])
        near = {colours()[min(max(step + k, 0), 31)].name() for k in (-1, 0, 1)}
        assert name in near
    assert shown[0] != shown[-1]
    lightness = [painter.polygons[i][0].lightness() for i in (1, -2)]
    assert (lightness[1] > lightness[0]) is (way == "climb")
