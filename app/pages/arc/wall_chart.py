"""The finished wall over its depth: true in its shape, its error magnified against where the wall should be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPainterPath

from app.kit.hatch import paint_hatch
from app.kit.label_layout import fitting, text_size
from app.kit.look import Look
from app.kit.one_line import baseline
from app.kit.readable_ranges import AxisRange
from app.kit.shapes import polygon
from app.kit.xy_chart import Axis, Figures, XYChart, paint_across, plain
from app.pages.arc.chart_title import paint_chart_title, round_factor
from app.pages.arc.side_charts_scene import ChartsScene, WallTrace
from core.base.quantities import QUANTITIES, Units, is_wide, number, rough_ends, rough_figure
from core.base.words import say

"""What the walls of a pair are called, by whether it is conventional."""

WHOLE = AxisRange(0.0, 1.0, 1.0)
"""The depth of cut, from the tip up."""

LEAST = 12.0
"""Pixels that a wall is given on even the smallest picture: a scale of nothing has no ticks."""


@dataclass(frozen=True, slots=True)
class WallFrame(XYChart):
    """Where one wall is drawn: a chart of the error across and the share of the depth up, 0 at the tip.

    ``out`` is 1 where the work is on the right: an error that leaves stock then lies to the left.
    """

    out: float

    @property
    def nominal(self) -> float:
        """Pixel where the wall should stand."""
        return self.across.zero

    @property
    def scale(self) -> float:
        """Pixels for each shown unit of error."""
        return abs(self.across.per_unit)


def chart_area(rect: QRectF, look: Look) -> tuple[QRectF, QRectF]:
    """The title's line and the picture below it."""
    head = QRectF(rect.left() + 14.0, rect.top() + 2.0, rect.width() - 22.0, look.text + 10.0)
    bottom = rect.bottom() - 2.0 * look.small - 18.0
    return head, QRectF(rect.left() + 14.0, head.bottom() + 2.0, rect.width() - 22.0, bottom - head.bottom() - 2.0)


def wall_frames(rect: QRectF, scene: ChartsScene, look: Look) -> list[tuple[WallTrace, WallFrame]]:
    """Each wall with its frame; of a pair each has the half on the side of its plan: climb left, conventional right.

    Its work is on the side where that plan has it, so that a wall looks as on the plan, from the end instead of
    from above.
    """
    _, area = chart_area(rect, look)
    found, n = [], len(scene.walls)
    if n > 1:
        area = area.adjusted(0.0, look.small + 5.0, 0.0, 0.0)
    low, high = scene.error_range.low, scene.error_range.high
    for trace in scene.walls:
        width = area.width() / n
        left = area.left() + (width if n > 1 and trace.conventional else 0.0)
        plot = QRectF(left + 4.0, area.top(), max(width - 8.0, LEAST), max(area.height(), LEAST))
        out = 1.0 if trace.on_right else -1.0
        # A third of the width is work behind the deepest undercut.
        scale = 0.66 * plot.width() / (high - low)
        if out > 0:
            nominal = plot.left() + 0.06 * plot.width() + scale * high
        else:
            nominal = plot.right() - 0.06 * plot.width() - scale * high
        across = Axis(scene.error_range, nominal, -out * scale)
        found.append((trace, WallFrame(plot, across, Axis.over(WHOLE, plot.bottom(), plot.top()), out)))
    return found


def magnified(frame: WallFrame, scene: ChartsScene) -> float:
    """How many times the error is drawn larger than the depth."""
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units) * frame.scale
    return per_mm / (frame.plot.height() / scene.depth)


def paint_wall_axes(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """Title, the figures of the error below, and how it is drawn."""
    head, area = chart_area(rect, look)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_chart_title(painter, head, "wall", QUANTITIES["micro"].unit_in(scene.units), look)
    small = look.font("small")
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    missing = next((t.missing for t in scene.walls if t.missing), "")
    if missing:
        painter.drawText(area, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), missing)
        return
    frames = wall_frames(rect, scene, look)
    for trace, frame in frames:
        _paint_error_axis(painter, frame, scene, look)
        if len(frames) > 1:
            _paint_name(painter, trace, frame, look)
    times = magnified(frames[0][1], scene)
    foot = QRectF(area.left(), rect.bottom() - look.small - 8.0, area.width(), look.small + 5.0)
    told = round_factor(times)
    about = say("chart", "error_true") if times < 1.5 else say("chart", "error", times=told)
    about = fitting(
        small, foot.width(), about, say("chart", "error_short", times=told), say("chart", "error_least", times=told)
    )
    painter.setPen(look.color("soft"))
    painter.drawText(foot, Qt.AlignmentFlag.AlignCenter, about)


