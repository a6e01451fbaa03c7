"""The layers of the plan that stand still: work, clock ring, words; the tooth moves over them."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.kit.hatch import paint_hatch
from app.kit.label_layout import LabelLayout, fitting, text_size
from app.kit.look import CENTRE, NO_BRUSH, Look, two_dashes
from app.kit.shapes import arc_points, clipped, line_inside, on_screen, pieces_inside, polygon
from app.kit.thickness_colours import paint_scale
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_skin import paint_skin_layer
from core.base.words import say

_CIRCLE = arc_points(np.linspace(0.0, 2.0 * np.pi, 1441), 1.0)
RING = 1.15
"""Radius of the clock numbers, in cutter radii."""
HOUR_STROKES = 1.065
"""Radius to which the strokes of the hours reach."""


def paint_work(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The work in section with its skin, its uncut edge and its finished wall."""
    box = frame.inner
    # A finished wall is shown for a good part of a radius; below it the picture is free for the loupe.
    floor = min(box.bottom(), frame.centre.y() + 1.02 * frame.radius)
    shown = QRectF(box.topLeft(), QPointF(box.right(), floor))
    rim = frame.points(scene.shapes.rim)
    near = frame.far is not None
    painter.save()
    here = on_screen(painter)
    if here:
        painter.setClipRect(shown, Qt.ClipOperation.IntersectClip)
    for shape in scene.shapes.work:
        points = frame.points(shape)
        if not here:
            # Painters of files do not clip.
            points = clipped(points, box.left(), box.top(), box.right(), floor)
        if len(points) < 3:
            continue
        area = QPainterPath()
        area.addPolygon(polygon(points))
        area.closeSubpath()
        paint_hatch(painter, area, look.work_hatch, ground=look.work)
    paint_skin_layer(painter, scene, frame, look, shown)
    painter.restore()
    painter.setPen(look.pen("ink", "thick"))
    for start, end in upright_lines(scene, frame, floor):
        painter.drawLine(start, end)
    painter.setPen(look.pen("ink", "line"))
    for piece in pieces_inside(rim, box) if near else (rim,):
        painter.drawPolyline(polygon(piece))


def upright_lines(scene: PlanScene, frame: PlanFrame, floor: float) -> list[tuple[QPointF, QPointF]]:
    """The finished walls down to ``floor`` and the uncut edges, as much of them as is in the picture, pixels."""
    box, found = frame.inner, []
    for wall in scene.shapes.walls:
        ends = frame.points(wall)
        found.append((QPointF(*ends[0]), QPointF(ends[1][0], floor)))
    for x in scene.shapes.edges:
        rim = frame.point((x, math.sqrt(max(1.0 - x * x, 0.0))))
        found.append((QPointF(rim.x(), box.top()), rim))
    if frame.far is None:
        return found
    # In a close view a wall may begin below the picture, or an edge end there.
    inside = [line_inside(start, end, box) for start, end in found if end.y() > start.y()]
    return [line for line in inside if line is not None]


