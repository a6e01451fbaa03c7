"""The plan on the screen: which of its layers are painted anew, and which are kept as pictures meanwhile."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap, QRegion
from PySide6.QtWidgets import QWidget

from app.kit.label_layout import LabelLayout
from app.kit.look import SMOOTH, Look
from app.kit.tiled_pixmap import TiledPixmap, clear_picture, painter_on, tiled
from app.pages.arc.loupe import RIM, loupe_key, loupe_picture, loupe_place
from app.pages.arc.plan_frame import PlanFrame
from app.pages.arc.plan_layers import paint_work
from app.pages.arc.plan_picture import paint_ends, paint_fixed, paint_moving
from app.pages.arc.plan_scene import PlanScene
from app.pages.arc.plan_tooth import paint_cutter
from app.pages.arc.plan_ways import travelled

Plans = Sequence[tuple[PlanScene, PlanFrame]]
"""The plans of a widget from the left, each with its place."""


@dataclass(frozen=True, slots=True)
class FixedWords:
    """A plan's fixed words as a picture, with the places they take; ``key`` is all that they depend on."""

    key: tuple[object, ...]
    picture: TiledPixmap
    layout: LabelLayout


def _place_key(frame: PlanFrame) -> tuple[float, ...]:
    """Where a plan stands and how large it is drawn."""
    return (*frame.rect.getRect(), frame.centre.x(), frame.centre.y(), frame.scale)  # type: ignore[misc]


