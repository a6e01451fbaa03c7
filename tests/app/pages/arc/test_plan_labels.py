"""The plan's words: both callouts and the feed are always there, inside, and over nothing else."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter, QPolygonF

from app.kit.look import look
from app.kit.shapes import polygon
from app.kit.thickness_colours import colours, step_of
from app.pages.arc.feed_arrow import paint_feed
from app.pages.arc.plan_callouts import leader_end
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_picture import paint_ends, paint_fixed, paint_plan
from app.pages.arc.plan_scene import PlanScene, direction_title
from app.pages.arc.plan_tooth import chip_outline
from core.cut.chip import thickness
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from core.setup.setup import Cut, Cutter, Setup

pytestmark = pytest.mark.usefixtures("window_app")


def cut(d: float, z: int, direction: str, share: float, hand: str = "right") -> Setup:
    return Setup(
        Cutter(d, z, hand=hand, edge_radius_mm=0.0005 * d),  # type: ignore[arg-type]
        Cut(direction, share * d, d / 2, d / 200, 3000.0),  # type: ignore[arg-type]
    )


CUTS = [
    cut(d, z, direction, share)
    for (d, z), (direction, share) in itertools.product(
        ((1.0, 2), (12.0, 4), (160.0, 12), (50.0, 1), (25.0, 40)),
        (
            ("climb", 0.02),
            ("climb", 0.33),
            ("climb", 0.9),
            ("conventional", 0.02),
            ("conventional", 0.5),
            ("conventional", 0.95),
            ("straddling", 0.6),
            ("straddling", 1.0),
        ),
    )
]
SIZES = ((400.0, 480.0), (460.0, 400.0), (690.0, 540.0), (900.0, 700.0), (1100.0, 640.0))

HANDS, UNITS = ("right", "left"), ("metric", "inch")
CROSSED = [(hand, UNITS[(i + j) % 2], size) for i, size in enumerate(SIZES) for j, hand in enumerate(HANDS)]
"""Each hand and each of the units in each size, and each hand in each of the units."""


@pytest.mark.parametrize(
    "setup", CUTS, ids=lambda s: f"{s.cutter.diameter_mm:g}-{s.cutter.teeth}-{direction_title(s)}"
)
@pytest.mark.parametrize("theme", ["light", "projector"])
def test_words_are_there_inside_and_apart(setup: Setup, theme: str, monkeypatch: pytest.MonkeyPatch) -> None:
    theme_look = look(theme)
    image = QImage(16, 16, QImage.Format.Format_ARGB32_Premultiplied)
    # Nobody has cleared the memory of a new picture.
    image.fill(Qt.GlobalColor.white)
    for hand, units, (w, h) in CROSSED:
        results = arc_results(setup.with_keys({"cutter.hand": hand}))
        scene = PlanScene.of(results, 100.0, units, title=direction_title(setup))  # type: ignore[arg-type]
        frame = PlanFrame.of(QRectF(0.0, 0.0, w, h), theme_look, True)
        painter = QPainter(image)
        feeds: list[QRectF | None] = []

        def noted(*arguments: Any, feeds: list[QRectF | None] = feeds) -> QRectF | None:
            feeds.append(paint_feed(*arguments))
            return feeds[-1]

        monkeypatch.setattr("app.pages.arc.plan_picture.paint_feed", noted)
        layout = paint_fixed(painter, scene, frame, theme_look)
        fixed = list(layout.taken)
        cards = paint_ends(painter, scene, frame, theme_look, layout)
        painter.end()
        where = f"{hand} {units} {w:g}x{h:g}"
        assert len(cards) == 2 and feeds[0] is not None, where
        for card in cards:
            assert frame.inner.contains(card), where
        # Cards against each other and against all that was there before: loupe, hours, feed.
        words = [*fixed, *cards]
        for a, b in itertools.combinations(range(len(words)), 2):
            if b >= len(fixed):
                assert not words[a].intersects(words[b]), where


def test_chip_is_as_thick_as_it_is_said_to_be() -> None:
    """Along the radius the coloured band reaches from the circle inward by the stated magnification."""
    setup = cut(12.0, 1, "conventional", 0.9)
    results = arc_results(setup)
    scene = PlanScene.of(results, -60.0)
    image = QImage(900, 900, QImage.Format.Format_ARGB32_Premultiplied)
    # Nobody has cleared the memory of a new picture.
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    rect = QRectF(0.0, 0.0, 900.0, 900.0)
    theme = look("light")
    paint_plan(painter, rect, scene, theme)
    painter.end()
    frame = PlanFrame.of(rect, theme, False)
    for phi_deg in (40.0, 75.0, 115.0):
        phi = math.radians(phi_deg)
        h = float(thickness(phi, setup, "trochoid", runout=False))
        depth = h / 6.0 * scene.shapes.magnification

        def color(share: float, phi: float = phi, depth: float = depth) -> Any:
            at = frame.point(scene.place(phi, 1.0 - share * depth))
            return image.pixelColor(round(at.x()), round(at.y()))

        wanted = colours()[int(step_of(np.array([h / 0.06]))[0])]
        for share in (0.2, 0.5, 0.8):
            got = color(share)
            assert (
                abs(got.red() - wanted.red()) + abs(got.green() - wanted.green()) + abs(got.blue() - wanted.blue())
                < 40
            )
        outside = color(1.25)
        assert abs(outside.red() - wanted.red()) + abs(outside.blue() - wanted.blue()) > 40


def test_left_hand_picture_is_the_mirror_image() -> None:
    images = []
    for hand in ("right", "left"):
        scene = PlanScene.of(arc_results(cut(12.0, 4, "climb", 0.33, hand)), 130.0)
        assert scene.side == (1.0 if hand == "right" else -1.0)
        images.append(scene.shapes)
    right, left = images
    assert np.allclose(right.work[0] * [-1, 1], left.work[0])
    assert right.edges == pytest.approx([-x for x in left.edges])
    scene = PlanScene.of(arc_results(cut(12.0, 4, "climb", 1 / 3, "left")), 130.0)
    assert scene.ends()[0][1] == "enters 11:21" and scene.ends()[1][1] == "leaves 9:00"


@pytest.mark.parametrize("teeth", [1, 2, 3, 4, 12, 40])
def test_outline_has_its_teeth_on_the_circle_and_nothing_beyond(teeth: int) -> None:
    from core.cut.cutter_outline import cutter_outline

    outline = cutter_outline(teeth)
    radius = np.hypot(outline[:, 0], outline[:, 1])
    assert radius.max() <= 1.0 + 1e-12
    tips = outline[radius > 1.0 - 1e-9]
    angles = np.sort(np.arctan2(tips[:, 1], -tips[:, 0]) % (2 * np.pi))
    assert angles == pytest.approx(np.arange(teeth) * 2 * np.pi / teeth, abs=1e-9)
    assert radius.min() > 0.4


@pytest.mark.parametrize("setup", CUTS[8:16], ids=lambda s: f"{direction_title(s)}-{s.cut.radial_engagement_mm:g}")
def test_no_leader_strikes_out_an_hour_where_there_is_room(setup: Setup, monkeypatch: pytest.MonkeyPatch) -> None:
    here, leaders = look("light"), []
    scene = PlanScene.of(arc_results(setup), 60.0)
    frame = PlanFrame.of(QRectF(0.0, 0.0, 1100.0, 640.0), here, True)
    image = QImage(1100, 640, QImage.Format.Format_ARGB32_Premultiplied)
    # Nobody has cleared the memory of a new picture.
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    cards = paint_ends(painter, scene, frame, here, paint_fixed(painter, scene, frame, here))
    painter.end()
    for (phi, _, _), card in zip(scene.ends(), cards, strict=True):
        at = frame.point(scene.place(phi))
        end = (min(max(at.x(), card.left()), card.right()), min(max(at.y(), card.top()), card.bottom()))
        leaders.append(np.linspace((at.x(), at.y()), end, 400))
    for hour in range(7):
        number = frame.point(scene.place(math.radians(30.0 * hour), 1.15))
        for leader in leaders:
            assert np.hypot(leader[:, 0] - number.x(), leader[:, 1] - number.y()).min() > 7.5


PANELS = [(250.0, 420.0), (320.0, 480.0)]
"""Widths of a plan beside the panel "Which way", where a card may find no place at all."""


@pytest.mark.parametrize("theme", ["light", "projector:768"])
@pytest.mark.parametrize("size", [*PANELS, (400.0, 480.0), (600.0, 504.0), (690.0, 540.0)], ids=str)
def test_no_card_lies_under_the_chip_or_on_the_leader_of_the_other(size: tuple[float, float], theme: str) -> None:
    here, image = look(theme), QImage(16, 16, QImage.Format.Format_ARGB32_Premultiplied)
    frame, found = PlanFrame.of(QRectF(0.0, 0.0, *size), here, True), 0
    for example in EXAMPLES:
        scene = PlanScene.of(arc_results(resolved(example.setup())), 60.0)
        chip = polygon(chip_outline(scene, frame))
        painter = QPainter(image)
        cards = paint_ends(painter, scene, frame, here, paint_fixed(painter, scene, frame, here))
        painter.end()
        found += len(cards)
        assert cards or size in PANELS or theme != "light"
        for card in cards:
            assert not chip.intersects(QPolygonF(card)), example.id
        if len(cards) == 2:
            ends = [frame.point(scene.place(phi)) for phi, _, _ in scene.ends()]
            for (here_at, card), other in zip(zip(ends, cards, strict=True), reversed(cards), strict=True):
                end = leader_end(here_at, card)
                way = [here_at + (end - here_at) * share for share in np.linspace(0.0, 1.0, 400)]
                # Its corner may be touched by a hair, no more.
                assert sum(other.adjusted(2.0, 2.0, -2.0, -2.0).contains(at) for at in way) == 0, example.id
    assert found > (0 if size in PANELS else 20)
