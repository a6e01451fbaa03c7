"""The charts beside the plan as a widget: axes are kept as a picture, curves and points are painted anew."""

from __future__ import annotations

import math
from dataclasses import replace

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QWidget

from app.kit.debounce import RestTimer
from app.kit.hover_help import HoverHelp, show_help
from app.kit.look import Look, look
from app.pages.arc.arc_state import PLAN_ONLY, ArcState
from app.pages.arc.edge_chart import foot_words, paint_edge_axes, paint_edges
from app.pages.arc.force_loop_chart import paint_loop_axes, paint_loops
from app.pages.arc.marks_chart import paint_marks, paint_marks_axes
from app.pages.arc.pair import other_angle, other_results
from app.pages.arc.pinned import ghost_traces
from app.pages.arc.side_charts_scene import ChartRanges, ChartsScene
from app.pages.arc.strip_places import type_share
from app.pages.arc.wall_chart import paint_wall_axes, paint_walls
from app.state.workbench import Workbench
from core.base.quantities import clear_figure, figure
from core.base.words import say
from core.effects.arc_results import ArcResults
from core.force.coefficient_spread import coefficients_are_rough
from core.setup.setup import Setup

STILL = {"loop": paint_loop_axes, "wall": paint_wall_axes, "marks": paint_marks_axes, "edge": paint_edge_axes}
LIVELY = {"loop": paint_loops, "wall": paint_walls, "marks": paint_marks, "edge": paint_edges}


CHARTS_SHARE = 38
"""Part of the height beside the plan that the charts take, of 100."""

LEAST_CHARTS = 150
"""Least height of the charts, in logical pixels, at which their figures can be read."""


def charts_height(room: float, needed: float, look: Look) -> int:
    """Height of the charts under strips that need ``needed`` of ``room``; 0 where none that can be read is left.

    Who asks for many strips wants to read them: the charts, which are there unasked, give way first.  They shrink
    from their share of the height to the least that can be read, then they go and the strips have all of it.
    Strips that are still too many keep their least height and scroll.
    """
    left = min(CHARTS_SHARE / 100.0 * room, room - needed)
    return int(left) if left >= LEAST_CHARTS * type_share(look) else 0


def chart_rects(rect: QRectF, ids: tuple[str, ...]) -> list[tuple[str, QRectF]]:
    """Each chart's rectangle, side by side."""
    width = rect.width() / max(len(ids), 1)
    return [(id, QRectF(rect.left() + i * width, rect.top(), width, rect.height())) for i, id in enumerate(ids)]


def paint_charts(painter: QPainter, rect: QRectF, ids: tuple[str, ...], scene: ChartsScene, theme: Look) -> None:
    """All charts on a rectangle of any painter: screen, PNG, SVG, PDF."""
    for id, box in chart_rects(rect, ids):
        STILL[id](painter, box, scene, theme)
        LIVELY[id](painter, box, scene, theme)


