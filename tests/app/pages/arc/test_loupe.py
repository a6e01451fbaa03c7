"""The loupe: the least chip at the loupe's own scale, named, and hidden where it cannot be seen or is not known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from app.kit.look import look
from app.pages.arc.loupe import (
    loupe_key,
    loupe_picture,
    loupe_place,
    loupe_scale,
    paint_loupe_at,
)
from app.pages.arc.loupe_words import least_line, tip_place
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.effects.arc_results import arc_results
from core.effects.edge_temperature import edge_temperature
from core.effects.wall_marks import wall_profile
from core.setup.setup import ChipFormation, Direction, Setup
from tests.app.windows import boss, save_arc, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

RADIUS = 100.0


def dull(ratio: float = 0.3) -> Setup:
    """The opening setup with an edge of 20 micrometres."""
    return boss().with_keys({"cutter.edge_radius_mm": 0.02, "work.chip": ChipFormation(min_chip_ratio=ratio)})


def scene_of(setup: Setup, angle_deg: float = 140.0) -> PlanScene:
    return PlanScene.of(arc_results(setup), angle_deg)


def painted(scene: PlanScene, theme: str = "light") -> QImage:
    """A loupe alone in the middle of a picture."""
    image = QImage(260, 260, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(look(theme).color("panel"))
    painter = QPainter(image)
    paint_loupe_at(painter, scene, QPointF(130.0, 130.0), RADIUS, look(theme))
    painter.end()
    return image


def accented(image: QImage, rows: range, accent: QColor) -> dict[int, int]:
    """How many pixels of each row are rather of the accent's colour."""

    def near(x: int, y: int) -> bool:
        c = image.pixelColor(x, y)
        return (
            abs(c.red() - accent.red()) + abs(c.green() - accent.green()) + abs(c.blue() - accent.blue()) < 150
            and c.red() > c.blue() + 60
        )

    return {y: sum(near(x, y) for x in range(image.width())) for y in rows}


@pytest.mark.parametrize("ratio", [0.3, 0.43])
def test_the_line_is_at_the_least_chip_at_the_scale_of_the_chip(ratio: float) -> None:
    scene = scene_of(dull(ratio))
    scale = loupe_scale(scene, RADIUS)
    assert least_line(scene, scale) == pytest.approx(ratio * 0.02 * scale)
    tip = tip_place(QPointF(130.0, 130.0), RADIUS)
    counts = accented(painted(scene), range(110, 200), look("light").color("accent"))
    found = max(counts, key=lambda y: counts[y])
    assert counts[found] > 40
    assert found + 0.5 == pytest.approx(tip.y() - ratio * 0.02 * scale, abs=1.0)


def test_it_is_hidden_where_it_is_not_known_or_too_small_to_be_seen() -> None:
    unknown = scene_of(boss().with_keys({"cutter.edge_radius_mm": None}))
    sharp = scene_of(boss().with_keys({"cutter.edge_radius_mm": 0.001}))
    for scene in (unknown, sharp):
        assert least_line(scene, loupe_scale(scene, RADIUS)) is None
        assert sum(accented(painted(scene), range(0, 260), look("light").color("accent")).values()) == 0


def test_the_picture_of_the_loupe_is_made_anew_when_the_least_chip_changes() -> None:
    keys = [loupe_key(scene_of(dull(ratio)), RADIUS, look("light"), 1.0) for ratio in (0.3, 0.31, 0.3)]
    assert keys[0] == keys[2] != keys[1]


def test_it_is_named_in_a_file(tmp_path: Path) -> None:
    for name, setup in (("dull", dull()), ("unknown", boss().with_keys({"cutter.edge_radius_mm": None}))):
        file = tmp_path / f"{name}.svg"
        save_arc(setup, file, 140.0)
        assert ("h min 0.0060 mm" in file.read_text("utf-8")) == (name == "dull")


@pytest.mark.parametrize("theme", ["light", "dark", "projector"])
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_no_word_of_a_small_loupe_is_cut_off(theme: str, units: str) -> None:
    here = look(theme)
    scene = PlanScene.of(arc_results(dull()), 140.0, units)  # type: ignore[arg-type]
    for size in ((420.0, 300.0), (500.0, 400.0), (700.0, 540.0)):
        frame = PlanFrame.of(QRectF(0.0, 0.0, *size), here, True)
        radius = loupe_place(scene, frame)[1]
        image = QImage(400, 400, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        paint_loupe_at(painter, scene, QPointF(200.0, 200.0), radius, here)
        painter.end()
        for i in range(400):
            for at in (200 - radius - 4.0, 200 + radius + 4.0):
                assert image.pixelColor(round(at), i).alpha() == 0
                assert image.pixelColor(i, round(at)).alpha() == 0


def test_the_edge_is_coloured_by_its_temperature_while_that_strip_is_shown() -> None:
    with window_on(boss(), angle_deg=115.0) as window:
        plan = window.arc.plan
        assert not plan.frames()[0][0].heated
        window.arc.shown.set("strips", ("chip", "temperature"))
        settle()
        cool = plan.frames()[0][0]
        found = edge_temperature(boss())
        assert found is not None and cool.heated
        assert cool.rise == pytest.approx(float(found.at(np.radians(115.0))), rel=2e-3)
        window.arc.shown.set("angle_deg", 127.0)
        settle()
        hot = plan.frames()[0][0]
        assert hot.rise > cool.rise and hot.rise == pytest.approx(hot.rise_top, rel=1e-3)
        keys = {loupe_key(scene, 60.0, look("light"), 1.0) for scene in (cool, hot, replace(hot, heated=False))}
        assert len(keys) == 3
        # In the loupe the hottest edge is in the colour of warning.
        image = loupe_picture(hot, 90.0, look("light"), 1.0).toImage()
        warm = sum(
            QColor(image.pixel(x, y)).red() > 150 and QColor(image.pixel(x, y)).green() < 60
            for x in range(image.width())
            for y in range(image.height())
        )
        assert warm > 30


@pytest.mark.parametrize(("direction", "angle_deg"), [("climb", 178.0), ("conventional", 2.0)])
def test_the_walls_waves_are_the_cores_and_reach_from_rim_to_rim(direction: Direction, angle_deg: float) -> None:
    setup = boss().with_keys({"cut.direction": direction})
    scene, side = scene_of(setup, angle_deg), 1 if direction == "conventional" else -1
    assert scene.waves is not None
    along, height = scene.waves.T
    np.testing.assert_allclose(height, wall_profile(along, setup, side))
    # The rim on either side of the tip, in pixels of the loupe.
    tip, scale = tip_place(QPointF(0.0, 0.0), RADIUS), loupe_scale(scene, RADIUS)
    assert tip.x() + scale * along[[0, -1]] == pytest.approx([-RADIUS, RADIUS])
    assert scene.turned(90.0).waves is None and scene_of(setup, 90.0).turned(angle_deg).waves is not None