class PlanOnScreen:
    """The plans of one widget as they are painted on it, with the pictures kept of their layers."""

    def __init__(self, widget: QWidget) -> None:
        self._widget = widget
        self._static: QPixmap | None = None
        self._changed = True
        self._fixed: dict[bool, FixedWords] = {}
        self._over: dict[bool, TiledPixmap] = {}
        self._cutters: dict[bool, tuple[tuple[object, ...], TiledPixmap | None]] = {}
        self._loupes: dict[bool, tuple[tuple[object, ...], QPixmap]] = {}

    def forget(self) -> None:
        """What stands still under the tooth has changed: it is painted anew."""
        self._static, self._changed = None, True
        self._over.clear()

    def paint(self, painter: QPainter, plans: Plans, look: Look) -> None:
        """What stands still, then what moves.

        After a change the still part is painted straight on the screen; once the tooth moves over it, it is
        kept as a picture.
        """
        kept = not (self._static is None and self._changed)
        if not kept:
            self._changed = False
            self._paint_still(painter, plans, look)
        else:
            if self._static is None:
                ratio, size = self._widget.devicePixelRatioF(), self._widget.size()
                self._static = QPixmap(math.ceil(size.width() * ratio), math.ceil(size.height() * ratio))
                self._static.setDevicePixelRatio(ratio)
                inner = QPainter(self._static)
                self._paint_still(inner, plans, look)
                inner.end()
            painter.drawPixmap(0, 0, self._static)
        for scene, frame in plans:
            near = frame.far is not None
            # The cutter of a close view is larger than its picture.
            painter.setClipRect(frame.inner if near else frame.rect)
            painter.setRenderHint(SMOOTH)
            self._paint_cutter(painter, scene, frame, look)
            if near:
                self._paint_over_cutter(painter, scene, frame, look, kept)
            # As they were painted: what stands still is anew only where it has changed.
            fixed = self._fixed.get(scene.second)
            paint_moving(painter, scene, frame, look, None if fixed is None else fixed.layout)
            if near:
                painter.setClipRect(frame.rect)
            self._paint_loupe(painter, scene, frame, look)
        painter.setClipping(False)

    def paint_sliding(self, painter: QPainter, plans: Plans, look: Look) -> None:
        """The plan in motion: the hatching of the work stands still and all else goes up, or it comes down alone."""
        painter.fillRect(self._widget.rect(), look.color("panel"))
        for scene, frame in plans:
            way, up = travelled(scene.angle_deg, frame), 0
            if scene.moves == "cutter":
                up = way
            box, fixed, near = frame.inner, self.fixed_words(scene, frame, look), frame.far is not None
            painter.save()
            painter.setRenderHint(SMOOTH)
            painter.setClipRect(frame.rect)
            # Title and legend stand outside the picture and stay there.
            beside = QRegion(frame.rect.toRect()) - QRegion(box.toRect())
            painter.setClipRegion(beside, Qt.ClipOperation.IntersectClip)
            fixed.picture.paint(painter)
            painter.setClipRect(box)
            painter.translate(0.0, -up)
            painter.setBrushOrigin(0, way)
            # Higher than the picture, so that no end of it comes in sight.
            high = replace(frame, inner=box.adjusted(0.0, -abs(up), 0.0, abs(up)))
            paint_work(painter, scene, high, look)
            painter.setBrushOrigin(0, 0)
            if near:
                self._paint_cutter(painter, scene, frame, look)
            painter.save()
            painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
            self._all_words(scene, frame, look).paint(painter)
            painter.restore()
            if not near:
                self._paint_cutter(painter, scene, frame, look)
            paint_moving(painter, scene, frame, look, fixed.layout)
            painter.translate(0.0, up)
            painter.setClipRect(frame.rect)
            self._paint_loupe(painter, scene, frame, look)
            painter.restore()

    def _paint_still(self, painter: QPainter, plans: Plans, look: Look) -> None:
        painter.fillRect(self._widget.rect(), look.color("panel"))
        for scene, frame in plans:
            painter.setClipRect(frame.rect)
            painter.setRenderHint(SMOOTH)
            paint_work(painter, scene, frame, look)
            if frame.far is None:
                self._paint_words(painter, scene, frame, look)
        painter.setClipping(False)

    def fixed_words(self, scene: PlanScene, frame: PlanFrame, look: Look) -> FixedWords:
        """The fixed words of one plan, painted again only when something of them changes."""
        cut, cutter, ratio = scene.results.setup.cut, scene.results.setup.cutter, self._widget.devicePixelRatioF()
        key = (
            *_place_key(frame),
            ratio,
            look.name,
            scene.units,
            scene.title,
            scene.hint,
            scene.note,
            scene.moves,
            scene.top,
            cutter.hand,
            cut.direction,
            cut.feed_per_tooth_mm,
            cutter.diameter_mm,
            cutter.cutting_edge_angle_deg,
        )
        words = self._fixed.get(scene.second)
        if words is None or words.key != key:
            picture = clear_picture(frame.rect, ratio)
            painter = painter_on(picture, frame.rect)
            layout = paint_fixed(painter, scene, frame, look)
            painter.end()
            words = self._fixed[scene.second] = FixedWords(key, tiled(picture, frame.rect), layout)
        return words

    def _paint_words(self, painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
        """The words that stand still, and what shows the ends of the arc."""
        fixed = self.fixed_words(scene, frame, look)
        fixed.picture.paint(painter)
        paint_ends(painter, scene, frame, look, fixed.layout)

    def _paint_over_cutter(
        self, painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look, kept: bool
    ) -> None:
        """In a close view the words lie over the cutter; once the tooth moves under them they are a kept picture."""
        painter.setClipRect(frame.rect)
        if not kept:
            self._paint_words(painter, scene, frame, look)
        else:
            self._all_words(scene, frame, look).paint(painter)
        painter.setClipRect(frame.inner)

    def _all_words(self, scene: PlanScene, frame: PlanFrame, look: Look) -> TiledPixmap:
        """The words that stand still and the ends of the arc as one kept picture."""
        over = self._over.get(scene.second)
        if over is None:
            picture = clear_picture(frame.rect, self._widget.devicePixelRatioF())
            inner = painter_on(picture, frame.rect)
            self._paint_words(inner, scene, frame, look)
            inner.end()
            over = self._over[scene.second] = tiled(picture, frame.rect)
        return over

    def _paint_cutter(self, painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
        """The cutter; met again as it stood, as in a drag of the width, it is kept as a picture."""
        ratio, cutter = self._widget.devicePixelRatioF(), scene.results.setup.cutter
        key = (
            *_place_key(frame),
            ratio,
            look.name,
            scene.angle_deg,
            cutter.hand,
            cutter.teeth,
            cutter.radial_rake_deg,
        )
        met, picture = self._cutters.get(scene.second, (None, None))
        if met != key:
            # A turning cutter pays for no picture.
            self._cutters[scene.second] = (key, None)
            paint_cutter(painter, scene, frame, look)
            return
        if picture is None:
            whole = clear_picture(frame.rect, ratio)
            inner = painter_on(whole, frame.rect)
            paint_cutter(inner, scene, frame, look)
            inner.end()
            picture = tiled(whole, frame.rect)
            self._cutters[scene.second] = (key, picture)
        picture.paint(painter)

    def _paint_loupe(self, painter: QPainter, scene: PlanScene, frame: PlanFrame, look: Look) -> None:
        """The loupe, painted anew only when what it shows has changed: a change of width often leaves it."""
        centre, radius = loupe_place(scene, frame)
        ratio = self._widget.devicePixelRatioF()
        key = loupe_key(scene, radius, look, ratio)
        kept = self._loupes.get(scene.second)
        if kept is None or kept[0] != key:
            kept = self._loupes[scene.second] = (key, loupe_picture(scene, radius, look, ratio))
        painter.drawPixmap(QPointF(centre.x() - radius - RIM, centre.y() - radius - RIM), kept[1])
