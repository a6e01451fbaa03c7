"""Paints the clock ring of a lesson on any painter: screen, picture, worksheet."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from app.kit.hatch import paint_hatch
from app.kit.label_layout import LabelLayout, text_size
from app.kit.look import CENTRE, NO_BRUSH, NO_PEN, SMOOTH, Look
from app.kit.shapes import clipped, on_screen, polygon
from app.pages.lesson.ring_scene import HEAD_RADIUS, REACH, RingScene, mark_places
from core.base.visible import visible
from core.base.words import say
from core.maths.arrays import Array

HOURS_DEG = tuple(30.0 * i for i in range(12))
FEED_TIP, FEED_WORD = 0.34, 0.5
"""How far the feed's arrow reaches and where its word stands, cutter radii: below the chip, at any length of word."""

NAMES_FROM = 8
"""Marks from which on names are left out: there is no room for them."""


class RingFrame:
    """Where the ring stands in a rectangle: centre and radius of the cutter, pixels."""

    def __init__(self, rect: QRectF) -> None:
        self.rect = rect
        self.radius = min(rect.width(), rect.height()) / (2.0 * REACH)
        self.centre = rect.center()

    def point(self, place: tuple[float, float]) -> QPointF:
        """A place in cutter radii as a pixel."""
        return QPointF(self.centre.x() + place[0] * self.radius, self.centre.y() - place[1] * self.radius)

    def points(self, places: Array) -> Array:
        """Places (n, 2) as pixels."""
        return np.array([self.centre.x(), self.centre.y()]) + places * np.array([self.radius, -self.radius])

    def place(self, point: QPointF) -> tuple[float, float]:
        """A pixel as a place in cutter radii."""
        return (point.x() - self.centre.x()) / self.radius, (self.centre.y() - point.y()) / self.radius


def paint_ring_scene(painter: QPainter, rect: QRectF, scene: RingScene, look: Look) -> RingFrame:
    """The ring with its work, arrows, marks and, where it is told, the answer; returns where it stands."""
    frame = RingFrame(rect)
    painter.save()
    painter.setRenderHint(SMOOTH)
    _paint_work(painter, scene, frame, look)
    if scene.chip is not None:
        painter.setPen(look.pen("accent", "hair"))
        painter.setBrush(look.brush("accent", 0.35))
        painter.drawPolygon(polygon(frame.points(scene.chip)))
    painter.setPen(look.pen("ink", "line"))
    painter.setBrush(NO_BRUSH)
    painter.drawEllipse(frame.centre, frame.radius, frame.radius)
    layout = LabelLayout(rect)
    _paint_hours(painter, scene, frame, look, layout)
    _paint_arrows(painter, scene, frame, look)
    _paint_marks(painter, scene, frame, look, layout)
    if scene.answer_deg is not None:
        _paint_answer(painter, scene, frame, look, layout)
    painter.restore()
    return frame


def _paint_work(painter: QPainter, scene: RingScene, frame: RingFrame, look: Look) -> None:
    side = min(frame.rect.width(), frame.rect.height()) / 2.0
    box = QRectF(frame.centre.x() - side, frame.centre.y() - side, 2.0 * side, 2.0 * side)
    for shape in scene.work:
        points = clipped(frame.points(shape), box.left(), box.top(), box.right(), box.bottom())
        if len(points) < 3:
            continue
        area = QPainterPath()
        area.addPolygon(polygon(points))
        area.closeSubpath()
        spacing = 9 if on_screen(painter) else max(round(frame.radius / 9.0), 4)
        paint_hatch(painter, area, look.work_hatch, spacing, ground=look.work)
    painter.setPen(look.pen("ink", "line"))
    for edge in scene.edges:
        ends = frame.points(edge)
        painter.drawLine(QPointF(ends[0][0], box.top()), QPointF(*ends[1]))
    painter.setPen(look.pen("ink", "thick"))
    for wall in scene.walls:
        ends = frame.points(wall)
        painter.drawLine(QPointF(*ends[0]), QPointF(*ends[1]))


def _paint_hours(painter: QPainter, scene: RingScene, frame: RingFrame, look: Look, layout: LabelLayout) -> None:
    font = look.font("small" if frame.radius < 120.0 else "text")
    painter.setFont(font)
    for angle in HOURS_DEG:
        painter.setPen(look.pen("ink", "hair"))
        painter.drawLine(frame.point(scene.place(angle, 0.97)), frame.point(scene.place(angle, 1.04)))
        text = scene.hour(angle)
        size = text_size(font, text)
        at = frame.point(scene.place(angle, 1.04 + max(0.11, 0.75 * size.height() / frame.radius)))
        box = layout.take(QRectF(at.x() - size.width() / 2, at.y() - size.height() / 2, size.width(), size.height()))
        painter.fillRect(box, look.color("panel", 0.85))
        painter.setPen(look.color("ink"))
        painter.drawText(box, CENTRE, text)


def _arrow(painter: QPainter, end: QPointF, way: tuple[float, float], size: float, look: Look, color: str) -> None:
    """The head of an arrow that ends there; way : unit vector on the screen."""
    x, y = way
    base = QPointF(end.x() - size * x, end.y() - size * y)
    across = QPointF(-0.45 * size * y, 0.45 * size * x)
    painter.setPen(NO_PEN)
    painter.setBrush(look.brush(color))
    painter.drawPolygon(QPolygonF([end, base + across, base - across]))
    painter.setBrush(NO_BRUSH)


