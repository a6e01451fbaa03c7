"""The chart of speed against depth on any painter: hatched where it holds, words at the border, the cut's handle."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter, QPainterPath

from app.kit.hatch import paint_hatch
from app.kit.label_layout import GAP, Clear, LabelLayout, anywhere, text_size
from app.kit.look import CENTRE, NO_BRUSH, SMOOTH, Look
from app.kit.shapes import polygon, polyline
from app.kit.xy_chart import Figures, XYChart, paint_across, paint_up, plain
from app.pages.chatter.chatter_scene import ChatterScene
from app.pages.chatter.handle import paint_handle
from core.base.quantities import QUANTITIES
from core.base.words import say
from core.chatter.estimated_modes import with_modes
from core.maths.arrays import Array
from core.setup.setup import Mode


@dataclass(frozen=True, slots=True)
class ChartFrame:
    """Where the chart and the strip of frequencies stand."""

    plot: QRectF
    strip: QRectF
    scene: ChatterScene

    def x(self, rpm: Array | float) -> Array:
        """Pixels of speeds, kept to the plot."""
        a = self.scene.across
        share = np.clip((np.asarray(rpm, float) - a.low) / (a.high - a.low), 0.0, 1.0)
        return np.asarray(self.plot.left() + share * self.plot.width())

    def y(self, depth: Array | float) -> Array:
        """Pixels of depths in mm, kept to the plot."""
        share = np.clip(self.scene.shown(depth) / self.scene.up.high, 0.0, 1.0)
        return np.asarray(self.plot.bottom() - share * self.plot.height())

    def handle(self) -> QPointF:
        """Where the cut stands."""
        cut = self.scene.setup.cut
        return QPointF(float(self.x(cut.spindle_speed_rpm)), float(self.y(cut.axial_engagement_mm)))

    def values(self, point: QPointF) -> tuple[float, float]:
        """Speed, /min, and depth, mm, at a pixel."""
        a, plot = self.scene.across, self.plot
        across = min(max((point.x() - plot.left()) / plot.width(), 0.0), 1.0)
        up = min(max((plot.bottom() - point.y()) / plot.height(), 0.002), 1.0)
        rpm = a.low + across * (a.high - a.low)
        return rpm, QUANTITIES["depth"].house(up * self.scene.up.high, self.scene.units)


def chart_frame(rect: QRectF, scene: ChatterScene, look: Look) -> ChartFrame:
    """Chart above, strip below, room for figures."""
    left, line = rect.left() + 4.2 * look.small, look.small + 6.0
    strip_height = 3.4 * line
    bottom = rect.bottom() - strip_height - 3.3 * line
    top, right = rect.top() + line + 14.0, rect.right() - 2.6 * look.small
    plot = QRectF(left, top, right - left, bottom - top)
    strip = QRectF(left, rect.bottom() - strip_height, plot.width(), strip_height - 1.4 * line)
    return ChartFrame(plot, strip, scene)


def paint_chart(painter: QPainter, rect: QRectF, scene: ChatterScene, look: Look) -> None:
    """All of it."""
    frame = chart_frame(rect, scene, look)
    painter.setRenderHint(SMOOTH)
    _paint_axes(painter, frame, rect, look)
    chart = scene.chart
    if chart is None or chart.missing:
        why = say("chatter", "working" if chart is None else f"missing_{chart.missing}")
        painter.setFont(look.font("text"))
        painter.setPen(look.color("ink"))
        painter.drawText(frame.plot, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), why)
    else:
        _paint_borders(painter, frame, look)
    _paint_frequencies(painter, frame, look)
    paint_handle(painter, frame.handle(), frame.plot.bottom(), look)


def _paint_axes(painter: QPainter, frame: ChartFrame, rect: QRectF, look: Look) -> None:
    scene, plot, small = frame.scene, frame.plot, look.small
    head = QRectF(plot.left(), rect.top() + 4.0, plot.width(), small + 10.0)
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    word = "title_estimated" if scene.chart is not None and scene.chart.estimated else "title"
    title = say("chatter", word, unit=QUANTITIES["depth"].unit_in(scene.units))
    painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
    chart = XYChart.filling(plot, scene.across, scene.up)
    paint_up(painter, chart, look, Figures(plain(scene.up), 6.0, plot.left() - rect.left() - 6.0, on_line=True))
    every = chart.across.every(5.0 * small)
    paint_across(painter, chart, look, Figures(plain(scene.across), 2.0, every=every, on_line=True))
    painter.setFont(look.font("small"))
    painter.setPen(look.color("soft"))
    name = QRectF(plot.left(), plot.bottom() + small + 7.0, plot.width(), small + 6.0)
    painter.drawText(name, CENTRE, say("chatter", "across"))


def _under(frame: ChartFrame, rpm: Array, depth: Array) -> QPainterPath:
    """The region under a border."""
    x, y = frame.x(rpm), frame.y(depth)
    points = np.empty((len(x) + 2, 2))
    points[1:-1, 0], points[1:-1, 1] = x, y
    points[[0, -1], 0], points[[0, -1], 1] = x[[0, -1]], frame.plot.bottom()
    shape = QPainterPath()
    shape.addPolygon(polygon(points))
    shape.closeSubpath()
    return shape


def _paint_borders(painter: QPainter, frame: ChartFrame, look: Look) -> None:
    scene, chart = frame.scene, frame.scene.chart
    assert chart is not None
    rpm = chart.speed_rpm
    conventional = scene.names[0] == "conventional"
    paint_hatch(painter, _under(frame, rpm, chart.own), look.work_hatch, 9, ground=look.work, steep=conventional)
    if len(chart.band_rpm) > 1:
        for end in (chart.low, chart.high):
            painter.setPen(look.pen("third", "hair", dotted=True))
            painter.drawPolyline(polyline(frame.x(chart.band_rpm), frame.y(end)))
    painter.setPen(look.pen("second", "hair"))
    painter.drawPolyline(polyline(frame.x(rpm), frame.y(chart.plain)))
    if len(chart.other) and (scene.names[1] != "mirrored" or not np.array_equal(chart.own, chart.other)):
        painter.setPen(look.pen("second", "thick", dashed=not conventional, dotted=scene.names[1] == "mirrored"))
        painter.drawPolyline(polyline(frame.x(rpm), frame.y(chart.other)))
    painter.setPen(look.pen("ink", "thick", dashed=conventional))
    painter.drawPolyline(polyline(frame.x(rpm), frame.y(chart.own)))
    _paint_words(painter, frame, look)


def _words(frame: ChartFrame) -> list[tuple[str, QPointF, bool, bool]]:
    """Each word of the chart, its place, whether it is of the own direction, and whether it is tied to its place."""
    scene, chart = frame.scene, frame.scene.chart
    assert chart is not None
    own, other = (say("way", name) for name in scene.names)
    n, last = len(chart.speed_rpm), float(chart.speed_rpm[-1])

    def at_border(rpm: float, depth: float, dy: float, dx: float = 0.0) -> QPointF:
        return QPointF(float(frame.x(rpm)) + dx, float(frame.y(depth)) + dy)

    low = int(np.argmin(chart.own))
    # The word stands where there is most of what it names.
    deep = int(np.argmax(np.minimum(chart.own, 1e9)))
    found = [
        (
            say("chatter", "holds", way=own),
            at_border(chart.speed_rpm[deep], 0.0, -22.0),
            True,
            True,
        ),
        (say("chatter", "chatters", way=own), at_border(chart.speed_rpm[low], 1e9, 16.0), True, True),
        (say("chatter", "way", way=own), at_border(chart.speed_rpm[0], chart.own[0], -12.0), True, True),
    ]
    if len(chart.other):
        found.append((say("chatter", "way", way=other), at_border(last, chart.other[-1], -12.0), False, True))
    if len(chart.low) == len(chart.band_rpm) > n // 5:
        found.append(
            (
                say("chatter", "band"),
                QPointF(float(frame.x(last)) - 90.0, float(frame.y(chart.low[-1])) + 12.0),
                False,
                False,
            )
        )
    parting = scene.parting()
    if parting is not None:
        word = "parts_flip" if chart.flip[parting] else "parts"
        place = QPointF(float(frame.x(chart.speed_rpm[parting])), float(frame.y(chart.plain[parting])) - 16.0)
        found.append((say("chatter", word), place, False, False))
    else:
        middle = n // 2
        place = QPointF(float(frame.x(chart.speed_rpm[middle])), float(frame.y(chart.plain[middle])) + 14.0)
        found.append((say("chatter", "plain"), place, False, False))
    return found


def _off_borders(frame: ChartFrame, size: QSizeF) -> Clear:
    """Says which boxes of that size, by left and top, no border runs through."""
    chart = frame.scene.chart
    assert chart is not None
    x = np.asarray(frame.x(chart.speed_rpm))
    borders = [np.asarray(frame.y(line)) for line in (chart.own, chart.other, chart.plain) if len(line)]

    def clear(left: Array, top: Array) -> Array:
        free = np.ones(len(left), bool)
        # Every few pixels across a box, and at its ends.
        at = left[:, None] + np.linspace(0.0, size.width(), math.ceil(size.width() / 6.0) + 1)
        for border in borders:
            y = np.interp(at, x, border)
            free &= (y.max(1) < top - GAP) | (y.min(1) > top + size.height() + GAP)
        return free

    return clear


def _paint_words(painter: QPainter, frame: ChartFrame, look: Look) -> None:
    """Words on their own ground, none over another nor the handle; remarks over no border where there is room."""
    scene, chart = frame.scene, frame.scene.chart
    assert chart is not None
    parting = scene.parting()
    if parting is not None:
        x = float(frame.x(chart.speed_rpm[parting]))
        painter.setPen(look.pen("third", "line"))
        painter.setBrush(NO_BRUSH)
        ends = sorted(float(frame.y(d[parting])) for d in (chart.own, chart.plain))
        painter.drawLine(QPointF(x, ends[0]), QPointF(x, ends[1]))
        for y in ends:
            painter.drawLine(QPointF(x - 4.0, y), QPointF(x + 4.0, y))
    layout = LabelLayout(frame.plot.adjusted(2.0, 2.0, -2.0, -2.0))
    hand = frame.handle()
    layout.take(QRectF(hand.x() - 14.0, hand.y() - 14.0, 28.0, 28.0))
    for text, place, own, tied in _words(frame):
        font = look.font("small", bold=own)
        size, spots = text_size(font, text), anywhere(frame.plot, place)
        # The name of a region or of a border would name another elsewhere; what is only remarked gives way.
        clear = () if tied else (_off_borders(frame, size),)
        box = layout.place(size, spots, *clear) or layout.place(size, spots)
        if box is None:
            continue
        painter.fillRect(box.adjusted(-2.0, 0.0, 2.0, 0.0), look.color("panel", 0.85))
        painter.setFont(font)
        painter.setPen(look.color("ink" if own else "soft"))
        painter.drawText(box, CENTRE, text)


def _paint_frequencies(painter: QPainter, frame: ChartFrame, look: Look) -> None:
    """Tooth passing and its multiples as strokes, the modes as the places that answer to them."""
    scene, box = frame.scene, frame.strip
    given, estimated = with_modes(scene.setup)
    passing = scene.setup.cut.spindle_speed_rpm * scene.setup.cutter.teeth / 60.0
    highest = max([1.25 * m.frequency_hz for m in given.dynamics] + [3.2 * passing])
    line = look.small + 6.0

    def x(hz: float) -> float:
        return box.left() + hz / highest * box.width()

    painter.setPen(look.pen("rule", "line"))
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    count = math.floor(highest / passing)
    painter.setPen(look.pen("accent", "line"))
    for k in range(1, min(count, 400) + 1):
        painter.drawLine(
            QPointF(x(k * passing), box.bottom()), QPointF(x(k * passing), box.bottom() - 0.45 * box.height())
        )
    painter.setFont(look.font("small"))
    layout = LabelLayout(QRectF(box.left(), box.top() - line, box.width(), box.height() + 2.4 * line))
    named: dict[str, list[Mode]] = {}
    for mode in given.dynamics:
        half = max(2.0, mode.damping_ratio * mode.frequency_hz / highest * box.width())
        middle = x(mode.frequency_hz)
        painter.setPen(look.pen("ink", "line", dashed=mode.axis == "y"))
        painter.setBrush(NO_BRUSH)
        hill = np.linspace(-8.0, 8.0, 41)
        height = 1.0 / np.sqrt(1.0 + hill**2)
        place = np.clip(middle + hill * half, box.left(), box.right())
        painter.drawPolyline(polyline(place, box.bottom() - height * box.height()))
        named.setdefault(f"{mode.frequency_hz:.0f}", []).append(mode)
    for hz, modes in named.items():
        # Modes of both axes at one frequency, as a beam has them, are one word.
        axes = say("chatter", "both_axes") if len({m.axis for m in modes}) > 1 else modes[0].axis
        name = say("chatter", "mode_estimated" if estimated else "mode", axis=axes, hz=hz)
        middle = x(modes[0].frequency_hz)
        rect = layout.place(
            text_size(look.font("small"), name), np.array([(middle + d, box.top() - 0.5 * line) for d in _SPOTS])
        )
        if rect is not None:
            painter.setPen(look.color("ink"))
            painter.drawText(rect, CENTRE, name)
    painter.setPen(look.color("accent"))
    words = QRectF(box.left(), box.bottom() + 2.0, box.width(), line)
    told = [say("chatter", id, hz=f"{passing:.0f}") for id in ("passing", "passing_short")]
    fits = text_size(look.font("small"), told[0]).width() <= words.width()
    painter.drawText(words, Qt.AlignmentFlag.AlignLeft, told[0 if fits else 1])


_SPOTS = [0.0, *(s * d for d in (40.0, 80.0, 120.0, 160.0, 220.0) for s in (1.0, -1.0))]
