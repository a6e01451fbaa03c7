"""The loupe: tip, edge radius, least chip and chip of the active tooth, all at one true scale."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QTransform,
)

from app.kit.hatch import paint_hatch
from app.kit.label_layout import fitting, text_size
from app.kit.look import NO_BRUSH, NO_PEN, SMOOTH, Look
from app.kit.one_line import paint_centred
from app.kit.shapes import on_screen, polygon
from app.kit.thickness_colours import colour_of
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.loupe_scene import THICKEST, seen_mm
from app.pages.arc.loupe_words import least_line, paint_loupe_words, tip_place
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import PlanScene
from core.base.quantities import figure
from core.maths.arrays import Array

SMALLEST = 44.0
"""Least radius of the loupe, pixels."""

TAIL = 12.0
"""Pixels that the loupe keeps off the middle of the ring at the feed arrow's tail, which is for clicking."""

RIM = 3.0
"""Pixels about the loupe that its ring's own width needs."""

HEAT_STEPS = 64
"""Colours of the edge from cold to hot: no eye tells two beside one another apart."""

FILE_RATIO = 4.0
"""Pixels of the round picture for each logical pixel in a file."""


def loupe_place(scene: PlanScene, frame: PlanFrame) -> tuple[QPointF, float]:
    """Centre and radius in pixels: the lower corner that the wall leaves free."""
    frame = frame.far or frame
    # A tall picture has room below the cutter; in a small one the loupe gives way to it.
    share = 0.5 if frame.inner.height() > 3.1 * frame.radius else 0.37
    radius = min(max(share * frame.radius, 58.0), 100.0, 0.22 * frame.inner.height())
    right = scene.results.setup.cut.direction == "conventional"
    right = right != (scene.side < 0)
    tail, _ = feed_arrow(scene, frame)
    while True:
        x = frame.inner.right() - radius - 8.0 if right else frame.inner.left() + radius + 8.0
        centre = QPointF(x, frame.inner.bottom() - radius + 2.0)
        apart = math.hypot(centre.x() - frame.centre.x(), centre.y() - frame.centre.y())
        off_tail = math.hypot(centre.x() - tail.x(), centre.y() - tail.y()) - TAIL
        if radius <= SMALLEST or (apart >= frame.radius + radius and off_tail >= radius):
            return centre, radius
        radius -= 3.0


def loupe_scale(scene: PlanScene, radius: float) -> float:
    """Pixels per mm: by the feed's own thickness and the edge radius, so that it keeps still as the tooth moves."""
    return THICKEST * radius / seen_mm(scene.results.setup, scene.top)


def loupe_key(scene: PlanScene, radius: float, look: Look, ratio: float) -> tuple[object, ...]:
    """All that the loupe's picture depends on: as long as it stays the same the picture does."""
    cut, cutter = scene.results.setup.cut, scene.results.setup.cutter
    h = scene.thickness_here()
    return (
        scene.shown.chip,
        scene.shown.figures,
        radius,
        ratio,
        look.name,
        scene.units,
        scene.top,
        None if math.isnan(h) else h,
        scene.waves is not None,
        scene.tooth if scene.shapes.each is not None else 0,
        cut.direction,
        cut.feed_per_tooth_mm,
        cutter.diameter_mm,
        cutter.teeth,
        cutter.cutting_edge_angle_deg,
        cutter.edge_radius_mm,
        cutter.radial_rake_deg,
        scene.results.setup.work.chip.min_chip_ratio,
        *((pinned_thickness(scene), scene.ghost) if scene.ghost is not None else ()),
        *((heat_step(scene), _rise_told(scene)) if _hot(scene) else ()),
    )


def _hot(scene: PlanScene) -> bool:
    """Whether the edge is to be coloured by its temperature, and it is known."""
    return scene.heated and math.isfinite(scene.rise) and scene.rise_top > 0.0


def heat_step(scene: PlanScene) -> int:
    """Which of the :data:`HEAT_STEPS` colours the edge has: the last at its hottest of the turn."""
    return round(min(max(scene.rise / scene.rise_top, 0.0), 1.0) * HEAT_STEPS)