def name_place(trace: WallTrace, frame: WallFrame, look: Look) -> tuple[str, QRectF]:
    """Whose wall of a pair it is, over its middle."""
    direction = "conventional" if trace.conventional else "climb"
    names = (say("strip", direction), say("strip", f"{direction}_short"))
    text = fitting(look.font("small"), frame.plot.width(), *names)
    size = text_size(look.font("small"), text)
    middle = frame.plot.center().x()
    return text, QRectF(middle - size.width() / 2.0, frame.plot.top() - look.small - 6.0, size.width(), size.height())


def _paint_name(painter: QPainter, trace: WallTrace, frame: WallFrame, look: Look) -> None:
    text, box = name_place(trace, frame, look)
    painter.setFont(look.font("small"))
    painter.setPen(look.color("soft"))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _paint_error_axis(painter: QPainter, frame: WallFrame, scene: ChartsScene, look: Look) -> None:
    """Lines and figures of the error, as far apart as the figures need.

    A figure that would run into the other wall's is left out; its line stays.
    """
    chart = XYChart(frame.plot, frame.across.coarser(3.6 * look.small), frame.up)
    paint_across(painter, chart, look, Figures(plain(scene.error_range), 2.0, inside=2.0))


def paint_walls(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """The work up to the wall that is left, where it should stand, the tolerance, and the error at both ends."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units)
    for i, (trace, frame) in enumerate(wall_frames(rect, scene, look)):
        profile = trace.profile
        if profile is None:
            continue
        pinned = scene.pinned_walls[i] if i < len(scene.pinned_walls) else None
        share = profile.heights / scene.depth
        line = frame.points(per_mm * profile.error, share)
        back = frame.plot.right() if frame.out > 0 else frame.plot.left()
        outline = np.empty((len(line) + 2, 2))
        outline[:-2], outline[-2:, 0], outline[-2:, 1] = line, back, line[[-1, 0], 1]
        area = QPainterPath()
        area.addPolygon(polygon(outline))
        area.closeSubpath()
        paint_hatch(painter, area, look.work_hatch, ground=look.work)
        _paint_band(painter, trace, frame, scene, look)
        _paint_levels(painter, trace, frame, per_mm, look)
        if pinned is not None:
            _paint_pinned(painter, pinned, frame, scene, look)
        painter.setPen(look.pen("ink", "thick", dashed=trace.conventional))
        painter.drawPolyline(polygon(line))
        if scene.figures:
            _paint_ends(painter, trace, frame, scene, look)
            if pinned is not None:
                _paint_pinned_ends(painter, pinned, frame, scene, look)


def pinned_line(pinned: WallTrace, frame: WallFrame, scene: ChartsScene) -> np.ndarray | None:
    """Pixels (n, 2) of the pinned cut's wall from the tip up, no higher than the cut that is shown; None without one.

    Each height is at its own place, so that a wall of another depth ends lower or goes on beyond the picture.
    """
    if pinned.profile is None:
        return None
    heights, error = pinned.profile.heights, pinned.profile.error
    per_mm = QUANTITIES["micro"].shown(1000.0, scene.units)
    top = min(float(heights[-1]), scene.depth)
    seen = np.append(heights[heights < top], top)
    line = frame.points(per_mm * np.interp(seen, heights, error), seen / scene.depth)
    line[:, 0] = np.clip(line[:, 0], frame.plot.left(), frame.plot.right())
    return line


def _paint_pinned(painter: QPainter, pinned: WallTrace, frame: WallFrame, scene: ChartsScene, look: Look) -> None:
    """The wall of the pinned cut, thin and grey."""
    line = pinned_line(pinned, frame, scene)
    if line is not None:
        painter.setPen(look.pen("soft", "hair", dashed=pinned.conventional))
        painter.drawPolyline(polygon(line))


def _paint_pinned_ends(
    painter: QPainter, pinned: WallTrace, frame: WallFrame, scene: ChartsScene, look: Look
) -> None:
    """The pinned cut's error at its top and at the tip in grey, beside those of the cut that is shown."""
    small, line = look.font("small"), look.small + 6.0
    # Two lines at either end, or the figures of the cut that is shown have the room alone.
    if pinned.profile is None or frame.plot.height() < 4.5 * line:
        return
    painter.setFont(small)
    for i, y in ((-1, frame.plot.top() + 2.0 + line), (0, frame.plot.bottom() - look.small - 8.0 - line)):
        error = end_texts("", pinned.profile.error.item(i), None, scene.units)[0].strip()
        told = [say("pin", name, figure=error) for name in ("figure", "figure_short")]
        text = fitting(small, frame.plot.width() - 8.0, *told)
        _put_in_work(painter, text, y, frame, small, "soft", look)


def _put_in_work(painter: QPainter, text: str, y: float, frame: WallFrame, font: QFont, ink: str, look: Look) -> None:
    """Words in the work, where the wall itself is not; left out where they have no room."""
    size = text_size(font, text)
    if size.width() > frame.plot.width():
        return
    left = frame.plot.right() - size.width() - 4.0 if frame.out > 0 else frame.plot.left() + 4.0
    area = QRectF(left, y, size.width(), size.height())
    painter.fillRect(area.adjusted(-2.0, 0.0, 2.0, 0.0), look.color("work", 0.9))
    painter.setPen(look.color(ink))
    painter.drawText(baseline(area, font), text)


def band_outline(trace: WallTrace, frame: WallFrame, scene: ChartsScene) -> np.ndarray | None:
    """Pixels (n, 2) about where the wall may be, by the range of its error: kept on the picture; None without one."""
    if trace.band is None:
        return None
    heights, low, high = trace.band
    per_mm, share = QUANTITIES["micro"].shown(1000.0, scene.units), heights / scene.depth
    outline = np.concatenate([frame.points(per_mm * low, share), frame.points(per_mm * high, share)[::-1]])
    outline[:, 0] = np.clip(outline[:, 0], frame.plot.left(), frame.plot.right())
    return outline


def _paint_band(painter: QPainter, trace: WallTrace, frame: WallFrame, scene: ChartsScene, look: Look) -> None:
    """Where the wall may be, as far as what is known only roughly lets one tell."""
    outline = band_outline(trace, frame, scene)
    if outline is None:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.color("accent", 0.18))
    painter.drawPolygon(polygon(outline))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_levels(painter: QPainter, trace: WallTrace, frame: WallFrame, per_mm: float, look: Look) -> None:
    """Where the wall should stand, and on either side how far off it may be."""
    box = frame.plot
    painter.setPen(look.pen("accent", "hair", dashed=True))
    painter.drawLine(QPointF(frame.nominal, box.top()), QPointF(frame.nominal, box.bottom()))
    if trace.check is None:
        return
    painter.setPen(look.pen("warn" if trace.check.crossed else "soft", "line"))
    for sign in (-1.0, 1.0):
        x = frame.nominal + sign * frame.scale * per_mm * trace.check.limit
        if box.left() <= x <= box.right():
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))


