"""Hovering tells what a part of a picture is, in one sentence, and what can be done with it."""

from __future__ import annotations

import math
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from app.kit.hover_help import HoverHelp
from app.kit.look import look
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.loupe import loupe_place
from app.pages.arc.plan_layers import RING, edge_grip, legend_places
from app.pages.arc.side_charts import chart_rects
from app.pages.arc.strip_head import strip_head
from app.pages.arc.strip_layers import limit_labels
from app.pages.arc.strip_lines import end_marks
from app.pages.arc.strips_help import _parts
from core.base.glossary import explained, glossary
from core.base.words import say, words
from core.documents.setup_examples import EXAMPLES
from core.strips.strip_curves import STRIPS
from tests.app import steps
from tests.app.windows import PATIENCE_MS, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def told(found: HoverHelp | None) -> str:
    assert found is not None
    assert max(len(line) for line in found.lines.splitlines()) <= 62
    return found.text


def test_parts_of_the_plan_say_what_they_are_and_what_the_hand_can_do() -> None:
    with window_on(boss(), angle_deg=125.0) as window:
        plan, here = window.arc.plan, look("light")
        scene, frame = plan.frames()[0]
        named = plan.named(scene, frame)
        tail, tip = feed_arrow(scene, frame)
        loupe, _ = loupe_place(scene, frame)

        def at(phi: float, radius: float) -> QPointF:
            return frame.point(scene.place(math.radians(phi), radius))

        parts = [
            (tip, "feed_per_tooth", "feed"),
            (tail, "feed_per_tooth", "flip"),
            (named["feed"].center(), "feed_per_tooth", "feed"),
            ((tip + tail) / 2.0, "feed_per_tooth", "feed"),
            (edge_grip(scene.shapes.edges[0], frame), "uncut_edge", "edge"),
            (at(125.0, 1.0), "active_tooth", "tooth"),
            (at(150.0, 0.99), "chip_thickness", None),
            (loupe, "loupe", None),
            (named["enters"].center(), "entry", None),
            (named["leaves"].center(), "exit", None),
            (named["wall"].center(), "finished_wall", None),
            (at(60.0, RING), "clock", None),
            (QPointF(frame.rect.left() + 30.0, frame.rect.top() + 16.0), "climb", None),
        ]
        parts += [(box.center(), term, None) for term, box in legend_places(scene, frame, here)]
        assert len(parts) == 16
        for place, term, action in parts:
            text = told(plan.help_at(place))
            assert text.startswith(explained(term)), term
            assert action is None or say("drag", action) in text
        # Nothing is told of the bare ground.
        assert plan.help_at(frame.rect.bottomRight() - QPointF(4.0, 40.0)) is None


def test_the_arrow_of_force_is_told_along_its_length() -> None:
    with window_on(boss(), angle_deg=125.0) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        assert scene.force is not None
        length = 0.5 * 0.72 * frame.radius / scene.force_top
        middle = frame.centre + QPointF(scene.force.x, -scene.force.y) * length
        assert told(plan.help_at(middle)) == explained("force_now")


@pytest.mark.parametrize("pair", [False, True])
def test_titles_names_and_letters_of_the_strips_are_explained(pair: bool) -> None:
    with window_on(boss(), (1920, 1080), strips=tuple(STRIPS), pair=pair) as window:
        strips, here = window.arc.strips, look("light")
        for example in EXAMPLES:
            if example.id not in ("boss", "facing-cast-iron", "runout-two-teeth", "long-reach"):
                continue
            window.workbench.propose(example.setup(), steps.ANOTHER)
            settle()
            scene = strips.stack.scene_shown
            assert scene is not None
            for i, (strip, frame) in enumerate(zip(scene.own.strips, strips.stack.frames(), strict=True)):
                head = strip_head(scene, strip, frame, here)
                assert told(strips.help_at(head.title_box.center())) == explained(strip.quantity), example.id
                for item in head.items:
                    assert item.term in glossary()
                    assert told(strips.help_at(item.box.center())) == explained(item.term), example.id
                for _, _, box in end_marks(scene, i, frame, here):
                    assert told(strips.help_at(box.center())) == explained("force_axes"), example.id
            # Over the curves there is no hint that would hide them.
            assert strips.help_at(strips.stack.frames()[3].plot.center()) is None


def test_the_models_of_the_chip_are_told_apart() -> None:
    with window_on(boss()) as window:
        strips = window.arc.strips
        scene = strips.stack.scene_shown
        assert scene is not None
        head = strip_head(scene, scene.own.strips[0], strips.stack.frames()[0], look("light"))
        texts = {item.text: told(strips.help_at(item.box.center())) for item in head.items}
        assert texts == {"true path": explained("true_path"), "arc model": explained("arc_model")}


def test_a_chart_is_told_of_by_its_title_alone() -> None:
    with window_on(boss(), (1920, 1080), charts=("loop", "wall", "marks", "edge")) as window:
        charts = window.arc.charts
        assert not charts.toolTip()
        for id, box in chart_rects(QRectF(charts.rect()), window.arc.shown.charts):
            assert told(charts.help_at(box.topLeft() + QPointF(20.0, 10.0))) == say("chart_help", id)
            assert charts.help_at(box.center()) is None
    assert set(words()["chart_help"]) == {"loop", "wall", "marks", "edge"}


def hover(widget: QWidget, place: QPointF) -> None:
    at = place.toPoint()
    QApplication.sendEvent(widget, QHelpEvent(QEvent.Type.ToolTip, at, widget.mapToGlobal(at)))
    settle()


def test_the_hint_is_shown_where_the_pointer_rests_and_not_in_a_drag(qtbot: Any) -> None:
    with window_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        hover(plan, loupe_place(scene, frame)[0])
        assert QToolTip.text().replace("\n", " ") == explained("loupe")
        plan.pointer._held = plan.pointer.handles(feed_arrow(scene, frame)[1])[0]
        hover(plan, loupe_place(scene, frame)[0])
        qtbot.waitUntil(lambda: not QToolTip.isVisible(), timeout=PATIENCE_MS)
        plan.pointer._held = None
        strips: Any = window.arc.strips
        hover(strips.viewport(), strips.stack.frames()[0].head.topLeft() + QPointF(20.0, 10.0))
        assert QToolTip.text().startswith("Chip thickness h")
        # Over the title, not over the curves below it.
        tip = next(w for w in QApplication.topLevelWidgets() if w.metaObject().className() == "QTipLabel")
        plot = strips.viewport().mapToGlobal(QPoint(0, round(strips.stack.frames()[0].plot.top())))
        assert tip.geometry().bottom() <= plot.y()
        QToolTip.hideText()


@pytest.mark.parametrize("pair", [False, True])
def test_every_part_of_every_strip_has_something_to_tell(pair: bool) -> None:
    """Levels, bands and letters too, whatever machine and tolerance a setup gives."""
    with window_on(boss(), (1600, 1000), pair=pair, strips=tuple(STRIPS)) as window:
        for example in EXAMPLES:
            window.workbench.propose(example.setup(), steps.ANOTHER)
            settle()
            stack = window.arc.strips.stack
            scene, frames = stack.scene_shown, stack.frames()
            assert scene is not None and window.workbench.setup == example.setup()
            parts = list(_parts(scene, frames, look("light")))
            assert all(told(part) for part in parts), example.id
            shown = zip(scene.own.strips, frames, strict=True)
            levels = sum(len(limit_labels(scene, strip, frame, look("light"))) for strip, frame in shown)
            assert len(parts) >= len(frames) + levels, example.id
            if example.id == "slack-table":
                assert explained("table_hold") in [part.text for part in parts]
