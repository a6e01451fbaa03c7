"""The callouts of the plan: where the tooth enters and where it leaves, each on a small card."""

from __future__ import annotations

import math
from functools import partial
from typing import TypeAlias

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPainter

from app.kit.label_layout import LabelLayout, anywhere, text_size
from app.kit.look import NO_BRUSH, NO_PEN, SMOOTH, Look
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import RING
from app.pages.arc.plan_scene import PlanScene
from core.maths.arrays import Array

HOUR_ROOM = 8.0
"""Pixels about the middle of an hour's number that a leader keeps away."""

OFF_CUTTER = 0.85
"""Cutter radii about the axis that a leader keeps out of."""

ALONG = np.linspace(0.0, 1.0, 25)
"""Shares of a leader at which it is looked whether a card lies on it."""

Leader: TypeAlias = tuple[QPointF, QPointF, QRectF]
"""The leader, from the end of the arc to its own end, of a card that stands already, and the card."""

_RADII = np.repeat([1.30, 1.42, 1.56, 1.72], 11)
_TURNS = np.tile([0.0, 0.10, -0.10, 0.2, -0.2, 0.32, -0.32, 0.46, -0.46, 0.62, -0.62], 4)


def paint_callouts(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout
) -> list[QRectF]:
    """Where the tooth enters and leaves: a dot on the arc, a leader, a small card; returns the cards' places."""
    placed: list[QRectF] = []
    first_leader: Leader | None = None
    bold, small = look.font("text", bold=True), look.font("small")
    for name, (phi, first, second), skin in zip(("enters", "leaves"), scene.ends(), scene.skin_words(), strict=True):
        anchor = frame.point(scene.place(phi))
        head = text_size(bold, first)
        told = ((second if scene.shown.figures else "", "soft"), (skin, "skin"))
        lines = [(text, color, text_size(small, text)) for text, color in told if text]
        rect = None
        # Where there is no room for the thickness, the sentence still tells it; what it says of the skin goes last.
        for first_kept in range(len(lines) + 1):
            kept = lines[first_kept:]
            width = max([head.width(), *[size.width() for _, _, size in kept]])
            below = sum([size.height() for _, _, size in kept]) if kept else -4.0
            size = QSizeF(width + 16.0, head.height() + below + 8.0)
            rect = _last_place(scene, frame, phi, anchor, size, layout, name, first_leader) or _searched(
                scene, frame, phi, anchor, size, layout, name, first_leader
            )
            if rect is not None:
                break
        layout.named[name] = rect or QRectF()
        if rect is not None:
            placed.append(rect)
            end = leader_end(anchor, rect)
            first_leader = anchor, end, rect
            painter.setPen(look.pen("ink", "hair"))
            painter.drawLine(anchor, end)
            paint_card(painter, rect, look)
            left, top = rect.left() + 8.0, rect.top() + 4.0 + head.height()
            painter.setPen(look.color("ink"))
            painter.setFont(bold)
            painter.drawText(QPointF(left, rect.top() + 3.0 + head.height() * 0.8), first)
            painter.setFont(small)
            for text, color, size in kept:
                painter.setPen(look.color(color))
                painter.drawText(QPointF(left, top + size.height() * 0.76), text)
                top += size.height()
        painter.setPen(NO_PEN)
        painter.setBrush(look.color("ink"))
        painter.drawEllipse(anchor, 3.5, 3.5)
    return placed


