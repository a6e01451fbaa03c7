"""What one cut does in time, painted: movement, chip and force over the last turns, samples, spectrum, waves left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.look import NO_PEN, SMOOTH, Look
from app.kit.readable_ranges import AxisRange
from app.pages.chatter.small_chart import SmallChart, range_over
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.chatter.cut_history import CutHistory
from core.maths.arrays import Array
from core.report.chatter_sentence import history_words

SHOWN_TURNS = 3
"""Whole turns at the end of the record that chip and force are shown over."""

LEAST_HEIGHT = 76.0
"""Pixels of height that a chart needs to be read."""

MOST_POINTS = 1600
"""Points of a curve: more than there are pixels show nothing more."""


@dataclass(frozen=True, slots=True)
class TimeScene:
    """A history and where it is played, in turns from the first one shown; None: not."""

    history: CutHistory
    units: Units
    turn: float | None = None

    def millimetres(self, values: Array) -> Array:
        """Lengths as micrometres, or as micro-inches."""
        return np.asarray(QUANTITIES["micro"].shown(1.0, self.units) * 1e3 * values)

    @property
    def micro(self) -> str:
        """The unit of the small lengths."""
        return QUANTITIES["micro"].unit_in(self.units)


def shown_turns(history: CutHistory) -> int:
    """How many turns are shown over time."""
    return 0 if history.record is None else min(SHOWN_TURNS, history.record.turns)


def _thin(count: int) -> slice:
    return slice(None, None, max(1, count // MOST_POINTS))


def paint_time(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    """All of it, or why there is nothing yet."""
    painter.setRenderHint(SMOOTH)
    history = scene.history
    line = look.small + 6.0
    head = QRectF(rect.left() + 10.0, rect.top() + 4.0, rect.width() - 20.0, 3.2 * line)
    painter.setFont(look.font("small"))
    painter.setPen(look.color("ink"))
    flags = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
    painter.drawText(head, flags, history_words(history, scene.units))
    if history.record is None:
        return
    body = rect.adjusted(0.0, 3.4 * line, 0.0, -4.0)
    # Where there is little room, what tells least is left out.
    count = min(max(int(body.height() / LEAST_HEIGHT), 3), 5)
    height = body.height() / count
    rows = [QRectF(body.left(), body.top() + i * height, body.width(), height - 2.0) for i in range(count)]
    _paint_whole(painter, rows.pop(0), scene, look)
    _paint_chip(painter, rows.pop(0), scene, look)
    _paint_spectrum(painter, rows.pop(), scene, look)
    if count == 5:
        _paint_force(painter, rows.pop(0), scene, look)
    for row in rows:
        side = min(max(row.height() * 1.5, 0.3 * body.width()), 0.42 * body.width())
        _paint_samples(painter, QRectF(row.left(), row.top(), side, row.height()), scene, look)
        _paint_waves(painter, QRectF(row.left() + side, row.top(), row.width() - side, row.height()), scene, look)


def _last(scene: TimeScene) -> tuple[slice, Array, AxisRange]:
    """The steps shown, each one's turn from the first shown, and the axis."""
    record = scene.history.record
    assert record is not None
    turns = shown_turns(scene.history)
    count = turns * record.steps_per_turn
    return slice(len(record.time) - count, None), np.arange(count) / record.steps_per_turn, AxisRange(0.0, turns, 0.5)


def _paint_cursor(painter: QPainter, small: SmallChart, scene: TimeScene, look: Look) -> None:
    if scene.turn is not None:
        x = small.chart.x(scene.turn)
        painter.setPen(look.pen("accent", "line"))
        painter.drawLine(QPointF(x, small.chart.plot.top()), QPointF(x, small.chart.plot.bottom()))


