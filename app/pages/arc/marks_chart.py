"""The feed marks: the finished wall over one turn along the feed, height magnified, with the teeth that made it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.kit.hatch import paint_hatch
from app.kit.label_layout import fitting, text_size
from app.kit.look import Look
from app.kit.readable_ranges import AxisRange
from app.kit.shapes import polygon
from app.kit.xy_chart import Axis, Figures, XYChart, narrow, paint_up
from app.pages.arc.chart_title import paint_chart_title, round_factor
from app.pages.arc.side_charts_scene import ChartsScene, MarksTrace
from core.base.quantities import QUANTITIES, clear_figure, figure
from core.base.words import say

CLOSEST = 3.0
"""Pixels of a pinned turn under which its marks would run into one another."""

V_CENTRE = Qt.AlignmentFlag.AlignVCenter

WHOLE_TURN = AxisRange(0.0, 1.0, 1.0)
"""The feed of one turn."""


@dataclass(frozen=True, slots=True)
class MarksFrame(XYChart):
    """Where the wall is drawn: a chart of the share of the turn's feed across and the height up; head and figures.

    Below height 0, the deepest cut, the picture is work, which carries the numbers of the teeth.
    """

    head: QRectF
    told: QRectF

    @property
    def base(self) -> float:
        """Pixel of the deepest cut."""
        return self.up.zero

    @property
    def scale(self) -> float:
        """Pixels for each shown unit of height."""
        return -self.up.per_unit

    @classmethod
    def of(cls, rect: QRectF, scene: ChartsScene, look: Look) -> MarksFrame:
        """The frame of the chart on ``rect``."""
        line = look.small + 6.0
        head = QRectF(rect.left() + 8.0, rect.top() + 2.0, rect.width() - 16.0, look.text + 10.0)
        told = QRectF(head.left(), head.bottom(), head.width(), line)
        left = rect.left() + 2.8 * look.small + 14.0
        top, bottom = told.bottom() + 5.0, rect.bottom() - 2.0 * line - 6.0
        plot = QRectF(left, top, rect.right() - 14.0 - left, max(bottom - top, 20.0))
        base = plot.bottom() - line - 2.0
        scale = max(base - plot.top(), 1.0) / (scene.marks_range.high - scene.marks_range.low)
        across = Axis.over(WHOLE_TURN, plot.left(), plot.right())
        return cls(plot, across, Axis(scene.marks_range, base, -scale), head, told)


def marks_magnified(frame: MarksFrame, turn: float, scene: ChartsScene) -> float:
    """How many times the height is drawn larger than the length along the feed."""
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units) * frame.scale
    return per_mm / (frame.plot.width() / turn)


def paint_marks_axes(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """Title, and the figures of the height on the left."""
    frame = MarksFrame.of(rect, scene, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_chart_title(painter, frame.head, "marks", QUANTITIES["micro"].unit_in(scene.units), look)
    small = look.font("small")
    painter.setFont(small)
    missing = next((t.missing for t in scene.marks if t.missing), "")
    if missing:
        painter.setPen(look.color("soft"))
        below = rect.bottom() - 2.0 * look.small - 18.0
        area = QRectF(frame.head.left(), frame.head.bottom(), frame.head.width(), below - frame.head.bottom())
        painter.drawText(area, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), missing)
        return
    room = frame.plot.left() - rect.left() - 6.0
    texts, every = narrow(scene.marks_range, small, room), frame.up.every(look.small + 4.0)
    paint_up(painter, frame, look, Figures(texts, 6.0, room, every, on_line=True))


def paint_marks(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """The wall of each direction over the pinned one, the work of the first, its teeth's numbers, and the figures."""
    shown = [t for t in scene.marks if t.wall is not None]
    if not shown or any(t.missing for t in scene.marks):
        return
    frame = MarksFrame.of(rect, scene, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units)
    lines = [frame.points(t.wall.y / t.turn, per_mm * t.wall.height) for t in shown if t.wall is not None]
    area, box = QPainterPath(), frame.plot
    corners = [[box.right(), box.bottom()], [box.left(), box.bottom()]]
    area.addPolygon(polygon(np.concatenate([lines[0], corners])))
    area.closeSubpath()
    paint_hatch(painter, area, look.work_hatch, ground=look.work)
    _paint_pinned(painter, shown[0].turn, frame, scene, look)
    # The dashed line over the solid one: where they nearly meet both are seen.
    for trace, line in sorted(zip(shown, lines, strict=True), key=lambda pair: pair[0].conventional):
        painter.setPen(_pen(trace, shown, look))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(polygon(line))
    _paint_teeth(painter, shown[0], frame, look)
    if scene.figures:
        _paint_heights(painter, shown, frame, scene, look)
    _paint_foot(painter, shown[0], frame, rect, scene, look)


def pinned_line(pinned: MarksTrace, turn: float, frame: MarksFrame, scene: ChartsScene) -> np.ndarray | None:
    """Pixels (n, 2) of the pinned cut's wall over ``turn`` (mm), the turn that is shown; None without one.

    Each place along the feed is where it is: a longer turn goes on beyond the picture, a shorter one comes again.
    Turns too short to be told apart are the line of their crests.
    """
    if pinned.wall is None:
        return None
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units)
    places, height = pinned.wall.y / pinned.turn, per_mm * pinned.wall.height
    turns = turn / pinned.turn
    if frame.plot.width() < CLOSEST * turns:
        return frame.points(np.array([0.0, 1.0]), np.full(2, height.max()))
    again = np.arange(math.ceil(turns))
    along, up = (again[:, None] + places).ravel(), np.tile(height, len(again))
    seen = np.append(along[along < turns], turns)
    return frame.points(seen / turns, np.append(up[: len(seen) - 1], np.interp(turns % 1.0, places, height)))


