"""The planner's table and the list of cuts as painted tables: rows of words in columns."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.kit.label_layout import text_size, wrapped
from app.kit.look import Look
from app.kit.smaller_type import LEAST, in_type, type_that_fits
from app.pages.path.path_scene import told
from app.pages.path.path_words import wall_words, width_words
from app.pages.path.path_work import Shown
from app.pages.path.place_picture import paint_place
from core.base.quantities import QUANTITIES, Units, clear_figure, number
from core.base.words import say
from core.path.cut_list import PassFigures
from core.report.rough_words import known_figure

AFTER = 6.0
"""Pixels that stay free after the words of a cell."""

WIDE_ROWS, TIGHT_ROWS = 9.0, 1.0
"""Pixels between the type of two rows, where there is room and at the least."""


def _needed(rows: list[tuple[str, ...]], look: Look) -> list[float]:
    """The least width of each column."""
    fonts = [look.font("small", bold=i == 0) for i in range(len(rows))]
    return [
        max(text_size(font, row[k]).width() for font, row in zip(fonts, rows, strict=True)) + AFTER + 2.0
        for k in range(len(rows[0]))
    ]


def least_width(rows: list[tuple[str, ...]], look: Look) -> float:
    """Pixels across that a table must have to be read whole, in the least type."""
    return sum(_needed(rows, in_type(look, LEAST)))


def column_widths(rows: list[tuple[str, ...]], room: float, look: Look) -> list[float]:
    """Columns of one width, or, where the words of one need more, each as wide as it needs and a like rest."""
    needed = _needed(rows, look)
    alike = room / len(needed)
    if max(needed) <= alike:
        return [alike] * len(needed)
    rest = (room - sum(needed)) / len(needed)
    return [width + rest for width in needed]


def paint_rows(painter: QPainter, rect: QRectF, rows: list[tuple[str, ...]], look: Look) -> float:
    """A table whose first row is its head, its rows closer where ``rect`` is low; returns the y below it."""
    height = min(max(rect.height() / len(rows), look.small + TIGHT_ROWS), look.small + WIDE_ROWS)
    ends = rect.left() + np.cumsum([0.0, *column_widths(rows, rect.width(), look)])
    y = rect.top()
    for i, row in enumerate(rows):
        painter.setFont(look.font("small", bold=i == 0))
        painter.setPen(look.color("soft" if i == 0 else "ink"))
        for k, text in enumerate(row):
            # Tight rows are lower than the line of their type: its descenders are not cut off.
            box = QRectF(float(ends[k]), y - 2.0, float(ends[k + 1] - ends[k]) - AFTER, height + 4.0)
            side = Qt.AlignmentFlag.AlignLeft if k == 0 else Qt.AlignmentFlag.AlignRight
            painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, text)
        y += height
        painter.setPen(look.pen("rule", "hair"))
        painter.drawLine(QPointF(rect.left(), y), QPointF(rect.right(), y))
    return y


def titled_table_look(title: str, rows: list[tuple[str, ...]], room: QRectF, look: Look) -> Look:
    """The look in the largest type in which a table has room under its title."""

    def fits(tried: Look) -> bool:
        high = tried.text + 10.0 + len(rows) * (tried.small + TIGHT_ROWS)
        wide = text_size(tried.font("text", bold=True), title).width()
        return high <= room.height() and max(wide, sum(_needed(rows, tried))) <= room.width()

    return type_that_fits(look, fits)


def words_height(text: str, width: float, look: Look) -> float:
    """Pixels that words take in a column of that width."""
    return len(wrapped(look.font("small"), text, width)) * (look.small + 6.0)


def paint_notes(painter: QPainter, rect: QRectF, notes: tuple[str, ...], look: Look) -> None:
    """Notes under a table, in smaller type where that gives them room; the last is left out rather than cut off."""
    apart = 4.0
    for count in range(len(notes), 0, -1):
        told = notes[:count]

        def fits(tried: Look, told: tuple[str, ...] = told) -> bool:
            return sum(words_height(note, rect.width(), tried) + apart for note in told) - apart <= rect.height()

        smaller = type_that_fits(look, fits)
        if fits(smaller):
            y = rect.top()
            for note in told:
                y = paint_words(painter, QRectF(rect.left(), y, rect.width(), 10.0), note, smaller) + apart
            return


def paint_words(painter: QPainter, rect: QRectF, text: str, look: Look) -> float:
    """Words set in a column; returns the y below them."""
    font = look.font("small")
    painter.setFont(font)
    painter.setPen(look.color("soft"))
    y = rect.top()
    for line in wrapped(font, text, rect.width()):
        painter.drawText(QRectF(rect.left(), y, rect.width(), look.small + 6.0), Qt.AlignmentFlag.AlignVCenter, line)
        y += look.small + 6.0
    return y


def planner_notes(shown: Shown, units: Units) -> tuple[str, ...]:
    """What keeps within the chosen arc, and what is left out."""
    arc = shown.asked.chosen_arc
    if arc is None:
        text = say("path_page", "planner_ask")
    else:
        radius, width = (
            say("path_page", "planner_none") if v is None else clear_figure(v, "length", units, decimals=2)
            for v in (shown.smallest_radius, shown.widest)
        )
        text = say("path_page", "planner", arc=number(math.degrees(arc), 1), radius=radius, stepover=width)
    return text, say("path_page", "scope")


def paint_planner(painter: QPainter, rect: QRectF, shown: Shown, units: Units, look: Look) -> None:
    """Stepover against arc and chip, straight and in this corner; what keeps within the chosen arc."""
    inside = rect.adjusted(14.0, 8.0, -14.0, -8.0)
    size, chip = QUANTITIES["radial_width"], QUANTITIES["chip_thickness"]
    # One unit for width and chip, told in the title: the heads must have room on a small projector.
    title = say("path_page", "planner_title", unit=size.unit_in(units))
    rows: list[tuple[str, ...]] = [
        ("ae", *(say("path_pass", f"head_{id}") for id in ("arc", "corner", "chip", "corner")))
    ]
    fine = 3 if units == "metric" else 4
    for row in shown.rows:
        rows.append(
            (
                number(size.shown(row.stepover, units), fine - 1),
                f"{number(math.degrees(row.straight), 0)}°",
                f"{number(math.degrees(row.corner), 0)}°",
                number(chip.shown(row.straight_chip, units), fine),
                number(chip.shown(row.corner_chip, units), fine),
            )
        )
    look = titled_table_look(title, rows, inside, look)
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    painter.drawText(QPointF(inside.left(), inside.top() + look.text), title)
    y = paint_rows(painter, inside.adjusted(0.0, look.text + 10.0, 0.0, 0.0), rows, look)
    paint_notes(painter, inside.adjusted(0.0, y + 8.0 - inside.top(), 0.0, 0.0), planner_notes(shown, units), look)


def cut_rows(passes: tuple[PassFigures, ...], units: Units) -> list[tuple[str, ...]]:
    """The figures of each pass, a row a figure."""

    def row(id: str, cells: list[str]) -> tuple[str, ...]:
        return (say("path_pass", id), *cells)

    return [
        ("", *(say("path_pass", p.cut.name) for p in passes)),
        row("direction", [say("path_direction", p.cut.direction) for p in passes]),
        row("width", [width_words(p, units) for p in passes]),
        row("arc", [told(p.arc_deg, "arc", units) for p in passes]),
        row("chip", [told(p.h_max, "chip", units) for p in passes]),
        row("mean_chip", [told(p.h_mean, "chip", units) for p in passes]),
        row("force", [known_figure(p.force, "force", units) for p in passes]),
        row("power", [known_figure(p.power, "power", units) for p in passes]),
        row("removal", [clear_figure(p.removal, "removal_rate", units) for p in passes]),
        row("wall", [wall_words(p, units) for p in passes]),
    ]


def paint_cuts(painter: QPainter, rect: QRectF, shown: Shown, units: Units, look: Look) -> None:
    """The passes side by side: each tooth's picture over its figures."""
    inside = rect.adjusted(16.0, 10.0, -16.0, -10.0)
    rows, left = cut_rows(shown.passes, units), 0.52 * inside.width()
    wide = left / max(len(shown.passes), 1)
    head = look.text + 10.0
    for i, scene in enumerate(shown.pass_scenes):
        box = QRectF(inside.left() + i * wide, inside.top(), wide - 10.0, inside.height())
        painter.setFont(look.font("text", bold=True))
        painter.setPen(look.color("ink"))
        painter.drawText(
            QPointF(box.left(), box.top() + look.text), say("path_pass", f"{shown.passes[i].cut.name}_title")
        )
        paint_place(painter, box.adjusted(0.0, head, 0.0, 0.0), scene, look)
    table = inside.adjusted(left, 0.0, 0.0, 0.0)
    look = titled_table_look("", rows, table, look)
    y = paint_rows(painter, table, rows, look)
    notes = table.adjusted(0.0, y + 8.0 - table.top(), 0.0, 0.0)
    paint_notes(painter, notes, (say("path_page", "cuts_told"),), look)
