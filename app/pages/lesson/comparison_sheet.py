"""Climb and conventional of one cut on one page: two pictures, their figures, where they are from, and cautions."""

from __future__ import annotations

import math
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPicture

from app.kit.look import Look, look, searched
from app.kit.whole_figures import on_lines
from app.pages.lesson.ring_painting import paint_ring_scene
from app.pages.lesson.ring_scene import ring_scene
from app.pages.lesson.sheet_blocks import WRAP, cut_line
from app.pages.lesson.sheet_pdf import PdfPages
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.visible import visible
from core.base.words import say
from core.cut.engagement import engagement
from core.documents.materials import Catalogue
from core.lesson.cut_figures import value_of
from core.maths.angles import clock
from core.report.figure_row import FigureRow
from core.report.figure_words import cells
from core.report.figures import figures
from core.report.sentence import sentence
from core.report.which_way_words import decision_words
from core.setup.setup import Setup

KEYS = (
    *("chip.trochoid.h_entry_mm", "chip.trochoid.h_exit_mm", "chip.trochoid.h_max_mm", "rubbing.entry_deg"),
    *("rubbing.exit_deg", "skin.met", "entry.contact", "exit.drop_n", "force.resultant_max_n", "force.fy_n.max"),
    *("feed.pull_share", "feed.pull_margin_n", "wall.error_mm", "wall.error_size_mm", "wall.feed_mark_um"),
    *("heat.peak_rise_k", "heat.exit_rise_k", "stability.axial_limit_mm"),
)
"""Figures in which the directions differ or are held to; those that this cut has not are left out."""

SIZES = ((210.0, 19.0), (180.0, 17.0), (150.0, 16.0), (125.0, 15.0), (105.0, 14.5))
"""Side of a picture and height of a row, pixels of 1/96 inch: the first that let all of it stand on one page."""

MARGIN = 42.0
BETWEEN = 12.0
"""Between columns, pixels."""


def rows_of(setup: Setup, known: Catalogue | None = None) -> tuple[FigureRow, ...]:
    """The rows of the sheet, for a resolved setup."""
    found = {row.key: row for row in figures(setup, known).rows}
    return tuple(found[key] for key in KEYS if key in found)


def sources_of(rows: tuple[FigureRow, ...], setup: Setup, known: Catalogue | None = None) -> str:
    """Models, sources and what they leave out, each once; for the force that of this cut's coefficients."""
    coefficients = str(value_of(setup, "force.source", known) or say("comparison", "no_coefficients"))
    told = dict.fromkeys(
        say(
            "comparison",
            "source",
            model=row.model.rstrip("."),
            source=row.source.rstrip(".").replace("force.source", coefficients),
        )
        for row in rows
        if row.model and row.source
    )
    left_out = dict.fromkeys(row.leaves_out.rstrip(".") for row in rows if row.leaves_out)
    return " ".join([*told, say("comparison", "leaves_out", text="; ".join(left_out))])


class _Page:
    """Puts one paragraph under another."""

    def __init__(self, painter: QPainter, rect: QRectF, theme: Look, ring: float, line: float) -> None:
        self.painter, self.rect, self.theme, self.y = painter, rect, theme, rect.top()
        self.ring, self.line = ring, line

    def text(self, text: str, size: str, *, bold: bool = False, color: str = "ink", gap: float = 8.0) -> None:
        font = self.theme.font(size, bold=bold)
        text = on_lines(text, font, self.rect.width())
        room = QRectF(self.rect.left(), self.y, self.rect.width() + 2.0, 10_000.0)
        high = QFontMetricsF(font).boundingRect(room, WRAP, text).height() + 2.0
        self.painter.setFont(font)
        self.painter.setPen(self.theme.color(color))
        self.painter.drawText(QRectF(room.left(), self.y, room.width(), high), WRAP, text)
        self.y += high + gap


def save_comparison(
    setup: Setup,
    rows: tuple[FigureRow, ...],
    file: Path,
    units: Units,
    *,
    paper: str,
    known: Catalogue | None = None,
    where: str = "--out",
) -> None:
    """The sheet of a resolved setup, with its rows by :func:`rows_of`, as a PDF.

    Raises ChiparcError for a straddling cut, which has not two directions, and where it cannot be written.
    """
    if setup.cut.direction == "straddling":
        raise ChiparcError("cut.direction", say("comparison", "straddling"), say("comparison", "one_sided"))
    theme = searched(look("print"))
    title = say("comparison", "title", title=visible(setup.title) or say("worksheet", "untitled"))
    pdf = PdfPages(paper, title, MARGIN)
    sources = sources_of(rows, setup, known)
    for sizes in SIZES:
        # Tried without paint first: the words of a cut are longer or shorter.
        trial = QPicture()
        painter = QPainter(trial)
        high = _paint(_Page(painter, pdf.rect, theme, *sizes), setup, rows, title, units, sources)
        painter.end()
        if high <= pdf.rect.bottom():
            break
    _paint(_Page(pdf.painter, pdf.rect, theme, *sizes), setup, rows, title, units, sources)
    pdf.written(file, where)


