"""The layers of the strips: axes, bands and words stand still; curves follow the setup; the line, the tooth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from app.kit.hatch import hatch_box
from app.kit.label_layout import text_size
from app.kit.look import NO_BRUSH, NO_PEN, SMOOTH, Look
from app.kit.readable_ranges import AxisRange
from app.kit.shapes import path, polygon, polyline
from app.kit.thickness_colours import gradient
from app.kit.xy_chart import (
    Axis,
    Figures,
    figure_height,
    narrow,
    paint_across,
    paint_figures_across,
    paint_readout,
    paint_up,
)
from app.pages.arc.plan_scene import readable_top
from app.pages.arc.strip_head import paint_head
from app.pages.arc.strip_lines import (
    End,
    curve_pen,
    paint_end_marks,
    paint_peak_marks,
    pair_curves,
    shown_curves,
)
from app.pages.arc.strip_places import StripFrame, left_of_plot, strip_frames
from app.pages.arc.strips_scene import WHOLE, StripsScene, Trace
from core.base.quantities import number, rough_number
from core.maths.angles import clock
from core.maths.arrays import Array
from core.strips.strip_frame import Band, Curve, Limit, StripCurves

STEPS = (1, 2, 3, 6)
"""Every how many ticks of the angle axis have a figure: as many as they have room."""

V_CENTRE = Qt.AlignmentFlag.AlignVCenter


def paint_axes(painter: QPainter, rect: QRectF, scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> None:
    """Grid, ticks and words of every strip, and the angle axis: clock above, degrees below."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    small, left = look.font("small"), left_of_plot(look)
    for strip, frame in zip(scene.own.strips, frames, strict=True):
        # In a low strip only every second or third tick is written, zero always among them.
        texts, every = narrow(frame.range, small, left - 10.0), frame.up.every(look.small + 4.0)
        paint_across(painter, frame, look)
        paint_up(painter, frame, look, Figures(texts, 6.0, left - 6.0, every, on_line=True), zero="soft")
        paint_head(painter, scene, strip, frame, look)
        if strip.missing:
            painter.setPen(look.color("soft"))
            painter.setFont(small)
            painter.drawText(frame.plot, Qt.AlignmentFlag.AlignCenter, strip.missing)
            painter.setFont(small)
        _paint_limits(painter, scene, strip, frame, look)
    if frames:
        _paint_angle_axis(painter, rect, scene, frames, look)


def paint_bands(painter: QPainter, scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> None:
    """The ranges of angle that the strips mark: cut, rubbing, skin, beyond the model; below everything else."""
    for i, frame in enumerate(frames):
        for trace in scene.traces:
            _paint_bands(painter, trace.strips[i].bands, scene.angles, frame, look)


def _paint_bands(
    painter: QPainter, bands: tuple[Band, ...], angles: AxisRange, frame: StripFrame, look: Look
) -> None:
    low, high = angles.low, angles.high
    for band in bands:
        left, right = frame.x(max(band.from_deg, low)), frame.x(min(band.to_deg, high))
        if right - left < 0.5:
            continue
        box = QRectF(left, frame.plot.top(), right - left, frame.plot.height())
        if band.kind == "cut":
            painter.fillRect(box, look.color("cut_band"))
            continue
        inks = {"rub": look.rub_hatch, "skin": look.skin, "end": look.warn}
        hatch_box(painter, box, inks[band.kind], 5, 0.9, steep=True)


def limit_labels(
    scene: StripsScene, strip: StripCurves, frame: StripFrame, look: Look
) -> list[tuple[Limit, float, QRectF]]:
    """The limits inside the axis: each with the height of its line in pixels and the place of its words.

    Above the line, or below it where the words would run into the head.
    """
    found = []
    for limit in scene.limits(strip):
        shown = scene.quantity(strip).shown(limit.value, scene.units)
        if frame.range.low <= shown <= frame.range.high:
            y, width = frame.y(shown), text_size(look.font("small"), limit.label).width()
            above = y - look.small - 5.0
            top = above if above >= frame.plot.top() else y + 1.0
            box = QRectF(frame.plot.right() - 6.0 - width, top, width, look.small + 4.0)
            found.append((limit, y, box))
    return found


def _paint_limits(painter: QPainter, scene: StripsScene, strip: StripCurves, frame: StripFrame, look: Look) -> None:
    painter.setFont(look.font("small"))
    for limit, y, box in limit_labels(scene, strip, frame, look):
        color = "warn" if limit.crossed else "soft"
        painter.setPen(look.pen(color, "line"))
        painter.drawLine(QPointF(frame.plot.left(), y), QPointF(frame.plot.right(), y))
        painter.setPen(look.color(color))
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | V_CENTRE, limit.label)


