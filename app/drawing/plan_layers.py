"""The layers of the plan: what stands still (work, ring, callouts, feed), and what moves (cutter, chip, tooth)."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QConicalGradient, QPaintEngine, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from app.drawing.hatch import paint_hatch
from app.drawing.label_layout import LabelLayout, text_size
from app.drawing.plan_frame import PlanFrame
from app.drawing.shapes import clipped, polygon
from app.drawing.thickness_colours import colours, paint_scale, step_of
from app.look import Look
from app.views.plan_scene import PlanScene
from core.angles import Array
from core.quantities import figure

CENTRE = Qt.AlignmentFlag.AlignCenter
RING = 1.15
"""Radius of the clock numbers, in cutter radii."""


def feed_arrow(scene: PlanScene, frame: PlanFrame) -> tuple[QPointF, QPointF]:
    """Tail and tip of the feed arrow in pixels: beside the cutter on the side away from the wall."""
    cut, cutter = scene.results.setup.cut, scene.results.setup.cutter
    length = feed_length(cut.feed_per_tooth_mm, cutter.diameter_mm, frame)
    side = -scene.side if scene.results.setup.cut.direction != "conventional" else scene.side
    x = frame.centre.x() + side * 1.50 * frame.radius
    tail = frame.centre.y() + 0.26 * frame.radius
    return QPointF(x, tail), QPointF(x, tail - length)


def feed_length(feed: float, diameter: float, frame: PlanFrame) -> float:
    """Length of the arrow in pixels: logarithmic from a feed of D/20000 to D/2."""
    share = math.log(feed / diameter * 20000.0) / math.log(10000.0)
    return frame.radius * (0.22 + 0.78 * min(max(share, 0.0), 1.0))


def feed_of_length(length: float, diameter: float, frame: PlanFrame) -> float:
    """Feed per tooth (mm) of an arrow of that length: the inverse of :func:`feed_length`."""
    share = (length / frame.radius - 0.22) / 0.78
    return diameter / 20000.0 * math.exp(min(max(share, 0.0), 1.0) * math.log(10000.0))


def paint_work(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The work in section, its uncut edge and its finished wall."""
    box = frame.inner
    # A finished wall is shown for a good part of a radius; below it the picture is free for the loupe.
    floor = min(box.bottom(), frame.centre.y() + 1.02 * frame.radius)
    on_screen = painter.paintEngine().type() == QPaintEngine.Type.Raster
    painter.save()
    if on_screen:
        painter.setClipRect(
            QRectF(box.left(), box.top(), box.width(), floor - box.top()), Qt.ClipOperation.IntersectClip
        )
    for shape in scene.shapes.work:
        points = frame.points(shape)
        if not on_screen:
            # Painters of files do not clip.
            points = clipped(points, box.left(), box.top(), box.right(), floor)
        if len(points) < 3:
            continue
        area = QPainterPath()
        area.addPolygon(polygon(points))
        area.closeSubpath()
        paint_hatch(painter, area, look.work_hatch, ground=look.work)
    painter.restore()
    painter.setPen(look.pen("ink", "thick"))
    for wall in scene.shapes.walls:
        ends = frame.points(wall)
        painter.drawLine(QPointF(*ends[0]), QPointF(ends[1][0], floor))
    r = scene.results.engagement
    for x in scene.shapes.edges:
        top = frame.point((x, 0.0))
        y = math.sqrt(max(1.0 - x * x, 0.0))
        painter.drawLine(QPointF(top.x(), box.top()), frame.point((x, y)))
    arc = np.linspace(r.entry, r.exit, 64)
    rim = np.stack([-np.cos(arc) * scene.side, np.sin(arc)], -1)
    painter.setPen(look.pen("ink", "line"))
    painter.drawPolyline(polygon(frame.points(rim)))