def _last_place(
    scene: PlanScene,
    frame: PlanFrame,
    phi: float,
    anchor: QPointF,
    size: QSizeF,
    layout: LabelLayout,
    name: str,
    other: Leader | None,
) -> QRectF | None:
    """Where the card was last, or the first place of all: looked at by itself, which costs a tenth of the search."""
    last = layout.memory.get(name, 0)
    w, h, bounds = size.width(), size.height(), layout.bounds
    if isinstance(last, QPointF):
        left, top = anchor.x() + last.x(), anchor.y() + last.y()
    else:
        radius = frame.radius + (float(_RADII[last]) - 1.0) * frame.radius / frame.scale
        at = phi + float(_TURNS[last]) / frame.scale
        x, y = -math.cos(at) * scene.side, math.sin(at)
        left = frame.centre.x() + radius * x + (x - 1.0) * w / 2.0
        top = frame.centre.y() - radius * y - (y + 1.0) * h / 2.0
    left = min(max(left, bounds.left()), max(bounds.right() - w, bounds.left()))
    top = min(max(top, bounds.top()), max(bounds.bottom() - h, bounds.top()))
    rect = QRectF(left, top, w, h)
    if not layout.free(rect):
        return None
    end = leader_end(anchor, rect)
    # Looked at closely only where the boxes about card and leader meet.
    if other is not None:
        there, its_end, card = other
        about = QRectF(there, its_end).normalized().adjusted(-1.0, -1.0, 1.0, 1.0)
        own = QRectF(anchor, end).normalized().adjusted(-1.0, -1.0, 1.0, 1.0)
        near = about.intersects(rect) or own.intersects(card)
        if near and not _off_other(other, anchor, size, np.array([left]), np.array([top]))[0]:
            return None
    # A place away from the end of the arc was taken for want of a better: there a leader may pass an hour.
    if isinstance(last, QPointF):
        clear = _keeps_off(
            anchor, end, [(frame.centre.x(), frame.centre.y())], frame.beside(OFF_CUTTER) * frame.radius
        )
    else:
        clear = _keeps_off(anchor, end, _hours(scene, frame), HOUR_ROOM)
    return layout.take(rect) if clear else None


def _hours(scene: PlanScene, frame: PlanFrame) -> list[tuple[float, float]]:
    """Where the hours stand on the ring, pixels."""
    x, y, reach = frame.centre.x(), frame.centre.y(), frame.radius * (1.0 + (RING - 1.0) / frame.scale)
    across = reach * scene.side
    return [(x - across * cosine, y - reach * sine) for _, cosine, sine in frame.hours()]


def _keeps_off(start: QPointF, end: QPointF, places: list[tuple[float, float]], room: float) -> bool:
    """Whether a leader is farther than ``room`` from each of some places, pixels."""
    x, y = start.x(), start.y()
    dx, dy = end.x() - x, end.y() - y
    square, reach = max(dx * dx + dy * dy, 1e-9), abs(dx) + abs(dy) + room
    for there_x, there_y in places:
        px, py = there_x - x, there_y - y
        # Most places are farther away than the leader is long.
        if abs(px) <= reach and abs(py) <= reach:
            share = min(max((px * dx + py * dy) / square, 0.0), 1.0)
            if math.hypot(px - share * dx, py - share * dy) <= room:
                return False
    return True


def _searched(
    scene: PlanScene,
    frame: PlanFrame,
    phi: float,
    anchor: QPointF,
    size: QSizeF,
    layout: LabelLayout,
    name: str,
    other: Leader | None,
) -> QRectF | None:
    """The first free place about the end of the arc, with a clear leader if there is one; anywhere at last."""
    near = _around(scene, frame, phi, size)
    off_other = () if other is None else (partial(_off_other, other, anchor, size),)
    found = layout.place(size, near, partial(_off_hours, scene, frame, anchor, size), *off_other, name=name)
    if found is None:
        found = layout.place(size, near, *off_other)
        if found is None:
            spots = anywhere(frame.inner, anchor)
            off_cutter, short = (partial(test, frame, anchor, size) for test in (_off_cutter, _leader_short))
            # A leader all across the cutter tells less than no card: the sentence and the hour tell it then.
            found = layout.place(size, spots, off_cutter, *off_other) or layout.place(size, spots, short, *off_other)
        if found is not None:
            layout.memory[name] = found.topLeft() - anchor
    return found


def leader_end(anchor: QPointF, rect: QRectF) -> QPointF:
    """Where a leader from ``anchor`` meets a label: its nearest point."""
    return QPointF(min(max(anchor.x(), rect.left()), rect.right()), min(max(anchor.y(), rect.top()), rect.bottom()))