def _paint_pinned(painter: QPainter, turn: float, frame: MarksFrame, scene: ChartsScene, look: Look) -> None:
    """The wall of the pinned cut in each direction, thin and grey."""
    for pinned in scene.pinned_marks:
        line = pinned_line(pinned, turn, frame, scene)
        if line is not None:
            painter.setPen(look.pen("soft", "hair", dashed=pinned.conventional))
            painter.drawPolyline(polygon(line))


def _pen(trace: MarksTrace, shown: list[MarksTrace], look: Look) -> QPen:
    """Solid climbs, dashed is conventional."""
    return look.pen("main", "line" if trace.conventional and len(shown) > 1 else "thick", dashed=trace.conventional)


def tooth_places(trace: MarksTrace, frame: MarksFrame, look: Look) -> list[tuple[str, QRectF]]:
    """The numbers of the teeth under their marks, each with its place; as many as have room beside one another."""
    found: list[tuple[str, QRectF]] = []
    font = look.font("small", bold=True)
    for place, tooth in trace.valleys:
        size = text_size(font, str(tooth))
        left = frame.plot.left() + place / trace.turn * frame.plot.width() - size.width() / 2.0
        left = min(max(left, frame.plot.left() + 2.0), frame.plot.right() - size.width() - 2.0)
        box = QRectF(left, frame.plot.bottom() - size.height() - 1.0, size.width(), size.height())
        if not found or box.left() > found[-1][1].right() + 3.0:
            found.append((str(tooth), box))
    return found


def _paint_teeth(painter: QPainter, trace: MarksTrace, frame: MarksFrame, look: Look) -> None:
    painter.setFont(look.font("small", bold=True))
    for text, box in tooth_places(trace, frame, look):
        painter.fillRect(box.adjusted(-1.0, 1.0, 1.0, -1.0), look.color("work", 0.9))
        painter.setPen(look.color("ink"))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _paint_heights(
    painter: QPainter, shown: list[MarksTrace], frame: MarksFrame, scene: ChartsScene, look: Look
) -> None:
    """Peak to valley; of a pair each behind a sample of its line, climb first."""
    font, box = look.font("small"), frame.told
    painter.setFont(font)
    ordered = sorted(shown, key=lambda t: t.conventional)
    told = [clear_figure(1000.0 * t.height, "micro", scene.units, counting=3) for t in ordered]
    if len(shown) == 1:
        painter.setPen(look.color("ink"))
        text = fitting(font, box.width(), say("chart", "peak", height=told[0]), told[0])
        painter.drawText(box, V_CENTRE, text)
        left = text_size(font, text).width() + 12.0
        _paint_pinned_height(painter, box.adjusted(left, 0.0, 0.0, 0.0), scene, look)
        return
    bare = [text.split(" ")[0] for text in told]
    rough = [clear_figure(1000.0 * t.height, "micro", scene.units).split(" ")[0] for t in ordered]
    sample, gap = 18.0, 8.0
    # With the unit; without it, which the title has; with fewer figures.
    for texts in (told, bare, rough):
        widths = [text_size(font, text).width() for text in texts]
        if sum(widths) + len(texts) * (sample + 4.0) + gap <= box.width():
            break
    left = box.left()
    for trace, text, width in zip(ordered, texts, widths, strict=True):
        painter.setPen(_pen(trace, shown, look))
        painter.drawLine(QPointF(left, box.center().y()), QPointF(left + sample, box.center().y()))
        painter.setPen(look.color("ink"))
        painter.drawText(QRectF(left + sample + 4.0, box.top(), width + 2.0, box.height()), V_CENTRE, text)
        left += sample + 4.0 + width + gap


def _paint_pinned_height(painter: QPainter, box: QRectF, scene: ChartsScene, look: Look) -> None:
    """The pinned cut's height in grey, behind that of the cut that is shown; left out where it has no room."""
    if not scene.pinned_marks or scene.pinned_marks[0].wall is None:
        return
    height = clear_figure(1000.0 * scene.pinned_marks[0].height, "micro", scene.units, counting=3)
    font = look.font("small")
    text = fitting(font, box.width(), *[say("pin", name, figure=height) for name in ("figure", "figure_short")])
    if text_size(font, text).width() <= box.width():
        painter.setPen(look.color("soft"))
        painter.drawText(box, V_CENTRE, text)


def _paint_foot(
    painter: QPainter, trace: MarksTrace, frame: MarksFrame, rect: QRectF, scene: ChartsScene, look: Look
) -> None:
    """How long the turn is and how many teeth mark it; how the height is magnified."""
    font, line = look.font("small"), look.small + 6.0
    painter.setFont(font)
    painter.setPen(look.color("soft"))
    along = QRectF(rect.left() + 4.0, frame.plot.bottom() + 2.0, rect.width() - 8.0, line)
    length = figure(trace.turn, "length", scene.units)
    turn = say("chart", "turn", length=length)
    if trace.marking != trace.teeth:
        whole = say("chart", "marked", turn=turn, marking=trace.marking, teeth=trace.teeth)
    elif trace.teeth > 1:
        whole = say("chart", "marked_all", turn=turn, last=trace.teeth - 1)
    else:
        whole = say("chart", "marked_one", turn=turn)
    words = fitting(font, along.width(), whole, turn, length)
    painter.drawText(along, Qt.AlignmentFlag.AlignCenter, words)
    times = round_factor(marks_magnified(frame, trace.turn, scene))
    words = fitting(
        font,
        along.width(),
        say("chart", "height", times=times),
        say("chart", "height_short", times=times),
        say("chart", "height_least", times=times),
    )
    painter.drawText(along.translated(0.0, line), Qt.AlignmentFlag.AlignCenter, words)