class SideCharts(QWidget):
    """Force over a turn, finished wall, feed marks and the edge unrolled, of one direction or of both."""

    def __init__(self, workbench: Workbench, view: ArcState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._ranges = ChartRanges()
        self._scene: ChartsScene | None = None
        self._rested: Setup | None = None
        self._static: QPixmap | None = None
        self._static_key: object = None
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(300, 0)
        self.setAccessibleName(say("chart", "name"))
        self._settle = RestTimer(self, self.settle)
        view.angle_changed.connect(self.show_angle)
        view.changed.connect(self.show_view)
        self.settle()

    def sizeHint(self) -> QSize:
        """About as wide as the strips above."""
        return QSize(500, 200)

    @property
    def scene_shown(self) -> ChartsScene:
        """What is shown now."""
        assert self._scene is not None
        return self._scene

    def show_results(self, results: ArcResults) -> None:
        """New results: curves at once, axes only if the data leave them."""
        self._derive(settled=False)
        self._settle.start()

    def settle(self) -> None:
        """A gesture is over: axes may take in again what is too large."""
        self._settle.stop()
        self._derive(settled=True)
        # A screen reader is told when nothing moves any more.
        self.setAccessibleDescription(self.description() if self._scene else "")

    def show_view(self, name: str) -> None:
        """Theme, units, Pair or the choice of charts have changed."""
        if name not in PLAN_ONLY:
            self.settle()

    def show_angle(self, angle_deg: float) -> None:
        """The tooth has moved."""
        self._derive(settled=False)
        self._settle.start()

    def _derive(self, settled: bool) -> None:
        if not self._view.charts or not self._view.shown.strips:
            return
        own, angle = self._view.results, self._view.angle_deg
        traces = [(own, angle)]
        if self._view.pair and (other := other_results(own)) is not None:
            traces.append((other, other_angle(angle, own, other)))
        pins = ghost_traces(self._view.pin, traces)
        ids, units = self._view.charts, self._view.units
        # While a hand moves a figure the range of the wall is not worked out: it comes as the hand rests.
        self._rested = own.setup if settled else self._rested
        bands = self._rested == own.setup
        settled, top = settled and self._view.scales_follow, self._view.thickness_top
        scene = self._ranges.scene(traces, units, settled=settled, ids=ids, top=top, bands=bands, pins=pins)
        self._scene = scene if self._view.shown.figures else replace(scene, figures=False)
        self.update()

    def description(self) -> str:
        """Force now, the wall's error at the tip and its feed marks, in words."""
        words, units = [], self._view.units
        rough = coefficients_are_rough(self._view.results.setup.work)
        for loop in self.scene_shown.loops:
            name = say("strip", "conventional" if loop.conventional else "this_cut")
            if loop.here is not None:
                size = math.hypot(*loop.here)
                words.append(say("chart", "force", name=name, force=figure(size, "force", units, rough=rough)))
        for wall in self.scene_shown.walls:
            if wall.profile is not None:
                error = 1000.0 * float(wall.profile.error[0])
                words.append(say("chart", "tip", error=figure(error, "micro", units, signed=True, rough=True)))
        for marks in self.scene_shown.marks:
            name = say("strip", "conventional" if marks.conventional else "this_cut")
            height = clear_figure(1000.0 * marks.height, "micro", units)
            told = marks.missing or say("chart", "peak", height=height)
            words.append(say("chart", "marks", name=name, told=told))
        for edge in self.scene_shown.edges:
            told = foot_words(edge, self.scene_shown)[0]
            words.append(say("chart", "edges", name=say("path_direction", edge.direction), told=told))
        return " ".join(words)

    def help_at(self, point: QPointF) -> HoverHelp | None:
        """What the chart is whose title is under a pixel, or what a name beside the title means."""
        if self._scene is None:
            return None
        theme = look(self._view.theme)
        for id, box in chart_rects(QRectF(self.rect()), self._view.charts):
            head = QRectF(box.left(), box.top(), box.width(), theme.text + 14.0)
            if head.contains(point):
                return HoverHelp(head, say("chart_help", id), above=True)
        return None

    def event(self, event: QEvent) -> bool:
        """Who hovers over a title is told of that chart, and of no other."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            show_help(self, event, self.help_at(QPointF(event.pos())))
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Axes from their picture, then what changes."""
        painter = QPainter(self)
        if self._scene is None:
            painter.fillRect(self.rect(), look(self._view.theme).color("panel"))
            painter.end()
            return
        theme = look(self._view.theme)
        painter.drawPixmap(0, 0, self._still_layer(self._scene, theme))
        for id, box in chart_rects(QRectF(self.rect()), self._view.charts):
            painter.setClipRect(box)
            LIVELY[id](painter, box, self._scene, theme)
        painter.end()

    def _still_layer(self, scene: ChartsScene, theme: Look) -> QPixmap:
        ratio = self.devicePixelRatioF()
        key = (
            self.width(),
            self.height(),
            ratio,
            theme.name,
            self._view.charts,
            scene.units,
            scene.across,
            scene.along,
            scene.error_range,
            scene.marks_range,
            tuple([t.missing for t in scene.marks]),
            tuple([(t.direction, len(t.rows), t.depth) for t in scene.edges]),
            scene.depth,
            scene.side,
            tuple([(t.on_right, t.missing) for t in scene.walls]),
            tuple([t.loop is None for t in scene.loops]),
        )
        if self._static is None or key != self._static_key:
            static = QPixmap(math.ceil(self.width() * ratio), math.ceil(self.height() * ratio))
            static.setDevicePixelRatio(ratio)
            static.fill(theme.color("panel"))
            painter = QPainter(static)
            for id, box in chart_rects(QRectF(self.rect()), self._view.charts):
                STILL[id](painter, box, scene, theme)
            painter.end()
            self._static, self._static_key = static, key
        return self._static
