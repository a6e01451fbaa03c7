"""The Path page on any painter: the same pictures as in the window, laid out in a rectangle."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.look import Look
from app.pages.path.beside_table import beside_rows, beside_title, paint_beside_table
from app.pages.path.length_strip import paint_hand, paint_strip
from app.pages.path.path_painting import (
    cleared_runs,
    fit_in,
    paint_cleared,
    paint_cutter,
    paint_legend,
    paint_path,
    paint_stock,
    paint_worst_marks,
)
from app.pages.path.path_panels import THUMB, paint_here, worst_words
from app.pages.path.path_scene import PathScene, place_words
from app.pages.path.path_state import PathState
from app.pages.path.path_words import path_sentence
from app.pages.path.path_work import Shown
from app.pages.path.place_picture import paint_place, place_scene
from app.pages.path.place_shown import place_shown
from app.pages.path.tables import paint_cuts, paint_planner, paint_words
from core.base.quantities import Units

GAP = 8.0


def paint_path_page(
    painter: QPainter,
    rect: QRectF,
    shown: Shown,
    scene: PathScene | None,
    state: PathState,
    title: str,
    look: Look,
    units: Units,
) -> None:
    """Everything that the page shows now, and its sentence below."""
    painter.fillRect(rect, look.color("page"))
    foot = 2.0 * look.figure + 22.0
    body = rect.adjusted(GAP, GAP, -GAP, -foot - GAP)
    words = path_sentence(shown, state.quantity, state.limit, units)
    painter.setFont(look.font("text"))
    painter.setPen(look.color("ink"))
    under = QRectF(body.left() + 8.0, body.bottom() + 6.0, body.width() - 16.0, foot)
    painter.drawText(under, int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap), words)
    if shown.passes:
        painter.fillRect(body, look.color("panel"))
        paint_cuts(painter, body, shown, units, look)
        return
    if scene is None or state.around is None:
        painter.fillRect(body, look.color("panel"))
        return
    strip = QRectF(body.left(), body.bottom() - 0.27 * body.height(), body.width(), 0.27 * body.height())
    top = QRectF(body.left(), body.top(), body.width(), body.height() - strip.height() - GAP)
    side = 0.27 * top.width()
    plan = QRectF(top.left(), top.top(), top.width() - 2.0 * side - 2.0 * GAP, top.height())
    place = QRectF(plan.right() + GAP, top.top(), side, top.height())
    last = QRectF(place.right() + GAP, top.top(), side, top.height())
    for panel in (strip, plan, place, last):
        painter.fillRect(panel, look.color("panel"))
    _paint_plan(painter, plan, scene, state, title, look, units)
    here = place_shown(state.around, state.s)
    paint_here(painter, place, here, place_words(scene.whole, here.scene.here, units), units, look)
    if shown.beside is not None:
        paint_beside_table(painter, last, beside_title(shown, units), beside_rows(shown, units), look)
    elif shown.rows:
        paint_planner(painter, last, shown, units, look)
    else:
        _paint_worst(painter, last, scene, state, look, units)
    paint_strip(painter, strip, scene, units, look)
    paint_hand(painter, strip, scene, state.s, units, look)


def _paint_plan(
    painter: QPainter, rect: QRectF, scene: PathScene, state: PathState, title: str, look: Look, units: Units
) -> None:
    fit, here = fit_in(scene.box, rect, look), scene.whole.at(state.s)
    paint_stock(painter, scene, fit, look)
    upto = int(np.searchsorted(scene.whole.samples.s, state.s, side="right")) - 1
    paint_cleared(painter, cleared_runs(scene, 0, upto, float(here.places.z[0])), fit, scene.whole.path.radius, look)
    paint_path(painter, scene, fit, look)
    paint_worst_marks(painter, scene, fit, look)
    paint_legend(painter, scene, rect, title, units, look)
    paint_cutter(painter, scene, fit, here, look)


def _paint_worst(
    painter: QPainter, rect: QRectF, scene: PathScene, state: PathState, look: Look, units: Units
) -> None:
    """As many of the worst places as there is room for, each a small plan."""
    assert state.around is not None
    y = rect.top() + GAP
    for i, row in enumerate(scene.whole.worst or ()):
        if y + THUMB > rect.bottom() - GAP:
            break
        paint_place(
            painter,
            QRectF(rect.left() + GAP, y, THUMB, THUMB),
            place_scene(state.around, state.worst_places[i]),
            look,
            small=True,
        )
        words = QRectF(rect.left() + THUMB + 2.0 * GAP, y + 4.0, rect.width() - THUMB - 3.0 * GAP, THUMB)
        paint_words(painter, words, f"{i + 1}  {worst_words(row, units)}", look)
        y += THUMB + GAP
