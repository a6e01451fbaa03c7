"""The strips' words: values at the line keep off the limits' names; a legend is whole or not there."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.kit.label_layout import text_size
from app.kit.look import look
from app.kit.readable_ranges import AxisRange
from app.pages.arc import strip_layers as layers
from app.pages.arc.strip_head import strip_head
from app.pages.arc.strip_lines import end_marks
from app.pages.arc.strips_scene import RangeKeeper, StripsScene, trace
from app.state.view_state import THEMES
from core.base.quantities import MINUS, QUANTITIES
from core.cut.chip import thickness
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from core.force.edge_force import cutter_force, edge_law
from core.report.sentence import sentence
from core.setup.setup import Setup
from tests.app.painted import Painted
from tests.app.windows import settle, window_on

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


@pytest.mark.parametrize("id", ["boss", "facing-wide-steel", "facing-cast-iron"])
def test_lines_of_a_pair_are_told_in_every_strip(id: str) -> None:
    """At 1280 x 800: both directions named, by dash and by one colour everywhere; the force's x and y by letters."""
    setup = resolved(next(e for e in EXAMPLES if e.id == id).setup())
    straddles = setup.cut.direction == "straddling"
    words = {"climb", "conventional", "conv."}
    if straddles:
        words = {"this cut", "mirrored", "this", "mirr.", "+10 mm", "+0.3937 in"}
    with window_on(setup, pair=True, strips=("chip", "load", "force")) as window:
        for theme, units in itertools.product(THEMES, ("metric", "inch")):
            window.view.set("theme", theme)
            window.view.set("units", units)
            settle()
            here = look(theme)
            stack = window.arc.strips.stack
            scene = stack.scene_shown
            assert scene is not None
            kinds = set()
            for strip, frame in zip(scene.own.strips, stack.frames(), strict=True):
                head = strip_head(scene, strip, frame, here)
                samples = [item for item in head.items if item.pen is not None]
                assert len(samples) == 2 and {item.text for item in samples} <= words
                boxes = [head.title_box, *(item.box for item in head.items)]
                assert all(a.right() < b.left() for a, b in itertools.pairwise(boxes))
                assert all(item.sample[1].x() - item.sample[0].x() > 13.0 * here.line for item in samples)  # type: ignore[index]
                pens = [item.pen for item in samples]
                kinds |= {(p.color().name(), tuple(p.dashPattern())) for p in pens}  # type: ignore[union-attr]
            # Two lines through all strips: another dash; the colour is the curve's, as it is alone.
            assert len({d for _, d in kinds}) == 2 and {c for c, _ in kinds} == {here.color("main").name()}
            force = stack.frames()[2]
            marks = end_marks(scene, 2, force, here)
            assert {text for text, _, _ in marks} == {"x", "y"}
            for (_, _, a), (_, _, b) in itertools.combinations(marks, 2):
                assert not a.intersects(b)
            for _, _, box in marks:
                assert box.left() > force.plot.right() and box.right() <= stack.rect().right()
                assert force.head.center().y() < box.top() and box.bottom() < force.plot.bottom() + here.small


def test_a_straddling_pair_has_a_dash_of_its_own_on_plan_and_loop() -> None:
    straddling = resolved(next(e for e in EXAMPLES if e.id == "facing-cast-iron").setup())
    with window_on(straddling, pair=True) as window:
        assert [scene.mirrored for scene, _ in window.arc.plan.frames()] == [False, True]
        assert [loop.dotted for loop in window.arc.charts.scene_shown.loops] == [False, True]
    dashes = [
        tuple(look("light").pen("main", **how).dashPattern()) for how in ({}, {"dashed": True}, {"dotted": True})
    ]
    assert len(set(dashes)) == 3


def test_a_narrow_strip_shortens_before_it_leaves_out() -> None:
    own = scene_at(150.0)
    other = trace(arc_results(own.own.results.setup.opposite), STRIPS, 30.0)
    pair, here = StripsScene(own.own, other, own.ranges), look("light")
    seen = []
    for width in range(600, 280, -10):
        frame = layers.strip_frames(QRectF(0.0, 0.0, float(width), 560.0), pair, here)[2]
        head = strip_head(pair, pair.own.strips[2], frame, here)
        boxes = [head.title_box, *(item.box for item in head.items)]
        assert head.title_box.left() == frame.head.left() and boxes[-1].right() <= frame.head.right() + 2.5
        assert all(a.right() < b.left() for a, b in itertools.pairwise(boxes))
        seen.append((head.title, *(item.text for item in head.items)))
    ordered = list(dict.fromkeys(seen))
    assert ordered[0] == ("Movement of the tip δ, mm", "climb", "conventional")
    assert ordered[1] == ("Tip δ, mm", "climb", "conventional") and ordered[2] == ("Tip δ, mm", "climb", "conv.")