def paint_grips(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """Three strokes on each uncut edge: it can be taken hold of."""
    painter.setPen(look.pen("accent", "thick"))
    for x in scene.shapes.edges:
        at = edge_grip(x, frame)
        for dx in (-5.0, 0.0, 5.0):
            painter.drawLine(QPointF(at.x() + dx, at.y() - 9.0), QPointF(at.x() + dx, at.y() + 9.0))


def edge_grip(x: float, frame: PlanFrame) -> QPointF:
    """Where the grip of the uncut edge at ``x`` radii is drawn."""
    top = frame.centre.y() - frame.radius * math.sqrt(max(1.0 - x * x, 0.0))
    return QPointF(
        frame.centre.x() + x * frame.radius, max(frame.inner.top() + 26.0, (frame.inner.top() + top) / 2.0)
    )


def paint_ring(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout) -> None:
    """The clock ring: the tip circle, and the hours from 9 to 3."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    pen = QPen(look.pen("soft", "hair"))
    pen.setDashPattern([1.5, 4.0])
    painter.setPen(pen)
    painter.drawEllipse(frame.centre, frame.radius, frame.radius)
    font = look.font("small")
    painter.setFont(font)
    for i in range(7):
        phi = math.radians(30.0 * i)
        inner, outer = frame.point(scene.place(phi, 1.025)), frame.point(scene.place(phi, 1.065))
        painter.setPen(look.pen("soft", "hair"))
        painter.drawLine(inner, outer)
        text = scene.clock_of(phi).split(":")[0]
        size = text_size(font, text)
        at = frame.point(scene.place(phi, RING))
        rect = QRectF(at.x() - size.width() / 2, at.y() - size.height() / 2, size.width(), size.height())
        if layout.free(rect):
            layout.take(rect)
            painter.setPen(look.color("soft"))
            painter.drawText(rect, CENTRE, text)


def paint_callouts(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout
) -> list[QRectF]:
    """Where the tooth enters and leaves: a dot on the arc, a leader, a small card; returns the cards' places."""
    placed: list[QRectF] = []
    bold, small = look.font("text", bold=True), look.font("small")
    for phi, first, second in scene.ends():
        anchor = frame.point(scene.place(phi))
        a = text_size(bold, first)
        rect = None
        # Where there is no room for the thickness, the sentence still tells it.
        for line in (second, ""):
            b = text_size(small, line) if line else QSizeF(0.0, -4.0)
            size = QSizeF(max(a.width(), b.width()) + 16.0, a.height() + b.height() + 8.0)
            rect = layout.place(size, _around(scene, frame, phi, size)) or layout.place(
                size, _anywhere(frame, anchor)
            )
            if rect is not None:
                break
        painter.setPen(look.pen("ink", "hair"))
        if rect is not None:
            placed.append(rect)
            inner = QPointF(
                min(max(anchor.x(), rect.left()), rect.right()), min(max(anchor.y(), rect.top()), rect.bottom())
            )
            painter.drawLine(anchor, inner)
            paint_card(painter, rect, look)
            painter.setPen(look.color("ink"))
            painter.setFont(bold)
            painter.drawText(QPointF(rect.left() + 8.0, rect.top() + 3.0 + a.height() * 0.8), first)
            painter.setPen(look.color("soft"))
            painter.setFont(small)
            if line:
                painter.drawText(QPointF(rect.left() + 8.0, rect.top() + 4.0 + a.height() + b.height() * 0.76), line)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.color("ink"))
        painter.drawEllipse(anchor, 3.5, 3.5)
    return placed


_RADII = np.repeat([1.30, 1.42, 1.56, 1.72], 11)
_TURNS = np.tile([0.0, 0.10, -0.10, 0.2, -0.2, 0.32, -0.32, 0.46, -0.46, 0.62, -0.62], 4)


