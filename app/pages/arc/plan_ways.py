"""Which way cutter and work move: the work's arrow on the plan, and the plan in motion, one of the two at rest."""

from __future__ import annotations

import math
from functools import partial
from typing import Literal, TypeAlias

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainter, QPolygonF

from app.kit.label_layout import LabelLayout, text_size
from app.kit.look import NO_PEN, Look
from app.kit.one_line import baseline, paint_words
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.base.words import say
from core.maths.arrays import Array

Moves: TypeAlias = Literal["work", "cutter"]
"""Which of the two moves where the tooth goes round by itself; the other stands still."""

MOVES: tuple[Moves, ...] = ("work", "cutter")

TRAVEL = 0.24
"""Way of one turn on the picture, in radii of the whole plan: larger than it is, or no eye would see it."""

LENGTH = 34.0
"""Length of the work's arrow, pixels: it tells a way, not a size."""

OFF_ARC = 1.06
"""Radius (as beside the whole plan's circle) outside which its arrow stands."""

_GRID = np.stack(np.meshgrid(np.linspace(0.0, 1.0, 23), np.linspace(0.0, 1.0, 15)), -1).reshape(-1, 2)


def travelled(angle_deg: float, frame: PlanFrame) -> int:
    """How far (whole pixels) work and cutter have moved together since the tooth was at 12, in this turn."""
    return round((angle_deg - 90.0) / 360.0 * TRAVEL * (frame.far or frame).radius)


def paint_work_way(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout
) -> QRectF | None:
    """An arrow on the work, the way it comes toward the cutter, with one word; its place, None where none is free."""
    font, text = look.font("small", bold=True), say("moves", "work_word")
    words = text_size(font, text)
    size = QSizeF(max(words.width(), 16.0) + 6.0, words.height() + LENGTH + 4.0)
    rect = _last_place(scene, frame, size, layout)
    if rect is None:
        rect = layout.place(size, _spots(scene, frame), partial(_on_work, scene, frame, size))
        if rect is not None:
            layout.memory["work"] = rect.topLeft()
    layout.named["work"] = rect or QRectF()
    if rect is None:
        return None
    moving = scene.moves == "work"
    color, width = ("ink", "thick") if moving else ("soft", "line")
    x, top = rect.center().x(), rect.top() + words.height() + 2.0
    tip = QPointF(x, top + LENGTH)
    painter.fillRect(QRectF(rect.left(), rect.top(), rect.width(), words.height()), look.color("panel", 0.85))
    painter.setPen(look.color(color))
    box = QRectF(x - 0.5 * words.width(), rect.top(), words.width(), words.height())
    paint_words(painter, baseline(box, font), font, text)
    # A seam of the ground keeps the arrow apart from the hatching.
    for pen in (look.pen("panel", look.thick + 4.0, alpha=0.85), look.pen(color, width)):
        painter.setPen(pen)
        painter.drawLine(QPointF(x, top), QPointF(x, tip.y() - 9.0))
    painter.setPen(NO_PEN)
    painter.setBrush(look.color(color))
    painter.drawPolygon(QPolygonF([tip, QPointF(x - 6.0, tip.y() - 12.0), QPointF(x + 6.0, tip.y() - 12.0)]))
    return rect


def _last_place(scene: PlanScene, frame: PlanFrame, size: QSizeF, layout: LabelLayout) -> QRectF | None:
    """Where the arrow was last, as long as work is there: it holds still while a figure is dragged."""
    last = layout.memory.get("work")
    if not isinstance(last, QPointF):
        return None
    rect = QRectF(last, size)
    if not layout.free(rect) or not _stands_on_work(scene, frame, rect):
        return None
    return layout.take(rect)


def _stands_on_work(scene: PlanScene, frame: PlanFrame, rect: QRectF) -> bool:
    """:func:`_on_work` of one box: a step of a drag asks for no other."""
    e, radius = scene.results.engagement, scene.results.setup.cutter.diameter_mm / 2.0
    o, r = frame.centre, frame.radius
    x = scene.side * (rect.left() + 0.5 * rect.width() - o.x()) / r
    low = (o.y() - rect.top() - rect.height()) / r
    off = max(abs(x) - 0.5 * rect.width() / r, 0.0)
    if not math.hypot(off, max(low, 0.0)) > frame.beside(OFF_ARC):
        return False
    left_wall, right_wall = e.entry <= 1e-9, e.exit >= math.pi - 1e-9
    if low > 0.0 and (left_wall or x > e.x1 / radius) and (right_wall or x < e.x2 / radius):
        return True
    return (left_wall and x < -1.02) or (right_wall and x > 1.02)


def _spots(scene: PlanScene, frame: PlanFrame) -> Array:
    """Candidate centres (n, 2) all over the picture: first those on the work's side, across from the feed arrow."""
    box, whole = frame.inner, frame.far or frame
    spots = _GRID * (box.width(), box.height()) + (box.left(), box.top())
    e = scene.results.engagement
    middle = scene.place(0.5 * (e.entry + e.exit))[0]
    near = (
        whole.centre.x() + (middle + 0.75 * np.sign(middle)) * whole.radius,
        whole.centre.y() - 0.35 * whole.radius,
    )
    return np.asarray(spots[np.argsort(np.hypot(spots[:, 0] - near[0], spots[:, 1] - near[1]), kind="stable")])


def _on_work(scene: PlanScene, frame: PlanFrame, size: QSizeF, left: Array, top: Array) -> Array:
    """Which boxes (n,) by their left and top stand on the work: their middle line, and outside the arc."""
    e, radius = scene.results.engagement, scene.results.setup.cutter.diameter_mm / 2.0
    o, r = frame.centre, frame.radius
    x = scene.side * (left + 0.5 * size.width() - o.x()) / r
    off = np.maximum(np.abs(x) - 0.5 * size.width() / r, 0.0)
    low = (o.y() - top - size.height()) / r
    outside = np.hypot(off, np.maximum(low, 0.0)) > frame.beside(OFF_ARC)
    least = -np.inf if e.entry <= 1e-9 else e.x1 / radius
    most = np.inf if e.exit >= np.pi - 1e-9 else e.x2 / radius
    above = (low > 0.0) & (x > least) & (x < most)
    # Below the axis work stands only behind a finished wall.
    behind = ((x < -1.02) & (least == -np.inf)) | ((x > 1.02) & (most == np.inf))
    return np.asarray(outside & (above | behind))
