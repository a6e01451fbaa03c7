"""The path and the one beside it in figures: time, shares of the directions, the greatest of each load."""

from __future__ import annotations

import math
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.kit.look import Look, look
from app.pages.path.path_scene import told
from app.pages.path.path_work import Shown
from app.pages.path.tables import least_width, paint_rows, titled_table_look
from app.state.view_state import ViewState
from core.base.quantities import Units, clear_figure, number
from core.base.words import say
from core.path.path_totals import PathTotals, path_totals
from core.path.samples import WAYS
from core.path.whole_path import WholePath


def beside_title(shown: Shown, units: Units) -> str:
    """What the other path is, in a few words."""
    asked = shown.asked
    if asked.beside == "width":
        width = clear_figure(asked.beside_width, "radial_width", units)
        name = say("path_page", "beside_width", width=width)
    elif asked.beside == "program":
        name = say("path_page", "beside_program", program=Path(asked.beside_file).name)
    else:
        name = say("path_page", "beside_direction")
    return say("path_page", "beside_title", name=name)


def _most(whole: WholePath) -> float:
    """Greatest rise of the edge, K; nan where it was not asked for or is not known."""
    if whole.heat is None or whole.heat.ended.any():
        return math.nan
    return float(whole.heat.rise.max()) if len(whole.heat.rise) else math.nan


def beside_rows(shown: Shown, units: Units) -> list[tuple[str, ...]]:
    """A head and a row for each figure; nothing where there is no path beside."""
    if (
        shown.whole is None
        or shown.beside is None
        or not len(shown.whole.samples.s)
        or not len(shown.beside.samples.s)
    ):
        return []
    pair = shown.whole, shown.beside
    totals: tuple[PathTotals, ...] = tuple(path_totals(each) for each in pair)
    rows: list[tuple[str, ...]] = [("", say("path_page", "this"), say("path_page", "other"))]

    def add(id: str, cells: list[str]) -> None:
        rows.append((say("path_page", id), *cells))

    add("row_length", [clear_figure(t.length, "length", units, decimals=1) for t in totals])
    add("row_time", [f"{number(60.0 * t.minutes, 1)} s" for t in totals])
    for way in ("climb", "conventional", "straddling"):
        shares = [100.0 * t.shares[WAYS.index(way)] for t in totals]
        rows.append((say("path_direction", way), *(f"{number(share, 0)} %" for share in shares)))
    add("row_arc", [told(math.degrees(t.arc), "arc", units) for t in totals])
    add("row_chip", [told(t.chip, "chip", units) for t in totals])
    add("row_force", [told(t.force, "force", units) for t in totals])
    add("row_wall", [told(1000.0 * t.wall, "wall", units) for t in totals])
    if shown.asked.heat:
        add("row_heat", [told(_most(each), "heat", units) for each in pair])
    return rows


def paint_beside_table(painter: QPainter, rect: QRectF, title: str, rows: list[tuple[str, ...]], look: Look) -> None:
    """The table under its title."""
    inside = rect.adjusted(14.0, 8.0, -14.0, -8.0)
    if rows:
        look = titled_table_look(title, rows, inside, look)
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    painter.drawText(QPointF(inside.left(), inside.top() + look.text), title)
    paint_rows(painter, inside.adjusted(0.0, look.text + 8.0, 0.0, 0.0), rows, look)


class BesideTable(QWidget):
    """The table in the window, in the place of the other panels."""

    def __init__(self, view: ViewState) -> None:
        super().__init__()
        self.view = view
        self.title, self.rows = "", list[tuple[str, ...]]()
        self.setAccessibleName(say("path_page", "beside_table_name"))

    def show_results(self, shown: Shown | None) -> None:
        """Other results."""
        self.rows = [] if shown is None else beside_rows(shown, self.view.units)
        self.title = beside_title(shown, self.view.units) if shown is not None and self.rows else ""
        self.setMinimumWidth(math.ceil(least_width(self.rows, look(self.view.theme)) + 28.0) if self.rows else 0)
        self.setAccessibleDescription("; ".join(" ".join(row).strip() for row in self.rows))
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as there is room for."""
        return QSize(230, 100)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rows."""
        painter, theme = QPainter(self), look(self.view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        if self.rows:
            paint_beside_table(painter, QRectF(self.rect()), self.title, self.rows, theme)
        painter.end()
