"""The exit corner on the plan: the work that is left behind where a thick chip leaves, and where its burr stands."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.kit.label_layout import LabelLayout, text_size
from app.kit.look import CENTRE, Look
from app.kit.shapes import polygon
from app.pages.arc.plan_callouts import leader_end
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import HOUR_STROKES
from app.pages.arc.plan_scene import PlanScene
from core.base.words import say
from core.maths.arrays import Array

_TURN = np.tile(np.radians([20.0, 0.0, 40.0, 60.0, -20.0, 80.0, 120.0, 150.0]), 6)
_OUT, _UP, _REACH = np.cos(_TURN), np.sin(_TURN), np.repeat([9.0, 15.0, 23.0, 33.0, 45.0, 60.0], 8)
"""Where its label may stand: the way from the corner, and how far, pixels."""


def paint_exit_corner(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout, cards: list[QRectF]
) -> QRectF | None:
    """The corner shaded, and a small label beside it where there is room; returns the label's place.

    cards : the callouts' places, whose leaders the label keeps off.
    """
    corner = scene.shapes.exit_corner
    layout.named["burr"] = QRectF()
    if corner is None:
        return None
    points = frame.points(corner)
    if frame.far is not None:
        # A mark and not a measure: no larger than in the whole plan.
        points = points[0] + (points - points[0]) / frame.scale
    shape = polygon(points)
    painter.setPen(look.pen("soft", "hair"))
    painter.setBrush(look.color("ink", 0.22))
    painter.drawPolygon(shape)
    at = QPointF(*points[0])
    layout = layout.copy()
    layout.take(shape.boundingRect())
    # The free face, and the leaders of the callouts.
    layout.take(QRectF(at.x() - 2.0, frame.inner.top(), 4.0, max(at.y() - frame.inner.top(), 0.0)))
    for card, (phi, _, _) in zip(cards, scene.ends(), strict=False):
        anchor = frame.point(scene.place(phi))
        end = leader_end(anchor, card)
        # Boxes so near one another that no label slips between them.
        x, y = anchor.x(), anchor.y()
        dx, dy = end.x() - x, end.y() - y
        pieces = max(1, math.ceil(math.hypot(dx, dy) / 14.0))
        for i in range(pieces + 1):
            layout.take(QRectF(x + dx * (i / pieces) - 3.0, y + dy * (i / pieces) - 3.0, 6.0, 6.0))
    font = look.font("small")
    word = say("plan", "burr")
    size = text_size(font, word)
    w, h = size.width(), size.height()
    rect = layout.place(size, _beside(scene, at, w, h), partial(_outside, frame, w, h))
    if rect is None:
        return None
    painter.setPen(look.pen("soft", "hair"))
    painter.drawLine(leader_end(at, rect.adjusted(-2.0, 1.0, 2.0, -1.0)), at)
    painter.setFont(font)
    painter.setPen(look.color("soft"))
    painter.drawText(rect, CENTRE, word)
    layout.named["burr"] = rect
    return rect


def _beside(scene: PlanScene, at: QPointF, width: float, height: float) -> Array:
    """Candidate centres (n, 2) near the exit, on the free side of the face first: the burr leans out of it."""
    return np.stack([at.x() + _OUT * scene.side * (_REACH + width / 2.0), at.y() - _UP * (_REACH + height / 2.0)], -1)


def _outside(frame: PlanFrame, width: float, height: float, left: Array, top: Array) -> Array:
    """Which labels (n,) by their left and top lie outside the tip circle and the strokes of the hours."""
    o = frame.centre
    dx = np.maximum(np.maximum(left - o.x(), o.x() - left - width), 0.0)
    dy = np.maximum(np.maximum(top - o.y(), o.y() - top - height), 0.0)
    return np.asarray(np.hypot(dx, dy) > frame.beside(HOUR_STROKES) * frame.radius + 1.0)
