"""The whole plan as a picture, in the order of its layers: on the screen they are painted one by one."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import LabelLayout
from app.kit.look import Look
from app.kit.shapes import on_screen
from app.pages.arc import plan_layers as layers
from app.pages.arc import plan_tooth as tooth
from app.pages.arc.feed_arrow import paint_feed
from app.pages.arc.loupe import loupe_place, paint_loupe
from app.pages.arc.plan_callouts import paint_callouts
from app.pages.arc.plan_close import CloseView, sense
from app.pages.arc.plan_exit import paint_exit_corner
from app.pages.arc.plan_force import paint_forces
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_inset import chip_boxes, inset_place, paint_inset
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_skin import paint_skin_arcs
from app.pages.arc.plan_ways import paint_work_way


def paint_fixed(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> LabelLayout:
    """Words and arrows that a change of width leaves where they are; returns the places they take."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    layers.paint_legend(painter, scene, frame, look)
    layers.paint_title(painter, scene, frame, look)
    layout = LabelLayout(frame.inner)
    centre, radius = loupe_place(scene, frame)
    layout.take(QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius))
    inset = inset_place(scene, frame)
    if inset is not None:
        layout.take(inset)
        paint_feed(painter, scene, frame, look, layout)
    layers.paint_ring(painter, scene, frame, look, layout)
    if inset is not None:
        layers.paint_wall_name(painter, scene, frame, look, layout)
        return layout
    # The cutter itself is kept free of cards: three boxes that fill its circle.
    for w, h in ((0.99, 0.30), (0.86, 0.62), (0.55, 0.88)):
        r = frame.radius
        layout.take(QRectF(frame.centre.x() - w * r, frame.centre.y() - h * r, 2 * w * r, 2 * h * r))
    paint_feed(painter, scene, frame, look, layout)
    layers.paint_wall_name(painter, scene, frame, look, layout)
    return layout


def paint_ends(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, fixed: LabelLayout) -> list[QRectF]:
    """Grips of the uncut edges, arcs in the skin, callouts at entry and exit (places returned), the exit corner."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    layers.paint_grips(painter, scene, frame, look)
    layout = fixed.copy()
    if frame.far is not None:
        paint_inset(painter, scene, frame, look)
    # The chip is painted over the words; where it is hidden they stand where they will when it is revealed.
    for box in chip_boxes(scene, frame):
        layout.take(box)
    for x in scene.shapes.edges:
        grip = layers.edge_grip(x, frame)
        layout.take(QRectF(grip.x() - 9.0, grip.y() - 11.0, 18.0, 22.0))
    paint_skin_arcs(painter, scene, frame, look, layout)
    # The cards may stand anywhere else; the work's arrow only on the work.
    paint_work_way(painter, scene, frame, look, layout)
    cards = paint_callouts(painter, scene, frame, look, layout) if scene.shown.callouts else []
    paint_exit_corner(painter, scene, frame, look, layout, cards)
    return cards


def paint_moving(
    painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, words: LabelLayout | None = None
) -> None:
    """What moves over the cutter: chip, forces, active tooth.

    words : what stands still; the size of the force keeps off its cards, in a close view the tooth's angle off all.
    """
    if scene.shown.chip:
        tooth.paint_chip(painter, scene, frame, look)
        tooth.paint_curl(painter, scene, frame, look)
        if scene.ghost is not None:
            tooth.paint_ghost(painter, scene, frame, look)
    if scene.shapes.each is not None:
        tooth.paint_tooth_names(painter, scene, frame, look)
    # First of what is taken is the loupe.
    cards = () if words is None else (*words.taken[:1], *words.named.values())
    taken = paint_forces(painter, scene, frame, look, cards)
    head, _ = tooth.turning_head(scene, frame)
    taken.append(QRectF(head.x() - 8.0, head.y() - 8.0, 16.0, 16.0))
    if words is not None and frame.far is not None:
        taken += [*words.taken, *words.named.values()]
    tooth.paint_tooth(painter, scene, frame, look, taken)


def paint_only_inside(painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
    """The cutter, in a close view no farther than the picture."""
    painter.save()
    if frame.far is not None and on_screen(painter):
        painter.setClipRect(frame.inner, Qt.ClipOperation.IntersectClip)
    tooth.paint_cutter(painter, scene, frame, look)
    painter.restore()


def paint_plan(
    painter: QPainter, rect: QRectF, scene: PlanScene, look: Look, *, close: CloseView | None = None
) -> None:
    """The whole plan, or the part that is looked at, on a rectangle of any painter: screen, PNG, SVG, PDF."""
    frame = PlanFrame.of(rect, look, bool(scene.title), close, sense(scene))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    layers.paint_work(painter, scene, frame, look)
    if frame.far is not None:
        # Large as it is the cutter lies under the words.
        paint_only_inside(painter, scene, frame, look)
    words = paint_fixed(painter, scene, frame, look)
    paint_ends(painter, scene, frame, look, words)
    if frame.far is None:
        paint_only_inside(painter, scene, frame, look)
    paint_moving(painter, scene, frame, look, words)
    paint_loupe(painter, scene, frame, look)
    painter.restore()
