"""The edge unrolled: angle across, height up, every edge a slanting line in the colours of the chip that it cuts."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QLinearGradient, QPainter, QPainterPath, QPen

from app.kit.hatch import paint_hatch
from app.kit.label_layout import fitting, text_size
from app.kit.look import NO_PEN, SMOOTH, Look
from app.kit.readable_ranges import AxisRange
from app.kit.thickness_colours import colour_of
from app.kit.xy_chart import Axis, Figures, XYChart, paint_across, paint_figures_across
from app.pages.arc.chart_title import paint_chart_title
from app.pages.arc.side_charts_scene import ChartsScene, EdgeTrace
from core.base.quantities import QUANTITIES, figure
from core.base.words import say
from core.cut.strip_angles import DOMAIN_DEG
from core.strips.edge_unrolled import Edge, EdgeRow

ANGLES = AxisRange(0.0, 180.0, 30.0)
STEPS = (1, 2, 3, 6)
"""Every how many lines of the angle one has a figure: as many as they have room."""

LEAST = 12.0
"""Pixels that the rows are given on even the smallest picture."""

FIELD = 0.45
"""How strongly the chip that is still to be cut is coloured, beside the edges that cut it."""

GAP = 3.0

RIBBON = 6.0
"""Pixels that the pinned chip's colours are high."""


@dataclass(frozen=True, slots=True)
class EdgeFrame(XYChart):
    """Where one row is drawn: a chart of the angle in degrees across and the height in mm up, 0 at the tip.

    ``pinned`` : the edges of the pinned cut that lie under this row's, None where nothing is pinned.
    """

    trace: EdgeTrace
    row: EdgeRow
    pinned: EdgeTrace | None = None

    @property
    def pinned_row(self) -> EdgeRow | None:
        """The pinned chip of the row's own tooth, of the tooth that is looked at where the row is of all."""
        if self.pinned is None:
            return None
        own = self.row.tooth or 0
        return next((row for row in self.pinned.rows if row.tooth == own), self.pinned.rows[0])


def chart_parts(rect: QRectF, look: Look) -> tuple[QRectF, QRectF, QRectF]:
    """Title's line, the rows' rectangle, and the line of words at the foot."""
    head = QRectF(rect.left() + 8.0, rect.top() + 2.0, rect.width() - 16.0, look.text + 10.0)
    foot = QRectF(rect.left() + 4.0, rect.bottom() - look.small - 8.0, rect.width() - 8.0, look.small + 6.0)
    left = rect.left() + 3.6 * look.small + 10.0
    bottom = foot.top() - look.small - 7.0
    # The last figure of the angle stands half outside.
    right = rect.right() - max(12.0, 1.1 * look.small)
    plot = QRectF(left, head.bottom() + 3.0, max(right - left, LEAST), max(bottom - head.bottom() - 3.0, LEAST))
    return head, plot, foot


def edge_frames(rect: QRectF, scene: ChartsScene, look: Look) -> list[EdgeFrame]:
    """Each row with its frame, one under another; of a pair climb first."""
    _, plot, _ = chart_parts(rect, look)
    pinned = scene.pinned_edges or (None,) * len(scene.edges)
    beside = sorted(zip(scene.edges, pinned, strict=True), key=lambda pair: pair[0].conventional)
    rows = [(trace, row, ghost) for trace, ghost in beside for row in trace.rows]
    each = plot.height() / max(len(rows), 1)
    across = Axis.over(AxisRange(*DOMAIN_DEG, ANGLES.step), plot.left(), plot.right())
    across = Axis(ANGLES, across.zero, across.per_unit)
    frames = []
    for i, (trace, row, ghost) in enumerate(rows):
        box = QRectF(plot.left(), plot.top() + i * each, plot.width(), max(each - GAP, 4.0))
        up = Axis.over(AxisRange(0.0, trace.depth, trace.depth), box.bottom(), box.top())
        frames.append(EdgeFrame(box, across, up, trace, row, ghost))
    return frames


def row_name(frame: EdgeFrame, scene: ChartsScene) -> str:
    """What a row is called: its tooth, or its direction in a pair; nothing where there is one row alone."""
    way = frame.trace.name if len(scene.edges) > 1 else ""
    tooth = "" if frame.row.tooth is None else say("edge_chart", "tooth", tooth=frame.row.tooth)
    return " ".join(part for part in (way, tooth) if part)


