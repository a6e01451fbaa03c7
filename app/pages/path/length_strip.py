"""The strip along the path's length: the quantity, the direction under it, the limit that can be dragged."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.kit.label_layout import text_size
from app.kit.look import SMOOTH, Look, look
from app.kit.readable_ranges import AxisRange, readable_step
from app.kit.shapes import polygon, polyline
from app.kit.smaller_type import type_that_fits
from app.kit.tiled_pixmap import clear_picture, painter_on
from app.kit.xy_chart import Figures, XYChart, paint_figures_across, paint_up, plain, widest_figure
from app.pages.path.path_painting import way_pen
from app.pages.path.path_scene import QUANTITY_IDS, PathScene, axis_in, runs, told, unit_of
from app.pages.path.path_state import PathState
from app.state.view_state import ViewState
from core.base.quantities import QUANTITIES, Units
from core.base.words import say
from core.maths.arrays import Array
from core.path.samples import WAYS

WAYS_HIGH = 12.0
"""Pixels of the row that tells the direction."""

UNKNOWN = {"wall": "no_wall", "heat": "no_heat"}
"""What is told where a quantity has no values."""


def plot_area(rect: QRectF, theme: Look) -> QRectF:
    """Where the curve is drawn."""
    figures, unit = max(64.0, 3.0 * theme.small + 10.0), max(38.0, 2.4 * theme.small + 6.0)
    return rect.adjusted(figures, theme.text + 14.0, -unit, -(WAYS_HIGH + theme.small + 14.0))


def strip_title(scene: PathScene, units: Units) -> str:
    """What stands over the curve."""
    title = say(
        "path_page", "along", quantity=say("path_quantity", scene.quantity), unit=unit_of(scene.quantity, units)
    )
    heat = scene.whole.heat
    if scene.quantity == "heat" and heat is not None and heat.ended.any():
        title = f"{title}; {say('path_page', 'heat_ends')}"
    return title if scene.beside is None else f"{title}; {say('path_page', 'beside_line')}"


def title_look(scene: PathScene, rect: QRectF, units: Units, theme: Look) -> Look:
    """The look in the largest type in which the title has room."""
    title, room = strip_title(scene, units), rect.right() - 10.0 - plot_area(rect, theme).left()
    return type_that_fits(theme, lambda tried: text_size(tried.font("text", bold=True), title).width() <= room)


def paint_strip(painter: QPainter, rect: QRectF, scene: PathScene, units: Units, theme: Look) -> None:
    """Everything that stands still."""
    painter.setRenderHint(SMOOTH)
    plot = plot_area(rect, theme)
    samples, length = scene.whole.samples, scene.length
    q = QUANTITIES[QUANTITY_IDS[scene.quantity]]
    painter.setFont(title_look(scene, rect, units, theme).font("text", bold=True))
    painter.setPen(theme.color("ink"))
    title = strip_title(scene, units)
    painter.drawText(QPointF(plot.left(), rect.top() + theme.text + 4.0), title)
    shown, top = axis_in(scene, units), q.house(axis_in(scene, units).high, units)
    mm = QUANTITIES["length"]
    end = mm.shown(length, units)
    along = AxisRange(0.0, end, readable_step(end, 8))
    chart = XYChart.filling(plot, along, shown)
    beside = Figures(plain(shown), 6.0, plot.left() - rect.left() - 6.0, every=chart.up.every(theme.small + 3.0))
    paint_up(painter, chart, theme, beside)
    every = chart.across.every(widest_figure(along, theme.font("small")) + 8.0)
    under = Figures(plain(along), WAYS_HIGH + 4.0, every=every)
    paint_figures_across(painter, chart.across, plot, theme, under)
    painter.setFont(theme.font("small"))
    painter.setPen(theme.color("soft"))
    room = rect.right() - plot.right() - 8.0
    unit = QRectF(plot.right() + 6.0, plot.bottom() + WAYS_HIGH + 4.0, room, theme.small + 5.0)
    painter.drawText(unit, Qt.AlignmentFlag.AlignCenter, mm.unit_in(units))
    along_x = plot.left() + plot.width() * samples.s / length
    points = np.stack([along_x, plot.bottom() - plot.height() * scene.values / top], 1)
    if scene.known:
        _paint_curve(painter, scene, plot, points, theme, top)
        _paint_beside(painter, scene, plot, theme, top)
    else:
        painter.setPen(theme.color("soft"))
        painter.drawText(
            plot, Qt.AlignmentFlag.AlignCenter, say("path_page", UNKNOWN.get(scene.quantity, "no_force"))
        )
    low = np.stack([along_x, np.full(len(along_x), plot.bottom() + 3.0 + WAYS_HIGH / 2.0)], 1)
    for id, row in runs(low, samples.way[:-1], scene.goes_on).items():
        painter.setPen(way_pen(WAYS[id], theme, "thick"))
        # Each stretch by itself: the dash begins anew where the direction changes.
        for part in np.split(row, np.flatnonzero(np.isnan(row[:, 0]))):
            part = part[~np.isnan(part[:, 0])]
            if len(part) > 1:
                painter.drawLine(QPointF(*part[0].tolist()), QPointF(*part[-1].tolist()))


def known_parts(points: Array) -> list[Array]:
    """Points (n, 2) of a curve in stretches whose values are known: what is not known is a gap, not nothing."""
    known = np.isfinite(points[:, 1])
    ends = np.flatnonzero(np.diff(known)) + 1
    return [part for part in np.split(points, ends) if np.isfinite(part[0, 1])]


def _paint_curve(
    painter: QPainter, scene: PathScene, plot: QRectF, points: np.ndarray, theme: Look, top: float
) -> None:
    for part in known_parts(points):
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.brush("cut_band", 0.7))
        painter.drawPolygon(polygon(np.vstack([[part[0, 0], plot.bottom()], part, [part[-1, 0], plot.bottom()]])))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(theme.pen("main", "line"))
        painter.drawPolyline(polyline(part[:, 0], part[:, 1]))
    if scene.limit is None:
        return
    y = plot.bottom() - plot.height() * min(scene.limit / top, 1.0)
    painter.setPen(theme.pen("warn", "line"))
    # What is over the limit is hatched between the line and the curve.
    for x in np.arange(plot.left() + 2.0, plot.right(), 5.0).tolist():
        height = float(np.interp(x, points[:, 0], points[:, 1]))
        if height < y - 0.5:
            painter.drawLine(QLineF(x, y, x + 4.0, max(height, y - 4.0 * (y - height))))
    painter.setPen(theme.pen("warn", "thick"))
    painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))


def _paint_beside(painter: QPainter, scene: PathScene, plot: QRectF, theme: Look, top: float) -> None:
    """The path that is compared, along its own length: a thin line."""
    other = scene.beside
    if other is None or not np.isfinite(other.values).any():
        return
    x = plot.left() + plot.width() * other.s / scene.length
    y = plot.bottom() - plot.height() * other.values / top
    painter.setPen(theme.pen("soft", "line"))
    for part in known_parts(np.stack([x, y], 1)):
        painter.drawPolyline(polyline(part[:, 0], part[:, 1]))


def paint_hand(painter: QPainter, rect: QRectF, scene: PathScene, s: float, units: Units, theme: Look) -> None:
    """The place under the hand: a line, and its value beside it."""
    plot = plot_area(rect, theme)
    x = plot.left() + plot.width() * s / scene.length
    painter.setPen(theme.pen("accent", "thick"))
    painter.drawLine(QPointF(x, plot.top() - 4.0), QPointF(x, plot.bottom() + 4.0 + WAYS_HIGH))
    value = float(np.interp(s, scene.whole.samples.s, scene.values)) if scene.known else float("nan")
    text = told(value, scene.quantity, units)
    font = theme.font("small", bold=True)
    size = text_size(font, text)
    # Beside the line, but never over the title: under it where that leaves no room.
    titled = title_look(scene, rect, units, theme).font("text", bold=True)
    title = plot.left() + text_size(titled, strip_title(scene, units)).width() + 12.0
    last = rect.right() - size.width() - 10.0
    left, top = (max(x + 6.0, title), rect.top() + 2.0) if title <= last else (x + 6.0, plot.top() + 2.0)
    box = QRectF(min(left, last), top, size.width() + 6.0, size.height() + 2.0)
    painter.fillRect(box, theme.color("panel", 0.9))
    painter.setFont(font)
    painter.setPen(theme.color("ink"))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


class LengthStrip(QWidget):
    """The strip under the hand: drag along it to go along the path, drag the limit up and down."""

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state, self.view = state, view
        self.scene: PathScene | None = None
        self._still: QPixmap | None = None
        self._limit_held = False
        self.setMinimumHeight(130)
        self.setMouseTracking(True)
        self.setAccessibleName(say("path_page", "strip_name"))
        state.moved.connect(self._moved)

    def _moved(self, _: float) -> None:
        self.update()

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(800, 170)

    def show_scene(self, scene: PathScene | None) -> None:
        """Another scene."""
        self.scene, self._still = scene, None
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size."""
        super().resizeEvent(event)
        self._still = None

    def paintEvent(self, event: QPaintEvent) -> None:
        """The kept picture and the line of the hand."""
        painter, theme, rect = QPainter(self), look(self.view.theme), QRectF(self.rect())
        painter.fillRect(rect, theme.color("panel"))
        if self.scene is not None:
            if self._still is None:
                self._still = clear_picture(rect, self.devicePixelRatioF())
                inside = painter_on(self._still, rect)
                paint_strip(inside, rect, self.scene, self.view.units, theme)
                inside.end()
            painter.drawPixmap(0, 0, self._still)
            paint_hand(painter, rect, self.scene, self.state.s, self.view.units, theme)
        painter.end()

    def _top(self) -> float:
        assert self.scene is not None
        q = QUANTITIES[QUANTITY_IDS[self.scene.quantity]]
        return q.house(axis_in(self.scene, self.view.units).high, self.view.units)

    def _on_limit(self, y: float) -> bool:
        if self.scene is None or self.scene.limit is None:
            return False
        plot = plot_area(QRectF(self.rect()), look(self.view.theme))
        return abs(plot.bottom() - plot.height() * self.scene.limit / self._top() - y) <= 5.0

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the limit, or go there."""
        if event.button() != Qt.MouseButton.LeftButton or self.scene is None:
            return
        self.state.set("playing", False)
        self._limit_held = self._on_limit(event.position().y())
        if not self._limit_held:
            self._go(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held."""
        if self.scene is None:
            return
        over_limit = self._limit_held or self._on_limit(event.position().y())
        self.setCursor(Qt.CursorShape.SizeVerCursor if over_limit else Qt.CursorShape.SizeHorCursor)
        if not event.buttons() & Qt.MouseButton.LeftButton:
            return
        if self._limit_held:
            plot = plot_area(QRectF(self.rect()), look(self.view.theme))
            share = (plot.bottom() - event.position().y()) / plot.height()
            self.state.set_limit(min(max(share, 0.01), 1.0) * self._top())
        else:
            self._go(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._limit_held = False

    def _go(self, x: float) -> None:
        assert self.scene is not None
        plot = plot_area(QRectF(self.rect()), look(self.view.theme))
        self.state.go((x - plot.left()) / plot.width() * self.scene.length)