def _paint_arrows(painter: QPainter, scene: RingScene, frame: RingFrame, look: Look) -> None:
    """How the cutter turns, about its axis, and which way it goes through the work."""
    size = max(0.09 * frame.radius, 6.0)
    turn = 0.42
    phi = np.radians(np.linspace(200.0, 340.0, 40))
    arc = np.stack([-scene.side * turn * np.cos(phi), turn * np.sin(phi)], axis=1)
    points = frame.points(arc)
    painter.setPen(look.pen("ink", "line"))
    painter.drawPolyline(polygon(points))
    last, before = points[-1], points[-4]
    length = math.hypot(*(last - before))
    way = ((last[0] - before[0]) / length, (last[1] - before[1]) / length)
    _arrow(painter, QPointF(*(last + 0.5 * size * np.array(way))), way, size, look, "ink")
    start, end = frame.point((0.0, -0.2)), frame.point((0.0, FEED_TIP))
    painter.setPen(look.pen("accent", "thick"))
    painter.drawLine(start, QPointF(end.x(), end.y() + 0.5 * size))
    _arrow(painter, end, (0.0, -1.0), 1.2 * size, look, "accent")
    font = look.font("small")
    painter.setFont(font)
    if frame.radius > 50.0:
        for text, y, color in (
            (say("lesson_ring", "feed"), FEED_WORD, "accent"),
            (say("lesson_ring", "turns"), -0.62, "ink"),
        ):
            box = text_size(font, text)
            at = frame.point((0.0, y))
            painter.setPen(look.color(color))
            painter.drawText(
                QRectF(at.x() - box.width() / 2 - 2, at.y() - box.height() / 2, box.width() + 4, box.height()),
                CENTRE,
                text,
            )


def _paint_marks(painter: QPainter, scene: RingScene, frame: RingFrame, look: Look, layout: LabelLayout) -> None:
    """Pins: a head at its radius, a needle to the ring.  A near one is filled, a far one is hollow."""
    font = look.font("small")
    head = max(HEAD_RADIUS * frame.radius, 3.5)
    named: list[tuple[str, QPointF]] = []
    for mark, angle, radius in mark_places(scene.marks):
        tip, at = frame.point(scene.place(mark.angle_deg)), frame.point(scene.place(angle, radius))
        color = "accent" if mark.near is not False else "warn"
        painter.setPen(look.pen(color, "line"))
        painter.drawLine(tip, at)
        painter.setBrush(look.brush(color) if mark.near is not False else look.brush("panel"))
        painter.drawEllipse(at, head, head)
        layout.take(QRectF(at.x() - head, at.y() - head, 2 * head, 2 * head))
        if mark.name:
            named.append((visible(mark.name)[:16], at))
    painter.setBrush(NO_BRUSH)
    painter.setFont(font)
    # After all heads: no name lies under one.
    for text, at in named if len(scene.marks) < NAMES_FROM else ():
        _named(painter, text, at, head, text_size(font, text), look, layout)


def _named(
    painter: QPainter, text: str, at: QPointF, head: float, size: QSizeF, look: Look, layout: LabelLayout
) -> None:
    """The name beside its pin, where there is room."""
    wide, high = head + 4.0 + size.width() / 2, head + 2.0 + size.height() / 2
    out = -1.0 if at.x() < layout.bounds.center().x() else 1.0
    sides = [(out * wide, 0.0), (0.0, -high), (-out * wide, 0.0), (0.0, high)]
    box = layout.place(size, np.array(sides) + np.array([at.x(), at.y()]))
    if box is not None:
        painter.fillRect(box, look.color("panel", 0.85))
        painter.setPen(look.color("ink"))
        painter.drawText(box, CENTRE, text)


def _paint_answer(painter: QPainter, scene: RingScene, frame: RingFrame, look: Look, layout: LabelLayout) -> None:
    """The true place: a thick radius that goes through the ring, with a square at its end."""
    assert scene.answer_deg is not None
    painter.setPen(look.pen("ink", 2.0 * look.thick))
    inner, outer = (frame.point(scene.place(scene.answer_deg, r)) for r in (0.72, 1.22))
    painter.drawLine(inner, outer)
    half = max(0.045 * frame.radius, 4.5)
    painter.setPen(look.pen("panel", "hair"))
    painter.setBrush(look.brush("ink"))
    painter.drawRect(QRectF(outer.x() - half, outer.y() - half, 2 * half, 2 * half))
    painter.setBrush(NO_BRUSH)
    if frame.radius < 90.0:
        return
    font = look.font("text", bold=True)
    text = say("lesson_ring", "answer")
    size = text_size(font, text)
    layout.take(QRectF(outer.x() - half, outer.y() - half, 2 * half, 2 * half))
    wide, high = half + 8.0 + size.width() / 2, half + 4.0 + size.height() / 2
    sides = [(wide, 0.0), (-wide, 0.0), (0.0, -high), (wide, -high), (-wide, -high), (0.0, high)]
    box = layout.place(QSizeF(size.width() + 4.0, size.height()), np.array(sides) + np.array([outer.x(), outer.y()]))
    if box is not None:
        painter.fillRect(box, look.color("panel", 0.85))
        painter.setFont(font)
        painter.setPen(look.color("ink"))
        painter.drawText(box, CENTRE, text)
