"""The ends of the arc on the plan: the skin on its free faces, the corner that a thick chip leaves behind."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter
from shapely.geometry import Polygon

from app.kit.look import look
from app.pages.arc.plan_exit import paint_exit_corner
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_picture import paint_ends, paint_fixed, paint_plan
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_skin import ARC_RADII
from core.cut.skin import skin_crossing
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.setup.setup import Setup, Skin
from tests.app.windows import boss, save_arc, window_on

pytestmark = pytest.mark.usefixtures("window_app")

STRIKES, OUT = "strikes the skin", "breaks out through the skin"


def plate() -> Setup:
    """The flame-cut plate: conventional, 0.8 mm of skin on a 20 mm cutter."""
    return resolved(example("flame-cut-plate").setup())


def skinned(id: str, thickness: float) -> Setup:
    """An example with a skin."""
    return resolved(example(id).setup()).with_keys({"work.skin": Skin(thickness)})


def scene_of(setup: Setup, angle_deg: float = 90.0) -> PlanScene:
    return PlanScene.of(arc_results(setup), angle_deg)


def painted(scene: PlanScene, size: float = 900.0) -> tuple[QImage, PlanFrame]:
    """The whole plan on a square, with its frame."""
    rect, theme = QRectF(0.0, 0.0, size, size), look("light")
    image = QImage(int(size), int(size), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(theme.color("panel"))
    painter = QPainter(image)
    paint_plan(painter, rect, replace(scene, title="x"), theme)
    painter.end()
    return image, PlanFrame.of(rect, theme, True)


def test_where_the_skin_is_met_and_in_which_words() -> None:
    assert scene_of(boss()).shapes.skin is None and scene_of(boss()).skin_words() == ("", "")
    assert scene_of(plate()).skin_words() == ("", OUT)
    assert scene_of(plate().opposite).skin_words() == (STRIKES, "")
    assert scene_of(skinned("facing-cast-iron", 2.0)).skin_words() == (STRIKES, OUT)
    slot = scene_of(skinned("slot-steel", 0.3))
    assert slot.skin_words() == ("", "") and slot.shapes.skin is not None and not slot.shapes.skin.layers


@pytest.mark.parametrize("setup", [plate(), plate().opposite, skinned("facing-cast-iron", 2.0)])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_layers_are_as_thick_as_the_skin_and_arcs_end_on_their_sides(setup: Setup, hand: str) -> None:
    setup = setup.with_keys({"cutter.hand": hand})
    scene, crossing = scene_of(setup), skin_crossing(setup)
    skin = scene.shapes.skin
    assert skin is not None and crossing is not None and setup.work.skin is not None
    radius = setup.cutter.diameter_mm / 2.0
    assert len(skin.layers) == len(skin.arcs) == (2 if setup.cut.direction == "straddling" else 1)
    assert sum(end - start for start, end in skin.arcs) == pytest.approx(crossing.cross)
    work = Polygon(scene.shapes.work[0]).buffer(1e-9)
    for layer, (face, inside), arc in zip(skin.layers, skin.faces, skin.arcs, strict=True):
        assert radius * abs(face - inside) == pytest.approx(setup.work.skin.thickness_mm)
        assert np.ptp(layer[:, 0]) == pytest.approx(abs(face - inside)) and work.covers(Polygon(layer))
        # The tip is at the free face at one end of its arc, at the layer's inner side at the other.
        ends = sorted(float(scene.place(phi)[0]) for phi in arc)
        assert ends == pytest.approx(sorted((face, inside)), abs=1e-9)


def test_the_layer_is_seen_in_its_place_and_mirrored_for_a_left_hand_cutter() -> None:
    skin_color = look("light").color("skin")
    for hand, side in (("right", 1.0), ("left", -1.0)):
        scene = scene_of(plate().with_keys({"cutter.hand": hand}), 200.0)
        image, frame = painted(scene)
        face = scene.shapes.edges[0]
        wide = 0.8 / 10.0 * frame.radius
        y = round(frame.point((0.0, 1.15)).y())
        x = frame.point((face, 0.0)).x()

        def dots(low: float, high: float, image: QImage = image, y: int = y) -> int:
            columns = range(round(min(low, high)), round(max(low, high)))
            return sum(image.pixelColor(i, j) == skin_color for i in columns for j in range(y - 12, y + 12))

        assert dots(x - side * 3.0, x - side * (wide - 3.0)) > 10
        assert dots(x - side * (wide + 3.0), x - side * (wide + 40.0)) == 0
        assert dots(x + side * 3.0, x + side * 40.0) == 0
        # The mark on the clock ring.
        start, end = scene.shapes.skin.arcs[0]  # type: ignore[union-attr]
        at = frame.point(scene.place((start + end) / 2.0, sum(ARC_RADII) / 2.0))
        assert image.pixelColor(round(at.x()), round(at.y())) == skin_color
        outside = frame.point(scene.place(2.0 * start - end, sum(ARC_RADII) / 2.0))
        assert image.pixelColor(round(outside.x()), round(outside.y())) != skin_color


@pytest.mark.parametrize("how", ["climb", "conventional", "straddling"])
def test_the_words_stand_in_a_file(how: str, tmp_path: Path) -> None:
    setup = skinned("facing-cast-iron", 2.0) if how == "straddling" else plate()
    setup = setup.opposite if how == "climb" else setup
    file = tmp_path / "cut.svg"
    save_arc(setup, file)
    text = file.read_text("utf-8")
    assert (STRIKES in text) == (how != "conventional")
    assert (OUT in text) == (how != "climb")
    save_arc(boss(), file)
    assert "skin" not in file.read_text("utf-8")


@pytest.mark.parametrize("theme", ["light", "projector"])
@pytest.mark.parametrize("size", [(460.0, 400.0), (690.0, 540.0), (1100.0, 640.0)])
def test_cards_with_the_skin_and_the_burr_keep_apart(theme: str, size: tuple[float, float]) -> None:
    here, named = look(theme), 0
    image = QImage(16, 16, QImage.Format.Format_ARGB32_Premultiplied)
    setups = [
        boss().opposite,
        plate(),
        plate().opposite,
        skinned("facing-cast-iron", 2.0),
        skinned("left-hand", 1.0).opposite,
        boss().opposite.with_keys({"cut.radial_engagement_mm": 11.0, "work.skin": Skin(0.01)}),
    ]
    for setup, units in itertools.product(setups, ("metric", "inch")):
        scene = PlanScene.of(arc_results(setup), 60.0, units)  # type: ignore[arg-type]
        frame = PlanFrame.of(QRectF(0.0, 0.0, *size), here, True)
        painter = QPainter(image)
        layout = paint_fixed(painter, scene, frame, here)
        fixed = list(layout.taken)
        cards = paint_ends(painter, scene, frame, here, layout)
        for card in cards:
            layout.take(card)
        burr = paint_exit_corner(painter, scene, frame, here, layout, cards)
        painter.end()
        words = cards if burr is None else [*cards, burr]
        assert len(cards) == 2 and all(frame.inner.contains(word) for word in words)
        assert not any(a.intersects(b) for a, b in itertools.combinations(words, 2))
        assert not any(word.intersects(taken) for word in words for taken in fixed)
        named += burr is not None
        if burr is not None:
            near = QPointF(*frame.points(scene.shapes.exit_corner)[0])  # type: ignore[arg-type]
            assert math.hypot(burr.center().x() - near.x(), burr.center().y() - near.y()) < 150.0
    # In a small picture the label gives way.
    assert named >= (6 if size[0] > 500.0 else 4)


def test_the_corner_is_the_work_between_free_face_and_arc() -> None:
    for hand in ("right", "left"):
        setup = boss().opposite.with_keys({"cutter.hand": hand})
        scene = scene_of(setup)
        corner = scene.shapes.exit_corner
        assert corner is not None
        exit_phi = scene.results.engagement.exit
        assert tuple(corner[0]) == pytest.approx(scene.place(exit_phi))
        assert Polygon(scene.shapes.work[0]).buffer(1e-3).covers(Polygon(corner))
        up, along = corner[-1] - corner[0], corner[1] - corner[0]
        angle = math.acos(up @ along / np.hypot(*up) / np.hypot(*along))
        # The first chord of the arc is off its tangent by a little.
        assert math.degrees(angle) == pytest.approx(180.0 - math.degrees(exit_phi), abs=1.0)


def test_a_corner_is_shown_only_where_a_thick_chip_leaves_through_a_free_face() -> None:
    assert scene_of(boss()).shapes.exit_corner is None
    assert scene_of(resolved(example("slot-steel").setup())).shapes.exit_corner is None
    # Leaves thick, but the corner is wider than 120 degrees.
    assert scene_of(plate()).shapes.exit_corner is None
    wide = boss().opposite.with_keys({"cut.radial_engagement_mm": 11.9})
    assert arc_results(wide).arc.h_exit < 0.2 * wide.cut.feed_per_tooth_mm
    assert scene_of(wide).shapes.exit_corner is None
    image, frame = painted(scene_of(boss().opposite, 200.0))
    scene = scene_of(boss().opposite, 200.0)
    middle = frame.points(scene.shapes.exit_corner).mean(axis=0)  # type: ignore[arg-type]
    shade = image.pixelColor(round(middle[0]), round(middle[1]))
    assert shade.lightness() < look("light").color("work").lightness() - 15


def test_a_screen_reader_is_told_of_the_skin() -> None:
    with window_on(plate()) as window:
        assert OUT in window.arc.plan.accessibleDescription()
    with window_on(boss()) as window:
        assert "skin" not in window.arc.plan.accessibleDescription()