def _paint(page: _Page, setup: Setup, rows: tuple[FigureRow, ...], title: str, units: Units, sources: str) -> float:
    """The whole sheet; returns how far down it reaches, pixels."""
    page.text(title, "title", bold=True, gap=4.0)
    page.text(cut_line(setup, units), "small", color="soft", gap=10.0)
    _paint_both(page, setup)
    page.text(sentence(setup.facing("climb"), units), "small", gap=2.0)
    page.text(sentence(setup.facing("conventional"), units), "small", gap=8.0)
    _paint_table(page, rows, units)
    page.text(decision_words(setup, units), "text", bold=True, gap=4.0)
    page.text(say("report", "cautions"), "small", gap=4.0)
    page.text(sources, "small", color="soft", gap=0.0)
    return page.y


def _paint_both(page: _Page, setup: Setup) -> None:
    """The two cuts side by side, with their chips, and where they enter and leave."""
    half = page.rect.width() / 2.0
    painter, theme = page.painter, page.theme
    for i, direction in enumerate(("climb", "conventional")):
        cut = setup.facing(direction)  # type: ignore[arg-type]
        left = page.rect.left() + i * half
        paint_ring_scene(
            painter,
            QRectF(left + (half - page.ring) / 2.0, page.y, page.ring, page.ring),
            ring_scene(cut, chip=True),
            theme,
        )
        e = engagement(cut)
        hand = cut.cutter.hand
        words = say(
            "comparison",
            "arc",
            direction=say("direction", direction),
            entry=clock(math.degrees(e.entry), hand),
            exit=clock(math.degrees(e.exit), hand),
        )
        painter.setFont(theme.font("text", bold=True))
        painter.setPen(theme.color("ink"))
        painter.drawText(QRectF(left, page.y + page.ring + 4.0, half, 20.0), Qt.AlignmentFlag.AlignHCenter, words)
    page.y += page.ring + 34.0


def table_of(rows: tuple[FigureRow, ...], units: Units, *, percent: bool) -> list[tuple[str, ...]]:
    """Heads and rows in short words; figures as the page Figures has them, differences with their share or not."""
    table: list[tuple[str, ...]] = [
        (
            say("comparison", "figure"),
            say("figures", "climb"),
            say("figures", "conventional"),
            say("figures", "difference"),
            say("figures", "unit"),
        )
    ]
    for row in rows:
        _, _, climb, conventional, difference, unit, _ = cells(row, units)
        gap = difference if percent else difference.partition(" (")[0]
        table.append((say("comparison_label", row.key), climb, conventional, gap, unit))
    return table


def widths_of(table: list[tuple[str, ...]], theme: Look) -> list[float]:
    """What each column needs, pixels."""
    heads, body = (QFontMetricsF(theme.font("small", bold=bold)) for bold in (True, False))
    return [
        max((heads if i == 0 else body).horizontalAdvance(line[column]) for i, line in enumerate(table)) + BETWEEN
        for column in range(len(table[0]))
    ]


def fitting_table(
    rows: tuple[FigureRow, ...], units: Units, width: float, theme: Look
) -> tuple[list[tuple[str, ...]], list[float]]:
    """The table and the widths of its columns; shares of differences are left out where they have no room."""
    table = table_of(rows, units, percent=True)
    if sum(widths_of(table, theme)) > width:
        table = table_of(rows, units, percent=False)
    needed = widths_of(table, theme)
    spare = max(width - sum(needed), 0.0) / (len(needed) - 1)
    return table, [*(each + spare for each in needed[:-1]), needed[-1]]


def _paint_table(page: _Page, rows: tuple[FigureRow, ...], units: Units) -> None:
    painter, theme, rect = page.painter, page.theme, page.rect
    table, widths = fitting_table(rows, units, rect.width(), theme)
    for number, line in enumerate(table):
        painter.setFont(theme.font("small", bold=number == 0))
        painter.setPen(theme.color("ink"))
        x = rect.left()
        for i, (text, wide) in enumerate(zip(line, widths, strict=True)):
            side = Qt.AlignmentFlag.AlignRight if 0 < i < 4 else Qt.AlignmentFlag.AlignLeft
            # Printers measure a little differently from the screen: what is between columns is theirs.
            place = QRectF(x, page.y, wide - (BETWEEN / 2.0 if i else 0.0), page.line)
            painter.drawText(place, int(side | Qt.AlignmentFlag.AlignVCenter), text)
            x += wide
        page.y += page.line
        painter.setPen(theme.pen("ink" if number == 0 else "rule", "hair"))
        painter.drawLine(QPointF(rect.left(), page.y), QPointF(rect.right(), page.y))
    page.y += 10.0