def _rise_told(scene: PlanScene) -> str:
    """The rise in words, two digits: many a step of a drag leaves them."""
    return figure(scene.rise, "temperature_rise", scene.units, rough=True) if scene.shown.figures else ""


def loupe_picture(scene: PlanScene, radius: float, look: Look, ratio: float) -> QPixmap:
    """The loupe as a picture of its own, ``radius + RIM`` about its centre, clear outside."""
    half, scale = radius + RIM, loupe_scale(scene, radius)
    centre, cutter = QPointF(half, half), scene.results.setup.cutter
    if scene.waves is None:
        ground, tip = _still(radius, scale, cutter.edge_radius_mm or 0.0, cutter.radial_rake_deg, look, ratio)
        picture = ground.copy()
        painter = QPainter(picture)
        painter.setRenderHint(SMOOTH)
        _paint_chip(painter, scene, centre, radius, scale, look)
        painter.drawPixmap(0, 0, tip)
        _paint_over_tip(painter, scene, centre, radius, scale, look)
    else:
        picture = _clear(radius, ratio)
        painter = QPainter(picture)
        painter.fillRect(QRectF(0.0, 0.0, 2.0 * half, 2.0 * half), look.color("panel"))
        painter.setRenderHint(SMOOTH)
        _paint_inside(painter, scene, centre, radius, scale, look)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_DestinationIn)
    painter.drawPixmap(0, 0, _round(radius, ratio))
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
    painter.setPen(look.pen("ink", "line"))
    painter.setBrush(NO_BRUSH)
    painter.drawEllipse(centre, radius, radius)
    paint_loupe_words(painter, scene, centre, radius, scale, scene.thickness_here(), look)
    painter.end()
    return picture


def _clear(radius: float, ratio: float) -> QPixmap:
    """An empty picture for a loupe, not opaque: what lies outside the round is taken away again."""
    side = math.ceil(2.0 * (radius + RIM) * ratio)
    picture = QPixmap(side, side)
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    return picture


@lru_cache(maxsize=8)
def _still(
    radius: float, scale: float, edge: float, rake_deg: float, look: Look, ratio: float
) -> tuple[QPixmap, QPixmap]:
    """What neither chip nor heat changes, where the tip makes no wall: the work, and the tip over the chip."""
    centre = QPointF(radius + RIM, radius + RIM)
    ground, front = _clear(radius, ratio), _clear(radius, ratio)
    area, place = _flat_work(centre, radius), tip_place(centre, radius)
    painter = QPainter(ground)
    painter.fillRect(QRectF(0.0, 0.0, 2.0 * centre.x(), 2.0 * centre.y()), look.color("panel"))
    painter.setRenderHint(SMOOTH)
    paint_hatch(painter, area, look.work_hatch, ground=look.work)
    painter.end()
    painter = QPainter(front)
    painter.setRenderHint(SMOOTH)
    _paint_surface(painter, area, look)
    _paint_tip(painter, place, scale, edge, rake_deg, radius, look)
    painter.end()
    return ground, front


@lru_cache(maxsize=8)
def _round(radius: float, ratio: float) -> QPixmap:
    """What of a loupe's picture is inside its round."""
    mask = _clear(radius, ratio)
    painter = QPainter(mask)
    painter.setRenderHint(SMOOTH)
    painter.setPen(NO_PEN)
    painter.setBrush(Qt.GlobalColor.black)
    painter.drawEllipse(QPointF(radius + RIM, radius + RIM), radius, radius)
    painter.end()
    return mask


