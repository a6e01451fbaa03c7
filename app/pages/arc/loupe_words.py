"""The words of the loupe: the chip's thickness, the name of the least chip at its line, and the scale bar."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF

from app.kit.label_layout import fitting, text_size
from app.kit.look import CENTRE, NO_PEN, Look
from app.kit.one_line import paint_centred
from app.pages.arc.loupe_scene import TIP_BELOW, TIP_LEFT
from app.pages.arc.plan_scene import PlanScene
from core.base.quantities import QUANTITIES, figure, number
from core.base.words import say
from core.effects.rubbing import least_chip

SEEN = 1.5
"""Pixels under which the least chip cannot be told from the cut surface."""


def tip_place(centre: QPointF, radius: float) -> QPointF:
    """Where the tip is in the loupe."""
    return QPointF(centre.x() - TIP_LEFT * radius, centre.y() + TIP_BELOW * radius)


def least_line(scene: PlanScene, scale: float) -> float | None:
    """Pixels from the cut surface to the least chip's line; None where it is not known or too small to be seen."""
    least = least_chip(scene.results.setup)
    return None if least is None or least * scale < SEEN else least * scale


def paint_loupe_words(
    painter: QPainter,
    scene: PlanScene,
    centre: QPointF,
    radius: float,
    scale: float,
    h: float,
    look: Look,
) -> None:
    """Thickness here and the least chip at its line, where they are not hidden, and the scale bar."""
    bold = look.font("small", bold=True)
    if not (scene.shown.chip and scene.shown.figures):
        return _paint_bar(painter, scene, centre, radius, scale, look)
    here = figure(h, "chip_thickness", scene.units)
    told = say("plan", "in_the_air") if math.isnan(h) else say("plan", "h", h=here)
    brief = here.split(" ")[0]
    named = (
        [say("plan", "tooth", tooth=scene.tooth, told=text) for text in (told, brief)]
        if scene.shapes.each is not None
        else []
    )
    text = fitting(bold, 2.0 * radius - 10.0, *named, told, here, brief)
    size = text_size(bold, text)
    rect = QRectF(centre.x() - size.width() / 2 - 5.0, centre.y() - radius * 0.80, size.width() + 10.0, size.height())
    painter.fillRect(rect, look.color("panel", 0.9))
    painter.setPen(look.color("ink"))
    paint_centred(painter, rect, bold, text)
    _paint_least(painter, scene, centre, radius, scale, rect.bottom(), look)
    _paint_bar(painter, scene, centre, radius, scale, look)


def _paint_bar(painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, look: Look) -> None:
    """A scale bar of a round length."""
    small = look.font("small")
    q = QUANTITIES["chip_thickness"]
    wanted = q.shown(0.7 * radius / scale, scene.units)
    step = 10.0 ** math.floor(math.log10(wanted))
    length = max(m * step for m in (1.0, 2.0, 5.0) if m * step <= wanted)
    bar = q.house(length, scene.units) * scale
    decimals = max(0, -math.floor(math.log10(length)))
    label = f"{number(length, decimals)} {q.unit_in(scene.units)}"
    # A small loupe has its bar higher, so that the figure stays inside.
    y = centre.y() + min(0.70 * radius, radius - look.small - 5.0)
    wide = max(bar, text_size(small, label).width()) + 12.0
    painter.fillRect(QRectF(centre.x() - wide / 2, y - 5.0, wide, look.small + 12.0), look.color("panel", 0.88))
    painter.setPen(look.pen("ink", "line"))
    painter.drawLine(QPointF(centre.x() - bar / 2, y), QPointF(centre.x() + bar / 2, y))
    for x in (-bar / 2, bar / 2):
        painter.drawLine(QPointF(centre.x() + x, y - 3.0), QPointF(centre.x() + x, y + 3.0))
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    painter.drawText(QRectF(centre.x() - wide / 2, y + 1.0, wide, look.small + 5.0), CENTRE, label)


def _paint_least(
    painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, top: float, look: Look
) -> None:
    """The name of the least chip under the thickness, with a small arrow down to its line."""
    above, least = least_line(scene, scale), least_chip(scene.results.setup)
    if above is None:
        return
    font, tip = look.font("small"), tip_place(centre, radius)
    text = fitting(font, 1.9 * radius - 10.0, f"h min {figure(least, 'chip_thickness', scene.units)}", "h min")
    size = text_size(font, text)
    rect = QRectF(centre.x() - size.width() / 2 - 2.0, top, size.width() + 4.0, size.height())
    x, y = min(centre.x() + 0.55 * radius, rect.right() - 3.0), tip.y() - above
    if y < rect.bottom() + 6.0:
        return
    painter.fillRect(rect, look.color("panel", 0.9))
    painter.setPen(look.color("accent"))
    paint_centred(painter, rect, font, text)
    painter.setPen(look.pen("accent", "hair"))
    painter.drawLine(QPointF(x, rect.bottom()), QPointF(x, y - 4.0))
    painter.setPen(NO_PEN)
    painter.setBrush(look.color("accent"))
    painter.drawPolygon(QPolygonF([QPointF(x, y), QPointF(x - 2.6, y - 6.0), QPointF(x + 2.6, y - 6.0)]))