def _leaders(anchor: QPointF, size: QSizeF, left: Array, top: Array) -> Array:
    """The leaders to cards (n,) by their left and top: the way (n, 2) from the anchor to its end."""
    x = np.minimum(np.maximum(anchor.x(), left), left + size.width())
    y = np.minimum(np.maximum(anchor.y(), top), top + size.height())
    return np.stack([x - anchor.x(), y - anchor.y()], -1)


def _all_off(anchor: QPointF, ways: Array, places: Array) -> Array:
    """How far places (m, 2) are from leaders (n, 2): (n, m), pixels; :func:`_keeps_off` for many."""
    there = places - (anchor.x(), anchor.y())
    share = (ways @ there.T) / np.maximum((ways * ways).sum(-1), 1e-9)[:, None]
    off = there - np.minimum(np.maximum(share, 0.0), 1.0)[..., None] * ways[:, None]
    return np.asarray(np.hypot(off[..., 0], off[..., 1]))


def _off_hours(scene: PlanScene, frame: PlanFrame, anchor: QPointF, size: QSizeF, left: Array, top: Array) -> Array:
    """Which cards (n,) have a leader that strikes out no hour of the clock ring."""
    off = _all_off(anchor, _leaders(anchor, size, left, top), np.array(_hours(scene, frame)))
    return np.asarray((off > HOUR_ROOM).all(axis=1))


def _off_cutter(frame: PlanFrame, anchor: QPointF, size: QSizeF, left: Array, top: Array) -> Array:
    """Which cards (n,) have a leader out of the circle, not across the cutter."""
    axis = np.array([(frame.centre.x(), frame.centre.y())])
    off = _all_off(anchor, _leaders(anchor, size, left, top), axis)[:, 0]
    return np.asarray(off > frame.beside(OFF_CUTTER) * frame.radius)


def _leader_short(frame: PlanFrame, anchor: QPointF, size: QSizeF, left: Array, top: Array) -> Array:
    """Which cards (n,) have a leader shorter than the cutter's radius."""
    ways = _leaders(anchor, size, left, top)
    return np.asarray(np.hypot(ways[:, 0], ways[:, 1]) < frame.radius / frame.scale)


def _off_other(other: Leader, anchor: QPointF, size: QSizeF, left: Array, top: Array) -> Array:
    """Which cards (n,) neither lie on the other card's leader nor have their own across that card."""
    there, end, card = other
    x = there.x() + ALONG * (end.x() - there.x())
    y = there.y() + ALONG * (end.y() - there.y())
    on = (x >= left[:, None]) & (x <= left[:, None] + size.width())
    on &= (y >= top[:, None]) & (y <= top[:, None] + size.height())
    ways = _leaders(anchor, size, left, top)
    x, y = anchor.x() + ways[:, :1] * ALONG, anchor.y() + ways[:, 1:] * ALONG
    across = (x >= card.left()) & (x <= card.right()) & (y >= card.top()) & (y <= card.bottom())
    return np.asarray(~(on | across).any(axis=1))


def paint_card(painter: QPainter, rect: QRectF, look: Look) -> None:
    """A small card on whole pixels: crisp, and cheap because nothing of it is smoothed."""
    box = QRectF(rect.toAlignedRect())
    painter.fillRect(box, look.color("panel"))
    painter.setRenderHint(SMOOTH, False)
    painter.setPen(look.pen("rule", "hair"))
    painter.setBrush(NO_BRUSH)
    painter.drawRect(box.adjusted(0.0, 0.0, -1.0, -1.0))
    painter.setRenderHint(SMOOTH)


def _around(scene: PlanScene, frame: PlanFrame, phi: float, size: QSizeF) -> Array:
    """Candidate centres (n, 2) of a card about the end of the arc at ``phi``, near the ring first.

    A card is pushed out by its own half size, so that its near corner is at the spot.
    """
    turned = phi + _TURNS / frame.scale
    x, y, reach = -np.cos(turned) * scene.side, np.sin(turned), frame.radius * (1.0 + (_RADII - 1.0) / frame.scale)
    return np.stack(
        [
            frame.centre.x() + reach * x + x * size.width() / 2,
            frame.centre.y() - reach * y - y * size.height() / 2,
        ],
        -1,
    )