def paint_loupe(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The loupe in its place on the plan."""
    paint_loupe_at(painter, scene, *loupe_place(scene, frame), look)


def paint_loupe_at(painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, look: Look) -> None:
    """Seen with the tooth moving to the right: work below, chip ahead of the face."""
    scale = loupe_scale(scene, radius)
    if on_screen(painter):
        # A round clip is slow on the screen; a round brush of the picture is not.
        ratio = painter.device().devicePixelRatioF()
        side = 2.0 * radius
        picture = QPixmap(math.ceil(side * ratio), math.ceil(side * ratio))
        picture.fill(look.color("panel"))
        inner = QPainter(picture)
        inner.scale(ratio, ratio)
        inner.setRenderHint(SMOOTH)
        _paint_inside(inner, scene, QPointF(radius, radius), radius, scale, look)
        inner.end()
        brush = QBrush(picture)
        # The picture counts in device pixels, the brush in logical ones.
        place = QTransform.fromTranslate(centre.x() - radius, centre.y() - radius)
        brush.setTransform(place.scale(1.0 / ratio, 1.0 / ratio))
        painter.setBrush(brush)
    else:
        _paint_clipped(painter, scene, centre, radius, scale, look)
        painter.setBrush(NO_BRUSH)
    painter.setPen(look.pen("ink", "line"))
    painter.drawEllipse(centre, radius, radius)
    paint_loupe_words(painter, scene, centre, radius, scale, scene.thickness_here(), look)


def _paint_clipped(
    painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, look: Look
) -> None:
    """The inside on a painter of files, whose pictures are not clipped: as a picture of its own in the round."""
    side = math.ceil(2.0 * radius * FILE_RATIO)
    image = QImage(side, side, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    inner = QPainter(image)
    inner.setRenderHint(SMOOTH)
    inner.scale(FILE_RATIO, FILE_RATIO)
    round_frame = QPainterPath()
    round_frame.addEllipse(QPointF(radius, radius), radius, radius)
    inner.setClipPath(round_frame)
    inner.fillPath(round_frame, look.color("panel"))
    _paint_inside(inner, scene, QPointF(radius, radius), radius, scale, look)
    inner.end()
    painter.drawImage(QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius), image)


def _paint_inside(
    painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, look: Look
) -> None:
    cutter, tip, area = scene.results.setup.cutter, tip_place(centre, radius), _flat_work(centre, radius)
    if scene.waves is not None:
        waves = scene.waves * (scale, -scale) + (tip.x(), tip.y())
        bottom = centre.y() + radius
        area = QPainterPath()
        area.addPolygon(
            polygon(np.concatenate([waves, [[centre.x() + radius, bottom], [centre.x() - radius, bottom]]]))
        )
    paint_hatch(painter, area, look.work_hatch, ground=look.work)
    _paint_chip(painter, scene, centre, radius, scale, look)
    _paint_surface(painter, area, look)
    _paint_tip(painter, tip, scale, cutter.edge_radius_mm or 0.0, cutter.radial_rake_deg, radius, look)
    _paint_over_tip(painter, scene, centre, radius, scale, look)


def _flat_work(centre: QPointF, radius: float) -> QPainterPath:
    """The work below a tip that makes no wall, with the cut surface behind it."""
    tip, area = tip_place(centre, radius), QPainterPath()
    area.addRect(QRectF(centre.x() - radius, tip.y(), 2.0 * radius, centre.y() + radius - tip.y()))
    return area


def _paint_chip(
    painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, look: Look
) -> None:
    """The chip ahead of the tip, in the colour of its thickness."""
    h, tip = scene.thickness_here(), tip_place(centre, radius)
    if h > 0.0 and scene.shown.chip:
        chip = QRectF(tip.x(), tip.y() - h * scale, centre.x() + radius - tip.x(), h * scale)
        painter.fillRect(chip, colour_of(h / scene.top, look.thick_is_dark))


def _paint_surface(painter: QPainter, area: QPainterPath, look: Look) -> None:
    painter.setPen(look.pen("ink", "hair"))
    painter.setBrush(NO_BRUSH)
    painter.drawPath(area)


def _paint_over_tip(
    painter: QPainter, scene: PlanScene, centre: QPointF, radius: float, scale: float, look: Look
) -> None:
    """The heat of the edge, the chip of the pinned cut, and the least chip."""
    tip, right = tip_place(centre, radius), centre.x() + radius
    if _hot(scene):
        _paint_heat(painter, scene, tip, scale, scene.results.setup.cutter.edge_radius_mm or 0.0, radius, look)
    pinned = pinned_thickness(scene)
    if pinned > 0.0:
        y = tip.y() - pinned * scale
        for pen in (look.pen("panel", look.line + 2.0, alpha=0.75), look.pen("soft", "line")):
            painter.setPen(pen)
            painter.drawLine(QPointF(tip.x(), y), QPointF(right, y))
    least = least_line(scene, scale)
    if least is not None:
        painter.setPen(look.pen("accent", "hair", dashed=True))
        painter.drawLine(QPointF(tip.x() - 0.3 * radius, tip.y() - least), QPointF(right, tip.y() - least))


def pinned_thickness(scene: PlanScene) -> float:
    """The pinned cut's chip (mm) with its tooth at the same angle; nan in its air and where nothing is pinned."""
    return math.nan if scene.ghost is None else scene.ghost.thickness(math.radians(scene.angle_deg))


CLEARANCE = math.radians(12.0)
"""Clearance that the picture gives every edge: the setup does not tell it."""


@lru_cache(maxsize=64)
def _round_edge(rake: float) -> Array:
    """An edge of radius 1 (n, 2) about its centre, from the clearance side to the rake side, tangent to both."""
    turn = np.linspace(-CLEARANCE, math.pi / 2 - rake, 14)
    edge = np.stack([np.sin(turn), np.cos(turn)], -1)
    edge.setflags(write=False)
    return edge


def _nose(tip: QPointF, r: float, rake: float, behind: float, ahead: float) -> Array:
    """The edge (n, 2), pixels, with ``behind`` of the clearance before it and ``ahead`` of the rake face after it."""
    edge = _round_edge(rake)
    nose = np.empty((len(edge) + 2, 2))
    nose[1:-1] = edge * r
    nose[1:-1] += (tip.x() - r, tip.y() - r)
    nose[0] = nose[1] - (behind * math.cos(CLEARANCE), behind * math.sin(CLEARANCE))
    nose[-1] = nose[-2] - (ahead * math.sin(rake), ahead * math.cos(rake))
    return nose


def _paint_tip(
    painter: QPainter, tip: QPointF, scale: float, edge: float, rake_deg: float, radius: float, look: Look
) -> None:
    """The wedge with its rounded edge: rake face ahead, clearance face behind, both tangent to the edge circle."""
    r, far = edge * scale, 3.0 * radius
    nose = _nose(tip, r, math.radians(rake_deg), far, far)
    wedge = np.empty((len(nose) + 1, 2))
    wedge[:-1] = nose
    wedge[-1] = nose[0, 0], nose[-1, 1]
    painter.setPen(look.pen("cutter_line", "line"))
    painter.setBrush(look.color("cutter"))
    painter.drawPolygon(polygon(wedge))
    if r > 3.0:
        painter.setPen(look.pen("soft", "hair", dashed=True))
        painter.setBrush(NO_BRUSH)
        painter.drawEllipse(QPointF(tip.x() - r, tip.y() - r), r, r)


def _paint_heat(
    painter: QPainter, scene: PlanScene, tip: QPointF, scale: float, edge: float, radius: float, look: Look
) -> None:
    """The edge in the colour of its rise, from a cool grey to the colour of warning, and the rise in words."""
    rake = math.radians(scene.results.setup.cutter.radial_rake_deg)
    # A little way up the face and along the clearance, so that a sharp edge shows its colour too.
    nose = _nose(tip, edge * scale, rake, 0.10 * radius, 0.22 * radius)
    share = heat_step(scene) / HEAT_STEPS
    cold, hot = look.color("reference"), look.color("warn")
    red, green, blue = (
        round(a + (b - a) * share)
        for a, b in ((cold.red(), hot.red()), (cold.green(), hot.green()), (cold.blue(), hot.blue()))
    )
    pen = QPen(QColor(red, green, blue), 4.0)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(NO_BRUSH)
    painter.drawPolyline(polygon(nose))
    if not scene.shown.figures:
        return
    font = look.font("small", bold=True)
    told = _rise_told(scene)
    text = fitting(font, 0.82 * radius - 14.0, told, told.split(" ")[0])
    size = text_size(font, text)
    box = QRectF(tip.x() - size.width() - 8.0, tip.y() - 0.44 * radius, size.width() + 2.0, size.height())
    painter.setPen(look.color("warn"))
    paint_centred(painter, box, font, text)
