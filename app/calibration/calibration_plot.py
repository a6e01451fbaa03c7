"""The picture of a calibration: mean forces against feed with their lines, what is left over beneath."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.calibration.calibration_scene import AxisPanel, CalibrationScene
from app.kit.label_layout import text_size
from app.kit.look import Look
from app.kit.xy_chart import Figures, XYChart, paint_across, paint_up, plain
from core.base.quantities import number
from core.base.words import say
from core.maths.arrays import Array

V_CENTRE = Qt.AlignmentFlag.AlignVCenter
LEFT, RIGHT = Qt.AlignmentFlag.AlignLeft | V_CENTRE, Qt.AlignmentFlag.AlignRight | V_CENTRE
MARGIN, GAP, RADIUS = 16.0, 12.0, 4.0


def _dots(chart: XYChart, across: Array, up: Array) -> list[QPointF]:
    return [QPointF(float(x), float(y)) for x, y in chart.points(across, up)]


def _paint_axes(painter: QPainter, chart: XYChart, look: Look, *, below: bool) -> None:
    """Grid and ticks; the feeds are written only below the lower plot."""
    across, up = chart.across.range, chart.up.range
    feeds = None
    if below:
        wide = text_size(look.font("small"), number(across.high, across.decimals)).width() + 10.0
        feeds = Figures(plain(across), 6.0, wide, every=chart.across.every(wide), on_line=True)
    paint_across(painter, chart, look, feeds)
    forces = Figures(plain(up), 8.0, every=chart.up.every(look.small + 5.0), on_line=True)
    paint_up(painter, chart, look, forces, zero="soft")


def _paint_means(painter: QPainter, chart: XYChart, panel: AxisPanel, look: Look) -> None:
    painter.setPen(look.pen("main", "thick"))
    painter.drawLine(*_dots(chart, panel.line_feed, panel.line))
    painter.setPen(look.pen("panel", "hair"))
    painter.setBrush(look.brush("accent"))
    for point in _dots(chart, panel.feed, panel.measured):
        painter.drawEllipse(point, RADIUS, RADIUS)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_band(painter: QPainter, chart: XYChart, panel: AxisPanel, look: Look) -> None:
    """One standard deviation either way, where the rows are enough to tell it; under the grid."""
    if math.isfinite(panel.scatter):
        range, plot = chart.up.range, chart.plot
        top, bottom = chart.y(min(panel.scatter, range.high)), chart.y(max(-panel.scatter, range.low))
        painter.fillRect(QRectF(plot.left(), top, plot.width(), bottom - top), look.color("cut_band"))


def _paint_residuals(painter: QPainter, chart: XYChart, panel: AxisPanel, look: Look) -> None:
    zeros = _dots(chart, panel.feed, np.zeros_like(panel.feed))
    for foot, point in zip(zeros, _dots(chart, panel.feed, panel.residual), strict=True):
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
    means = XYChart.filling(above, scene.feed_range, panel.range)
    residuals = XYChart.filling(below, scene.feed_range, panel.residual_range)
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
