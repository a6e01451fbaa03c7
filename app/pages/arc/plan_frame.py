"""Where the plan stands on its rectangle: cutter radii to pixels and back."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from app.kit.look import Look
from app.pages.arc.plan_close import HIGH, WIDE, CloseView
from core.maths.arrays import Array

HOUR_STEPS = (30.0, 15.0, 10.0, 5.0, 2.5, 0.5)
"""Steps of the clock ring, degrees: an hour, and 30, 20, 10, 5 minutes and one minute."""

HOUR_APART = 58.0
"""Least pixels between two numbers of the ring in a close view."""


@dataclass(frozen=True, slots=True)
class PlanFrame:
    """Axis in pixels and pixels per cutter radius; ``inner`` is the picture without title and legend.

    ``scale`` : how many times larger than the whole plan it is drawn.  ``far`` is, in a close view, the frame of the
    whole plan: what is not to scale (feed arrow, loupe, inset) stands where it would stand there.
    """

    rect: QRectF
    inner: QRectF
    centre: QPointF
    radius: float
    legend: QRectF
    scale: float = 1.0
    far: PlanFrame | None = None
    _times: Array = field(init=False, repr=False, compare=False)
    _zero: Array = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Every painter asks for points."""
        object.__setattr__(self, "_times", np.array([self.radius, -self.radius]))
        object.__setattr__(self, "_zero", np.array([self.centre.x(), self.centre.y()]))

    @classmethod
    def of(
        cls, rect: QRectF, look: Look, titled: bool, close: CloseView | None = None, sense: float = 1.0
    ) -> PlanFrame:
        """The frame of a plan on ``rect``; ``sense`` is -1 where the plan shows a close view mirrored."""
        legend_height = 2.0 * look.small + 26.0
        top = rect.top() + (look.text + 16.0 if titled else 6.0)
        inner = QRectF(rect.left() + 6.0, top, rect.width() - 12.0, rect.bottom() - legend_height - top)
        radius = max(min(inner.width() / WIDE, inner.height() / HIGH), 20.0)
        centre = QPointF(inner.center().x(), inner.top() + inner.height() * 0.545)
        legend = QRectF(rect.left() + 14.0, rect.bottom() - legend_height, rect.width() - 28.0, legend_height)
        whole = cls(rect, inner, centre, radius, legend)
        if close is None:
            return whole
        large, middle = radius * close.scale, inner.center()
        axis = QPointF(middle.x() - sense * close.x * large, middle.y() + close.y * large)
        # Whole pixels: what is painted once stands sharp wherever the view has been moved to.
        axis = QPointF(round(axis.x()), round(axis.y()))
        return cls(rect, inner, axis, large, legend, close.scale, whole)

    def points(self, shape: Array) -> Array:
        """Shape (n, 2) in radii, y up, to pixels."""
        out = shape * self._times
        out += self._zero
        return np.asarray(out)

    def point(self, place: tuple[float, float]) -> QPointF:
        """One place in radii to a pixel."""
        return QPointF(self.centre.x() + self.radius * place[0], self.centre.y() - self.radius * place[1])

    def radii(self, point: QPointF) -> tuple[float, float]:
        """A pixel to radii, y up."""
        return (point.x() - self.centre.x()) / self.radius, (self.centre.y() - point.y()) / self.radius

    def beside(self, radius: float) -> float:
        """A radius beside the tip circle, such as that of the ring: as many pixels off it in a close view."""
        return 1.0 + (radius - 1.0) / self.scale

    def hours(self) -> tuple[tuple[float, float, float], ...]:
        """The marks of the clock ring from 9 to 3: angle (rad), its cosine and its sine; finer in a close view."""
        return _hours(0.0 if self.far is None else self.radius)

    def sees(self, point: QPointF) -> bool:
        """Whether a pixel lies in the picture."""
        return self.inner.contains(point)


@lru_cache(maxsize=32)
def _hours(radius: float) -> tuple[tuple[float, float, float], ...]:
    apart = [step for step in HOUR_STEPS if math.radians(step) * radius >= HOUR_APART]
    step = min(apart, default=HOUR_STEPS[0])
    angles = np.radians(np.arange(0.0, 180.0 + step / 2.0, step)).tolist()
    return tuple((phi, math.cos(phi), math.sin(phi)) for phi in angles)


@lru_cache(maxsize=8)
def side_by_side(
    width: int,
    height: int,
    plans: int,
    look: Look,
    close: CloseView | None = None,
    senses: tuple[float, ...] = (1.0, 1.0),
) -> tuple[PlanFrame, ...]:
    """The frames of so many plans on a widget, from the left.  Callers change none of them.

    close : the part that is looked at, mirrored in each plan whose sense is -1.
    """
    # Whole pixels: a painter clips to them many times faster.
    each = float(width // plans)
    return tuple(
        PlanFrame.of(QRectF(i * each, 0.0, each, height), look, True, close, senses[i]) for i in range(plans)
    )
