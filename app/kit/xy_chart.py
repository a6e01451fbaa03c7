"""One x-y chart: two axes with their places in pixels, grid, thinned figures, and the readout of a value.

A chart paints no curve of its own.  Every picture that has an axis with figures takes it from here, so that ticks,
margins and the gap between two figures are decided in one place.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter

from app.kit.label_layout import text_size
from app.kit.look import Look
from app.kit.one_line import baseline
from app.kit.readable_ranges import AxisRange
from core.base.quantities import brief_number, number
from core.maths.arrays import Array

Place = TypeVar("Place", float, Array)
"""One figure or many."""

CENTRE = Qt.AlignmentFlag.AlignCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter

ROOM = 80.0
"""Pixels that a figure is given unless its chart has less."""

CORNER = 0.25
"""Least gap under a plot, in text heights: so far the lowest figure beside it reaches down into that under it."""


@dataclass(frozen=True, slots=True)
class Axis:
    """Shown values along one direction of the screen.

    range : the values that have ticks; zero : pixel of the value 0, which may lie outside; per_unit : pixels for each
    shown unit, below 0 where values grow to the left or upward.
    """

    range: AxisRange
    zero: float
    per_unit: float

    @classmethod
    def over(cls, range: AxisRange, first: float, last: float) -> Axis:
        """The axis whose lowest value lies on the pixel ``first`` and whose highest on ``last``."""
        per_unit = (last - first) / (range.high - range.low)
        return cls(range, first - range.low * per_unit, per_unit)

    def pixel(self, shown: Place) -> Place:
        """Shown values to pixels."""
        return self.zero + self.per_unit * shown

    def value(self, pixel: float) -> float:
        """A pixel to a shown value."""
        return (pixel - self.zero) / self.per_unit

    def every(self, need: float) -> int:
        """Every how many ticks one can be written, if a figure needs so many pixels."""
        return max(1, math.ceil(need / max(abs(self.per_unit) * self.range.step, 1.0)))

    def coarser(self, need: float) -> Axis:
        """The same axis with its step doubled until two ticks are so many pixels apart."""
        step = self.range.step
        while step * abs(self.per_unit) < need:
            step *= 2.0
        return Axis(AxisRange(self.range.low, self.range.high, step), self.zero, self.per_unit)


@dataclass(frozen=True, slots=True)
class XYChart:
    """A plot's rectangle with its axes: ``across`` from left to right, ``up`` from bottom to top."""

    plot: QRectF
    across: Axis
    up: Axis

    @classmethod
    def filling(cls, plot: QRectF, across: AxisRange, up: AxisRange) -> XYChart:
        """The chart whose ranges fill the rectangle."""
        return cls(plot, Axis.over(across, plot.left(), plot.right()), Axis.over(up, plot.bottom(), plot.top()))

    def x(self, shown: Place) -> Place:
        """Values along the horizontal axis to pixels."""
        return self.across.zero + self.across.per_unit * shown

    def y(self, shown: Place) -> Place:
        """Values along the vertical axis to pixels."""
        return self.up.zero + self.up.per_unit * shown

    def points(self, across: Array, up: Array) -> Array:
        """Shown values (n,) to pixels (n, 2)."""
        places = np.empty((len(across), 2))
        places[:, 0], places[:, 1] = self.x(across), self.y(up)
        return places


@dataclass(frozen=True, slots=True)
class Figures:
    """How the ticks of an axis are written.

    gap : pixels between plot and figures; room : pixels that the longest may take; every : each how many ticks one is
    written, counted from zero; on_line : figures are centred on the painted line, which lies on whole pixels, and not
    on the exact place; inside : a figure that would reach past either end of the plot by more is left out; above :
    those of a horizontal axis stand above the plot, not under it.
    """

    text: Callable[[float], str]
    gap: float
    room: float = ROOM
    every: int = 1
    on_line: bool = False
    inside: float = math.inf
    above: bool = False

    def writes(self, tick: float, range: AxisRange) -> bool:
        """Whether this tick has its figure."""
        return round(tick / range.step) % self.every == 0


def plain(range: AxisRange, sign: float = 1.0) -> Callable[[float], str]:
    """Writes ticks with the decimals that tell them apart; ``sign`` -1 where the axis shows values turned round."""
    decimals = range.decimals
    return lambda tick: number(sign * tick, decimals)


def widest_figure(range: AxisRange, font: QFont) -> float:
    """Pixels that the widest figure of an axis takes, as :func:`plain` writes it."""
    return max((text_size(font, plain(range)(tick)).width() for tick in range.ticks().tolist()), default=0.0)


def tick_texts(ticks: Array, decimals: int, font: QFont, room: float) -> list[str]:
    """The figures of an axis, all in one way: with powers of ten where one is wider than ``room`` pixels."""
    texts = [number(float(tick), decimals) for tick in ticks]
    if any(text_size(font, text).width() > room for text in texts):
        texts = [brief_number(float(tick)) for tick in ticks]
    return texts


def narrow(range: AxisRange, font: QFont, room: float) -> Callable[[float], str]:
    """Writes ticks as :func:`tick_texts` does, for a margin of ``room`` pixels."""
    ticks = range.ticks()
    texts = dict(zip(ticks.tolist(), tick_texts(ticks, range.decimals, font, room), strict=True))
    return texts.__getitem__


def paint_across(
    painter: QPainter, chart: XYChart, look: Look, figures: Figures | None = None, *, zero: str = "rule"
) -> None:
    """A line at each tick of the horizontal axis, with figures under the plot where asked for.

    zero : name of the colour of the line at zero.
    """
    painter.setFont(look.font("small"))
    for tick in chart.across.range.ticks().tolist():
        _tick_across(painter, chart, tick, look, figures, zero)


