"""One question of a worksheet, or one entry of its key, laid out: what stands where, before anything is painted."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter

from app.kit.look import Look
from app.kit.whole_figures import on_lines
from app.pages.lesson.ring_painting import paint_ring_scene
from app.pages.lesson.ring_scene import RingScene, ring_scene
from core.base.quantities import Units, clear_figure
from core.base.words import say
from core.lesson.lesson import PINS
from core.lesson.worksheet import Question
from core.setup.setup import Setup

RING = 176.0
"""Side of the figure beside a question, pixels of 1/96 inch."""

GAP, RULE, BLANK = 14.0, 26.0, 150.0
"""Between text and figure; between ruled lines; length of a blank."""

WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)


def wrapped_height(font: QFont, text: str, width: float) -> float:
    """How high a text is on lines of that width, pixels."""
    return QFontMetricsF(font).boundingRect(QRectF(0.0, 0.0, width, 10_000.0), WRAP, text).height()


@dataclass(frozen=True, slots=True)
class _Text:
    rect: QRectF
    text: str
    font: QFont
    color: str


@dataclass(frozen=True, slots=True)
class Block:
    """Texts, ruled lines and a figure of one question, from 0 down to ``height``."""

    height: float
    texts: tuple[_Text, ...]
    lines: tuple[tuple[QPointF, QPointF], ...]
    ring: RingScene | None
    ring_rect: QRectF

    def paint(self, painter: QPainter, x: float, y: float, look: Look) -> None:
        """At a place of the sheet."""
        for each in self.texts:
            painter.setFont(each.font)
            painter.setPen(look.color(each.color))
            painter.drawText(each.rect.translated(x, y), WRAP, each.text)
        painter.setPen(look.pen("ink", "hair"))
        for start, end in self.lines:
            painter.drawLine(start + QPointF(x, y), end + QPointF(x, y))
        if self.ring is not None:
            paint_ring_scene(painter, self.ring_rect.translated(x, y), self.ring, look)


class _Laying:
    """Puts one thing under another in a column."""

    def __init__(self, left: float, width: float, look: Look) -> None:
        self.left, self.width, self.look, self.y = left, width, look, 0.0
        self.texts: list[_Text] = []
        self.lines: list[tuple[QPointF, QPointF]] = []

    def text(
        self, text: str, size: str = "text", *, bold: bool = False, color: str = "ink", gap: float = 4.0
    ) -> None:
        """A paragraph over the width of the column."""
        font = self.look.font(size, bold=bold)
        text = on_lines(text, font, self.width)
        high = wrapped_height(font, text, self.width + 2.0)
        # Printers measure a little differently from the screen: a line of slack keeps the last word.
        self.texts.append(_Text(QRectF(self.left, self.y, self.width + 2.0, high + 2.0), text, font, color))
        self.y += high + gap

    def blank(self, before: str, after: str = "", length: float = BLANK) -> None:
        """A word, a ruled blank and a unit in one line."""
        font = self.look.font("text")
        metrics = QFontMetricsF(font)
        start = self.left + (metrics.horizontalAdvance(before) + 8.0 if before else 0.0)
        y = self.y + RULE - 6.0
        high = metrics.height()
        if before:
            rect = QRectF(self.left, y - high + 3.0, start - self.left + 2.0, high + 2.0)
            self.texts.append(_Text(rect, before, font, "ink"))
        self.lines.append((QPointF(start, y), QPointF(start + length, y)))
        if after:
            rect = QRectF(start + length + 6.0, y - high + 3.0, 120.0, high + 2.0)
            self.texts.append(_Text(rect, after, font, "ink"))
        self.y += RULE

    def ruled(self, count: int) -> None:
        """Empty lines to write on."""
        for _ in range(count):
            self.y += RULE
            self.lines.append((QPointF(self.left, self.y - 6.0), QPointF(self.left + self.width, self.y - 6.0)))


def cut_line(setup: Setup, units: Units) -> str:
    """The cut in one line: what is needed to work with it."""
    cutter, cut = setup.cutter, setup.cut
    return say(
        "worksheet",
        "cut",
        direction=say("direction", cut.direction),
        diameter=clear_figure(cutter.diameter_mm, "diameter", units),
        teeth=cutter.teeth,
        width=clear_figure(cut.radial_engagement_mm, "radial_width", units),
        depth=clear_figure(cut.axial_engagement_mm, "depth", units),
        feed=clear_figure(cut.feed_per_tooth_mm, "feed_per_tooth", units),
        speed=clear_figure(cut.spindle_speed_rpm, "spindle_speed", units),
    )


def _blanks(laying: _Laying, question: Question) -> None:
    if question.kind == "pin":
        laying.blank(say("worksheet", "pin_blank"), length=70.0)
    elif question.kind == "choose":
        laying.blank(say("worksheet", "letter_blank"), length=40.0)
    elif question.kind == "order":
        laying.blank(say("worksheet", "order_blank"), length=110.0)
    else:
        laying.text(say("worksheet", "working"), "small", color="soft", gap=0.0)
        laying.ruled(3 if question.kind == "work" else 1)
        laying.blank(say("worksheet", "answer"), question.unit)


def _answer(laying: _Laying, question: Question, units: Units) -> None:
    laying.text(f"{say('worksheet', 'answer')} {question.answer}", bold=True)
    for step in question.steps:
        laying.text(step)
    key = PINS.get(question.key, question.key)
    laying.text(say("worksheet", "from_report", key=key), "small", color="soft")


def words_block(text: str, width: float, look: Look) -> Block:
    """Words over the whole width, such as a caution."""
    laying = _Laying(0.0, width, look)
    laying.text(text, bold=True)
    return Block(laying.y + 14.0, tuple(laying.texts), (), None, QRectF())


def block(
    question: Question, number: int, width: float, units: Units, look: Look, *, key: bool, figure: bool
) -> Block:
    """One question, or with ``key`` its answer and working.

    figure : draw the cut beside it; the answer is marked in the key only.
    """
    inset = 26.0
    laying = _Laying(inset, width - inset - (RING + GAP if figure else 0.0), look)
    numbered = _Text(
        QRectF(0.0, 0.0, inset, 40.0),
        say("worksheet", "question", number=number),
        look.font("text", bold=True),
        "ink",
    )
    if question.context:
        laying.text(question.context)
    laying.text(question.ask, bold=True)
    if figure or question.kind in ("work", "estimate"):
        laying.text(cut_line(question.setup, units), "small", color="soft")
    for option in question.options:
        laying.text(option, gap=2.0)
    if key:
        _answer(laying, question, units)
    else:
        _blanks(laying, question)
    ring = None
    if figure:
        at = float(question.value) if key and question.kind == "pin" and isinstance(question.value, float) else None
        ring = ring_scene(question.setup, answer_deg=at, chip=key)
    height = max(laying.y, RING if figure else 0.0) + 20.0
    place = QRectF(width - RING, 0.0, RING, RING)
    return Block(height, (numbered, *laying.texts), tuple(laying.lines), ring, place)
