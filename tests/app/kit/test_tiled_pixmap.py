"""What is kept of the plan from frame to frame: pictures in pieces, a cutter that stands still."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.kit.tiled_pixmap import TiledPixmap, clear_picture, painter_on, tiled
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def pixels(image: QImage) -> Any:
    """Red, green, blue and alpha, as they can be subtracted."""
    image = image.convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1).astype(int)


def ground(ratio: float = 1.0) -> QImage:
    image = QImage(round(900 * ratio), round(780 * ratio), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(QColor("#f3efe6"))
    return image


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
def test_a_picture_in_pieces_is_the_whole_picture(ratio: float) -> None:
    rect = QRectF(20.0, 0.0, 860.0, 780.0)
    whole = clear_picture(rect, ratio)
    painter = painter_on(whole, rect)
    painter.drawEllipse(QPointF(430.0, 400.0), 250.0, 250.0)
    painter.fillRect(QRectF(20.0, 0.0, 3.0, 2.0), QColor(200, 0, 0, 90))
    painter.drawPoint(QPointF(879.5, 779.5))
    painter.drawText(QPointF(60.0, 700.0), "seen along the spindle")
    painter.end()
    layer = tiled(whole, rect)
    one, other = ground(ratio), ground(ratio)
    for image, draw in ((one, lambda p: p.drawPixmap(rect.topLeft(), whole)), (other, layer.paint)):
        painter = QPainter(image)
        draw(painter)
        painter.end()
    assert (pixels(one) != pixels(ground(ratio))).any()
    assert (pixels(one) == pixels(other)).all()
    area = sum(piece.width() * piece.height() for _, piece in layer.pieces)
    assert area < 0.4 * whole.width() * whole.height() and len(layer.pieces) <= 24


def test_of_an_empty_picture_nothing_is_kept() -> None:
    rect = QRectF(0.0, 0.0, 300.0, 200.0)
    assert tiled(clear_picture(rect, 1.0), rect) == TiledPixmap(())


def plan_picture(setup: Setup, **view: Any) -> Any:
    """The plan in a window that has painted it once."""
    with window_on(setup, **view) as window:
        return pixels(window.arc.plan.grab().toImage())


def kept_cutter(plan: Any) -> TiledPixmap | None:
    """What is kept of the only cutter."""
    return next(iter(plan._drawn._cutters.values()))[1]


def test_a_cutter_that_stands_is_kept_and_a_turning_one_is_not() -> None:
    with window_on(boss()) as window:
        plan, view = window.arc.plan, window.arc.shown
        for i in range(3):
            window.workbench.propose(boss().with_keys({"cut.radial_engagement_mm": 3.0 + 0.2 * i}), steps.WIDTH)
            settle()
        assert kept_cutter(plan) is not None
        for angle in (100.0, 101.0, 102.0):
            view.set("angle_deg", angle)
            plan.repaint()
            assert kept_cutter(plan) is None


@pytest.mark.parametrize(
    ("keys", "view"),
    [
        ({"cutter.teeth": 3}, {}),
        ({"cutter.hand": "left"}, {}),
        ({"cutter.radial_rake_deg": 14.0}, {}),
        ({}, {"angle_deg": 77.0}),
        ({}, {"theme": "dark"}),
    ],
    ids=lambda value: " ".join(value) or "same",
)
def test_a_kept_cutter_follows_what_it_depends_on(keys: dict[str, Any], view: dict[str, Any]) -> None:
    other = boss().with_keys(keys)
    with window_on(boss(), angle_deg=120.0) as window:
        plan = window.arc.plan
        plan.grab()
        plan.grab()
        assert kept_cutter(plan) is not None
        for name, value in view.items():
            window.arc.shown.set(name, value)
        if keys:
            window.workbench.propose(other, steps.ANOTHER)
        settle()
        now = pixels(plan.grab().toImage())
    fresh = plan_picture(other, **{"angle_deg": 120.0, **view})
    assert np.abs(now - fresh).max() <= 4


def test_a_cutter_put_down_from_its_picture_looks_as_painted() -> None:
    with window_on(boss(), angle_deg=120.0) as window:
        plan = window.arc.plan
        plan._drawn._cutters.clear()
        painted = pixels(plan.grab().toImage())
        assert kept_cutter(plan) is None
        again = pixels(plan.grab().toImage())
        assert kept_cutter(plan) is not None
    assert np.abs(painted - again).max() <= 4