def _anywhere(frame: PlanFrame, anchor: QPointF) -> Array:
    """Candidate centres (n, 2) all over the picture, those near the anchor first: for a small picture."""
    box = frame.inner
    x, y = np.meshgrid(np.linspace(box.left(), box.right(), 25), np.linspace(box.top(), box.bottom(), 25))
    spots = np.stack([x.reshape(-1), y.reshape(-1)], -1)
    return spots[np.argsort(np.hypot(spots[:, 0] - anchor.x(), spots[:, 1] - anchor.y()), kind="stable")]


def paint_card(painter: QPainter, rect: QRectF, look: Look) -> None:
    """A small card on whole pixels: crisp, and cheap because nothing of it is smoothed."""
    box = QRectF(rect.toAlignedRect())
    painter.fillRect(box, look.color("panel"))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(look.pen("rule", "hair"))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box.adjusted(0.0, 0.0, -1.0, -1.0))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _around(scene: PlanScene, frame: PlanFrame, phi: float, size: QSizeF) -> Array:
    """Candidate centres (n, 2) of a card about the end of the arc at ``phi``, near the ring first.

    A card is pushed out by its own half size, so that its near corner is at the spot.
    """
    x, y = -np.cos(phi + _TURNS) * scene.side, np.sin(phi + _TURNS)
    return np.stack(
        [
            frame.centre.x() + frame.radius * _RADII * x + x * size.width() / 2,
            frame.centre.y() - frame.radius * _RADII * y - y * size.height() / 2,
        ],
        -1,
    )


