"""Why one direction is steadier, painted: both arcs with chip and force, and how far each axis gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.kit.jobs import Jobs
from app.kit.look import CENTRE, NO_BRUSH, SMOOTH, Look, look
from app.kit.shapes import polyline
from app.state.view_state import ViewState
from core.base.quantities import Units, number
from core.base.words import say
from core.chatter.why_direction import Pushing, WhyDirection, why_direction
from core.maths.arrays import Array
from core.report.chatter_sentence import why_words
from core.setup.setup import Setup


def paint_why(painter: QPainter, rect: QRectF, found: WhyDirection | None, units: Units, theme: Look) -> None:
    """Climb and conventional side by side, the words below."""
    painter.setRenderHint(SMOOTH)
    line = theme.small + 6.0
    flags = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
    painter.setPen(theme.color("ink"))
    painter.setFont(theme.font("text"))
    if found is None or found.missing:
        painter.drawText(rect.adjusted(16.0, 16.0, -16.0, 0.0), flags, why_words(found, units))
        return
    size = min(rect.width() / 2.0 - 12.0, 0.5 * rect.height())
    told, font = why_words(found, units), theme.font("text")
    room = QRectF(0.0, 0.0, rect.width() - 24.0, 4000.0)
    if QFontMetricsF(font).boundingRect(room, flags, told).height() > rect.height() - size - 2.4 * line:
        # The words go first: smaller ones, then smaller pictures.
        font = theme.font("small")
        need = QFontMetricsF(font).boundingRect(room, flags, told).height()
        size = max(min(size, rect.height() - need - 2.6 * line), 0.3 * rect.height())
    for i, way in enumerate(found.ways):
        box = QRectF(rect.left() + 8.0 + i * (size + 8.0), rect.top() + line, size, size)
        _paint_way(painter, box, way, found, theme)
    words = QRectF(rect.left() + 12.0, rect.top() + 2.4 * line + size, rect.width() - 24.0, rect.height())
    painter.setFont(font)
    painter.setPen(theme.color("ink"))
    painter.drawText(words, flags, told)


def _paint_way(painter: QPainter, box: QRectF, way: Pushing, found: WhyDirection, theme: Look) -> None:
    """One direction: seen along the spindle onto the work, the feed upward."""
    dashed = way.direction == "conventional"
    centre, radius = box.center(), 0.33 * box.width()
    side = -1.0 if found.setup.cutter.hand == "left" else 1.0

    def at(vector: Array, length: float) -> QPointF:
        return centre + QPointF(side * float(vector[0]) * length, -float(vector[1]) * length)

    painter.setFont(theme.font("small", bold=way.direction == found.steadier))
    painter.setPen(theme.color("ink"))
    painter.drawText(
        QRectF(box.left(), box.top() - 4.0, box.width(), theme.small + 6.0), CENTRE, say("way", way.direction)
    )
    painter.setBrush(NO_BRUSH)
    painter.setPen(theme.pen("cutter_line", "hair"))
    painter.drawEllipse(centre, radius, radius)
    phi = np.linspace(way.entry, way.leave, 60)
    painter.setPen(theme.pen("ink", "thick", dashed=dashed))
    painter.drawPolyline(polyline(centre.x() - side * radius * np.cos(phi), centre.y() - radius * np.sin(phi)))
    greatest = max(found.soft)
    for axis, name in enumerate("xy"):
        length = 0.9 * radius * float(found.soft[axis]) / greatest if greatest else 0.0
        direction = np.eye(2)[axis]
        painter.setPen(theme.pen("second", "thick", dashed=axis == 1))
        if length > 2.0:
            _arrow(painter, centre, at(direction, length))
            _arrow(painter, centre, at(-direction, length))
        painter.setFont(theme.font("small"))
        painter.setPen(theme.color("soft"))
        told = say("chatter_why", "factor", axis=name, factor=number(abs(float(way.back[axis])), 2))
        row = QRectF(box.left(), box.bottom() - (2 - axis) * (theme.small + 5.0), box.width(), theme.small + 5.0)
        painter.drawText(row, CENTRE, told)
    chip = at(way.chip, 1.32 * radius)
    painter.setPen(theme.pen("third", "line", dotted=True))
    painter.drawLine(centre, chip)
    painter.setPen(theme.pen("accent", "thick"))
    _arrow(painter, at(way.chip, radius), at(way.chip, radius) + (at(way.force, 0.6 * radius) - centre))


def _arrow(painter: QPainter, start: QPointF, end: QPointF) -> None:
    painter.drawLine(start, end)
    angle = math.atan2(end.y() - start.y(), end.x() - start.x())
    for turn in (2.7, -2.7):
        painter.drawLine(end, end + QPointF(8.0 * math.cos(angle + turn), 8.0 * math.sin(angle + turn)))


class WhyView(QWidget):
    """The picture as a widget; it is worked out beside the window."""

    def __init__(self, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.jobs = Jobs(self)
        self.found: WhyDirection | None = None
        self.setMinimumSize(300, 200)
        self.setAccessibleName(say("chatter_why", "name"))
        self.jobs.came.connect(self._came)

    def show_setup(self, setup: Setup) -> None:
        """Another cut."""
        if self.found is None or self.found.setup != setup:
            self.jobs.ask(lambda: _once(setup))

    def rest(self) -> None:
        """Nobody looks."""
        self.jobs.stop()

    def _came(self, found: object) -> None:
        assert isinstance(found, WhyDirection)
        self.found = found
        self.setAccessibleDescription(why_words(found, self._view.units))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The picture and its words."""
        painter, theme = QPainter(self), look(self._view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        paint_why(painter, QRectF(self.rect()), self.found, self._view.units, theme)
        painter.end()


def _once(setup: Setup) -> Iterator[WhyDirection]:
    yield why_direction(setup)
