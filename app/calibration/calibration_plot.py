"""The picture of a calibration: mean forces against feed with their lines, what is left over beneath."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.calibration.calibration_scene import AxisPanel, CalibrationScene
from app.kit.label_layout import text_size
from app.kit.look import Look
from app.kit.readable_ranges import AxisRange
from core.base.quantities import number
from core.base.words import say
from core.maths.arrays import Array

V_CENTRE = Qt.AlignmentFlag.AlignVCenter
LEFT, RIGHT = Qt.AlignmentFlag.AlignLeft | V_CENTRE, Qt.AlignmentFlag.AlignRight | V_CENTRE
MARGIN, GAP, RADIUS = 16.0, 12.0, 4.0


class _Axes:
    """A plot's rectangle with its two ranges: shown values to pixels."""

    def __init__(self, plot: QRectF, across: AxisRange, up: AxisRange) -> None:
        self.plot, self.across, self.up = plot, across, up

    def x(self, value: float) -> float:
        share = (value - self.across.low) / (self.across.high - self.across.low)
        return self.plot.left() + share * self.plot.width()

    def y(self, value: float) -> float:
        return self.plot.bottom() - (value - self.up.low) / (self.up.high - self.up.low) * self.plot.height()

    def points(self, across: Array, up: Array) -> list[QPointF]:
        return [QPointF(self.x(float(a)), self.y(float(b))) for a, b in zip(across, up, strict=True)]


def _every(range: AxisRange, pixels: float, need: float) -> int:
    """Every how many ticks one is written, so that the words keep apart."""
    apart = pixels * range.step / (range.high - range.low)
    return max(1, math.ceil(need / max(apart, 1.0)))


def _paint_axes(painter: QPainter, axes: _Axes, look: Look, *, below: bool) -> None:
    """Grid and ticks; the feeds are written only below the lower plot."""
    small, plot = look.font("small"), axes.plot
    painter.setFont(small)
    height = look.small + 5.0
    up, across = axes.up, axes.across
    wide = text_size(small, number(across.high, across.decimals)).width() + 10.0
    every = _every(across, plot.width(), wide)
    for tick in across.ticks():
        x = round(axes.x(float(tick))) + 0.5
        painter.setPen(look.pen("rule", "hair"))
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
        if below and round(float(tick) / across.step) % every == 0:
            painter.setPen(look.color("soft"))
            box = QRectF(x - wide / 2, plot.bottom() + 6.0, wide, height)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, number(float(tick), across.decimals))
    every = _every(up, plot.height(), height)
    for tick in up.ticks():
        y = round(axes.y(float(tick))) + 0.5
        painter.setPen(look.pen("soft" if abs(tick) < 1e-9 * up.step else "rule", "hair"))
        painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
        if round(float(tick) / up.step) % every == 0:
            painter.setPen(look.color("soft"))
            box = QRectF(plot.left() - 88.0, y - height / 2, 80.0, height)
            painter.drawText(box, RIGHT, number(float(tick), up.decimals))


def _paint_means(painter: QPainter, axes: _Axes, panel: AxisPanel, look: Look) -> None:
    painter.setPen(look.pen("main", "thick"))
    painter.drawLine(*axes.points(panel.line_feed, panel.line))
    painter.setPen(look.pen("panel", "hair"))
    painter.setBrush(look.brush("accent"))
    for point in axes.points(panel.feed, panel.measured):
        painter.drawEllipse(point, RADIUS, RADIUS)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_band(painter: QPainter, axes: _Axes, panel: AxisPanel, look: Look) -> None:
    """One standard deviation either way, where the rows are enough to tell it; under the grid."""
    if math.isfinite(panel.scatter):
        top, bottom = axes.y(min(panel.scatter, axes.up.high)), axes.y(max(-panel.scatter, axes.up.low))
        painter.fillRect(QRectF(axes.plot.left(), top, axes.plot.width(), bottom - top), look.color("cut_band"))


