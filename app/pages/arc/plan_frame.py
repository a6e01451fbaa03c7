"""Where the plan stands on its rectangle: cutter radii to pixels and back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from app.kit.look import Look
from core.maths.arrays import Array


@dataclass(frozen=True, slots=True)
class PlanFrame:
    """Axis in pixels and pixels per cutter radius; ``inner`` is the picture without title and legend."""

    rect: QRectF
    inner: QRectF
    centre: QPointF
    radius: float
    legend: QRectF

    @classmethod
    def of(cls, rect: QRectF, look: Look, titled: bool) -> PlanFrame:
        """The frame of a plan on ``rect``."""
        legend_height = 2.0 * look.small + 26.0
        top = rect.top() + (look.text + 16.0 if titled else 6.0)
        inner = QRectF(rect.left() + 6.0, top, rect.width() - 12.0, rect.bottom() - legend_height - top)
        radius = max(min(inner.width() / 3.30, inner.height() / 2.58), 20.0)
        centre = QPointF(inner.center().x(), inner.top() + inner.height() * 0.545)
        legend = QRectF(rect.left() + 14.0, rect.bottom() - legend_height, rect.width() - 28.0, legend_height)
        return cls(rect, inner, centre, radius, legend)

    def points(self, shape: Array) -> Array:
        """Shape (n, 2) in radii, y up, to pixels."""
        out = np.empty_like(shape)
        out[:, 0] = self.centre.x() + self.radius * shape[:, 0]
        out[:, 1] = self.centre.y() - self.radius * shape[:, 1]
        return out

    def point(self, place: tuple[float, float]) -> QPointF:
        """One place in radii to a pixel."""
        return QPointF(self.centre.x() + self.radius * place[0], self.centre.y() - self.radius * place[1])

    def radii(self, point: QPointF) -> tuple[float, float]:
        """A pixel to radii, y up."""
        return (point.x() - self.centre.x()) / self.radius, (self.centre.y() - point.y()) / self.radius


@lru_cache(maxsize=8)
def side_by_side(width: int, height: int, plans: int, look: Look) -> tuple[PlanFrame, ...]:
    """The frames of so many plans on a widget, from the left.  Callers change none of them."""
    # Whole pixels: a painter clips to them many times faster.
    each = float(width // plans)
    return tuple(PlanFrame.of(QRectF(i * each, 0.0, each, height), look, True) for i in range(plans))
