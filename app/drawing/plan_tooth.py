"""What moves on the plan: cutter, chip, what is peeled of it, and the active tooth."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QConicalGradient, QPaintEngine, QPainter, QPainterPath, QPolygonF, QTransform

from app.drawing.hatch import paint_hatch
from app.drawing.label_layout import text_size
from app.drawing.plan_frame import PlanFrame
from app.drawing.shapes import clamped, polygon
from app.drawing.thickness_colours import colours, step_of
from app.look import Look
from app.views.plan_scene import PlanScene
from core.angles import Array
from core.quantities import figure


def paint_cutter(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The cutter, turned so that a tooth stands at the active angle; axis cross; its way of turning."""
    turn = math.radians(scene.angle_deg)
    outline = scene.shapes.outline
    # Turning by growing phi is clockwise on the picture: (x, y) -> rotation by -turn.
    c, s = math.cos(turn), math.sin(turn)
    turned = np.empty_like(outline)
    turned[:, 0] = (outline[:, 0] * c + outline[:, 1] * s) * scene.side
    turned[:, 1] = -outline[:, 0] * s + outline[:, 1] * c
    painter.setPen(look.pen("cutter_line", "line"))
    painter.setBrush(look.color("cutter"))
    painter.drawPolygon(polygon(frame.points(turned)))
    painter.setPen(look.pen("soft", "hair"))
    o = frame.centre
    painter.drawLine(QPointF(o.x() - 8.0, o.y()), QPointF(o.x() + 8.0, o.y()))
    painter.drawLine(QPointF(o.x(), o.y() - 8.0), QPointF(o.x(), o.y() + 8.0))
    _paint_turning(painter, scene, frame, look)


def turning_head(scene: PlanScene, frame: PlanFrame) -> tuple[QPointF, float]:
    """Where the head of the arrow of rotation is, and at which angle (rad) about the axis."""
    r, end = 0.30 * frame.radius, math.radians(-150.0 if scene.side > 0 else -30.0)
    return QPointF(frame.centre.x() + r * math.cos(end), frame.centre.y() - r * math.sin(end)), end


