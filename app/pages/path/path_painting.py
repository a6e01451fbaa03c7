"""The path over its stock on any painter: direction by dash, value by a band of colour, hatching over the limit."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.kit.hatch import paint_hatch
from app.kit.label_layout import text_size
from app.kit.look import SMOOTH, Look, two_dashes
from app.kit.shapes import path as shape_of
from app.kit.shapes import polygon
from app.kit.smaller_type import type_that_fits
from app.kit.thickness_colours import colour_of, paint_scale
from app.pages.path.path_scene import (
    STEPS,
    Fit,
    PathScene,
    fitted,
    hatch_ticks,
    over,
    rapid_lines,
    runs,
    told,
)
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.maths.arrays import Array
from core.path.samples import WAYS, Samples

HEAD, FOOT = 22.0, 40.0
"""Pixels over and under the drawn path: the title; the scale of colours and what the dashes mean."""

BAND = 5.0
"""Width of the band of colour, pixels, beside that of the line on it."""


def fit_in(box: tuple[float, float, float, float], rect: QRectF, look: Look) -> Fit:
    """Where a box of mm stands in a rectangle."""
    head, foot = HEAD + look.text, FOOT + look.small
    room = rect.adjusted(12.0, head, -12.0, -foot)
    return fitted(box, room.left(), room.top(), max(room.width(), 10.0), max(room.height(), 10.0))


def margins(rect: QRectF, look: Look) -> tuple[QRectF, QRectF]:
    """Where title and legend stand."""
    head, foot = HEAD + look.text, FOOT + look.small
    return (
        QRectF(rect.left(), rect.top(), rect.width(), head - 8.0),
        QRectF(rect.left(), rect.bottom() - foot + 8.0, rect.width(), foot - 8.0),
    )


def stock_shape(scene: PathScene, fit: Fit) -> QPainterPath:
    """The stock's outline in pixels, arcs drawn as chords; loops in loops are holes."""
    shape = QPainterPath()
    shape.setFillRule(Qt.FillRule.OddEvenFill)
    for loop in scene.whole.stock.loops:
        points = []
        for i, start in enumerate(loop.points_mm):
            points.append(start[None])
            sweep = float(loop.sweep_rad[i])
            if sweep:
                out = start - loop.centre_mm[i]
                first, rho = math.atan2(out[1], out[0]), math.hypot(*out)
                angle = first + sweep * np.linspace(0.0, 1.0, 2 + int(abs(sweep) * 24))[1:-1]
                points.append(loop.centre_mm[i] + rho * np.stack([np.cos(angle), np.sin(angle)], 1))
        shape.addPolygon(polygon(fit.place(np.vstack(points))))
        shape.closeSubpath()
    return shape


