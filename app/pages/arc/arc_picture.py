"""The Arc page on paper: header, plan, strips, sentence, painted on any painter; no screenshot."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import text_size, wrapped
from app.kit.look import Look
from app.pages.arc.pair import plan_scenes
from app.pages.arc.pinned import ghost_traces
from app.pages.arc.plan_close import CloseView
from app.pages.arc.plan_picture import paint_plan
from app.pages.arc.plan_scene import force_range, greatest_force
from app.pages.arc.side_charts import charts_height, paint_charts
from app.pages.arc.side_charts_scene import ChartRanges
from app.pages.arc.strip_layers import paint_strips
from app.pages.arc.strip_places import least_height
from app.pages.arc.strips_scene import WHOLE, RangeKeeper, StripsScene, Trace, arc_angles, page_traces
from core.base.quantities import Units, figure
from core.base.visible import visible
from core.base.words import say
from core.effects.arc_results import ArcResults, arc_results
from core.report.cutter_line import cutter_line
from core.report.sentence import other_of_pair, sentence_lines
from core.report.which_way_words import decision_words
from core.setup.setup import Setup
from core.setup.show import EVERYTHING, Shown


@dataclass(frozen=True, slots=True)
class PictureOptions:
    """What of the page is painted and how; ``top`` is the end of the scale (mm) that a pin holds."""

    units: Units = "metric"
    pair: bool = False
    angle_deg: float | None = None
    strips: tuple[str, ...] = ("chip", "force")
    charts: tuple[str, ...] = ("loop", "wall")
    shown: Shown = EVERYTHING
    close: CloseView | None = None
    pin: ArcResults | None = None
    top: float = 0.0
    arc_alone: bool = False

    @property
    def held_top(self) -> float:
        """The end of the scale (mm) that a pin holds; 0 where nothing is pinned and each cut takes its own."""
        return self.top if self.pin is not None else 0.0


def key_figures(results: ArcResults, units: Units) -> str:
    """The figures that a setup sheet wants first, in one line."""
    cut, rates = results.setup.cut, results.rates
    told = (
        ("ae", figure(cut.radial_engagement_mm, "radial_width", units)),
        ("ap", figure(cut.axial_engagement_mm, "depth", units)),
        ("fz", figure(cut.feed_per_tooth_mm, "feed_per_tooth", units)),
        ("n", figure(cut.spindle_speed_rpm, "spindle_speed", units)),
        ("vc", figure(rates.cutting_speed_m_min, "cutting_speed", units)),
        ("vf", figure(rates.table_feed_mm_min, "table_feed", units)),
    )
    return "    ".join(f"{symbol} {value}" for symbol, value in told)


@dataclass(frozen=True, slots=True)
class FootWords:
    """Words under the pictures: the sentence's lines, and small lines below, each with a left and a right part."""

    told: tuple[str, ...]
    below: list[tuple[str, str]]


def foot_words(setup: Setup, options: PictureOptions, width: float, theme: Look) -> FootWords:
    """The sentence whole, then figures and advice, on as many lines of ``width`` as they need."""
    shown = options.shown
    lines = sentence_lines(setup, options.units)
    if options.pair:
        # A line for each direction.
        lines = " ".join(lines), other_of_pair(setup, options.units)
    told = "\n".join([line for line in lines if line]) if shown.sentence else ""
    small, figures = theme.font("small"), key_figures(arc_results(setup), options.units)
    advice = f"{say('section', 'which_way')}? {decision_words(setup, options.units)}"
    caution = say("decision", "cautions")
    if not shown.verdict:
        # What was set is no answer.
        below = [(line, "") for line in wrapped(small, figures, width)]
        return FootWords(wrapped(theme.font("figure"), told, width) if told else (), below)
    if text_size(small, figures).width() + text_size(small, advice).width() + 30.0 < width:
        below = [(figures, advice)]
    else:
        below = [(line, "") for words in (figures, advice) for line in wrapped(small, words, width)]
    # The caution stands where the verdict stands.
    below += [(line, "") for line in wrapped(small, caution, width)]
    return FootWords(wrapped(theme.font("figure"), told, width) if told else (), below)


