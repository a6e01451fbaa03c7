"""Marks and labels of the plan keep off one another where nothing else places them."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter

from app.kit.label_layout import LabelLayout, text_size
from app.kit.look import look
from app.kit.xy_chart import tick_texts
from app.pages.arc import plan_tooth
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.loupe import SMALLEST, loupe_place
from app.pages.arc.plan_force import paint_forces
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import GRIP, RING, edge_grip, paint_wall_name
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.strip_places import left_of_plot
from core.base.language import ENGLISH, speak
from core.base.words import say
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from tests.app.painted import Painted
from tests.app.windows import at_rest, boss, drag, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


@pytest.mark.parametrize("size", [(406.0, 520.0), (700.0, 540.0), (523.0, 280.0)], ids=str)
def test_grips_keep_off_the_hours(size: tuple[float, float]) -> None:
    frame = PlanFrame.of(QRectF(0.0, 0.0, *size), look("light"), True)
    for x in np.linspace(-0.998, 0.998, 400):
        at = edge_grip(float(x), frame)
        grip = QRectF(at.x() - GRIP[0], at.y() - GRIP[1], 2.0 * GRIP[0], 2.0 * GRIP[1])
        assert grip.top() >= frame.inner.top() - 1.0
        for hour in range(7):
            phi = math.radians(30.0 * hour)
            o, r = frame.centre, frame.radius * RING
            digits = QRectF(o.x() - r * math.cos(phi) - 6.0, o.y() - r * math.sin(phi) - 6.0, 12.0, 12.0)
            # In the lowest picture an hour stands too near the top for anything to be over it.
            assert not grip.intersects(digits) or digits.top() - frame.inner.top() < 2.0 * GRIP[1] + 2.0


def test_the_value_of_a_drag_keeps_off_the_labels_that_it_changes() -> None:
    with window_on(boss()) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[0]
        grip = edge_grip(scene.shapes.edges[0], frame)
        for to in (-60.0, -20.0, 30.0):
            drag(plan, grip, grip + QPointF(to, 0.0), release=False)
            scene, frame = plan.frames()[0]
            named = plan.named(scene, frame)
            told = plan.pointer.told_place(150.0, 26.0)
            assert QRectF(plan.rect()).contains(told)
            for name in ("enters", "leaves", "feed"):
                assert not told.intersects(named[name]), (to, name)
            plan.pointer._held = None
            grip = edge_grip(scene.shapes.edges[0], frame)


SIZES = ((1280, 800), (1024, 700), (1920, 1080))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_wall_is_named_beside_its_line(hand: str) -> None:
    with window_on(boss().with_keys({"cutter.hand": hand}), pair=True) as window:
        plan = window.arc.plan
        for theme, size in itertools.product(("light", "projector"), SIZES):
            window.view.set("theme", theme)
            window.resize(*size)
            settle()
            for scene, frame in plan.frames():
                name = plan.named(scene, frame)["wall"]
                (x, _), _ = frame.points(scene.shapes.walls[0])
                assert not name.isEmpty(), (theme, size)
                assert name.left() > x + 3.0 if scene.shapes.walls[0][0, 0] > 0.0 else name.right() < x - 3.0
                assert frame.inner.contains(name), (theme, size)
                if size == (1920, 1080):
                    assert name.width() == text_size(look(theme).font("small"), say("plan", "wall")).width()


@pytest.mark.parametrize(("id", "word"), [("en", "wall"), ("de", "Wand")])
def test_where_there_is_little_room_one_word_names_the_wall(id: str, word: str) -> None:
    speak(id)
    try:
        with window_on(boss(), (1024, 700), theme="projector", pair=True) as window:
            for scene, frame in window.arc.plan.frames():
                painted = Painted()
                paint_wall_name(painted, scene, frame, look("projector"), LabelLayout(frame.inner))
                painted.end()
                assert [text for text, _ in painted.written] == [word]
    finally:
        speak(ENGLISH.id)


@pytest.mark.parametrize("width", [410.0, 700.0])
def test_the_angle_keeps_off_the_head_of_the_force_and_its_size(width: float) -> None:
    theme, image = look("dark"), QImage(700, 600, QImage.Format.Format_ARGB32_Premultiplied)
    painter, hidden = QPainter(image), 0
    for id in ("boss", "facing-cast-iron", "left-hand"):
        setup = resolved(next(e for e in EXAMPLES if e.id == id).setup())
        scene = PlanScene.of(arc_results(setup), 0.0)
        frame = PlanFrame.of(QRectF(0.0, 0.0, width, 520.0), theme, True)
        for angle in range(-90, 270, 3):
            turned = scene.turned(float(angle))
            taken = paint_forces(painter, turned, frame, theme)
            rect = plan_tooth.paint_tooth(painter, turned, frame, theme, taken)
            hidden += any(rect.intersects(box) for box in taken)
    painter.end()
    assert hidden == 0


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_figures_of_an_axis_fit_their_margin(theme: str) -> None:
    font, left = look(theme).font("small"), left_of_plot(look(theme))
    assert tick_texts(np.array([0.0, 0.02, 0.04]), 2, font, left - 10.0) == ["0.00", "0.02", "0.04"]
    assert tick_texts(np.array([0.0, 5e-9, 1e-8, 1.5e-8]), 9, font, left - 10.0) == ["0", "5e−9", "1e−8", "1.5e−8"]
    for power, m in itertools.product(range(-9, 7), (1.0, 2.0, 5.0)):
        step = m * 10.0**power
        texts = tick_texts(np.arange(-4.0, 5.0) * step, max(0, -power), font, left - 10.0)
        assert len(set(texts)) == 9
        assert max(text_size(font, text).width() for text in texts) <= left - 8.0


@pytest.mark.parametrize("theme", ["light", "projector:768"])
@pytest.mark.parametrize("id", ["boss", "facing-wide-steel", "left-hand"])
def test_the_size_of_the_force_stays_in_the_picture_and_off_cards_and_loupe(theme: str, id: str) -> None:
    setup, told = resolved(next(e for e in EXAMPLES if e.id == id).setup()), 0
    with window_on(setup, (1024, 768), theme=theme, pair=True) as window:
        plan, look_ = window.arc.plan, look(theme)
        for scene, frame in plan.frames():
            cards = [
                *plan._drawn.fixed_words(scene, frame, look_).layout.taken[:1],
                *plan.named(scene, frame).values(),
            ]
            loupe, radius = loupe_place(scene, frame)
            assert cards[0].contains(loupe) and cards[0].width() == pytest.approx(2.0 * radius)
            painter = Painted()
            for angle in range(-30, 210, 7):
                for box in paint_forces(painter, scene.turned(float(angle)), frame, look_, cards)[1:]:
                    told += 1
                    assert frame.inner.contains(box) and not any(box.intersects(card) for card in cards)
            painter.end()
    assert told > 40


def test_the_loupe_leaves_the_ring_of_the_feed_arrow_free() -> None:
    scene = PlanScene.of(arc_results(boss()), 120.0)
    for width, height in itertools.product((440.0, 466.0, 520.0, 700.0), (280.0, 340.0, 400.0, 540.0)):
        frame = PlanFrame.of(QRectF(0.0, 0.0, width, height), look("light"), True)
        centre, radius = loupe_place(scene, frame)
        tail, _ = feed_arrow(scene, frame)
        assert math.hypot(tail.x() - centre.x(), tail.y() - centre.y()) >= radius + 6.0 or radius <= SMALLEST


def test_the_window_is_never_narrower_than_its_plans_are_legible() -> None:
    for pair in (False, True):
        with window_on(boss(), (700, 540), pair=pair) as window:
            assert 930 <= window.width() <= 960


@pytest.mark.parametrize(("size", "pair"), [((700, 540), False), ((700, 600), False), ((1024, 700), True)])
def test_leaders_go_out_of_the_circle_and_not_across_the_cutter(size: tuple[int, int], pair: bool) -> None:
    with window_on(boss(), size, pair=pair) as window:
        plan = window.arc.plan
        for scene, frame in plan.frames():
            named = plan.named(scene, frame)
            for (phi, _, _), name in zip(scene.ends(), ("enters", "leaves"), strict=True):
                at, card = frame.point(scene.place(phi)), named[name]
                assert not card.isEmpty()
                way = np.linspace((at.x(), at.y()), (card.center().x(), card.center().y()), 60)
                way = way[[not card.contains(QPointF(*p)) for p in way]]
                off = np.hypot(way[:, 0] - frame.centre.x(), way[:, 1] - frame.centre.y())
                assert off.min() > 0.85 * frame.radius


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_the_size_of_the_force_leaves_the_hour_and_the_origin_of_the_angle_legible(theme: str) -> None:
    """Where the arrow of the force points to 9 o'clock, as beside "Which way", its size would lie on both."""
    with window_on(boss(), (1280, 800), theme=theme, pair=True, why=True) as window:
        at_rest(window)
        for scene, frame in window.arc.plan.frames():
            named = window.arc.plan.named(scene, frame)
            origin = named["origin"]
            at = frame.point(scene.place(0.0, RING))
            assert origin.contains(at) and origin.height() > text_size(look(theme).font("small"), "9").height()
            seen = 0
            for angle in np.linspace(60.0, 200.0, 29):
                painted = Painted(int(frame.rect.right()) + 10, int(frame.rect.bottom()) + 10)
                paint_forces(painted, scene.turned(float(angle)), frame, look(theme), list(named.values()))
                painted.end()
                sizes = [box for text, box in painted.written if text.endswith(" N")]
                assert not any(box.intersects(origin) for box in sizes), angle
                seen += len(sizes)
            assert seen > 14
