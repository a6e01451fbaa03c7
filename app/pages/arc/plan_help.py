"""What the parts of the plan are and what can be done with them: told to who hovers over one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from PySide6.QtCore import QPointF, QRectF

from app.kit.hover_help import HoverHelp
from app.kit.label_layout import text_size
from app.kit.look import Look
from app.pages.arc.feed_arrow import feed_arrow
from app.pages.arc.loupe import loupe_place
from app.pages.arc.plan_force import force_end
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_handles import handles_at
from app.pages.arc.plan_inset import inset_place
from app.pages.arc.plan_layers import RING, legend_places
from app.pages.arc.plan_scene import PlanScene
from core.base.glossary import explained
from core.base.words import say

NEAR = 10.0
"""Pixels about a thin part that count as on it."""

TERM_OF_HANDLE = {"edge": "uncut_edge", "feed": "feed_per_tooth", "flip": "feed_per_tooth", "tooth": "active_tooth"}

TERM_OF_LABEL = {"work": "work_way", "enters": "entry", "leaves": "exit", "burr": "burr", "wall": "finished_wall"}


def plan_help(
    point: QPointF, scene: PlanScene, frame: PlanFrame, look: Look, named: Mapping[str, QRectF]
) -> HoverHelp | None:
    """The part of a plan under a pixel, topmost first; ``named`` are the places of its labels."""
    return next(_parts(point, scene, frame, look, named), None)


def _about(point: QPointF) -> QRectF:
    return QRectF(point.x() - NEAR, point.y() - NEAR, 2.0 * NEAR, 2.0 * NEAR)


def _parts(
    point: QPointF, scene: PlanScene, frame: PlanFrame, look: Look, named: Mapping[str, QRectF]
) -> Iterator[HoverHelp]:
    here = _about(point)
    for name, term in TERM_OF_LABEL.items():
        if name in named and named[name].contains(point):
            yield HoverHelp(named[name], explained(term))
    inset = inset_place(scene, frame)
    if inset is not None and inset.contains(point):
        yield HoverHelp(inset, explained("inset"))
    centre, radius = loupe_place(scene, frame)
    if math.hypot(point.x() - centre.x(), point.y() - centre.y()) <= radius:
        yield HoverHelp(QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius), explained("loupe"))
    for handle in handles_at(point, scene, frame)[:1]:
        yield HoverHelp(here, f"{explained(TERM_OF_HANDLE[handle.kind])}\n{say('drag', handle.kind)}")
    tail, tip = feed_arrow(scene, frame)
    shaft = QRectF(tip.x() - NEAR, tip.y() - NEAR, 2.0 * NEAR, tail.y() - tip.y() + 2.0 * NEAR)
    for box in (named.get("feed", QRectF()), shaft):
        if box.contains(point):
            yield HoverHelp(box, f"{explained('feed_per_tooth')}\n{explained('cutter_way')}\n{say('drag', 'feed')}")
    yield from _words(point, scene, frame, look)
    yield from _on_the_cutter(point, scene, frame, here)
    for wall in scene.shapes.walls:
        (x, top), (_, bottom) = frame.points(wall)
        if abs(point.x() - x) <= NEAR and top <= point.y() <= min(bottom, top + 1.02 * frame.radius):
            yield HoverHelp(here, explained("finished_wall"))


def _title_term(scene: PlanScene) -> str:
    """The glossary's term for what a plan is called."""
    other = "mirrored" if scene.mirrored else "offset" if scene.compared else ""
    return other or scene.results.setup.cut.direction


def _words(point: QPointF, scene: PlanScene, frame: PlanFrame, look: Look) -> Iterator[HoverHelp]:
    """The title above the picture, the hours about it, the legend below it."""
    size = text_size(look.font("text", bold=True), scene.title)
    title = QRectF(frame.rect.left() + 16.0, frame.rect.top() + 6.0, size.width() + 50.0, size.height() + 6.0)
    if title.contains(point):
        yield HoverHelp(title, explained(_title_term(scene)))
    for phi, _, _ in frame.hours():
        hour = _about(frame.point(scene.place(phi, frame.beside(RING))))
        if hour.contains(point):
            yield HoverHelp(hour, explained("clock"))
    for term, box in legend_places(scene, frame, look):
        if box.contains(point):
            yield HoverHelp(box, explained(term), above=True)


def _on_the_cutter(point: QPointF, scene: PlanScene, frame: PlanFrame, here: QRectF) -> Iterator[HoverHelp]:
    """The arrow of force, what is left of the chip, where the edge rubs, the arrow of rotation."""
    end = force_end(scene, frame)
    if end is not None:
        way, off = end - frame.centre, point - frame.centre
        length = math.hypot(way.x(), way.y())
        # Its label stands beyond its end.
        share = min(max(QPointF.dotProduct(way, off) / length**2, 0.2), 1.0 + 40.0 / length)
        foot = frame.centre + way * share
        if math.hypot(point.x() - foot.x(), point.y() - foot.y()) <= NEAR:
            yield HoverHelp(here, explained("force_now"))
    x, y = frame.radii(point)
    phi, r, shapes = math.atan2(y, -x * scene.side), math.hypot(x, y), scene.shapes
    results = scene.results
    if results.engagement.entry <= phi <= results.engagement.exit:
        rubs = phi < results.engagement.entry + results.rub_entry or phi > results.engagement.exit - results.rub_exit
        depth = shapes.magnification * float(max(shapes.chip.h))
        if rubs and frame.beside(0.96) <= r <= frame.beside(1.08):
            yield HoverHelp(here, explained("rubbing"))
        if 1.0 - depth <= r <= frame.beside(1.03):
            yield HoverHelp(here, f"{explained('chip_thickness')}\n{explained('chip_drawn')}")
    if 0.2 <= r <= 0.36:
        yield HoverHelp(here, explained("hand"))
