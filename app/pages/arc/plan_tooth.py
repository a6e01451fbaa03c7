"""What moves on the plan: cutter, chip, what is peeled of it, and the active tooth."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QConicalGradient, QPainter, QPainterPath, QPolygonF, QTransform

from app.kit.hatch import paint_hatch
from app.kit.label_layout import text_size
from app.kit.look import CENTRE, NO_BRUSH, NO_PEN, Look
from app.kit.one_line import paint_centred
from app.kit.shapes import clamped, clipped, line_inside, on_screen, pieces_inside, polygon, sector
from app.kit.thickness_colours import colours, step_of
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_scene import ChipBand, PlanScene
from core.base.quantities import figure
from core.maths.arrays import Array

_CURL, _RUB = np.linspace(0.0, 1.0, 40), np.linspace(0.0, 1.0, 12)
"""Shares along the curled chip and along a rubbing edge at which they are drawn."""

_CURL_CUTS = np.linspace(0, 39, 6).round().astype(int).tolist()
"""Where the curled chip is parted into pieces of one colour."""


def paint_cutter(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The cutter, turned so that a tooth stands at the active angle; axis cross; its way of turning."""
    turn = math.radians(scene.angle_deg)
    outline = scene.shapes.outline
    # Turning by growing phi is clockwise on the picture: (x, y) -> rotation by -turn.
    c, s = math.cos(turn), math.sin(turn)
    turned = np.empty_like(outline)
    turned[:, 0] = (outline[:, 0] * c + outline[:, 1] * s) * scene.side
    turned[:, 1] = -outline[:, 0] * s + outline[:, 1] * c
    painter.setPen(look.pen("cutter_line", "line"))
    painter.setBrush(look.color("cutter"))
    points = frame.points(turned)
    if frame.far is not None and not on_screen(painter):
        _paint_part(painter, points, frame.inner)
    else:
        painter.drawPolygon(polygon(points))
    o = frame.centre
    if frame.far is not None and not frame.inner.contains(o):
        return
    painter.setPen(look.pen("soft", "hair"))
    painter.drawLine(QPointF(o.x() - 8.0, o.y()), QPointF(o.x() + 8.0, o.y()))
    painter.drawLine(QPointF(o.x(), o.y() - 8.0), QPointF(o.x(), o.y() + 8.0))
    _paint_turning(painter, scene, frame, look)


def _paint_part(painter: QPainter, points: Array, box: QRectF) -> None:
    """What of a filled shape lies in a rectangle, and its line without the rectangle's own sides."""
    pen = painter.pen()
    painter.setPen(NO_PEN)
    painter.drawPolygon(polygon(clipped(points, box.left(), box.top(), box.right(), box.bottom())))
    painter.setPen(pen)
    for piece in pieces_inside(np.concatenate([points, points[:1]]), box):
        painter.drawPolyline(polygon(piece))


def turning_head(scene: PlanScene, frame: PlanFrame) -> tuple[QPointF, float]:
    """Where the head of the arrow of rotation is, and at which angle (rad) about the axis."""
    r, end = 0.30 * frame.radius, math.radians(-150.0 if scene.side > 0 else -30.0)
    return QPointF(frame.centre.x() + r * math.cos(end), frame.centre.y() - r * math.sin(end)), end


