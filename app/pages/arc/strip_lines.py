"""How the curves of the strips are told from one another: dash by direction, colour and letter by curve."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen

from app.kit.label_layout import text_size
from app.kit.look import Look
from app.kit.one_line import paint_words
from app.pages.arc.strip_places import StripFrame
from app.pages.arc.strips_scene import StripsScene, Trace
from core.maths.arrays import Array
from core.strips.strip_frame import Curve, StripCurves


def curve_pen(curve: Curve, trace: Trace, scene: StripsScene, look: Look) -> QPen:
    """The pen of a curve: dashed where it is conventional, dash and dot for the other one of a straddling pair.

    A colour means the same in Pair as alone: the dash tells the direction, colour and letter tell the curve.
    """
    return look.pen(curve.role, "line", dashed=trace.conventional, dotted=scene.dotted(trace))


def pair_curves(strip: StripCurves) -> tuple[Curve, ...]:
    """The curves that Pair shows of a strip: all but those that only compare two models."""
    return tuple(c for c in strip.curves if c.role in ("main", "third")) or strip.curves[:1]


def shown_curves(strip: StripCurves, scene: StripsScene) -> tuple[Curve, ...]:
    """The curves that are drawn of a strip."""
    return strip.curves if scene.other is None else pair_curves(strip)


End = tuple[float, str, str]
"""The end of a curve: its pixel, its letter, the name of its colour."""


def end_marks(scene: StripsScene, index: int, frame: StripFrame, look: Look) -> list[tuple[str, str, QRectF]]:
    """The letters at the right ends of a strip's curves: each with its colour's name and its place."""
    per_unit = scene.quantity(scene.own.strips[index]).shown(1.0, scene.units)
    ends: list[End] = []
    for trace in scene.traces:
        for curve in shown_curves(trace.strips[index], scene):
            value = curve.values.item(len(curve.values) - 1)
            if curve.mark and math.isfinite(value):
                ends.append((frame.y(per_unit * value), curve.mark, curve.role))
    return _apart(ends, frame, look)


def _apart(ends: list[End], frame: StripFrame, look: Look) -> list[tuple[str, str, QRectF]]:
    """Each letter's place: where two of a kind meet one serves both, those of different kinds are moved apart."""
    plot, line = frame.plot, look.small + 1.0
    apart: list[End] = []
    for end, mark, color in sorted(ends):
        y = min(max(end, plot.top()), plot.bottom())
        same = next((i for i, (at, other, _) in enumerate(apart) if other == mark and y - at < line), None)
        if same is not None:
            apart[same] = (apart[same][0], mark, "ink")
        else:
            apart.append((max(y, apart[-1][0] + line) if apart else y, mark, color))
    # Moved down out of the strip they move up again as one.
    over = max(apart[-1][0] - plot.bottom() - 0.5 * line, 0.0) if apart else 0.0
    return [(m, c, QRectF(plot.right() + 4.0, y - over - 0.5 * line, 14.0, line)) for y, m, c in apart]


def paint_peak_marks(
    painter: QPainter, curves: list[tuple[Array, Array, str, str]], frame: StripFrame, look: Look
) -> None:
    """The marks of curves that end inside the strip: x, y (n,) pixels, mark, colour; each at its own place."""
    font, plot = look.font("small", bold=True), frame.plot
    for i, (x, y, mark, color) in enumerate(curves):
        size = text_size(font, mark)
        at = int(len(x) * (i + 1) / (len(curves) + 1))
        if not np.isfinite(y[at]):
            continue
        top = min(max(float(y[at]) - size.height() / 2.0, plot.top()), plot.bottom() - size.height())
        box = QRectF(float(x[at]) - size.width() / 2.0 - 2.0, top, size.width() + 4.0, size.height())
        painter.fillRect(box, look.color("panel", 0.85))
        painter.setPen(look.color(color))
        paint_words(painter, QPointF(box.left() + 2.0, box.center().y() + 0.36 * look.small), font, mark)


def paint_end_marks(painter: QPainter, ends: list[End], frame: StripFrame, look: Look) -> None:
    """Paint the letters at the ends of a strip's curves."""
    font = look.font("small", bold=True)
    for mark, color, box in _apart(ends, frame, look):
        painter.setPen(look.color(color))
        paint_words(painter, QPointF(box.left(), box.center().y() + 0.36 * look.small), font, mark)
