"""A measured response painted with its modal fit: size, phase, coherence; measured as dots, fitted as a line."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.kit.look import NO_PEN, SMOOTH, Look
from app.kit.readable_ranges import AxisRange
from app.pages.chatter.small_chart import SmallChart, range_over
from core.base.words import say
from core.chatter.measured_file import Measured
from core.maths.arrays import Array

MOST_DOTS = 700
"""Measured lines that are painted: more lie on one another."""

MICRO = 1e3
"""mm/N in micrometres for each N, in which responses of cutters are read."""


def paint_measured(painter: QPainter, rect: QRectF, measured: Measured, look: Look) -> None:
    """Three charts over one axis of frequency."""
    painter.setRenderHint(SMOOTH)
    response, fit = measured.response, measured.fit
    across = range_over(response.frequency, 6)
    has_coherence = response.coherence is not None
    shares = (0.5, 0.3, 0.2) if has_coherence else (0.6, 0.4)
    tops = np.cumsum((0.0, *shares)) * rect.height() + rect.top()
    rows = [QRectF(rect.left(), tops[i], rect.width(), tops[i + 1] - tops[i] - 2.0) for i in range(len(shares))]
    thin = slice(None, None, max(1, len(response.frequency) // MOST_DOTS))
    f, h = response.frequency[thin], response.compliance[thin]
    size = SmallChart.within(rows[0], across, range_over(MICRO * np.abs(h), from_zero=True), look)
    size.paint(painter, look, say("measured", "response", unit="µm/N"))
    _paint_modes(painter, size, measured, look)
    _dots(painter, size, f, MICRO * np.abs(h), look)
    painter.setPen(look.pen("accent", "thick"))
    size.line(painter, fit.frequency, MICRO * np.abs(fit.curve))
    phase = SmallChart.within(rows[1], across, AxisRange(-180.0, 180.0, 90.0), look)
    phase.paint(painter, look, say("measured", "phase"))
    _dots(painter, phase, f, np.degrees(np.angle(h)), look)
    painter.setPen(look.pen("accent", "line"))
    angle = np.degrees(np.angle(fit.curve))
    # A jump from -180 to 180 is no line.
    angle[1:][np.abs(np.diff(angle)) > 180.0] = np.nan
    phase.line(painter, fit.frequency, angle)
    if response.coherence is not None:
        coherence = SmallChart.within(rows[2], across, AxisRange(0.0, 1.0, 0.5), look)
        coherence.paint(painter, look, say("measured", "coherence"))
        painter.setPen(look.pen("ink", "line"))
        coherence.line(painter, f, response.coherence[thin])


def _dots(painter: QPainter, small: SmallChart, across: Array, up: Array, look: Look) -> None:
    painter.save()
    painter.setClipRect(small.chart.plot)
    painter.setPen(NO_PEN)
    painter.setBrush(look.color("soft"))
    for x, y in zip(small.chart.x(across).tolist(), small.chart.y(up).tolist(), strict=True):
        painter.drawEllipse(QPointF(x, y), 1.6, 1.6)
    painter.restore()


def _paint_modes(painter: QPainter, small: SmallChart, measured: Measured, look: Look) -> None:
    """A line at each fitted mode; dashed where it is doubtful."""
    plot = small.chart.plot
    for mode in measured.fit.modes:
        x = small.chart.x(mode.frequency_hz)
        painter.setPen(look.pen("accent", "hair", dashed=mode.doubtful))
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
