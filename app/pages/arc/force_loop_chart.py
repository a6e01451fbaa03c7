"""The force over a turn as a closed curve in the plane of the plan, on one scale in both directions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import text_size
from app.kit.look import Look
from app.kit.one_line import baseline, paint_words
from app.kit.readable_ranges import AxisRange
from app.kit.shapes import polygon
from app.kit.xy_chart import Axis, Figures, XYChart, narrow, paint_square_grid, plain
from app.pages.arc.chart_title import paint_chart_title
from app.pages.arc.side_charts_scene import ChartsScene, LoopTrace
from core.base.quantities import QUANTITIES
from core.base.words import say
from core.maths.arrays import Array

LEAST = 12.0
"""Pixels that the curve is given on even the smallest picture: a scale of nothing has no ticks."""


@dataclass(frozen=True, slots=True)
class LoopFrame(XYChart):
    """Where the loop is drawn: a chart with one scale in both directions, so that angles are true, and its title."""

    head: QRectF

    @classmethod
    def of(cls, rect: QRectF, scene: ChartsScene, look: Look) -> LoopFrame:
        """The frame of the loop on ``rect``; the axes go on to the sides of the plot."""
        head = QRectF(rect.left() + 8.0, rect.top() + 2.0, rect.width() - 16.0, look.text + 10.0)
        plot = QRectF(
            rect.left() + 2.8 * look.small + 14.0,
            head.bottom() + 2.0,
            max(rect.width() - 2.8 * look.small - 28.0, LEAST),
            max(rect.height() - head.height() - look.small - 16.0, LEAST),
        )
        x, y = scene.across, scene.along
        scale = min(plot.width() / (x.high - x.low), plot.height() / (y.high - y.low))
        origin = plot.center() + QPointF(-scale * (x.low + x.high) / 2.0, scale * (y.low + y.high) / 2.0)
        step = max(x.step, y.step)
        right, down = (plot.right() + 0.5 - origin.x()) / scale, (plot.bottom() + 0.5 - origin.y()) / scale
        left, above = (plot.left() - 0.5 - origin.x()) / scale, (plot.top() - 0.5 - origin.y()) / scale
        across, up = AxisRange(left, right, step), AxisRange(-down, -above, step)
        return cls(plot, Axis(across, origin.x(), scale), Axis(up, origin.y(), -scale), head)

    @property
    def origin(self) -> QPointF:
        """Where no force is."""
        return QPointF(self.across.zero, self.up.zero)

    @property
    def scale(self) -> float:
        """Pixels for each shown unit of force."""
        return self.across.per_unit


def paint_loop_axes(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """Title, grid, figures on both axes, and what each half means for the table."""
    frame = LoopFrame.of(rect, scene, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_chart_title(painter, frame.head, "loop", QUANTITIES["force"].unit_in(scene.units), look)
    small = look.font("small")
    painter.setFont(small)
    if all(t.loop is None for t in scene.loops):
        painter.setPen(look.color("soft"))
        words = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(frame.plot, int(words), say("strip", "no_coefficients"))
        return
    need, room = 3.4 * look.small, frame.plot.left() - rect.left() - 6.0
    chart = XYChart(frame.plot, frame.across.coarser(need), frame.up.coarser(need))
    # On the plan of a left-hand cutter x runs to the left.
    across, up = (
        Figures(plain(chart.across.range, scene.side), 3.0),
        Figures(narrow(chart.up.range, small, room), 6.0, room),
    )
    paint_square_grid(painter, chart, look, across, up, zero="soft")


def _paint_halves(painter: QPainter, frame: LoopFrame, loops: Array, look: Look) -> None:
    """What a force along the feed and against it does to the table: in a corner that no curve runs through."""
    box, font = frame.plot, look.font("small")
    painter.setPen(look.color("soft"))
    for id, top, bottom in (
        ("pulls", box.top(), min(frame.origin.y(), box.bottom())),
        ("holds", max(frame.origin.y(), box.top()), box.bottom()),
    ):
        words = say("chart", id)
        size = text_size(font, words)
        w, h = size.width() + 2.0, size.height()
        if bottom - top < h + 4.0 or w > box.width() - 6.0:
            continue
        y = top + 2.0 if id == "pulls" else bottom - h - 2.0
        beside = np.abs(loops[:, 1] - (y + h / 2)) < h / 2
        for x in (box.right() - w - 2.0, box.left() + 4.0):
            if not (beside & (np.abs(loops[:, 0] - (x + w / 2)) < w / 2)).any():
                painter.fillRect(QRectF(x, y, w, h), look.color("panel", 0.85))
                paint_words(painter, baseline(QRectF(x + 1.0, y, w, h), font), font, words)
                break


def loop_line(trace: LoopTrace, frame: LoopFrame, per_newton: float) -> Array:
    """Pixels (n, 2) of a closed curve whose force is known."""
    assert trace.loop is not None
    return frame.points(trace.side * per_newton * trace.loop.fx, per_newton * trace.loop.fy)


def paint_loops(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """The closed curves, and the force of this moment as a line from the axis to its place on them."""
    frame = LoopFrame.of(rect, scene, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    per_newton = QUANTITIES["force"].shown(1.0, scene.units)
    shown = [t for t in scene.loops if t.loop is not None]
    if not shown:
        return
    lines = [loop_line(t, frame, per_newton) for t in shown]
    pinned = [loop_line(t, frame, per_newton) for t in scene.pinned_loops if t.loop is not None]
    _paint_halves(painter, frame, np.concatenate([*lines, *pinned]), look)
    _paint_pinned(painter, frame, scene, per_newton, look)
    for trace, line in zip(reversed(shown), reversed(lines), strict=True):
        painter.setPen(look.pen("main", "line", dashed=trace.conventional, dotted=trace.dotted))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(polygon(line))
        _paint_here(painter, trace, frame, trace.side * per_newton, per_newton, look)


def _paint_pinned(painter: QPainter, frame: LoopFrame, scene: ChartsScene, per_newton: float, look: Look) -> None:
    """The loops of the pinned cut, thin and grey, with its force now, under those of the cut that is shown."""
    for trace in scene.pinned_loops:
        if trace.loop is None or trace.here is None:
            continue
        painter.setPen(look.pen("soft", "hair", dashed=trace.conventional))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(polygon(loop_line(trace, frame, per_newton)))
        fx, fy = trace.here
        end = QPointF(frame.across.pixel(trace.side * per_newton * fx), frame.up.pixel(per_newton * fy))
        painter.drawLine(frame.origin, end)


def _paint_here(
    painter: QPainter, trace: LoopTrace, frame: LoopFrame, x_scale: float, y_scale: float, look: Look
) -> None:
    assert trace.here is not None
    fx, fy = trace.here
    origin, scale = frame.origin, frame.scale
    end = QPointF(origin.x() + scale * fx * x_scale, origin.y() - scale * fy * y_scale)
    painter.setPen(look.pen("third", "line", dashed=trace.conventional, dotted=trace.dotted))
    painter.drawLine(origin, end)
    painter.setPen(look.pen("panel", "line"))
    painter.setBrush(look.color("accent"))
    painter.drawEllipse(end, 4.5, 4.5)
