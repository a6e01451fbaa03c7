"""Where the strips stand: a frame for each, one under another, on one angle axis; and the height that they need."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from PySide6.QtCore import QRectF

from app.kit.look import Look
from app.kit.readable_ranges import AxisRange
from app.pages.arc.strips_scene import StripsScene
from core.cut.strip_angles import DOMAIN_DEG
from core.maths.arrays import Array

LEFT, RIGHT = 68.0, 20.0
"""Pixels beside the curves: the figures of the axis on the left, the curves' own letters on the right."""

GAP = 8.0
"""Pixels under a strip, before the head of the next."""

Place = TypeVar("Place", float, Array)
"""One figure or many."""


@dataclass(frozen=True, slots=True)
class StripFrame:
    """Where one strip's curves are drawn, in pixels, and the range of its axis in shown units."""

    plot: QRectF
    head: QRectF
    range: AxisRange

    def x(self, phi_deg: Place) -> Place:
        """Tooth angle in degrees to a pixel."""
        low, high = DOMAIN_DEG
        per_degree = self.plot.width() / (high - low)
        return (phi_deg - low) * per_degree + self.plot.left()

    def y(self, shown: Place) -> Place:
        """Shown value to a pixel."""
        per_unit = -self.plot.height() / (self.range.high - self.range.low)
        return (shown - self.range.low) * per_unit + self.plot.bottom()

    def angle(self, x: float) -> float:
        """A pixel to a tooth angle in degrees."""
        low, high = DOMAIN_DEG
        return low + (x - self.plot.left()) / self.plot.width() * (high - low)


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


def strip_frames(rect: QRectF, scene: StripsScene, look: Look) -> list[StripFrame]:
    """A frame for each strip, one under another, on one angle axis."""
    above, below = _margins(look)
    top = rect.top() + above
    each = (rect.bottom() - below - top) / max(len(scene.own.strips), 1)
    head = look.text + 12.0
    frames = []
    for i, strip in enumerate(scene.own.strips):
        y = top + i * each
        plot = QRectF(rect.left() + LEFT, y + head, rect.width() - LEFT - RIGHT, max(each - head - GAP, 12.0))
        frames.append(StripFrame(plot, QRectF(plot.left(), y, plot.width(), head), scene.ranges[strip.id]))
    return frames