def paint_stock(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """The whole stock, hatched as cut material."""
    painter.setRenderHint(SMOOTH)
    shape = stock_shape(scene, fit)
    paint_hatch(painter, shape, look.work_hatch, ground=look.work)
    painter.strokePath(shape, look.pen("soft", "line"))


def paint_cleared(painter: QPainter, points: Array, fit: Fit, radius: float, look: Look) -> None:
    """What the cutter has cleared along runs of the path (rows of nan between them), mm."""
    if not len(points):
        return
    pen = QPen(look.color("panel"), 2.0 * radius * fit.scale)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pixels = fit.place(points)
    painter.setRenderHint(SMOOTH)
    painter.strokePath(shape_of(pixels[:, 0], pixels[:, 1]), pen)


def way_pen(way: str, look: Look, width: str | float = "line") -> QPen:
    """Climb solid, conventional dashed, straddling dotted, air thin."""
    if way == "air":
        return look.pen("reference", "hair")
    return look.pen("ink", width, dashed=way == "conventional", dotted=way == "straddling")


def _contrast(look: Look, *, dark: bool) -> QColor:
    """Ink or panel, whichever is the darker or the lighter."""
    ink, panel = look.color("ink"), look.color("panel")
    return ink if (ink.lightnessF() < panel.lightnessF()) == dark else panel


def paint_path(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """Band of colour, the line by direction over it, hatching where the value is over its limit."""
    painter.setRenderHint(SMOOTH)
    paint_rapids(painter, scene, fit, look)
    paint_beside(painter, scene, fit, look)
    pixels = fit.place(scene.points)
    whole, top = scene.whole, scene.range.high
    if scene.known:
        share = np.nan_to_num(np.minimum(scene.values[1:], np.inf)) / top
        step = np.clip((share * STEPS).astype(int), 0, STEPS - 1)
        cuts = (whole.samples.way[:-1] > 0) & np.isfinite(scene.values[1:])
        for id, points in sorted(runs(pixels, np.where(cuts, step, -1), scene.goes_on).items()):
            pen = QPen(colour_of((id + 0.5) / STEPS, look.thick_is_dark), BAND + 1.5 * look.line)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.strokePath(shape_of(points[:, 0], points[:, 1]), pen)
    # The line is dark on light colours and light on dark ones.
    bright = np.nan_to_num(scene.values[1:]) / top > 0.5 if scene.known else np.ones(len(pixels) - 1, bool)
    bright = bright != (scene.known and look.thick_is_dark)
    for id, points in runs(pixels, 2 * whole.samples.way[:-1] + bright, scene.goes_on).items():
        way = WAYS[id // 2]
        pen = QPen(way_pen(way, look, look.line))
        if way != "air" and scene.known:
            pen.setColor(_contrast(look, dark=bool(id % 2)))
        painter.strokePath(shape_of(points[:, 0], points[:, 1]), pen)
    ticks = hatch_ticks(pixels, over(scene), 0.5 * BAND + 6.0)
    painter.setPen(look.pen("warn", "line"))
    painter.drawLines([QLineF(*row) for row in ticks.tolist()])


def paint_beside(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """The path that is compared: a thin line in its place."""
    if scene.beside is None:
        return
    painter.setRenderHint(SMOOTH)
    pixels = fit.place(scene.beside.points)
    every = np.zeros(max(len(pixels) - 1, 0), int)
    for points in runs(pixels, every, scene.beside.goes_on).values():
        painter.strokePath(shape_of(points[:, 0], points[:, 1]), look.pen("soft", "line"))


def paint_rapids(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """Where the program goes at rapid: hair lines under everything."""
    lines = rapid_lines(scene.whole)
    if not len(lines):
        return
    painter.setRenderHint(SMOOTH)
    painter.setPen(look.pen("reference", "hair"))
    ends = np.hstack([fit.place(lines[:, :2]), fit.place(lines[:, 2:])])
    painter.drawLines([QLineF(*row) for row in ends.tolist()])


def paint_ridges(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """Rings as wide as the ridges that are left, with a cross in each."""
    painter.setPen(look.pen("warn", "line"))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for ridge in (ridge for level in scene.whole.levels or () for ridge in level.ridges):
        x, y = fit.place(np.array([[ridge.x, ridge.y]]))[0].tolist()
        half = max(0.5 * ridge.width * fit.scale, 4.0)
        painter.drawEllipse(QPointF(x, y), half, half)
        for a, b in ((half, half), (half, -half)):
            painter.drawLine(QPointF(x - 0.7 * a, y - 0.7 * b), QPointF(x + 0.7 * a, y + 0.7 * b))


def paint_worst_marks(painter: QPainter, scene: PathScene, fit: Fit, look: Look) -> None:
    """The numbers of the worst places beside the path, over the ridges."""
    paint_ridges(painter, scene, fit, look)
    font = look.font("small", bold=True)
    painter.setFont(font)
    taken: list[QRectF] = []
    for i, row in enumerate(scene.whole.worst or (), 1):
        x, y = fit.place(np.array([[row["x_mm"], row["y_mm"]]]))[0].tolist()
        size = text_size(font, str(i))
        box = QRectF(x + 9.0, y - 9.0 - size.height(), size.width() + 6.0, size.height())
        if any(box.intersects(other) for other in taken):
            continue
        taken.append(box)
        painter.setPen(look.pen("soft", "hair"))
        painter.setBrush(look.color("panel"))
        painter.drawRoundedRect(box, 3.0, 3.0)
        painter.setPen(look.color("ink"))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(i))


SAMPLE = 42.0
"""Length of a line in the legend, pixels, where it shows its dashes."""


def paint_legend(painter: QPainter, scene: PathScene, rect: QRectF, title: str, units: Units, look: Look) -> None:
    """Title above; below the scale of colours and the three lines."""
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    head = QRectF(rect.left() + 14.0, rect.top() + 4.0, rect.width() - 28.0, look.text + 12.0)
    painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
    y = rect.bottom() - look.small - 14.0
    x = rect.left() + 14.0
    # A sample shows its dashes; where the lines are heavy a thinner one does in less room.
    wide = "thick" if two_dashes(look.thick) <= SAMPLE else "line"
    sample = max(SAMPLE, two_dashes(getattr(look, wide)))
    ways = [say("path_direction", way) for way in ("climb", "conventional", "straddling")]

    def fits(tried: Look) -> bool:
        words = sum(text_size(tried.font("small"), word).width() + sample for word in ways)
        return x + words + 2.0 * 24.0 + 9.0 <= rect.right()

    titled = head.left() + text_size(look.font("text", bold=True), title).width() + 24.0
    look = type_that_fits(look, fits)
    font = look.font("small")
    for way in ("climb", "conventional", "straddling"):
        painter.setPen(way_pen(way, look, wide))
        painter.drawLine(QPointF(x, y), QPointF(x + sample, y))
        word = say("path_direction", way)
        width = text_size(font, word).width()
        painter.setFont(font)
        painter.setPen(look.color("soft"))
        box = QRectF(x + sample + 5.0, y - look.small, width + 4.0, 2.0 * look.small)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, word)
        x += sample + width + 24.0
    if scene.known:
        # The long name stands over the strip already.
        name = (
            QUANTITIES["temperature_rise"].symbol
            if scene.quantity == "heat"
            else say("path_quantity", scene.quantity)
        )
        low, high = f"{name} 0", told(scene.range.high, scene.quantity, units)
        need = sum(text_size(font, text).width() for text in (low, high)) + 12.0
        bar = QRectF(max(x + 4.0, rect.right() - 254.0), y - 5.0, 0.0, 9.0)
        bar.setRight(rect.right() - 40.0)
        if bar.width() < need:
            # Beside the title, where the legend of large type leaves no room.
            bar = QRectF(max(bar.right() - need, titled), rect.top() + 8.0, 0.0, 9.0)
            bar.setRight(rect.right() - 40.0)
        if bar.width() >= max(need, 60.0) - 1.0:
            paint_scale(painter, bar, look, low, high)


def paint_cutter(painter: QPainter, scene: PathScene, fit: Fit, here: Samples, look: Look) -> None:
    """The cutter at its place, the feed, and the arc that is engaged."""
    painter.setRenderHint(SMOOTH)
    centre = QPointF(*fit.place(here.places.place)[0].tolist())
    r = scene.whole.path.radius * fit.scale
    painter.setPen(look.pen("cutter_line", "line"))
    painter.setBrush(look.brush("cutter", 0.55))
    painter.drawEllipse(centre, r, r)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    heading = math.degrees(float(here.places.heading[0]))
    side = -1.0 if scene.whole.path.left else 1.0
    dashed = WAYS[int(here.way[0])] == "conventional"
    pen = QPen(look.pen("accent", look.thick + 2.0, dashed=dashed))
    painter.setPen(pen)
    box = QRectF(centre.x() - r, centre.y() - r, 2.0 * r, 2.0 * r)
    for entry, leave in np.degrees(np.stack([here.engaged.entry, here.engaged.exit], 1)).tolist():
        # phi runs clockwise from 9 o'clock, with 12 o'clock along the feed; Qt's angles run the other way.
        start = heading + side * (90.0 - entry)
        painter.drawArc(box, round(16.0 * start), round(-16.0 * side * (leave - entry)))
    tip = QPointF(
        centre.x() + (r + 14.0) * math.cos(math.radians(heading)),
        centre.y() - (r + 14.0) * math.sin(math.radians(heading)),
    )
    painter.setPen(look.pen("ink", "line"))
    painter.drawLine(centre, tip)
    painter.setBrush(look.brush("ink"))
    back = math.radians(heading + 180.0)
    wing = [
        QPointF(tip.x() + 8.0 * math.cos(back + a), tip.y() - 8.0 * math.sin(back + a)) for a in (-0.42, 0.0, 0.42)
    ]
    painter.drawPolygon([tip, wing[0], wing[2]])
    painter.setBrush(Qt.BrushStyle.NoBrush)


def cleared_runs(scene: PathScene, first: int, last: int, z: float) -> Array:
    """The path from sample ``first`` to ``last`` where its tip is at or below ``z``, (k, 2) mm, nan between runs."""
    at = scene.whole.samples.places
    part = slice(first, last + 1)
    low = ~at.air[part] & (at.z[part] <= z + 1e-6)
    both = low[1:] & low[:-1] & scene.goes_on[first:last]
    found = runs_of(scene.points[part], both)
    return found


def runs_of(points: Array, goes_on: np.ndarray) -> Array:
    """Points with a row of nan after each stretch that goes on."""
    if not goes_on.any():
        return np.zeros((0, 2))
    starts = goes_on & ~np.concatenate([[False], goes_on[:-1]])
    rows = []
    ends = np.flatnonzero(goes_on & ~np.concatenate([goes_on[1:], [False]])) + 1
    for a, b in zip(np.flatnonzero(starts).tolist(), ends.tolist(), strict=True):
        rows += [points[a : b + 1], np.full((1, 2), np.nan)]
    return np.vstack(rows)
