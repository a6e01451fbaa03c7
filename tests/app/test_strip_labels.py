"""The strips' words: values at the line keep off the limits' names; a legend is whole or not there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.drawing import strip_layers as layers
from app.drawing.readable_ranges import AxisRange
from app.look import look
from app.views.strips_scene import RangeKeeper, StripsScene, trace
from core.arc_results import arc_results
from core.chip import thickness
from core.edge_force import cutter_force, edge_law
from core.materials import resolved
from core.setup_examples import EXAMPLES

pytestmark = pytest.mark.usefixtures("window_app")

STRIPS = ("chip", "torque", "movement")


@pytest.fixture
def painter() -> Any:
    image = QImage(480, 560, QImage.Format.Format_ARGB32_Premultiplied)
    found = QPainter(image)
    yield found
    found.end()


def scene_at(angle_deg: float) -> StripsScene:
    """The long-reach example, whose wall is over its tolerance: a limit's name stands in the movement strip."""
    setup = resolved(next(e for e in EXAMPLES if e.id == "long-reach").setup())
    own = trace(arc_results(setup), STRIPS, angle_deg)
    return StripsScene(own, None, RangeKeeper().update([own], "metric", True))


def test_a_level_of_a_pair_is_named_for_both() -> None:
    alone = scene_at(150.0)
    labels = {limit.label for limit in alone.limits(alone.own.strips[2])}
    assert labels == {"wall tolerance, stock", "wall tolerance, undercut"}
    other = trace(arc_results(alone.own.results.setup.opposite), STRIPS, 30.0)
    pair = StripsScene(alone.own, other, alone.ranges)
    levels = {limit.value: limit for limit in pair.limits(pair.own.strips[2])}
    assert {limit.label for limit in levels.values()} == {"wall tolerance"} and len(levels) == 2
    # Climb's stock is over -0.05; neither direction crosses the other level.
    assert levels[-0.05].crossed and not levels[0.05].crossed


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_a_name_at_the_top_stays_out_of_the_head(theme: str) -> None:
    scene, here = scene_at(150.0), look(theme)
    top = replace(scene, ranges={**scene.ranges, "movement": AxisRange(-0.15, 0.05, 0.05)})
    frame = layers.strip_frames(QRectF(0.0, 0.0, 480.0, 560.0), top, here)[2]
    names = [box for _, _, box in layers.limit_labels(top, top.own.strips[2], frame, here)]
    assert len(names) == 2 and all(frame.plot.contains(box) for box in names)


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("width", [300.0, 480.0])
def test_values_keep_off_the_names_of_limits(painter: QPainter, theme: str, width: float) -> None:
    here, told = look(theme), 0
    for angle in range(0, 181, 3):
        scene = scene_at(float(angle))
        strip, at = scene.own.strips[2], layers.strip_frames(QRectF(0.0, 0.0, width, 560.0), scene, here)[2]
        names = [box for _, _, box in layers.limit_labels(scene, strip, at, here)]
        assert len(names) == 1 and at.plot.contains(names[0])
        taken = list(names)
        layers._paint_value(painter, scene, scene.own, strip, at, here, taken)
        values = taken[len(names) :]
        told += len(values)
        assert not any(v.intersects(n) for v in values for n in names)
    assert told > 40


def test_the_line_itself_asks_for_the_names(painter: QPainter, monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[int] = []
    monkeypatch.setattr(layers, "_paint_value", lambda *a: given.append(len(a[-1])))
    scene, theme = scene_at(135.0), look("light")
    frames = layers.strip_frames(QRectF(0.0, 0.0, 480.0, 560.0), scene, theme)
    layers.paint_line(painter, scene, frames, theme)
    assert given == [0, 0, 1]


@pytest.mark.parametrize("id", ["boss", "slot-steel", "thin-wall-aluminium", "facing-cast-iron"])
def test_the_value_at_the_line_is_that_of_the_model(id: str) -> None:
    """Between samples a degree apart: thickness and force to four figures, beside corners and between them."""
    setup = resolved(next(e for e in EXAMPLES if e.id == id).setup())
    results, law = arc_results(setup), edge_law(setup)
    assert law is not None
    e = results.engagement
    for phi in np.linspace(e.entry + 0.01, e.exit - 0.01, 41):
        own = trace(results, ("chip", "force"), float(np.degrees(phi)))
        h = float(thickness(phi, setup, "trochoid", runout=False))
        assert own.value_at(own.strips[0]) == pytest.approx(h, rel=2e-5, abs=2e-7)
        fx = float(cutter_force(np.array([phi]), setup, law)[0, 0])
        greatest = float(np.abs(own.strips[1].curves[0].values).max())
        assert own.value_at(own.strips[1]) == pytest.approx(fx, abs=2e-4 * greatest)
