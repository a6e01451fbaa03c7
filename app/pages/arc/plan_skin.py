"""The skin on the plan: a stippled layer along the free faces of the work, and the arc of the tip inside it."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.kit.label_layout import LabelLayout
from app.kit.look import NO_PEN, Look
from app.kit.shapes import clipped, on_screen, polygon, sector
from app.kit.stipple import paint_stipple
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.maths.arrays import Array

ARC_RADII = (1.05, 1.085)
"""Radii between which the arc in the skin is marked: outside the rubbing, inside the numbers of the clock."""

KEPT = 0.35
"""How much of the layer above the arc labels leave to be seen, in cutter radii."""

ROOMY = 90.0
"""Radius of the cutter in pixels under which labels may cover the layer: they have little room."""


def paint_skin_layer(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, box: QRectF) -> None:
    """The layers at their true thickness, inside ``box``; a hair's width where they would be thinner."""
    skin = scene.shapes.skin
    if skin is None:
        return
    cut_here = not on_screen(painter)
    for layer, (face, inside) in zip(skin.layers, skin.faces, strict=True):
        points = frame.points(layer)
        if cut_here:
            points = clipped(points, box.left(), box.top(), box.right(), box.bottom())
        if len(points) < 3:
            continue
        painter.setPen(NO_PEN)
        painter.setBrush(look.color("work"))
        painter.drawPolygon(polygon(points))
        painter.setBrush(look.color("skin", 0.16))
        painter.drawPolygon(polygon(points))
        paint_stipple(painter, points, look.skin)
        # Its inner side, down to where the cutter or the picture ends.
        x = frame.point((inside, 0.0)).x()
        if abs(x - frame.point((face, 0.0)).x()) < 2.0 * look.thick:
            x = frame.point((face, 0.0)).x() + np.sign(inside - face) * look.thick
        if box.left() <= x <= box.right():
            y = min(float(points[:, 1].max()), box.bottom()) if abs(inside) >= 1.0 else _rim(inside, frame)
            painter.setPen(look.pen("skin", "hair"))
            painter.drawLine(QPointF(x, max(box.top(), float(points[:, 1].min()))), QPointF(x, y))


def _rim(x: float, frame: PlanFrame) -> float:
    """Height in pixels at which the tip circle passes ``x`` radii from the axis."""
    return frame.point((x, float(np.sqrt(max(1.0 - x * x, 0.0))))).y()


def paint_skin_arcs(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout) -> None:
    """The arcs of the tip inside the skin, marked on the clock ring; labels keep off them and the layer above."""
    skin = scene.shapes.skin
    if skin is None:
        return
    painter.setPen(NO_PEN)
    painter.setBrush(look.color("skin"))
    for (start, end), (face, inside) in zip(skin.arcs, skin.faces, strict=True):
        if not end > start:
            continue
        mark = polygon(frame.points(_sector(start, end, scene, frame)))
        painter.drawPolygon(mark)
        box = layout.take(mark.boundingRect())
        if frame.radius < ROOMY:
            continue
        a, b = frame.point((face, 0.0)).x(), frame.point((inside, 0.0)).x()
        kept = KEPT * frame.radius / frame.scale
        layout.take(QRectF(min(a, b), box.bottom() - kept, abs(b - a), kept))


def _sector(start: float, end: float, scene: PlanScene, frame: PlanFrame) -> Array:
    """The mark of an arc as a polygon (n, 2) in radii; a very short one is as wide as an eye needs."""
    inner, outer = (frame.beside(radius) for radius in ARC_RADII)
    middle, half = (start + end) / 2.0, max((end - start) / 2.0, 0.006 / frame.scale)
    return sector(np.linspace(middle - half, middle + half, 24), scene.side, outer, inner)
