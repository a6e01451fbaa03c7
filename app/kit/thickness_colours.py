"""The colours of chip thickness: one perceptually uniform map, 32 steps, with its scale drawn.

On paper ink is what there is much of: there the thickest is the darkest, on the screen the brightest.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QLinearGradient, QPainter

from app.kit.look import Look
from app.kit.shapes import clamped
from core.maths.arrays import Array

STEPS = 32
MAP = "cividis"
"""Uniform in lightness and made for colour-blind readers: it reads in grey print too."""


@lru_cache(maxsize=2)
def colours(dark: bool = False) -> tuple[QColor, ...]:
    """The steps from nothing to the thickest; ``dark``: the thickest is the darkest."""
    ends = (1.0, 0.06) if dark else (0.06, 1.0)
    table = pg.colormap.get(MAP).getLookupTable(*ends, STEPS)
    return tuple(QColor(int(r), int(g), int(b)) for r, g, b in table[:, :3])


def step_of(share: Array) -> Array:
    """Step (0 to 31) of a thickness given as a share of the scale's end."""
    return clamped((np.asarray(share) * STEPS).astype(int), 0, STEPS - 1)


def colour_of(share: float, dark: bool = False) -> QColor:
    """The colour of one thickness, given as a share of the scale's end."""
    return colours(dark)[min(max(int(share * STEPS), 0), STEPS - 1)]


def gradient(start: QPointF, end: QPointF, dark: bool = False, alpha: float = 1.0) -> QBrush:
    """The map as a brush from ``start`` (nothing) to ``end`` (the scale's end).

    alpha : of its colours; the opacity of a painter does not reach the gradients of a PDF.
    """
    brush = QLinearGradient(_ramp(dark, alpha))
    brush.setStart(start)
    brush.setFinalStop(end)
    return QBrush(brush)


@lru_cache(maxsize=4)
def _ramp(dark: bool, alpha: float) -> QLinearGradient:
    """The map on no particular place."""
    ramp = QLinearGradient()
    for i, color in enumerate(colours(dark)[::4] + colours(dark)[-1:]):
        ramp.setColorAt(i / 8.0, QColor.fromRgbF(color.redF(), color.greenF(), color.blueF(), alpha))
    return ramp


def paint_scale(painter: QPainter, rect: QRectF, look: Look, low: str, high: str) -> None:
    """The scale: a bar of ``rect`` with its ends written below."""
    painter.setPen(look.pen("rule", "hair"))
    painter.setBrush(gradient(rect.topLeft(), rect.topRight(), look.thick_is_dark))
    painter.drawRect(rect)
    painter.setFont(look.font("small"))
    painter.setPen(look.color("soft"))
    below = QRectF(rect.left() - 20, rect.bottom() + 1, rect.width() + 40, look.small + 6)
    painter.drawText(below.adjusted(20, 0, 0, 0), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, low)
    painter.drawText(below.adjusted(0, 0, -20, 0), Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, high)