def _paint_angle_axis(
    painter: QPainter, rect: QRectF, scene: StripsScene, frames: Sequence[StripFrame], look: Look
) -> None:
    small = look.font("small")
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    hand = scene.own.results.setup.cutter.hand
    axis, first, last = frames[0].across, frames[0].plot, frames[-1].plot
    wide = text_size(small, "12:00").width()
    steps = [times * axis.range.step for times in STEPS]
    step = next((s for s in steps if s * axis.per_unit > wide + 8.0), steps[-1])
    axis = Axis(AxisRange(axis.range.low, axis.range.high, step), axis.zero, axis.per_unit)
    decimals, room = axis.range.decimals, wide + 20.0
    # The head of the first strip lies between the hours and its plot.
    over_head = first.top() - rect.top() - 8.0 - figure_height(look)
    hours = Figures(lambda phi: clock(phi, hand), over_head, room, above=True)
    paint_figures_across(painter, axis, first, look, hours)
    paint_figures_across(painter, axis, last, look, Figures(lambda phi: f"{number(phi, decimals)}°", 4.0, room))


def paint_curves(painter: QPainter, scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> None:
    """The curves of every strip."""
    painter.setRenderHint(SMOOTH)
    painter.setBrush(NO_BRUSH)
    for i, (strip, frame) in enumerate(zip(scene.own.strips, frames, strict=True)):
        per_unit = scene.quantity(strip).shown(1.0, scene.units)
        zero, pixels, plot = frame.up.zero, frame.up.per_unit * per_unit, frame.plot
        top, bottom = plot.top() - 2.0, plot.bottom() + 2.0
        filled = scene.other is None and strip.quantity == "chip_thickness"
        ends: list[End] = []
        peaks: list[tuple[Array, Array, str, str]] = []
        if scene.ghosts:
            _paint_ghosts(painter, scene, i, per_unit, frame, look)
        for trace in reversed(scene.traces):
            for curve in shown_curves(trace.strips[i], scene):
                if scene.angles != WHOLE:
                    curve = cut_to(curve, scene.angles)
                phi, values = curve.phi_deg, curve.values
                first, last, whole = 0, len(values), True
                # Most curves have no gap: their sum is a number.
                if not math.isfinite(np.add.reduce(values)):
                    finite = np.isfinite(values).nonzero()[0]
                    if not len(finite):
                        continue
                    # Only what is drawn, and a nan at each end of a gap: fewer points for the painter.
                    first, last = finite.item(0), finite.item(-1) + 1
                    phi, values = phi[first:last], values[first:last]
                    whole = len(finite) == last - first
                x, y = frame.x(phi), pixels * values
                y += zero
                if filled and curve is strip.curves[0]:
                    _paint_fill(
                        painter,
                        scene,
                        frame,
                        look,
                        x if whole else x[finite - first],
                        y if whole else y[finite - first],
                    )
                np.maximum(y, top, out=y)
                np.minimum(y, bottom, out=y)
                if curve.mark and last == len(curve.values):
                    ends.append((y.item(-1), curve.mark, curve.role))
                elif curve.mark:
                    peaks.append((x, y, curve.mark, curve.role))
                painter.setPen(curve_pen(curve, trace, scene, look))
                if whole:
                    painter.drawPolyline(polyline(x, y))
                else:
                    painter.drawPath(path(x, y))
        if ends:
            paint_end_marks(painter, ends, frame, look)
        if peaks:
            paint_peak_marks(painter, peaks, frame, look)


def cut_to(curve: Curve, angles: AxisRange) -> Curve:
    """A curve between the ends of an axis that shows a part of it: painters of files do not clip."""
    phi, values, ends = curve.phi_deg, curve.values, (angles.low, angles.high)
    inside = slice(phi.searchsorted(angles.low, "right"), phi.searchsorted(angles.high))
    at_ends = np.interp(ends, phi, values)
    return replace(
        curve,
        phi_deg=np.concatenate([ends[:1], phi[inside], ends[1:]]),
        values=np.concatenate([at_ends[:1], values[inside], at_ends[1:]]),
    )


def _paint_ghosts(
    painter: QPainter, scene: StripsScene, index: int, per_unit: float, frame: StripFrame, look: Look
) -> None:
    """The curves of the pinned cut, thin and grey, under those of the cut that is shown."""
    for ghost in scene.ghosts:
        painter.setPen(look.pen("soft", "hair", dashed=ghost.conventional))
        for curve in pair_curves(ghost.strips[index]):
            curve = curve if scene.angles == WHOLE else cut_to(curve, scene.angles)
            painter.drawPath(path(frame.x(curve.phi_deg), frame.y(per_unit * curve.values)))


def _paint_fill(painter: QPainter, scene: StripsScene, frame: StripFrame, look: Look, x: Array, y: Array) -> None:
    """Under the chip's curve, the colour of each height is the colour of that thickness on the plan."""
    base = frame.y(0.0)
    # Down to the axis at both ends.
    outline = np.empty((len(x) + 2, 2))
    outline[1:-1, 0], outline[1:-1, 1] = x, y
    outline[0], outline[-1] = (x[0], base), (x[-1], base)
    thickest = scene.top or readable_top(scene.own.results, scene.units)
    top = frame.y(scene.quantity(scene.own.strips[0]).shown(thickest, scene.units))
    painter.setPen(NO_PEN)
    painter.setBrush(gradient(QPointF(0.0, base), QPointF(0.0, top), look.thick_is_dark, 0.5))
    painter.drawPolygon(polygon(outline))
    painter.setBrush(NO_BRUSH)


def paint_line(painter: QPainter, scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> None:
    """The active tooth's line through all strips, and its value on each; one line for each of a pair."""
    if not frames:
        return
    painter.setRenderHint(SMOOTH)
    top = frames[0].head.top() - 1.0
    for trace in reversed(scene.traces):
        x = line_x(trace, frames[0], scene)
        if x is None:
            continue
        painter.setPen(look.pen("accent", "line", dashed=trace.conventional, dotted=scene.dotted(trace)))
        # The line stays out of the heads, and of what is told instead of curves: it would strike out the words.
        for strip, frame in zip(scene.own.strips, frames, strict=True):
            if strip.missing:
                continue
            painter.drawLine(QPointF(x, frame.plot.top()), QPointF(x, frame.plot.bottom()))
        painter.setPen(NO_PEN)
        painter.setBrush(look.color("accent"))
        grip = [QPointF(x - 6.0, top - 9.0), QPointF(x + 6.0, top - 9.0), QPointF(x, top + 1.0)]
        painter.drawPolygon(QPolygonF(grip))
    if not scene.figures:
        return
    left = None if scene.other is None else _left_of_two(scene, frames[0], look)
    for i, (strip, frame) in enumerate(zip(scene.own.strips, frames, strict=True)):
        taken = [box for _, _, box in limit_labels(scene, strip, frame, look)]
        for trace in scene.traces:
            if trace is left:
                _paint_value(painter, scene, trace, trace.strips[i], frame, look, taken, left_first=True)
            else:
                _paint_value(painter, scene, trace, trace.strips[i], frame, look, taken)
        for ghost in scene.ghosts:
            _paint_value(painter, scene, ghost, ghost.strips[i], frame, look, taken, pinned=True)


def _left_of_two(scene: StripsScene, frame: StripFrame, look: Look) -> Trace | None:
    """The left one of two lines so close together that each figure must stand on its own side; None of others."""
    left, right = sorted(scene.traces, key=lambda trace: trace.angle_deg)
    apart = frame.x(right.angle_deg) - frame.x(left.angle_deg)
    return left if 0.0 < apart < CLOSE * look.text else None


CLOSE = 10.0
"""Distance of two lines, by the size of the type, under which their figures would stand beyond one another's line."""


def line_x(trace: Trace, frame: StripFrame, scene: StripsScene) -> float | None:
    """Pixel of the active tooth's line; None where it is off the axis."""
    return frame.x(trace.angle_deg) if scene.angles.low <= trace.angle_deg <= scene.angles.high else None


def _paint_value(
    painter: QPainter,
    scene: StripsScene,
    trace: Trace,
    strip: StripCurves,
    frame: StripFrame,
    look: Look,
    taken: list[QRectF],
    *,
    pinned: bool = False,
    left_first: bool = False,
) -> None:
    value = trace.value_at(strip)
    x = line_x(trace, frame, scene)
    if math.isnan(value) or x is None:
        return
    q, plot = scene.quantity(strip), frame.plot
    shown = q.shown(value, scene.units)
    at = QPointF(x, min(max(frame.y(shown), plot.top()), plot.bottom()))
    color = "soft" if pinned else "accent"
    text = (rough_number if strip.rough else number)(shown, q.decimals_in(scene.units))
    paint_readout(painter, at, text, frame, look, taken, color, left_first=left_first)


def paint_strips(painter: QPainter, rect: QRectF, scene: StripsScene, look: Look) -> None:
    """All strips on a rectangle of any painter: screen, PNG, SVG, PDF."""
    frames = strip_frames(rect, scene, look)
    painter.save()
    paint_bands(painter, scene, frames, look)
    paint_axes(painter, rect, scene, frames, look)
    paint_curves(painter, scene, frames, look)
    paint_line(painter, scene, frames, look)
    painter.restore()