def test_the_values_of_two_lines_close_together_stand_each_on_its_own_side() -> None:
    setup = resolved(next(e for e in EXAMPLES if e.id == "facing-wide-steel").setup())
    with window_on(setup, pair=True, angle_deg=90.0) as window:
        scene, frames = window.arc.strips.stack.scene_shown, window.arc.strips.stack.frames()
        assert scene is not None and scene.other is not None
        painted = Painted()
        layers.paint_line(painted, scene, frames, look("light"))
        painted.end()
        own, other = scene.own.angle_deg, scene.other.angle_deg
        assert own < other < own + 15.0
        told = {text: at.x() for text, at in painted.started if at.y() < frames[0].plot.bottom()}
        here, there = (f"{t.value_at(t.strips[0]):.4f}" for t in (scene.own, scene.other))
        width = text_size(look("light").font("text", bold=True), here).width()
        assert told[here] + width < frames[0].x(own) < frames[0].x(other) < told[there]


def test_what_is_known_roughly_is_read_off_in_the_two_digits_of_the_sentence() -> None:
    setup = resolved(EXAMPLES[0].setup())
    ids = ("chip", "force", "torque", "movement", "temperature")
    force = trace(arc_results(setup), ids, 150.0).strips[1].curves[0]
    at = float(force.phi_deg[int(np.argmin(force.values))])
    _, told = read_off(setup, ids, at)["force"]
    assert f"Pushed off the wall by up to {told.removeprefix(MINUS)} N (" in sentence(setup)
    rough = {s.id: s.rough for s in trace(arc_results(setup), ids, at).strips}
    assert rough == {"chip": False, "force": True, "torque": True, "movement": True, "temperature": True}
    quantities = {s.id: QUANTITIES[s.quantity] for s in trace(arc_results(setup), ids, at).strips}
    for angle in (112.0, 131.0, 150.0, 170.0, 179.0):
        found = read_off(setup, ids, angle)
        assert tuple(found) == ids
        for id, (value, text) in found.items():
            # No finer than two digits, nor than what is exact would be told.
            usual = decimals = quantities[id].decimals
            if rough[id] and abs(float(text.replace(MINUS, "-"))) >= 1.0:
                decimals = min(usual, 0 if abs(float(text.replace(MINUS, "-"))) >= 10.0 else 1)
            assert len(text.partition(".")[2]) == decimals
            near = max(0.05 * abs(value) if rough[id] else 0.0, 0.5 * 10.0**-usual)
            assert float(text.replace(MINUS, "-")) == pytest.approx(value, abs=1.0001 * near)
            digits = text.removeprefix(MINUS).replace(".", "").strip("0")
            assert not rough[id] or len(digits) <= 2


def read_off(setup: Setup, ids: tuple[str, ...], angle: float) -> dict[str, tuple[float, str]]:
    """What is written at the line, with the value that it stands for, by strip; without those in the air."""
    own = trace(arc_results(setup), ids, angle)
    scene = StripsScene(own, None, RangeKeeper().update([own], "metric", True))
    painted = Painted(480, 900)
    layers.paint_line(
        painted, scene, layers.strip_frames(QRectF(0.0, 0.0, 480.0, 900.0), scene, look("light")), look("light")
    )
    painted.end()
    texts = [text for text, _ in painted.written]
    values = {s.id: own.value_at(s) for s in own.strips if not np.isnan(own.value_at(s))}
    return {id: (value, text) for (id, value), text in zip(values.items(), texts, strict=True)}


@pytest.mark.parametrize("theme", THEMES)
def test_hours_stand_above_the_strips_and_degrees_below_them(theme: str) -> None:
    own = trace(arc_results(resolved(EXAMPLES[0].setup())), ("chip", "force"), 150.0)
    scene = StripsScene(own, None, RangeKeeper().update([own], "metric", True))
    painted, rect = Painted(480, 500), QRectF(0.0, 0.0, 480.0, 500.0)
    frames = layers.strip_frames(rect, scene, look(theme))
    layers.paint_axes(painted, rect, scene, frames, look(theme))
    painted.end()
    hours = [box for text, box in painted.written if text.endswith(":00")]
    degrees = [box for text, box in painted.written if text.endswith("°")]
    assert len(hours) > 3 and len(degrees) > 3
    assert max(box.bottom() for box in hours) <= frames[0].plot.top()
    assert min(box.top() for box in degrees) >= frames[-1].plot.bottom()