def paint_grips(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """Three strokes on each uncut edge: it can be taken hold of."""
    painter.setPen(look.pen("accent", "thick"))
    for x in () if scene.compared else scene.shapes.edges:
        at = edge_grip(x, frame)
        if not frame.inner.contains(at):
            continue
        for dx in (-5.0, 0.0, 5.0):
            painter.drawLine(QPointF(at.x() + dx, at.y() - 9.0), QPointF(at.x() + dx, at.y() + 9.0))


GRIP = (8.0, 11.0)
"""Half the width and half the height of a grip, pixels, with a little room."""


def edge_grip(x: float, frame: PlanFrame) -> QPointF:
    """Where the grip of the uncut edge at ``x`` radii is drawn: half way up, or over an hour that stands there."""
    top = frame.centre.y() - frame.radius * math.sqrt(max(1.0 - x * x, 0.0))
    at = QPointF(frame.centre.x() + x * frame.radius, max(frame.inner.top() + 26.0, (frame.inner.top() + top) / 2.0))
    ring = 1.0 + (RING - 1.0) / frame.scale
    for _, cosine, sine in frame.hours():
        if abs(x + ring * cosine) * frame.radius < GRIP[0] + 9.0:
            y = frame.centre.y() - frame.radius * ring * sine
            if abs(at.y() - y) < GRIP[1] + 8.0:
                at.setY(max(y - GRIP[1] - 8.0, frame.inner.top() + GRIP[1]))
    return at


def paint_ring(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout) -> None:
    """The clock ring: the tip circle, and the hours from 9 to 3; in a close view the minutes that are in sight."""
    painter.setBrush(NO_BRUSH)
    pen = QPen(look.pen("soft", "hair"))
    pen.setDashPattern([1.5, 4.0])
    painter.setPen(pen)
    near = frame.far is not None
    if near:
        for piece in pieces_inside(frame.points(_CIRCLE), frame.inner):
            painter.drawPolyline(polygon(piece))
    else:
        painter.drawEllipse(frame.centre, frame.radius, frame.radius)
    font = look.font("small")
    painter.setFont(font)
    for phi, _, _ in frame.hours():
        at = frame.point(scene.place(phi, frame.beside(RING)))
        inner = frame.point(scene.place(phi, frame.beside(1.025)))
        outer = frame.point(scene.place(phi, frame.beside(HOUR_STROKES)))
        if near and not (frame.sees(at) and frame.sees(inner)):
            continue
        painter.setPen(look.pen("soft", "hair"))
        painter.drawLine(inner, outer)
        hour, _, minute = scene.clock_of(phi).partition(":")
        text = hour if minute == "00" else f"{hour}:{minute}"
        size = text_size(font, text)
        rect = QRectF(at.x() - size.width() / 2, at.y() - size.height() / 2, size.width(), size.height())
        if layout.free(rect):
            layout.take(rect)
            # The uncut edge may run through it, and the hatching: neither strikes it out.
            painter.fillRect(rect, look.color("panel", 0.8))
            painter.setPen(look.color("soft"))
            painter.drawText(rect, CENTRE, text)
            if phi == 0.0:
                _paint_origin(painter, rect, look, layout)


ORIGIN = "0°"


def _paint_origin(painter: QPainter, hour: QRectF, look: Look, layout: LabelLayout) -> None:
    """Where the tooth angle counts from: under the hour, in the colour of the tooth's angle."""
    size = text_size(look.font("small"), ORIGIN)
    # The size of a force that points this way keeps off it.
    layout.named["origin"] = hour
    box = QRectF(hour.center().x() - size.width() / 2.0, hour.bottom() + 1.0, size.width(), size.height())
    if layout.free(box, 0.0):
        layout.take(box)
        layout.named["origin"] = hour.united(box)
        painter.fillRect(box, look.color("panel", 0.8))
        painter.setPen(look.color("accent"))
        painter.drawText(box, CENTRE, ORIGIN)


SCALE = 130.0
"""Greatest length of the scale of colours, pixels."""


def legend_places(scene: PlanScene, frame: PlanFrame, look: Look) -> list[tuple[str, QRectF]]:
    """Where the legend's words and its scale stand, each with the term that explains it."""
    box, small, line = frame.legend, look.font("small"), look.small + 5.0
    seen, how = legend_words(scene, frame, look)
    width = max(text_size(small, seen).width(), text_size(small, how).width())
    places = [
        ("plan_view", QRectF(box.left(), box.top() + 8.0, width + 4.0, line)),
        ("chip_drawn", QRectF(box.left(), box.top() + 8.0 + line, width + 4.0, line)),
    ]
    bar = min(SCALE, box.width() - width - 30.0)
    if bar >= _least_scale(scene, look):
        places.append(("chip_scale", QRectF(box.left() + width + 22.0, box.top() + 12.0, bar, 9.0)))
    return places


def _least_scale(scene: PlanScene, look: Look) -> float:
    """Length of the scale of colours, pixels, at which the figures at its ends keep apart."""
    return max(40.0, sum(text_size(look.font("small"), text).width() for text in scene.scale_ends()) + 8.0)


def legend_words(scene: PlanScene, frame: PlanFrame, look: Look) -> tuple[str, str]:
    """The legend's two lines, in words that leave room for the scale, if there are such."""
    small, room = look.font("small"), frame.legend.width() - 30.0 - _least_scale(scene, look)
    return fitting(small, room, say("plan", "seen"), say("plan", "seen_short")), fitting(
        small, room, *scene.scale_texts()
    )


def paint_legend(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """What the picture is, how the chip is magnified, and the scale of its colours."""
    box, small, line = frame.legend, look.font("small"), look.small + 5.0
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    places = dict(legend_places(scene, frame, look))
    seen, how = legend_words(scene, frame, look)
    painter.drawText(places["plan_view"], Qt.AlignmentFlag.AlignVCenter, seen)
    painter.drawText(places["chip_drawn"], Qt.AlignmentFlag.AlignVCenter, how)
    left = places["plan_view"].right() + 42.0
    if "chip_scale" in places:
        paint_scale(painter, places["chip_scale"], look, *scene.scale_ends())
        left = places["chip_scale"].right() + 24.0
    if scene.hint and box.right() - left >= text_size(small, scene.hint).width():
        painter.setFont(small)
        painter.setPen(look.color("accent"))
        area = QRectF(left, box.top() + 8.0, box.right() - left, line)
        painter.drawText(area, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, scene.hint)
    if scene.note and scene.shown.figures:
        # Under one another the figures have twice the room.
        rows = [text.partition("; ") for text in scene.note]
        for first, _, second in rows:
            if box.right() - left >= max(text_size(small, text).width() for text in (first, second)):
                painter.setPen(look.color("soft"))
                right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                for i, text in enumerate((first, second)):
                    painter.drawText(QRectF(left, box.top() + 8.0 + i * line, box.right() - left, line), right, text)
                break


def paint_wall_name(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout) -> None:
    """The finished wall is named where there is room for it beside its line, by one word where there is little."""
    font, box = look.font("small"), frame.inner
    layout.named["wall"] = QRectF()
    for wall in scene.shapes.walls:
        out = 1.0 if wall[0, 0] > 0 else -1.0
        at = frame.centre.x() + wall[0, 0] * frame.radius
        room = (box.right() - at if out > 0 else at - box.left()) - 12.0
        whole = text_size(font, say("plan", "wall"))
        x = at + out * (9.0 + whole.width() / 2)
        spots = np.array([(x, frame.centre.y() + share * frame.radius) for share in (0.88, 0.70, 0.55)])
        if frame.far is not None:
            spots = np.array([(x, box.bottom() - off) for off in (16.0, 48.0, 80.0)])
            if not box.left() <= at <= box.right() or frame.centre.y() > box.bottom() - 30.0:
                continue
        rect = layout.place(whole, spots)
        text = fitting(font, room, say("plan", "wall"), say("plan", "wall_short"))
        size = text_size(font, text)
        if rect is not None and size.width() <= room:
            # Moved in from the picture's edge the place reaches over the line; the words keep to the work.
            left = max(rect.left(), at + 9.0) if out > 0 else min(rect.right(), at - 9.0) - size.width()
            rect = QRectF(left, rect.top(), size.width(), rect.height())
            layout.named["wall"] = rect
            painter.fillRect(rect.adjusted(-3.0, 0.0, 3.0, 0.0), look.color("work"))
            painter.setFont(font)
            painter.setPen(look.color("soft"))
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
    painter.setPen(look.pen("ink", "thick", dashed=scene.conventional, dotted=scene.mirrored or scene.compared))
    painter.drawLine(
        QPointF(left + size.width() + 12.0, y),
        QPointF(left + size.width() + 12.0 + max(34.0, two_dashes(look.thick)), y),
    )
