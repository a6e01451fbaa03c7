"""A small chart of the side panels: a title over it, two thin axes, curves in pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.look import SMOOTH, Look
from app.kit.readable_ranges import AxisRange, readable_step
from app.kit.shapes import polyline
from app.kit.xy_chart import CORNER, Figures, XYChart, narrow, paint_across, paint_up, plain
from core.maths.arrays import Array

LEFT_DIGITS = 4.0
"""Room for the figures of the vertical axis, in text heights."""


def range_over(values: Array, wanted: int = 3, from_zero: bool = False) -> AxisRange:
    """A readable range about all finite values; ``from_zero``: not below 0."""
    finite = values[np.isfinite(values)]
    low, high = (float(finite.min()), float(finite.max())) if len(finite) else (0.0, 1.0)
    low = 0.0 if from_zero else low
    if not high > low:
        high = low + (abs(low) or 1.0) * 0.5
    step = readable_step(high - low, wanted)
    return AxisRange(np.floor(low / step + 1e-9) * step, np.ceil(high / step - 1e-9) * step, step)


@dataclass(frozen=True, slots=True)
class SmallChart:
    """Where one chart stands: its plot with axes and the line of its title."""

    chart: XYChart
    head: QRectF

    @classmethod
    def within(cls, rect: QRectF, across: AxisRange, up: AxisRange, look: Look) -> SmallChart:
        """The chart that fills a rectangle with its title and figures."""
        line = look.small + 5.0
        under = line + round(CORNER * look.small)
        plot = rect.adjusted(LEFT_DIGITS * look.small, line + 2.0, -0.8 * look.small, -under)
        head = QRectF(plot.left(), rect.top(), plot.width() + 0.8 * look.small, line)
        return cls(XYChart.filling(plot, across, up), head)

    def paint(self, painter: QPainter, look: Look, title: str) -> None:
        """Title, axes and figures."""
        painter.setRenderHint(SMOOTH)
        painter.setFont(look.font("small", bold=True))
        painter.setPen(look.color("ink"))
        painter.drawText(self.head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
        room = LEFT_DIGITS * look.small - 6.0
        up = narrow(self.chart.up.range, look.font("small"), room)
        paint_up(painter, self.chart, look, Figures(up, 5.0, room, on_line=True))
        every = self.chart.across.every(4.5 * look.small)
        figures = Figures(plain(self.chart.across.range), 1.0, every=every, on_line=True, inside=look.small)
        paint_across(painter, self.chart, look, figures)

    def line(self, painter: QPainter, across: Array, up: Array) -> None:
        """A curve inside the plot, with the pen that is set; it breaks where a value is not finite."""
        painter.save()
        painter.setClipRect(self.chart.plot)
        low, high = self.chart.plot.top() - 400.0, self.chart.plot.bottom() + 400.0
        finite = np.isfinite(up)
        edges = np.flatnonzero(np.diff(np.concatenate([[False], finite, [False]]).astype(int)))
        for start, end in edges.reshape(-1, 2):
            if end - start > 1:
                x = np.asarray(self.chart.x(across[start:end]), float)
                y = np.clip(np.asarray(self.chart.y(up[start:end]), float), low, high)
                painter.drawPolyline(polyline(x, y))
        painter.restore()