def paint_up(painter: QPainter, chart: XYChart, look: Look, figures: Figures, *, zero: str = "rule") -> None:
    """A line at each tick of the vertical axis with figures to the left of the plot; ``zero``: colour at zero."""
    painter.setFont(look.font("small"))
    for tick in chart.up.range.ticks().tolist():
        _tick_up(painter, chart, tick, look, figures, zero)


def paint_square_grid(
    painter: QPainter, chart: XYChart, look: Look, across: Figures, up: Figures, *, zero: str = "rule"
) -> None:
    """Both axes of a chart with one step in both directions: lines in the order of their values.

    A line covers those of smaller values where it crosses them.
    """
    painter.setFont(look.font("small"))
    both = [(tick, 0) for tick in chart.across.range.ticks().tolist()]
    both += [(tick, 1) for tick in chart.up.range.ticks().tolist()]
    for tick, upward in sorted(both):
        if upward:
            _tick_up(painter, chart, tick, look, up, zero)
        else:
            _tick_across(painter, chart, tick, look, across, zero)


def _tick_across(
    painter: QPainter, chart: XYChart, tick: float, look: Look, figures: Figures | None, zero: str
) -> None:
    plot, range = chart.plot, chart.across.range
    exact = chart.across.pixel(tick)
    line = round(exact) + 0.5
    painter.setPen(look.pen(zero if abs(tick) < 1e-9 * range.step else "rule", "hair"))
    painter.drawLine(QPointF(line, plot.top()), QPointF(line, plot.bottom()))
    if figures is not None and figures.writes(tick, range):
        _figure_across(painter, plot, line if figures.on_line else exact, tick, figures, look)


def _tick_up(painter: QPainter, chart: XYChart, tick: float, look: Look, figures: Figures, zero: str) -> None:
    plot, range = chart.plot, chart.up.range
    exact = chart.up.pixel(tick)
    line = round(exact) + 0.5
    painter.setPen(look.pen(zero if abs(tick) < 1e-9 * range.step else "rule", "hair"))
    painter.drawLine(QPointF(plot.left(), line), QPointF(plot.right(), line))
    if figures.writes(tick, range):
        painter.setPen(look.color("soft"))
        at, left = line if figures.on_line else exact, plot.left() - figures.gap - figures.room
        painter.drawText(QRectF(left, at - look.small, figures.room, 2.0 * look.small), RIGHT, figures.text(tick))


def paint_figures_across(painter: QPainter, axis: Axis, plot: QRectF, look: Look, figures: Figures) -> None:
    """Only the figures of a horizontal axis: for an axis that several charts share."""
    painter.setFont(look.font("small"))
    for tick in axis.range.ticks().tolist():
        if figures.writes(tick, axis.range):
            _figure_across(painter, plot, axis.pixel(tick), tick, figures, look)


def figure_height(look: Look) -> float:
    """Pixels that the figures of a horizontal axis take."""
    return look.small + 5.0


def _figure_across(painter: QPainter, plot: QRectF, x: float, tick: float, figures: Figures, look: Look) -> None:
    text = figures.text(tick)
    if math.isfinite(figures.inside):
        half = text_size(look.font("small"), text).width() / 2.0
        if x - half < plot.left() - figures.inside or x + half > plot.right() + figures.inside:
            return
    painter.setPen(look.color("soft"))
    high = figure_height(look)
    # In large type the figures of both axes would lie on one another where the axes meet.
    below = plot.bottom() + max(figures.gap, round(CORNER * look.small))
    top = plot.top() - figures.gap - high if figures.above else below
    painter.drawText(QRectF(x - figures.room / 2.0, top, figures.room, high), CENTRE, text)


def readout_place(
    at: QPointF, text: str, font: QFont, room: QRectF, taken: Iterable[QRectF], *, left_first: bool = False
) -> QRectF | None:
    """Where the figure of a value marked ``at`` is written: beside it, inside ``room``, on nothing that is taken.

    left_first : rather on the left, where another mark stands close by on the right.
    """
    size, taken, x, y = text_size(font, text), list(taken), at.x(), at.y()
    w, h = size.width(), size.height()
    near = ((9.0, -h - 2.0), (-w - 9.0, -h - 2.0), (9.0, 3.0), (-w - 9.0, 3.0))
    if left_first:
        near = near[1], near[3], near[0], near[2]
    # Farther off where other words lie beside the mark.
    for dx, dy in (*near, (-w - 24.0, 3.0), (9.0, h + 3.0), (-w - 9.0, h + 3.0)):
        box = QRectF(x + dx, y + dy, w, h)
        if room.contains(box) and not any(map(box.intersects, taken)):
            return box
    return None


def paint_readout(
    painter: QPainter,
    at: QPointF,
    text: str,
    chart: XYChart,
    look: Look,
    taken: list[QRectF],
    color: str = "accent",
    *,
    left_first: bool = False,
) -> None:
    """A mark on a curve with its figure beside it; the figure's place is added to ``taken``, or left out."""
    painter.setPen(look.pen("panel", "line"))
    painter.setBrush(look.color(color))
    painter.drawEllipse(at, 4.5, 4.5)
    font = look.font("text", bold=True)
    room = chart.plot.adjusted(-2.0, -4.0, 2.0, 4.0)
    box = readout_place(at, text, font, room, taken, left_first=left_first)
    if box is None:
        return
    taken.append(box)
    painter.fillRect(box.adjusted(-2.0, 0.0, 2.0, 0.0), look.color("panel", 0.82))
    painter.setPen(look.color(color))
    painter.setFont(font)
    painter.drawText(baseline(box, font), text)