def _paint_beside(
    painter: QPainter, right: QRectF, results: ArcResults, angle: float, options: PictureOptions, theme: Look
) -> None:
    """Strips, and charts under them where there is room."""
    units, figures, top = options.units, options.shown.figures, options.held_top
    own, other, ghosts = page_traces(results, options.strips, angle, pair=options.pair, pin=options.pin)
    traces: list[Trace] = [t for t in (own, other) if t is not None]
    angles = arc_angles([*traces, *ghosts], None, settled=True) if options.arc_alone else WHOLE
    ranges = RangeKeeper().update([*traces, *ghosts], units, settled=True)
    needed = least_height(len(options.strips), theme)
    below = float(charts_height(right.height(), needed, theme)) if options.charts else 0.0
    scene = StripsScene(own, other, ranges, units, top, figures, ghosts, angles)
    paint_strips(painter, right.adjusted(0.0, 0.0, 0.0, -below), scene, theme)
    if below > 0.0:
        told = [(t.results, t.angle_deg) for t in traces]
        pins = ghost_traces(options.pin, told)
        charts = ChartRanges().scene(told, units, settled=True, ids=options.charts, top=top, pins=pins)
        charts = replace(charts, figures=figures)
        paint_charts(painter, right.adjusted(4.0, right.height() - below, -4.0, -4.0), options.charts, charts, theme)


def paint_arc_page(
    painter: QPainter, rect: QRectF, results: ArcResults, options: PictureOptions, theme: Look
) -> None:
    """Paint the page on ``rect``."""
    setup, units = results.setup, options.units
    painter.fillRect(rect, theme.color("page"))
    m, gap, title = 14.0, 10.0, visible(setup.title) or say("window", "untitled")
    head = QRectF(rect.left() + m, rect.top() + m, rect.width() - 2 * m, theme.title + 12.0)
    painter.setPen(theme.color("ink"))
    painter.setFont(theme.font("title", bold=True))
    painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
    small, cutter = theme.font("small"), visible(cutter_line(setup, units))
    painter.setPen(theme.color("soft"))
    painter.setFont(small)
    taken = text_size(theme.font("title", bold=True), title).width()
    if taken + text_size(small, cutter).width() + 20.0 < head.width():
        painter.drawText(head, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, cutter)
    words = foot_words(setup, options, rect.width() - 2 * m - 32.0, theme)
    line_height = theme.small + 6.0
    foot_height = 1.3 * theme.figure * len(words.told) + line_height * len(words.below) + 22.0
    foot = QRectF(rect.left() + m, rect.bottom() - m - foot_height, rect.width() - 2 * m, foot_height)
    middle = QRectF(head.left(), head.bottom() + gap, head.width(), foot.top() - head.bottom() - 2 * gap)
    left_width = middle.width() * (0.62 if options.pair else 0.54)
    if not options.shown.strips:
        left_width = middle.width()
    left = QRectF(middle.left(), middle.top(), left_width, middle.height())
    right = QRectF(left.right() + gap, middle.top(), middle.right() - left.right() - gap, middle.height())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.color("panel"))
    for box in (left, right, foot) if options.shown.strips else (left, foot):
        painter.drawRoundedRect(box, 6.0, 6.0)
    e = results.engagement
    angle = options.angle_deg
    if angle is None:
        angle = math.degrees(e.entry + 0.4 * e.arc)
    pair, pin = options.pair, options.pin
    scenes = plan_scenes(results, angle, units, pair=pair, top=options.held_top, shown=options.shown, pin=pin)
    force_top = force_range(None, scenes).high
    if pin is not None:
        force_top = max(force_top, greatest_force(pin))
    each = left.width() / len(scenes)
    for i, scene in enumerate(scenes):
        box = QRectF(left.left() + i * each, left.top(), each, left.height())
        paint_plan(painter, box, replace(scene, force_top=force_top), theme, close=options.close)
    if options.shown.strips:
        _paint_beside(painter, right, results, angle, options, theme)
    painter.setPen(theme.color("ink"))
    painter.setFont(theme.font("figure"))
    y = foot.top() + 8.0
    for line in words.told:
        box = QRectF(foot.left() + 16.0, y, foot.width() - 32.0, 1.3 * theme.figure)
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, line)
        y += 1.3 * theme.figure
    painter.setFont(small)
    painter.setPen(theme.color("soft"))
    y += 4.0
    for left_words, right_words in words.below:
        box = QRectF(foot.left() + 16.0, y, foot.width() - 32.0, line_height)
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, left_words)
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, right_words)
        y += line_height