def end_texts(where: str, error: float, ends: tuple[float, float] | None, units: Units) -> tuple[str, ...]:
    """The error (mm) at one end of the wall in words, the longest first: in two digits with its range, or without.

    Where the range is no wider than a tenth: to a tenth of a micrometre, or to a whole microinch.

    ends : of the range, mm; None while a hand moves a figure, when it is not known how wide it is.
    """
    small, decimals = QUANTITIES["micro"], min(QUANTITIES["micro"].decimals_in(units), 1)
    shown, least = small.shown(1000.0 * error, units), 0.5 * 10.0**-decimals
    fine = f"{where} {number(shown, decimals, signed=True)}"
    if abs(shown) < least:
        return (fine,)
    rough = f"{where} {'+' if error > 0.0 else ''}{rough_figure(1000.0 * error, 'micro', units, unit=False)}"
    if ends is None:
        return (rough,)
    low, high = (1000.0 * end for end in ends)
    if not is_wide(1000.0 * error, low, high) or small.shown(high - low, units) < least:
        return (fine,)
    return f"{rough}, {rough_ends(low, high, 'micro', units)}", rough


def _paint_ends(painter: QPainter, trace: WallTrace, frame: WallFrame, scene: ChartsScene, look: Look) -> None:
    """The error in words at the tip and at full depth."""
    assert trace.profile is not None
    small = look.font("small", bold=True)
    painter.setFont(small)
    errors = trace.profile.error
    for where, i, y in (
        ("at_top", -1, frame.plot.top() + 2.0),
        ("at_tip", 0, frame.plot.bottom() - look.small - 8.0),
    ):
        ends = None if trace.band is None else (trace.band[1].item(i), trace.band[2].item(i))
        text = fitting(
            small, frame.plot.width() - 8.0, *end_texts(say("chart", where), errors.item(i), ends, scene.units)
        )
        _put_in_work(painter, text, y, frame, small, "ink", look)
