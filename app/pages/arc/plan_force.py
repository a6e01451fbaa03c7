"""Forces on the plan: of the work on all teeth, from the axis, and on the active tooth, at its edge."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF

from app.kit.label_layout import text_size
from app.kit.look import NO_PEN, Look
from app.kit.one_line import paint_centred
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.base.quantities import figure
from core.base.words import say
from core.force.coefficient_spread import coefficients_are_rough

FULL = 0.72
"""Length of the arrow of the greatest force, in cutter radii."""

LEAST = 6.0
"""Pixels under which an arrow is not drawn: its head would hide it."""


def paint_forces(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, cards: Sequence[QRectF] = ()
) -> list[QRectF]:
    """Both arrows on one scale; nothing where the force is not known or the cutter is in the air.

    cards : what the size of the force keeps off.  Returns what a label should keep off: the head of the greater arrow
    and its size.
    """
    force = scene.force
    if force is None or not scene.force_top > 0.0:
        return []
    per_newton = FULL * (frame.far or frame).radius / scene.force_top
    tip = frame.point(scene.place(math.radians(scene.angle_deg)))
    if scene.ghost is not None:
        _paint_pinned(painter, scene, frame, look, tip, per_newton)
    if frame.far is not None and not frame.sees(frame.centre):
        return _paint_tooth_alone(painter, scene, frame, look, tip, per_newton, cards)
    one_tooth = math.hypot(force.tooth_x - force.x, force.tooth_y - force.y) < 1e-9 * force.size
    if not one_tooth:
        _arrow(painter, tip, force.tooth_x * scene.side, force.tooth_y, per_newton, look, "line")
    end = _arrow(painter, frame.centre, force.x * scene.side, force.y, per_newton, look, "thick")
    if end is None:
        return []
    head = QRectF(end.x() - 8.0, end.y() - 8.0, 16.0, 16.0)
    if not scene.shown.figures:
        return [head]
    size = figure(force.size, "force", scene.units, rough=coefficients_are_rough(scene.results.setup.work))
    told = _paint_size(painter, end, frame.centre, (say("force_now", "cutter", force=size), size), look, frame, cards)
    return [head] if told is None else [head, told]


def _paint_pinned(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, tip: QPointF, per_newton: float
) -> None:
    """The force of the pinned cut with its tooth at the same angle, thin and grey, on the same scale."""
    assert scene.ghost is not None
    force = scene.ghost.force(math.radians(scene.angle_deg))
    if force is None:
        return
    if frame.sees(frame.centre):
        _arrow(painter, frame.centre, force.x * scene.side, force.y, per_newton, look, "line", "soft")
    elif frame.sees(tip):
        _arrow(painter, tip, force.tooth_x * scene.side, force.tooth_y, per_newton, look, "line", "soft")


def _paint_tooth_alone(
    painter: QPainter,
    scene: PlanScene,
    frame: PlanFrame,
    look: Look,
    tip: QPointF,
    per_newton: float,
    cards: Sequence[QRectF],
) -> list[QRectF]:
    """In a close view that does not see the axis: the force on the active tooth alone, with its size."""
    force = scene.force
    assert force is not None
    size = math.hypot(force.tooth_x, force.tooth_y)
    if not frame.sees(tip) or not size > 0.0:
        return []
    end = _arrow(painter, tip, force.tooth_x * scene.side, force.tooth_y, per_newton, look, "thick")
    if end is None:
        return []
    head = QRectF(end.x() - 8.0, end.y() - 8.0, 16.0, 16.0)
    if not scene.shown.figures:
        return [head]
    told_size = figure(size, "force", scene.units, rough=coefficients_are_rough(scene.results.setup.work))
    words = say("force_now", "tooth", force=told_size), told_size
    told = _paint_size(painter, end, tip, words, look, frame, cards)
    return [head] if told is None else [head, told]


def force_end(scene: PlanScene, frame: PlanFrame) -> QPointF | None:
    """Where the arrow of the whole force ends; None where there is none."""
    force = scene.force
    if force is None or not scene.force_top > 0.0:
        return None
    per_newton = FULL * (frame.far or frame).radius / scene.force_top
    if not force.size * per_newton > LEAST or (frame.far is not None and not frame.sees(frame.centre)):
        return None
    return frame.centre + QPointF(force.x * scene.side, -force.y) * per_newton


def _arrow(
    painter: QPainter,
    start: QPointF,
    x: float,
    y: float,
    per_newton: float,
    look: Look,
    width: str,
    color: str = "third",
) -> QPointF | None:
    """An arrow of the force (N) from ``start``; its end, or None where it is too short to be seen."""
    length = math.hypot(x, y) * per_newton
    if not length > LEAST:
        return None
    share = per_newton / length
    along_x, along_y = x * share, -y * share
    end = QPointF(start.x() + along_x * length, start.y() + along_y * length)
    big = 1.0 if width == "line" else 1.3
    head, half = min(9.0 * big, length), 4.0 * big
    back_x, back_y = end.x() - along_x * head, end.y() - along_y * head
    painter.setPen(look.pen(color, width))
    painter.drawLine(start, QPointF(back_x, back_y))
    painter.setPen(NO_PEN)
    painter.setBrush(look.color(color))
    corners = [
        end,
        QPointF(back_x - along_y * half, back_y + along_x * half),
        QPointF(back_x + along_y * half, back_y - along_x * half),
    ]
    painter.drawPolygon(QPolygonF(corners))
    return end


BESIDE_ARROW = ((1.0, 0.0), (0.5, 1.0), (0.5, -1.0), (0.0, 1.0), (0.0, -1.0))
"""Where the size of a force may stand: beyond its end, else beside its middle or its start, on either side."""


def _paint_size(
    painter: QPainter,
    end: QPointF,
    start: QPointF,
    texts: tuple[str, str],
    look: Look,
    frame: PlanFrame,
    cards: Sequence[QRectF],
) -> QRectF | None:
    """The size of a force by its arrow, in full or in short, inside the picture and on no card.

    Returns its place; None where there is none: the strips tell it too.
    """
    font, inner = look.font("small", bold=True), frame.inner
    way_x, way_y = end.x() - start.x(), end.y() - start.y()
    length = max(math.hypot(way_x, way_y), 1e-9)
    for along, aside in BESIDE_ARROW:
        for text in texts if along == 1.0 else texts[1:]:
            size = text_size(font, text)
            w, h = size.width() + 6.0, size.height()
            off = 0.5 * size.width() + 8.0 if along == 1.0 else 0.0
            # Beside the arrow as far off as the box is deep in that direction.
            deep = aside * (0.5 * (w * abs(way_y) + h * abs(way_x)) / length + 6.0)
            x = start.x() + along * way_x + (off * way_x - deep * way_y) / length
            y = start.y() + along * way_y + (off * way_y + deep * way_x) / length
            rect = QRectF(x - 0.5 * w, y - 0.5 * h, w, h)
            if not inner.contains(rect):
                continue
            for card in cards:
                if rect.intersects(card):
                    break
            else:
                painter.fillRect(rect, look.color("panel", 0.85))
                painter.setPen(look.color("third"))
                paint_centred(painter, rect, font, text)
                return rect
    return None