def _paint_whole(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    """The movement over the whole record: whether it swells or comes to rest."""
    record = scene.history.record
    assert record is not None
    moved, thin = scene.millimetres(record.displacement), _thin(len(record.time))
    time = 1e3 * record.time
    small = SmallChart.within(rect, range_over(time, 6, True), range_over(moved.ravel()), look)
    small.paint(painter, look, say("chatter_time", "movement", unit=scene.micro))
    for axis in (0, 1):
        painter.setPen(look.pen("ink" if axis == 0 else "second", "line", dashed=axis == 1))
        small.line(painter, time[thin], moved[thin, axis])
    if scene.turn is not None:
        x = small.chart.x(float(time[-1]) - (shown_turns(scene.history) - scene.turn) * 6e4 / record.speed)
        painter.setPen(look.pen("accent", "line"))
        painter.drawLine(QPointF(x, small.chart.plot.top()), QPointF(x, small.chart.plot.bottom()))


def _paint_chip(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    record = scene.history.record
    assert record is not None
    part, turn, across = _last(scene)
    chip = scene.millimetres(record.chip[part])
    small = SmallChart.within(rect, across, range_over(chip.ravel(), from_zero=True), look)
    small.paint(painter, look, say("chatter_time", "chip", unit=scene.micro))
    for tooth in range(chip.shape[1]):
        painter.setPen(look.pen("accent" if tooth == 0 else "soft", "line", dashed=tooth % 2 == 1))
        small.line(painter, turn, chip[:, tooth])
    _paint_cursor(painter, small, scene, look)


def _paint_force(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    record = scene.history.record
    assert record is not None
    part, turn, across = _last(scene)
    q = QUANTITIES["force"]
    force = np.asarray(q.shown(1.0, scene.units) * record.force[part])
    small = SmallChart.within(rect, across, range_over(force.ravel()), look)
    small.paint(painter, look, say("chatter_time", "force", unit=q.unit_in(scene.units)))
    for axis in (0, 1):
        painter.setPen(look.pen("ink" if axis == 0 else "second", "line", dashed=axis == 1))
        small.line(painter, turn, force[:, axis])
    _paint_cursor(painter, small, scene, look)


def _paint_samples(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    """Where the cutter stands each time that tooth 0 comes in: one heap settles, a ring or two heaps chatter."""
    places = scene.millimetres(scene.history.once_a_turn())
    small = SmallChart.within(rect, range_over(places[:, 0], 2), range_over(places[:, 1], 2), look)
    small.paint(painter, look, say("chatter_time", "samples", unit=scene.micro))
    painter.setPen(NO_PEN)
    later = len(places) // 2
    for k, (x, y) in enumerate(places.tolist()):
        painter.setBrush(look.color("accent" if k >= later else "soft"))
        painter.drawEllipse(QPointF(small.chart.x(x), small.chart.y(y)), 2.2, 2.2)


def _paint_waves(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    """The chip strip of the last passage: the surface that the tooth before left, and the tooth's own way."""
    passage = scene.history.last_waves()
    flat = scene.millimetres(passage.before + passage.rigid)
    before = scene.millimetres(passage.before) - flat
    own = scene.millimetres(passage.path) - flat
    phi = np.degrees(passage.phi)
    across = range_over(phi, 4)
    small = SmallChart.within(rect, across, range_over(np.concatenate([before, own])), look)
    small.paint(painter, look, say("chatter_time", "waves", unit=scene.micro))
    painter.setPen(look.pen("second", "line", dashed=True))
    small.line(painter, phi, before)
    painter.setPen(look.pen("accent", "line"))
    small.line(painter, phi, own)


def _paint_spectrum(painter: QPainter, rect: QRectF, scene: TimeScene, look: Look) -> None:
    lines = scene.history.lines
    assert lines is not None
    size = scene.millimetres(np.hypot(lines.amplitude[:, 0], lines.amplitude[:, 1]))
    small = SmallChart.within(rect, range_over(lines.frequency, 6, True), range_over(size, from_zero=True), look)
    small.paint(painter, look, say("chatter_time", "spectrum", unit=scene.micro))
    plot = small.chart.plot
    painter.setPen(look.pen("accent", "hair", dashed=True))
    for hz in lines.tooth_passing[:60].tolist():
        painter.drawLine(QPointF(small.chart.x(hz), plot.top()), QPointF(small.chart.x(hz), plot.bottom()))
    painter.setPen(look.pen("ink", "line"))
    small.line(painter, lines.frequency, size)
    if np.isfinite(lines.chatter) and not (scene.history.verdict is None or scene.history.verdict.stable):
        x = small.chart.x(lines.chatter)
        painter.setPen(look.pen("warn", "thick"))
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.top() + 0.25 * plot.height()))