def _paint_turning(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The arrow of rotation: clockwise for a right-hand cutter."""
    r = 0.30 * frame.radius
    box = QRectF(frame.centre.x() - r, frame.centre.y() - r, 2 * r, 2 * r)
    painter.setPen(look.pen("ink", "line"))
    painter.setBrush(NO_BRUSH)
    # Qt counts sixteenths of a degree, counter-clockwise from 3 o'clock.
    painter.drawArc(box, -150 * 16, 120 * 16)
    at, end = turning_head(scene, frame)
    along = end - scene.side * math.pi / 2
    head = QPolygonF([QPointF(9.0, 0.0), QPointF(-3.0, -4.5), QPointF(-3.0, 4.5)])
    turn = QTransform().translate(at.x(), at.y()).rotate(-math.degrees(along))
    painter.setPen(NO_PEN)
    painter.setBrush(look.color("ink"))
    painter.drawPolygon(turn.map(head))


def paint_chip(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The chip along the arc: what is still to be cut in the colours of its thickness, what is cut as an outline."""
    chip = scene.chip()
    phi = chip.phi
    if scene.shapes.each is not None:
        _paint_other_chips(painter, scene, frame, look)
    ring = chip_outline(scene, frame, chip)
    n = len(phi)
    at = math.radians(scene.tooth_deg)
    if at >= phi[-1] or at < phi[0] - math.pi / 2:
        at = phi[0] - 1.0 if at < phi[0] else phi[-1] + 1.0
    first = int(phi.searchsorted(at))
    painter.setPen(NO_PEN)
    if first < n - 1:
        if on_screen(painter):
            painter.setBrush(chip_brush(scene, chip, frame.centre, look))
            painter.drawPolygon(polygon(ring[first : 2 * n - first]))
        else:
            _paint_pieces(painter, ring[first:n], ring[n : 2 * n - first][::-1], chip.share[first:], look)
    if first > 0:
        # What is already off is an empty outline.
        last = min(first, n - 1) + 1
        painter.setPen(look.pen("soft", "hair"))
        painter.setBrush(look.color("panel", 0.75))
        painter.drawPolygon(polygon(np.concatenate([ring[:last], ring[2 * n - last :]])))
    # The path that the tooth before left.
    painter.setPen(look.pen("ink", "hair", dashed=True))
    painter.setBrush(NO_BRUSH)
    painter.drawPolyline(polygon(ring[n:][::-1]))
    _paint_rubbing(painter, scene, frame, look)


def _paint_other_chips(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """With runout the inner sides of the other teeth's chips as thin lines: unequal ones are seen to be so."""
    each = scene.shapes.each
    assert each is not None
    painter.setPen(look.pen("soft", "hair"))
    painter.setBrush(NO_BRUSH)
    for tooth, chip in enumerate(each):
        if tooth != scene.tooth:
            painter.drawPolyline(polygon(frame.points(chip.ring[: len(chip.phi) - 1 : -1])))


def paint_tooth_names(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """With runout each tooth has its number, as in the report; of many teeth the one whose chip is shown."""
    if scene.shapes.each is None:
        return
    teeth = len(scene.shapes.each)
    named = range(teeth) if teeth <= NAMED_TEETH else (scene.tooth,)
    for tooth in named:
        phi = math.radians(scene.angle_deg - 360.0 / teeth * tooth)
        at = frame.point(scene.place(phi - NAME_TURN / frame.scale, frame.beside(NAME_RADIUS)))
        if not frame.sees(at):
            continue
        font = look.font("small", bold=tooth == scene.tooth)
        size = text_size(font, str(tooth))
        box = QRectF(at.x() - size.width() / 2.0, at.y() - size.height() / 2.0, size.width(), size.height())
        painter.setFont(font)
        painter.setPen(look.color("ink"))
        painter.drawText(box, CENTRE, str(tooth))


NAMED_TEETH = 8
"""Teeth up to which each has its number."""

NAME_TURN, NAME_RADIUS = 0.17, 0.84
"""Where it stands: behind the tip by an angle (rad), at a radius."""


def paint_ghost(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The outline of the pinned cut's chip: a thin line that keeps a seam of the ground about it, over any colour."""
    if scene.ghost is None:
        return
    outline = frame.points(scene.ghost.outline)
    shape = polygon(np.concatenate([outline, outline[:1]]))
    painter.setBrush(NO_BRUSH)
    painter.setPen(look.pen("panel", look.line + 2.0, alpha=0.75))
    painter.drawPolyline(shape)
    painter.setPen(look.pen("soft", "line"))
    painter.drawPolyline(shape)


def chip_outline(scene: PlanScene, frame: PlanFrame, chip: ChipBand | None = None) -> Array:
    """The chip (2n, 2), pixels: along the arc from entry to exit, and back along its inner side."""
    return frame.points((chip or scene.chip()).ring)


def chip_brush(scene: PlanScene, chip: ChipBand, centre: QPointF, look: Look) -> QBrush:
    """The colours of thickness round the axis: one brush for the whole chip, without seams."""
    phi, share = chip.phi[::3], chip.share[::3]
    # Qt counts from 3 o'clock, counter-clockwise, in whole turns.
    turn = clamped((np.pi - phi if scene.side > 0 else phi) / (2.0 * np.pi), 0.0, 1.0).tolist()
    palette = colours(look.thick_is_dark)
    brush = QConicalGradient(centre, 0.0)
    brush.setStops([(t, palette[k]) for t, k in zip(turn, step_of(share).tolist(), strict=True)])
    return QBrush(brush)


def _paint_pieces(painter: QPainter, outer: Array, inner: Array, share: Array, look: Look) -> None:
    """The chip piece by piece, one for each step of colour: what painters of files can do."""
    steps = step_of(0.5 * (share[:-1] + share[1:]))
    i = 0
    while i < len(steps):
        j = i
        while j < len(steps) and steps[j] == steps[i]:
            j += 1
        painter.setBrush(colours(look.thick_is_dark)[steps[i]])
        painter.drawPolygon(polygon(np.concatenate([outer[i : j + 1], inner[i : j + 1][::-1]])))
        i = j


def paint_curl(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The chip peeled so far, curled in the gullet ahead of the tooth, as thick (magnified) as it was cut."""
    r, chip = scene.results, scene.chip()
    at = math.radians(scene.tooth_deg)
    if not r.true_entry < at <= r.true_exit:
        return
    # Along the chip from the edge (just cut) to its free end (cut first); chips come out about 2.5 times shorter.
    cut_at = at - (at - r.true_entry) * _CURL
    thick = np.interp(cut_at, chip.phi, chip.h) * scene.shapes.magnification
    if not thick.max() > 0.0:
        return
    room = min(0.17, 0.5 / r.setup.cutter.teeth)
    length = min((at - r.true_entry) / 2.5, 4.7 * room)
    half = np.minimum(thick, 0.6 * room) / 2
    # Up the rake face first, then round ahead of it, at most a good half turn: it stays in the gullet.  Places are
    # complex numbers here: out along the tooth, and ahead of it times i.
    turn = np.exp(-1j * np.maximum((length * _CURL - 1.15 * room) / (0.75 * room), 0.0))
    middle = np.zeros_like(turn)
    np.cumsum(-0.5 * length * _CURL[1] * (turn[1:] + turn[:-1]), out=middle[1:])
    across = 1j * half * turn
    # A chip keeps the colour of the thickness that it was cut with: the thick end is the bright one.
    cuts = _CURL_CUTS
    share = np.interp(cut_at[cuts[:-1]] + 0.5 * (cut_at[cuts[1:]] - cut_at[cuts[:-1]]), chip.phi, chip.share)
    band = np.concatenate([middle + across, (middle - across)[::-1]])
    off = 0.012 / frame.scale
    band += 1.0 - off + 1j * (off + half[0])
    world = (-cmath.exp(-1j * at) * band.conj()).view(float).reshape(-1, 2)
    world[:, 0] *= scene.side
    points, n = frame.points(world), len(_CURL)
    palette, steps = colours(look.thick_is_dark), step_of(share).tolist()
    painter.setPen(NO_PEN)
    # Under the pieces, whose seams would let the ground through.
    painter.setBrush(palette[steps[len(steps) // 2]])
    whole = polygon(points)
    painter.drawPolygon(whole)
    for i, step in enumerate(steps):
        a, b = cuts[i], cuts[i + 1] + 1
        painter.setBrush(palette[step])
        painter.drawPolygon(polygon(np.concatenate([points[a:b], points[2 * n - b : 2 * n - a]])))
    painter.setPen(look.pen("ink", 0.8))
    painter.setBrush(NO_BRUSH)
    painter.drawPolygon(whole)


def _paint_rubbing(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """Where the edge rubs: hatched just outside the arc, besides any colour."""
    r = scene.results
    e = r.engagement
    for start, end in ((e.entry, e.entry + r.rub_entry), (e.exit - r.rub_exit, e.exit)):
        if not end - start > 1e-4:
            continue
        place = frame.centre.x(), frame.centre.y(), frame.radius, frame.scale
        paint_hatch(painter, _rubbed(start, end, scene.side, place), look.rub_hatch, 4, 1.1, steep=True)


@lru_cache(maxsize=16)
def _rubbed(start: float, end: float, side: float, place: tuple[float, float, float, float]) -> QPainterPath:
    """The rim between two angles (rad), pixels: at a wall that is finished a change of width leaves it.

    place : pixels of the axis, radius and scale of the frame.  Callers do not change it.
    """
    x, y, radius, scale = place
    rim = sector(start + (end - start) * _RUB, side, 1.0 + 0.045 / scale, 1.0 - 0.015 / scale)
    area = QPainterPath()
    area.addPolygon(polygon(rim * (radius, -radius) + (x, y)))
    return area


ALONG_TOOTH = ((0.30, 0.52), (-0.30, 0.52), (0.24, 0.74), (-0.24, 0.74), (0.30, 0.52))
"""Where the angle of the active tooth may stand: its turn (rad) from the tooth, and its radius."""

NEAR_TIP = (
    *((turn, radius) for radius in (1.20, 1.38, 0.62) for turn in (0.26, -0.26, 0.5, -0.5, 0.0)),
    (0.26, 1.20),
)
"""The same in a close view, which may not see the tooth's foot: outside the arc, off the chip."""


def paint_tooth(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, taken: Sequence[QRectF] = ()
) -> QRectF:
    """The active tooth: radius, marker at its tip, and its angle beside the radius, off what is ``taken``.

    Returns the place of the angle.
    """
    phi = math.radians(scene.angle_deg)
    tip = frame.point(scene.place(phi))
    painter.setPen(look.pen("accent", "line"))
    near = frame.far is not None
    line = line_inside(frame.centre, tip, frame.inner) if near else (frame.centre, tip)
    if line is not None:
        painter.drawLine(*line)
    if near and not frame.sees(tip):
        return QRectF()
    painter.setPen(look.pen("accent", "thick"))
    painter.setBrush(look.color("panel"))
    painter.drawEllipse(tip, 6.5, 6.5)
    font = look.font("small", bold=True)
    text = figure(scene.angle_deg % 360.0, "angle", scene.units)
    size = text_size(font, text)
    w, h, side = size.width() + 8.0, size.height(), 1 if math.cos(phi) < 0 else -1
    scale = frame.scale
    for turn, radius in NEAR_TIP if near else ALONG_TOOTH:
        at = frame.point(scene.place(phi + turn / scale * side, 1.0 + (radius - 1.0) / scale))
        rect = QRectF(at.x() - w / 2.0, at.y() - h / 2.0, w, h)
        if not any(rect.intersects(box) for box in taken):
            break
    painter.fillRect(rect, look.color("panel", 0.85))
    painter.setPen(look.color("accent"))
    paint_centred(painter, rect, font, text)
    return rect
