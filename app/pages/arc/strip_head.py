"""The head of a strip: its title, and a sample of each line with its name; shortened before anything is left out."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.kit.label_layout import text_size
from app.kit.look import Look, two_dashes
from app.pages.arc.pair import straddling_name
from app.pages.arc.strip_lines import curve_pen, pair_curves
from app.pages.arc.strip_places import StripFrame
from app.pages.arc.strips_scene import StripsScene
from core.base.words import say, words
from core.strips.strip_frame import StripCurves

SHORTENED = {"climb": "strip", "conventional": "strip", "this_cut": "pair", "mirrored": "pair"}
"""Names of lines that are shortened where a narrow strip has no room for them, and the group of their words."""


@dataclass(frozen=True, slots=True)
class HeadItem:
    """One name in the legend: the term that explains it, its words and place, the sample's line and place, if any."""

    term: str
    text: str
    box: QRectF
    pen: QPen | None = None
    sample: tuple[QPointF, QPointF] | None = None


@dataclass(frozen=True, slots=True)
class StripHead:
    """What stands in the head of a strip and where."""

    title: str
    title_box: QRectF
    items: tuple[HeadItem, ...]


def strip_head(scene: StripsScene, strip: StripCurves, frame: StripFrame, look: Look) -> StripHead:
    """The head that fits: first the samples get shorter, then the title, then the words; at last no legend."""
    unit = scene.quantity(strip).unit_in(scene.units)
    titles = (strip.title, words()["strip_short"].get(strip.id, strip.title))
    whole, short = (f"{t}, {unit}" if unit else t for t in titles)
    bold, small, head = look.font("text", bold=True), look.font("small"), frame.head
    rows = _legend(scene, strip, look)
    samples = [row for row in rows if row[2] is not None]
    shorter: dict[str, str] = {}
    if scene.other is not None:
        shorter = {say(group, id): say("strip", f"{id}_short") for id, group in SHORTENED.items()}
    brief = [(term, shorter.get(text, text), pen) for term, text, pen in samples]
    long, tight = (max(least, two_dashes(look.line)) for least in (24.0, 18.0))
    ways = [(whole, rows, long, 14.0), (whole, samples, long, 14.0), (whole, samples, tight, 8.0)]
    ways += [(short, samples, tight, 8.0), (short, brief, tight, 8.0), (whole, [], 0.0, 0.0), (short, [], 0.0, 0.0)]
    for title, shown, sample, gap in ways:
        wide = text_size(bold, title).width()
        told = sum(text_size(small, text).width() + (sample + 6.0 if pen else 0.0) + gap for _, text, pen in shown)
        if wide + told + (2.0 if shown else -gap) <= head.width():
            break
    items, right = [], head.right()
    for term, text, pen in reversed(shown):
        width = text_size(small, text).width()
        box = QRectF(right - width, head.top(), width + 2.0, head.height())
        left, y = box.left() - sample - 6.0, head.center().y()
        ends = (QPointF(left, y), QPointF(left + sample, y))
        items.append(HeadItem(term, text, box, pen, ends if pen else None))
        right = (left if pen else box.left()) - gap
    return StripHead(title, QRectF(head.left(), head.top(), wide + 2.0, head.height()), tuple(reversed(items)))


def paint_head(painter: QPainter, scene: StripsScene, strip: StripCurves, frame: StripFrame, look: Look) -> None:
    """Title and unit on the left, the legend on the right."""
    head = strip_head(scene, strip, frame, look)
    middle = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    painter.drawText(head.title_box, middle, head.title)
    painter.setFont(look.font("small"))
    for item in head.items:
        if item.pen is not None and item.sample is not None:
            painter.setPen(item.pen)
            painter.drawLine(*item.sample)
        painter.setPen(look.color("soft"))
        painter.drawText(item.box, middle, item.text)


def _legend(scene: StripsScene, strip: StripCurves, look: Look) -> list[tuple[str, str, QPen | None]]:
    """Term, words and line of each name; the line is None for what letters at the curves' ends mean."""
    if strip.missing:
        return []
    if scene.other is None:
        if len(strip.curves) < 2:
            return []
        return [(c.term, c.label, curve_pen(c, scene.own, scene, look)) for c in strip.curves]
    rows: list[tuple[str, str, QPen | None]] = []
    letters = [c for c in pair_curves(strip) if c.mark]
    if letters:
        rows.append((letters[0].term, ", ".join(c.label.replace(",", "") for c in letters), None))
    for trace in sorted(scene.traces, key=lambda t: t.conventional):
        term: str = trace.results.setup.cut.direction
        if term == "straddling":
            term, word = straddling_name(scene.own.results.setup, trace.results.setup, scene.units)
        else:
            word = say("strip", term)
        shown = next(s for s in trace.strips if s.id == strip.id)
        rows.append((term, word, curve_pen(shown.curves[0], trace, scene, look)))
    return rows