def _paint_residuals(painter: QPainter, axes: _Axes, panel: AxisPanel, look: Look) -> None:
    zeros = axes.points(panel.feed, np.zeros_like(panel.feed))
    for foot, point in zip(zeros, axes.points(panel.feed, panel.residual), strict=True):
        painter.setPen(look.pen("accent", "line"))
        painter.drawLine(foot, point)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.brush("accent"))
        painter.drawEllipse(point, RADIUS - 1.0, RADIUS - 1.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_panel(painter: QPainter, box: QRectF, scene: CalibrationScene, panel: AxisPanel, look: Look) -> None:
    """Force over feed above, residuals on the same feeds below."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.brush("panel"))
    painter.drawRoundedRect(box, 6.0, 6.0)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    head = look.text + 14.0
    left = 6.0 * look.small
    inner = box.adjusted(left, 6.0, -26.0, -2.0 * look.small - 24.0)
    rest = inner.height() - 2.0 * head
    above = QRectF(inner.left(), inner.top() + head, inner.width(), 0.70 * rest)
    below = QRectF(inner.left(), above.bottom() + head, inner.width(), 0.30 * rest)
    means = _Axes(above, scene.feed_range, panel.range)
    residuals = _Axes(below, scene.feed_range, panel.residual_range)
    for title, plot, bold in ((panel.title, above, True), (scene.residual_title, below, False)):
        painter.setPen(look.color("ink"))
        painter.setFont(look.font("text", bold=True) if bold else look.font("small"))
        painter.drawText(QRectF(plot.left(), plot.top() - head, plot.width(), head - 4.0), LEFT, title)
    painter.setPen(look.color("soft"))
    painter.setFont(look.font("small"))
    painter.drawText(QRectF(above.left(), above.top() - head, above.width(), head - 4.0), RIGHT, panel.told)
    _paint_band(painter, residuals, panel, look)
    _paint_axes(painter, means, look, below=False)
    _paint_axes(painter, residuals, look, below=True)
    painter.setPen(look.color("soft"))
    foot = QRectF(below.left(), below.bottom() + look.small + 12.0, below.width(), look.small + 6.0)
    painter.drawText(foot, Qt.AlignmentFlag.AlignCenter, scene.feed_title)
    _paint_means(painter, means, panel, look)
    _paint_residuals(painter, residuals, panel, look)


def _paint_legend(painter: QPainter, line: QRectF, look: Look) -> None:
    """A sample of each mark with its name, from the right."""
    small, right, y = look.font("small"), line.right(), line.center().y()
    painter.setFont(small)
    for mark in ("band", "fitted_line", "measured_mean"):
        word = say("calibration", mark)
        size = text_size(small, word)
        painter.setPen(look.color("soft"))
        painter.drawText(QRectF(right - size.width(), line.top(), size.width() + 2.0, line.height()), LEFT, word)
        right -= size.width() + 30.0
        sample = QRectF(right, y - 5.0, 24.0, 10.0)
        if mark == "band":
            painter.fillRect(sample, look.color("cut_band"))
            painter.setPen(look.pen("rule", "hair"))
            painter.drawRect(sample)
        elif mark == "fitted_line":
            painter.setPen(look.pen("main", "thick"))
            painter.drawLine(QPointF(sample.left(), y), QPointF(sample.right(), y))
        else:
            painter.setPen(look.pen("panel", "hair"))
            painter.setBrush(look.brush("accent"))
            painter.drawEllipse(sample.center(), RADIUS, RADIUS)
            painter.setBrush(Qt.BrushStyle.NoBrush)
        right -= 18.0


def _paint_coefficients(painter: QPainter, box: QRectF, scene: CalibrationScene, look: Look) -> None:
    """The six coefficients: on the chip section above, on the edge length below."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.brush("panel"))
    painter.drawRoundedRect(box, 6.0, 6.0)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    each, row = (box.width() - 32.0) / 3.0, (box.height() - 16.0) / 2.0
    for i, (name, value) in enumerate(scene.coefficients):
        at = QRectF(box.left() + 16.0 + i % 3 * each, box.top() + 8.0 + i // 3 * row, each, row)
        painter.setPen(look.color("ink"))
        painter.setFont(look.font("figure", bold=True))
        painter.drawText(at, LEFT, name)
        painter.setFont(look.font("figure"))
        painter.drawText(at.adjusted(2.8 * look.figure, 0.0, 0.0, 0.0), LEFT, value)


def paint_calibration(painter: QPainter, rect: QRectF, scene: CalibrationScene, look: Look) -> None:
    """Paint the whole picture on ``rect``."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(rect, look.color("page"))
    inner = rect.adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    head = QRectF(inner.left(), inner.top(), inner.width(), look.title + 8.0)
    painter.setPen(look.color("ink"))
    painter.setFont(look.font("title", bold=True))
    painter.drawText(head, LEFT, scene.title)
    told = QRectF(inner.left(), head.bottom(), inner.width(), look.small + 10.0)
    painter.setPen(look.color("soft"))
    painter.setFont(look.font("small"))
    painter.drawText(told, LEFT, scene.cut)
    _paint_legend(painter, head, look)
    height = 2.0 * (look.figure + 10.0) + 16.0
    foot = QRectF(inner.left(), inner.bottom() - height, inner.width(), height)
    n = len(scene.panels)
    each = (inner.width() - (n - 1) * GAP) / n
    top = told.bottom() + 6.0
    for i, panel in enumerate(scene.panels):
        box = QRectF(inner.left() + i * (each + GAP), top, each, foot.top() - GAP - top)
        _paint_panel(painter, box, scene, panel, look)
    _paint_coefficients(painter, foot, scene, look)