def paint_feed(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout
) -> QRectF | None:
    """The feed arrow with its value, whose place is returned; its tip sets the feed, its tail flips the direction."""
    tail, tip = feed_arrow(scene, frame)
    painter.setPen(look.pen("ink", "thick"))
    painter.drawLine(tail, QPointF(tip.x(), tip.y() + 8.0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.color("accent"))
    head = [
        QPointF(tip.x(), tip.y() - 3.0),
        QPointF(tip.x() - 7.0, tip.y() + 12.0),
        QPointF(tip.x() + 7.0, tip.y() + 12.0),
    ]
    painter.drawPolygon(QPolygonF(head))
    painter.setBrush(look.color("panel"))
    painter.setPen(look.pen("accent", "thick"))
    painter.drawEllipse(tail, 6.0, 6.0)
    layout.take(QRectF(tip.x() - 12.0, tip.y() - 6.0, 24.0, tail.y() - tip.y() + 14.0))
    bold, small = look.font("small", bold=True), look.font("small")
    value = scene.feed_text()
    a, b = text_size(bold, "feed"), text_size(small, value)
    size = QSizeF(max(a.width(), b.width()) + 2.0, a.height() + b.height())
    outward = -1.0 if tip.x() < frame.centre.x() else 1.0
    w, h, x = size.width(), size.height(), tip.x()
    spots = np.array(
        [
            (x, tail.y() + 12.0 + h / 2),
            (x + outward * w * 0.3, tail.y() + 14.0 + h / 2),
            (x, tip.y() - 12.0 - h / 2),
            *((x + outward * (16.0 + w / 2), tail.y() - dy) for dy in (0.0, 20.0, 40.0, 60.0)),
            *((x - outward * (16.0 + w / 2), tail.y() - dy) for dy in (0.0, -20.0, 20.0)),
        ]
    )
    rect = layout.place(size, spots) or layout.place(size, _anywhere(frame, tip))
    if rect is None:
        return None
    painter.setPen(look.color("ink"))
    painter.setFont(bold)
    painter.drawText(QRectF(rect.left(), rect.top(), rect.width(), a.height()), CENTRE, "feed")
    painter.setPen(look.color("soft"))
    painter.setFont(small)
    painter.drawText(QRectF(rect.left(), rect.top() + a.height(), rect.width(), b.height()), CENTRE, value)
    return rect


def paint_legend(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """What the picture is, how the chip is magnified, and the scale of its colours."""
    box = frame.legend
    small = look.font("small")
    line = look.small + 5.0
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    seen, how = "seen along the spindle", scene.scale_text()
    width = max(text_size(small, seen).width(), text_size(small, how).width())
    painter.drawText(QRectF(box.left(), box.top() + 8.0, width + 4.0, line), Qt.AlignmentFlag.AlignVCenter, seen)
    painter.drawText(
        QRectF(box.left(), box.top() + 8.0 + line, width + 4.0, line), Qt.AlignmentFlag.AlignVCenter, how
    )
    low, high = scene.scale_ends()
    bar = min(130.0, box.width() - width - 30.0)
    if bar > 40.0:
        paint_scale(painter, QRectF(box.left() + width + 22.0, box.top() + 12.0, bar, 9.0), look, low, high)
    left = box.left() + width + bar + 46.0
    if scene.hint and box.right() - left >= text_size(small, scene.hint).width():
        painter.setFont(small)
        painter.setPen(look.color("accent"))
        area = QRectF(left, box.top() + 8.0, box.right() - left, line)
        painter.drawText(area, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, scene.hint)


def paint_wall_name(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout) -> None:
    """The finished wall is named where there is room for it."""
    font = look.font("small")
    size = text_size(font, "finished wall")
    for wall in scene.shapes.walls:
        out = 1.0 if wall[0, 0] > 0 else -1.0
        x = frame.centre.x() + wall[0, 0] * frame.radius + out * (10.0 + size.width() / 2)
        spots = np.array([(x, frame.centre.y() + share * frame.radius) for share in (0.88, 0.70, 0.55)])
        rect = layout.place(size, spots)
        if rect is not None:
            painter.fillRect(rect.adjusted(-3.0, 0.0, 3.0, 0.0), look.color("work"))
            painter.setFont(font)
            painter.setPen(look.color("soft"))
            painter.drawText(rect, CENTRE, "finished wall")


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


def _paint_turning(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The arrow of rotation: clockwise for a right-hand cutter."""
    r = 0.30 * frame.radius
    box = QRectF(frame.centre.x() - r, frame.centre.y() - r, 2 * r, 2 * r)
    painter.setPen(look.pen("ink", "line"))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    # Qt counts sixteenths of a degree, counter-clockwise from 3 o'clock.
    painter.drawArc(box, -150 * 16, 120 * 16)
    end = math.radians(-150.0 if scene.side > 0 else -30.0)
    at = QPointF(frame.centre.x() + r * math.cos(end), frame.centre.y() - r * math.sin(end))
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
    turn = np.minimum(np.maximum((np.pi - phi if scene.side > 0 else phi) / (2.0 * np.pi), 0.0), 1.0)
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


def paint_tooth(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The active tooth: radius, marker at its tip, and its angle."""
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
    at = frame.point(scene.place(phi + 0.30 * (1 if math.cos(phi) < 0 else -1), 0.52))
    rect = QRectF(at.x() - size.width() / 2 - 4.0, at.y() - size.height() / 2, size.width() + 8.0, size.height())
    painter.fillRect(rect, look.color("panel", 0.85))
    painter.setPen(look.color("accent"))
    painter.setFont(font)
    painter.drawText(rect, CENTRE, text)


def paint_title(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The name of the direction, with a sample of its line: solid climbs, dashed is conventional."""
    if not scene.title:
        return
    font = look.font("text", bold=True)
    size = text_size(font, scene.title)
    left, top = frame.rect.left() + 16.0, frame.rect.top() + 9.0
    painter.setFont(font)
    painter.setPen(look.color("ink"))
    painter.drawText(QRectF(left, top, size.width() + 4.0, size.height()), Qt.AlignmentFlag.AlignVCenter, scene.title)
    y = top + size.height() / 2
    painter.setPen(look.pen("ink", "thick", dashed=scene.conventional))
    painter.drawLine(QPointF(left + size.width() + 12.0, y), QPointF(left + size.width() + 46.0, y))
