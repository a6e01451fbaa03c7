"""Where the strips stand: a frame for each, one under another, on one angle axis; and the height that they need."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QRectF

from app.kit.look import Look
from app.kit.readable_ranges import AxisRange
from app.kit.xy_chart import Axis, XYChart
from app.pages.arc.strips_scene import WHOLE, StripsScene

RIGHT = 20.0
"""Pixels beside the curves for their own letters."""

GAP = 8.0
"""Pixels under a strip, before the head of the next."""

ANGLES = AxisRange(0.0, 180.0, 30.0)
"""The tooth angles that have a line, degrees; the curves go on a little to either side."""


@dataclass(frozen=True, slots=True)
class StripFrame(XYChart):
    """Where one strip's curves are drawn: a chart of shown values over the tooth angle in degrees, and its head."""

    head: QRectF

    @property
    def range(self) -> AxisRange:
        """The values of the strip's axis, in shown units."""
        return self.up.range

    def angle(self, x: float) -> float:
        """A pixel to a tooth angle in degrees."""
        return self.across.value(x)


def type_share(look: Look) -> float:
    """How much larger the type is than that which least heights in pixels are told for; 1 at least."""
    return max(look.small / 14.0, 1.0)


def left_of_plot(look: Look) -> float:
    """Pixels on the left of the curves for the figures of the axis."""
    return max(68.0, 4.2 * look.small)


def _margins(look: Look) -> tuple[float, float]:
    """Pixels above the first strip (clock positions, the line's grip) and below the last (degrees)."""
    return look.small + 28.0, look.small + 14.0


def least_plot(look: Look) -> float:
    """Least height of a strip's curves that can still be read: two figures on the axis, and the value at the line."""
    return 2.0 * (look.small + 4.0) + 4.0


def least_height(count: int, look: Look) -> float:
    """Height under which so many strips cannot be read any more."""
    above, below = _margins(look)
    return above + below + count * (look.text + 12.0 + GAP + least_plot(look))


def strip_frames(rect: QRectF, scene: StripsScene, look: Look) -> tuple[StripFrame, ...]:
    """A frame for each strip, one under another, on one angle axis.  Callers change none of them."""
    ranges = tuple([scene.ranges[strip.id] for strip in scene.own.strips])
    return _frames(rect.getRect(), ranges, scene.angles, look)


@lru_cache(maxsize=8)
def _frames(
    place: tuple[float, float, float, float], ranges: tuple[AxisRange, ...], domain: AxisRange, look: Look
) -> tuple[StripFrame, ...]:
    """See :func:`strip_frames`: while a figure is dragged the axes stand still."""
    rect, (above, below) = QRectF(*place), _margins(look)
    top = rect.top() + above
    each = (rect.bottom() - below - top) / max(len(ranges), 1)
    left, head = left_of_plot(look), look.text + 12.0
    ticks = ANGLES if domain == WHOLE else domain
    frames = []
    for i, range in enumerate(ranges):
        y = top + i * each
        plot = QRectF(rect.left() + left, y + head, rect.width() - left - RIGHT, max(each - head - GAP, 12.0))
        chart = XYChart.filling(plot, domain, range)
        across = Axis(ticks, chart.across.zero, chart.across.per_unit)
        frames.append(StripFrame(plot, across, chart.up, QRectF(plot.left(), y, plot.width(), head)))
    return tuple(frames)