def _paint_turning(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The arrow of rotation: clockwise for a right-hand cutter."""
    r = 0.30 * frame.radius
    box = QRectF(frame.centre.x() - r, frame.centre.y() - r, 2 * r, 2 * r)
    painter.setPen(look.pen("ink", "line"))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    # Qt counts sixteenths of a degree, counter-clockwise from 3 o'clock.
    painter.drawArc(box, -150 * 16, 120 * 16)
    at, end = turning_head(scene, frame)
    along = end - scene.side * math.pi / 2
    head = QPolygonF([QPointF(9.0, 0.0), QPointF(-3.0, -4.5), QPointF(-3.0, 4.5)])
    turn = QTransform().translate(at.x(), at.y()).rotate(-math.degrees(along))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.color("ink"))
    painter.drawPolygon(turn.map(head))


def paint_chip(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The chip along the arc: what is still to be cut in the colours of its thickness, what is cut as an outline."""
    shapes, side = scene.shapes, scene.side
    phi, depth = shapes.band_phi, shapes.band_h * shapes.magnification
    c, s = -np.cos(phi) * side, np.sin(phi)
    outer = frame.points(np.stack([c, s], -1))
    inner = frame.points(np.stack([c * (1 - depth), s * (1 - depth)], -1))
    at = math.radians(scene.angle_deg)
    if at >= phi[-1] or at < phi[0] - math.pi / 2:
        at = phi[0] - 1.0 if at < phi[0] else phi[-1] + 1.0
    first = int(np.searchsorted(phi, at))
    painter.setPen(Qt.PenStyle.NoPen)
    if first < len(phi) - 1:
        rest = slice(min(first, len(phi) - 1), None)
        if painter.paintEngine().type() == QPaintEngine.Type.Raster:
            painter.setBrush(chip_brush(scene, frame.centre))
            painter.drawPolygon(polygon(np.concatenate([outer[rest], inner[rest][::-1]])))
        else:
            _paint_pieces(painter, scene, outer[rest], inner[rest], shapes.band_share[rest])
    _paint_peeled(painter, outer, inner, first, look)
    # The path that the tooth before left.
    painter.setPen(look.pen("ink", "hair", dashed=True))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(polygon(inner))
    _paint_rubbing(painter, scene, frame, look)


def chip_brush(scene: PlanScene, centre: QPointF) -> QBrush:
    """The colours of thickness round the axis: one brush for the whole chip, without seams."""
    phi, share = scene.shapes.band_phi[::3], scene.shapes.band_share[::3]
    # Qt counts from 3 o'clock, counter-clockwise, in whole turns.
    turn = clamped((np.pi - phi if scene.side > 0 else phi) / (2.0 * np.pi), 0.0, 1.0)
    palette = colours()
    brush = QConicalGradient(centre, 0.0)
    brush.setStops([(float(t), palette[k]) for t, k in zip(turn, step_of(share), strict=True)])
    return QBrush(brush)


def _paint_pieces(painter: QPainter, scene: PlanScene, outer: Array, inner: Array, share: Array) -> None:
    """The chip piece by piece, one for each step of colour: what painters of files can do."""
    steps = step_of(0.5 * (share[:-1] + share[1:]))
    i = 0
    while i < len(steps):
        j = i
        while j < len(steps) and steps[j] == steps[i]:
            j += 1
        painter.setBrush(colours()[steps[i]])
        painter.drawPolygon(polygon(np.concatenate([outer[i : j + 1], inner[i : j + 1][::-1]])))
        i = j


def _paint_peeled(painter: QPainter, outer: Array, inner: Array, first: int, look: Look) -> None:
    """The part of the chip that is already off: an empty outline."""
    if first < 1:
        return
    done = slice(0, min(first, len(outer) - 1) + 1)
    painter.setPen(look.pen("soft", "hair"))
    painter.setBrush(look.color("panel", 0.75))
    painter.drawPolygon(polygon(np.concatenate([outer[done], inner[done][::-1]])))


def paint_curl(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The chip peeled so far, curled in the gullet ahead of the tooth, as thick (magnified) as it was cut."""
    r, shapes = scene.results, scene.shapes
    at = math.radians(scene.angle_deg)
    if not r.true_entry < at <= r.true_exit:
        return
    phi = shapes.band_phi
    n = 40
    # Along the chip from the edge (just cut) to its free end (cut first); chips come out about 2.5 times shorter.
    cut_at = np.linspace(at, r.true_entry, n)
    thick = np.interp(cut_at, phi, shapes.band_h) * shapes.magnification
    teeth = r.setup.cutter.teeth
    room = min(0.17, 0.5 / teeth)
    length = (at - r.true_entry) / 2.5
    # Up the rake face first, then round ahead of it, at most a good half turn: it stays in the gullet.
    s = np.linspace(0.0, min(length, 4.7 * room), n)
    angle = np.maximum((s - 1.15 * room) / (0.75 * room), 0.0)
    along = np.stack([-np.cos(angle), np.sin(angle)], -1)
    middle = np.concatenate([[[0.0, 0.0]], np.cumsum(0.5 * (along[1:] + along[:-1]) * np.diff(s)[:, None], 0)])
    normal = np.stack([along[:, 1], -along[:, 0]], -1)
    half = np.minimum(thick, 0.6 * room)[:, None] / 2
    band = np.concatenate([middle + normal * half, (middle - normal * half)[::-1]])
    radial = np.array([-math.cos(at), math.sin(at)])
    ahead = np.array([math.sin(at), math.cos(at)])
    world = radial * (1.0 - 0.012 + band[:, :1]) + ahead * (0.012 + half[0] + band[:, 1:])
    world[:, 0] *= scene.side
    painter.setPen(look.pen("ink", 0.8))
    painter.setBrush(colours()[int(step_of(np.array([np.interp(at, phi, shapes.band_share)]))[0])])
    painter.drawPolygon(polygon(frame.points(world)))


def _paint_rubbing(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """Where the edge rubs: hatched just outside the arc, besides any colour."""
    r = scene.results
    e = r.engagement
    for start, end in ((e.entry, e.entry + r.rub_entry), (e.exit - r.rub_exit, e.exit)):
        if not end - start > 1e-4:
            continue
        phi = np.linspace(start, end, 12)
        rim = np.stack([-np.cos(phi) * scene.side, np.sin(phi)], -1)
        area = QPainterPath()
        area.addPolygon(polygon(frame.points(np.concatenate([rim * 1.045, rim[::-1] * 0.985]))))
        paint_hatch(painter, area, look.rub_hatch, 4, 1.1, steep=True)


def paint_tooth(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, taken: Sequence[QRectF] = ()
) -> QRectF:
    """The active tooth: radius, marker at its tip, and its angle beside the radius, off what is ``taken``.

    Returns the place of the angle.
    """
    phi = math.radians(scene.angle_deg)
    tip = frame.point(scene.place(phi))
    painter.setPen(look.pen("accent", "line"))
    painter.drawLine(frame.centre, tip)
    painter.setPen(look.pen("accent", "thick"))
    painter.setBrush(look.color("panel"))
    painter.drawEllipse(tip, 6.5, 6.5)
    font = look.font("small", bold=True)
    text = figure(scene.angle_deg % 360.0, "angle", scene.units)
    size = text_size(font, text)
    w, h, side = size.width() + 8.0, size.height(), 1 if math.cos(phi) < 0 else -1
    for turn, radius in ((0.30, 0.52), (-0.30, 0.52), (0.24, 0.74), (-0.24, 0.74), (0.30, 0.52)):
        at = frame.point(scene.place(phi + turn * side, radius))
        rect = QRectF(at.x() - w / 2.0, at.y() - h / 2.0, w, h)
        if not any(rect.intersects(box) for box in taken):
            break
    painter.fillRect(rect, look.color("panel", 0.85))
    painter.setPen(look.color("accent"))
    painter.setFont(font)
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)
    return rect
