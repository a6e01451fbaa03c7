"""The feed arrow of the plan: its length is the feed per tooth, its tail turns the direction round."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from app.kit.label_layout import LabelLayout, anywhere, text_size
from app.kit.look import Look
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.base.words import say
from core.maths.arrays import Array

CENTRE = Qt.AlignmentFlag.AlignCenter

USUAL = 1.0 / 200.0
"""Feed per tooth, as a share of the diameter, at which the arrow has its middle length: a common one."""

SPREAD = 1.45
"""Doublings of the feed over which the arrow grows by most of its half range."""

DOUBLING_PX = 48.0
"""Pixels that a drag of the tip takes for twice the feed: about what the tip itself moves, near its middle length."""

LEAST_SHARE, GREATEST_SHARE = 1.0 / 20000.0, 1.0 / 2.0
"""Feeds, as shares of the diameter, that a drag keeps to."""


ROOMY = 110.0
"""Radius of the cutter in the whole plan, pixels, from which on a close view has room for the value."""

NEAR = 72.0
"""Pixels within which words belong to their arrow."""


def feed_arrow(scene: PlanScene, frame: PlanFrame) -> tuple[QPointF, QPointF]:
    """Tail and tip of the feed arrow in pixels: beside the cutter on the side away from the wall."""
    frame = frame.far or frame
    cut, cutter = scene.results.setup.cut, scene.results.setup.cutter
    length = feed_length(cut.feed_per_tooth_mm, cutter.diameter_mm, frame)
    side = -scene.side if scene.results.setup.cut.direction != "conventional" else scene.side
    x = frame.centre.x() + side * 1.50 * frame.radius
    tail = frame.centre.y() + 0.26 * frame.radius
    return QPointF(x, tail), QPointF(x, tail - length)


def feed_length(feed: float, diameter: float, frame: PlanFrame) -> float:
    """Length of the arrow in pixels: by doublings of the feed about :data:`USUAL` of the diameter.

    Within the feeds that are run the tip follows a hand that drags it; toward the least and the greatest that can be
    set it nears its ends ever more slowly, so that every feed has an arrow that fits.
    """
    doublings = math.log2(feed / (USUAL * diameter))
    return frame.radius * (0.61 + 0.39 * math.tanh(doublings / SPREAD))


def dragged_feed(feed: float, diameter: float, pixels: float) -> float:
    """Feed per tooth (mm) of an arrow that had ``feed`` and is dragged out by ``pixels``: equal ways, equal ratios.

    Relative to where it was taken, so that a feed at either end of the range can still be set finely.
    """
    dragged = feed * 2.0 ** (pixels / DOUBLING_PX)
    return min(max(dragged, LEAST_SHARE * diameter), GREATEST_SHARE * diameter)


def paint_feed(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, layout: LabelLayout
) -> QRectF | None:
    """The feed arrow with its value, whose place is returned; its tip sets the feed, its tail flips the direction."""
    tail, tip = feed_arrow(scene, frame)
    painter.setPen(look.pen("ink", "thick") if scene.moves == "cutter" else look.pen("soft", "line"))
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
    word = say("moves", "cutter_word")
    a, b = text_size(bold, word), text_size(small, value)
    whole = QSizeF(max(a.width(), b.width()) + 2.0, a.height() + b.height())
    # In a small picture the word alone keeps to its arrow; the hand-rail has the value.
    roomy = frame.far is None or frame.far.radius >= ROOMY
    rect = _beside(whole, tail, tip, frame, layout) if roomy else None
    if rect is None:
        rect, value = _beside(QSizeF(a.width() + 2.0, a.height()), tail, tip, frame, layout), ""
    layout.named["feed"] = rect or QRectF()
    if rect is None:
        return None
    # Where the edge comes this near its words stand over the hatching.
    painter.fillRect(rect, look.color("panel", 0.85))
    painter.setPen(look.color("ink" if scene.moves == "cutter" else "soft"))
    painter.setFont(bold)
    painter.drawText(QRectF(rect.left(), rect.top(), rect.width(), a.height()), CENTRE, word)
    if not value:
        return rect
    painter.setPen(look.color("soft"))
    painter.setFont(small)
    painter.drawText(QRectF(rect.left(), rect.top() + a.height(), rect.width(), b.height()), CENTRE, value)
    return rect


def _beside(size: QSizeF, tail: QPointF, tip: QPointF, frame: PlanFrame, layout: LabelLayout) -> QRectF | None:
    """A free place for the arrow's words: below it, above it, beside it, or anywhere that is not far from it."""
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

    def near(left: Array, top: Array) -> Array:
        off_x = np.maximum(np.maximum(left - x, x - left - w), 0.0)
        off_y = np.maximum(np.maximum(top - tail.y(), tip.y() - top - h), 0.0)
        return np.asarray(np.hypot(off_x, off_y) < NEAR)

    return layout.place(size, spots) or layout.place(size, anywhere(frame.inner, tip), near)