def paint_edge_axes(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """Title, lines of the angle with their figures, and how high the edge is."""
    head, plot, _ = chart_parts(rect, look)
    painter.setRenderHint(SMOOTH)
    paint_chart_title(painter, head, "edge", QUANTITIES["chip_thickness"].unit_in(scene.units), look)
    small = look.font("small")
    frames = edge_frames(rect, scene, look)
    for frame in frames:
        paint_across(painter, frame, look)
        painter.drawLine(frame.plot.bottomLeft(), frame.plot.bottomRight())
    if frames:
        wide, axis = text_size(small, "180°").width(), frames[0].across
        steps = [times * ANGLES.step for times in STEPS]
        step = next((s for s in steps if s * axis.per_unit > wide + 8.0), steps[-1])
        axis = Axis(AxisRange(ANGLES.low, ANGLES.high, step), axis.zero, axis.per_unit)
        whole = QRectF(plot.left(), plot.top(), plot.width(), frames[-1].plot.bottom() - plot.top())
        paint_figures_across(painter, axis, whole, look, Figures(lambda phi: f"{phi:.0f}°", 3.0, wide + 10.0))
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    room = plot.left() - rect.left() - 8.0
    for frame in frames:
        box = QRectF(rect.left() + 2.0, frame.plot.top(), room, frame.plot.height())
        line, name = look.small + 3.0, row_name(frame, scene)
        if name and frame.plot.height() >= look.small:
            short = name if frame.row.tooth is None else str(frame.row.tooth)
            painter.drawText(box, right, fitting(small, room, name, short))
        elif not name and frame.plot.height() >= 2.0 * line:
            depth = figure(frame.trace.depth, "depth", scene.units)
            painter.drawText(
                QRectF(box.left(), box.top(), room, line), right, fitting(small, room, depth, depth.split(" ")[0])
            )
            painter.drawText(QRectF(box.left(), box.bottom() - line, room, line), right, say("edge_chart", "tip"))


def thickness_brush(row: EdgeRow, frame: EdgeFrame, top: float, look: Look, alpha: float = 1.0) -> QBrush:
    """The colours of the row's chip along its angles; ``top`` is the thickness (mm) at the end of the scale."""
    left, right = frame.across.pixel(float(row.phi_deg[0])), frame.across.pixel(float(row.phi_deg[-1]))
    brush = QLinearGradient(QPointF(left, 0.0), QPointF(right, 0.0))
    last = len(row.h) - 1
    for i in range(0, last + 1, 3):
        # The scale's own colour stays as it is.
        color = QColor(colour_of(float(row.h[i]) / top, look.thick_is_dark))
        color.setAlphaF(alpha)
        brush.setColorAt(i / last, color)
    return QBrush(brush)


def paint_edges(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    """What is to be cut, where it rubs and where the skin is; the edges; the wall and who makes it; words."""
    painter.setRenderHint(SMOOTH)
    for frame in edge_frames(rect, scene, look):
        _paint_field(painter, frame, scene, look)
        _paint_pinned(painter, frame, scene, look)
        _paint_edges(painter, frame, scene, look)
        _paint_wall(painter, frame, look)
    _paint_foot(painter, rect, scene, look)


def _paint_field(painter: QPainter, frame: EdgeFrame, scene: ChartsScene, look: Look) -> None:
    inks = {"rub": look.rub_hatch, "skin": look.skin}
    for band in frame.trace.bands:
        left, right = frame.across.pixel(band.from_deg), frame.across.pixel(band.to_deg)
        box = QRectF(left, frame.plot.top(), right - left, frame.plot.height())
        if band.kind == "cut":
            painter.fillRect(box, thickness_brush(frame.row, frame, scene.top, look, FIELD))
            painter.setRenderHint(SMOOTH)
        elif band.kind in inks and right - left >= 0.5:
            area = QPainterPath()
            area.addRect(box)
            paint_hatch(painter, area, inks[band.kind], 5, 0.9, steep=True)


def pinned_outline(frame: EdgeFrame) -> list[QPointF]:
    """The pinned arc over the pinned depth as a line in pixels, open at the top where it goes on above the row."""
    if frame.pinned is None or frame.pinned_row is None:
        return []
    phi, top = frame.pinned_row.phi_deg, min(frame.pinned.depth, frame.trace.depth)
    corners = [(0, top), (0, 0.0), (-1, 0.0), (-1, top)]
    if frame.pinned.depth <= frame.trace.depth:
        corners.append((0, top))
    return [QPointF(frame.across.pixel(phi.item(i)), frame.up.pixel(height)) for i, height in corners]


def pinned_ribbon(frame: EdgeFrame) -> QRectF | None:
    """Where the pinned chip's colours stand: at the foot of its outline, None in a row that is too low for them."""
    outline = pinned_outline(frame)
    if not outline or frame.plot.height() < 3.0 * RIBBON:
        return None
    return QRectF(outline[1] - QPointF(0.0, RIBBON), outline[2])


def pinned_lines(frame: EdgeFrame) -> list[QLineF]:
    """The pinned edges in cut at this moment, in pixels, as far up as the row goes."""
    if frame.pinned is None:
        return []
    cutting = [e for e in frame.pinned.now.cutting if frame.row.tooth in (None, e.tooth)]
    return [line_of(edge, frame) for each in cutting if (edge := _up_to(each, frame.trace.depth)) is not None]


def _up_to(edge: Edge, top: float) -> Edge | None:
    """What of an edge lies no higher than ``top`` (mm); None for nothing."""
    (phi, low), (end, high) = edge.lower, edge.upper
    if high <= top:
        return edge
    return Edge(edge.tooth, edge.lower, (phi + (end - phi) * (top - low) / (high - low), top)) if low < top else None


def _paint_pinned(painter: QPainter, frame: EdgeFrame, scene: ChartsScene, look: Look) -> None:
    """What the pinned cut had to cut, thin and grey: its outline, a ribbon in its chip's colours, its edges."""
    if frame.pinned is None or frame.pinned_row is None:
        return
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(look.pen("soft", "hair", dashed=frame.pinned.conventional))
    ribbon = pinned_ribbon(frame)
    if ribbon is not None:
        painter.fillRect(ribbon, thickness_brush(frame.pinned_row, frame, scene.top, look))
        painter.drawLine(ribbon.topLeft(), ribbon.topRight())
    painter.drawPolyline(pinned_outline(frame))
    for line in pinned_lines(frame):
        painter.drawLine(line.p1(), line.p2())


def line_of(edge: Edge, frame: EdgeFrame) -> QLineF:
    """An edge in pixels, from its lower to its upper end."""
    ends = [QPointF(frame.across.pixel(phi), frame.up.pixel(height)) for phi, height in (edge.lower, edge.upper)]
    return QLineF(*ends)


def _paint_edges(painter: QPainter, frame: EdgeFrame, scene: ChartsScene, look: Look) -> None:
    """Thin where an edge is in the air; where it cuts, in ink about the colour of its chip.

    The tooth that is looked at elsewhere has the accent's colour.
    """
    now, own = frame.trace.now, frame.row.tooth
    active = QPen(look.pen("accent", "line"))
    for edge in now.edges:
        if own in (None, edge.tooth):
            painter.setPen(active if edge.tooth == 0 else look.pen("soft", "line"))
            painter.drawLine(line_of(edge, frame))
    brush = thickness_brush(frame.row, frame, scene.top, look)
    for width, ink in ((3.6 * look.thick, None), (2.2 * look.thick, brush)):
        for edge in now.cutting:
            if own not in (None, edge.tooth):
                continue
            color = QBrush(look.color("accent" if edge.tooth == 0 else "ink")) if ink is None else ink
            painter.setPen(QPen(color, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(line_of(edge, frame))


def _paint_wall(painter: QPainter, frame: EdgeFrame, look: Look) -> None:
    """The angle of the wall, and a mark on it at each height at which an edge makes it now."""
    if frame.trace.wall_deg is None:
        return
    x = frame.across.pixel(frame.trace.wall_deg)
    painter.setPen(look.pen("ink", "thick", dashed=frame.trace.conventional))
    painter.drawLine(QPointF(x, frame.plot.top()), QPointF(x, frame.plot.bottom()))
    for made in frame.trace.now.at_wall:
        if frame.row.tooth in (None, made.tooth):
            painter.setPen(look.pen("panel", "line"))
            painter.setBrush(look.color("accent" if made.tooth == 0 else "ink"))
            painter.drawEllipse(QPointF(x, frame.up.pixel(made.height)), 5.0, 5.0)
    painter.setPen(NO_PEN)


def foot_words(trace: EdgeTrace, scene: ChartsScene) -> tuple[str, ...]:
    """How many teeth cut and where the wall is made now, in fewer and fewer words."""
    if trace.now.missing:
        return (trace.now.missing,)
    cut = say("edge_chart", "in_cut", count=trace.now.teeth_in_cut, teeth=trace.teeth)
    if trace.wall_deg is None or not trace.slanted:
        return (cut,)
    heights = sorted(made.height for made in trace.now.at_wall)
    if not heights:
        wall = say("edge_chart", "no_wall")
    else:
        wall = say("edge_chart", "wall", heights=", ".join(figure(h, "depth", scene.units) for h in heights[:3]))
    return f"{cut}; {wall}", cut


def _paint_foot(painter: QPainter, rect: QRectF, scene: ChartsScene, look: Look) -> None:
    _, _, foot = chart_parts(rect, look)
    small = look.font("small")
    painter.setFont(small)
    painter.setPen(look.color("soft"))
    words = foot_words(scene.edges[0], scene) if scene.figures else (say("edge_chart", "axes"),)
    if len(scene.edges) > 1 and scene.figures:
        words = (say("edge_chart", "axes"),)
    text = fitting(small, foot.width(), *words)
    if text_size(small, text).width() <= foot.width():
        painter.drawText(foot, Qt.AlignmentFlag.AlignCenter, text)
