"""The table of the Figures page: what its cells show, which rows a filter leaves, and how it is painted."""

from __future__ import annotations

import textwrap
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QLineF, QModelIndex, QObject, QPersistentModelIndex, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter

from app.kit.hover_help import COLUMNS
from app.kit.label_layout import text_size, wrapped
from app.kit.look import Look
from app.kit.plain import plain_hint
from core.base.quantities import Units
from core.base.words import say
from core.report.figure_row import FigureRow
from core.report.figure_words import cells, is_different
from core.report.figures import Figures

FIGURE, CLIMB, CONVENTIONAL, DIFFERENCE, UNIT, KEY = 1, 2, 3, 4, 5, 6
"""Columns; the first is the part of the report."""

RIGHT = (CLIMB, CONVENTIONAL, DIFFERENCE)
"""Columns of figures, which stand under one another at the right."""

Index = QModelIndex | QPersistentModelIndex

_LEFT_EDGE = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT_EDGE = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def matches(row: FigureRow, texts: tuple[str, ...], wanted: str) -> bool:
    """Whether every word of the filter stands somewhere in the row."""
    whole = " ".join((*texts, row.model, row.source)).lower()
    return all(word in whole for word in wanted.lower().split())


class FiguresModel(QAbstractTableModel):
    """The rows that the filter leaves; ``rows`` and their ``texts`` in the units that are shown."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows: list[FigureRow] = []
        self.texts: list[tuple[str, ...]] = []
        self.count = 0
        self._heads: tuple[str, ...] = ("",) * (KEY + 1)
        self._look: Look | None = None
        self._different: list[bool] = []
        self._found: Figures | None = None
        self._units: Units = "metric"
        self._told: list[tuple[FigureRow, tuple[str, ...], bool]] = []

    def set_look(self, look: Look) -> None:
        """Colours and fonts."""
        self._look = look
        self._all_changed()

    def show_figures(self, found: Figures, units: Units, wanted: str = "") -> None:
        """Show these figures; where the same rows stay, whatever is chosen in the table stays chosen."""
        if found is not self._found or units != self._units:
            # Not anew with each letter of the filter.
            self._found, self._units = found, units
            self._told = [(row, cells(row, units), is_different(row, units)) for row in found.rows]
        kept = [told for told in self._told if matches(told[0], told[1], wanted)]
        rows, texts = [told[0] for told in kept], [told[1] for told in kept]
        same = [row.key for row in rows] == [row.key for row in self.rows]
        if not same:
            self.beginResetModel()
        self.rows, self.texts, self.count = rows, texts, len(found.rows)
        self._different = [told[2] for told in kept]
        self._heads = found.heads(units)
        if same:
            self._all_changed()
        else:
            self.endResetModel()

    def _all_changed(self) -> None:
        if self.rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, KEY))
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, KEY)

    @property
    def heads(self) -> tuple[str, ...]:
        """Heads of the columns."""
        return self._heads

    def differs(self, row: int) -> bool:
        """Whether climb and conventional differ in that row."""
        return self._different[row]

    def place(self, key: str) -> int:
        """In which row a key stands; -1 where the filter hides it."""
        return next((i for i, row in enumerate(self.rows) if row.key == key), -1)

    def copied(self, places: list[int]) -> str:
        """Rows with their heads as text with tabs, which spreadsheets take apart."""
        return "\n".join("\t".join(texts) for texts in (self._heads, *(self.texts[i] for i in places))) + "\n"

    # What Qt asks of a model

    def rowCount(self, parent: Index | None = None) -> int:
        """Rows; none under a cell."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index | None = None) -> int:
        """Columns; none under a cell."""
        return 0 if parent is not None and parent.isValid() else KEY + 1

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The head of a column; a row's head is its figure, for a screen reader."""
        if orientation == Qt.Orientation.Vertical:
            return self.texts[section][FIGURE] if role == Qt.ItemDataRole.DisplayRole else None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._heads[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _RIGHT_EDGE if section in RIGHT else _LEFT_EDGE
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A cell's text, place, colour, weight, hint, and what a screen reader says of it."""
        row, column = index.row(), index.column()
        if not index.isValid() or row >= len(self.texts):
            return None
        texts = self.texts[row]
        if role == Qt.ItemDataRole.DisplayRole:
            return texts[column]
        if role == Qt.ItemDataRole.ToolTipRole:
            return hint(texts[column]) if len(texts[column]) > 24 else None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            unit = f" {texts[UNIT]}" if column in RIGHT and texts[UNIT] else ""
            return f"{texts[FIGURE]}, {self._heads[column]}: {texts[column]}{unit}"
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _RIGHT_EDGE if column in RIGHT else _LEFT_EDGE
        if self._look is None:
            return None
        if role == Qt.ItemDataRole.ForegroundRole:
            return self._look.color(self.colour(row, column))
        if role == Qt.ItemDataRole.FontRole:
            return self.font(row, column, self._look)
        return None

    def colour(self, row: int, column: int) -> str:
        """The name of a cell's colour: what is the same both ways stands back."""
        quiet = column in (0, UNIT, KEY) or (column == DIFFERENCE and not self._different[row])
        return "soft" if quiet else "ink"

    def font(self, row: int, column: int, look: Look) -> QFont:
        """A cell's font: a difference is bold."""
        small = "small" if column == KEY else "text"
        return look.font(small, bold=column == DIFFERENCE and self._different[row])


def elided(font: QFont, text: str, width: float) -> str:
    """The text, with dots at its end where it is wider than there is room for."""
    return QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, width)


def hint(text: str) -> str:
    """A long text in lines for a hint; what looks like markup, such as in a material's name, is shown as it is."""
    return plain_hint("\n".join(textwrap.wrap(text, COLUMNS)))


LEAST_NAME = 21.0
"""Least width of the figures' names, in heights of a letter; where there is less the keys give way to them."""

TRIED = 8
"""How many of a column's longest texts are measured."""

MOST_WIDE = 13.5
"""Greatest width of a column of figures, in heights of its letters; what is longer ends in dots."""


def column_widths(model: FiguresModel, look: Look) -> list[float]:
    """Width that each column needs for what it shows now, in pixels; the one of the figures' names takes the rest."""
    widths = []
    for column, head in enumerate(model.heads):
        size = "small" if column == KEY else "text"
        font = look.font(size, bold=column == DIFFERENCE)
        # Letters differ in width: a shorter word may need more room than a longer one.
        longest = sorted({texts[column] for texts in model.texts}, key=len)[-TRIED:]
        width = max((text_size(font, words).width() for words in longest), default=0.0)
        head_width = text_size(look.font("small", bold=True), head).width()
        room = MOST_WIDE * look.text if column in RIGHT else 2.0 * MOST_WIDE * look.text
        widths.append(max(min(width * 1.06, room), head_width) + 18.0)
    return widths


def with_names(widths: list[float], room: float, look: Look) -> list[float]:
    """The widths in a table that is ``room`` pixels wide: names take the rest, keys go where that is little.

    The keys of a row are told beside what it rests on.
    """
    found = list(widths)
    if room - (sum(widths) - widths[FIGURE]) < LEAST_NAME * look.text:
        found[KEY] = 0.0
    found[FIGURE] = max(room - (sum(found) - found[FIGURE]), 60.0)
    return found


def paint_figures(
    painter: QPainter, rect: QRectF, look: Look, model: FiguresModel, title: str, sentence: str
) -> None:
    """Title, heads, as many rows as there is room for, how many more there are, and the sentence."""
    painter.fillRect(rect, look.color("page"))
    inside = rect.adjusted(16.0, 12.0, -16.0, -12.0)
    title_font, line = look.font("title", bold=True), look.text * 1.5
    painter.setFont(title_font)
    painter.setPen(look.color("ink"))
    title_height = text_size(title_font, "X").height() + 6.0
    box = QRectF(inside.left(), inside.top(), inside.width(), title_height)
    painter.drawText(box, _LEFT_EDGE, elided(title_font, title, inside.width()))
    told = wrapped(look.font("figure"), sentence, inside.width())
    bottom = inside.bottom() - len(told) * look.figure * 1.45
    painter.setFont(look.font("figure"))
    for i, words in enumerate(told):
        at = QRectF(inside.left(), bottom + i * look.figure * 1.45, inside.width(), look.figure * 1.45)
        painter.drawText(at, _LEFT_EDGE, words)
    table = QRectF(inside.left(), box.bottom(), inside.width(), bottom - 8.0 - box.bottom())
    painter.fillRect(table, look.color("panel"))
    widths = with_names(column_widths(model, look), table.width(), look)
    fits = max(int((table.height() - 1.3 * line) / line), 0)
    if len(model.rows) > fits:
        fits -= 1
    _paint_row(painter, table.left(), table.top() + 0.15 * line, line, widths, model.heads, look, None, -1)
    painter.setPen(look.pen("rule"))
    y = table.top() + 1.2 * line
    painter.drawLine(QLineF(table.left(), y, table.right(), y))
    for i in range(min(fits, len(model.rows))):
        _paint_row(painter, table.left(), y + i * line, line, widths, model.texts[i], look, model, i)
    if len(model.rows) > fits:
        painter.setFont(look.font("text", italic=True))
        painter.setPen(look.color("soft"))
        at = QRectF(table.left() + 8.0, y + fits * line, table.width() - 16.0, line)
        painter.drawText(at, _LEFT_EDGE, say("figures", "more", count=len(model.rows) - fits))


def _paint_row(
    painter: QPainter,
    left: float,
    top: float,
    height: float,
    widths: list[float],
    texts: tuple[str, ...],
    look: Look,
    model: FiguresModel | None,
    row: int,
) -> None:
    for column, (width, text) in enumerate(zip(widths, texts, strict=True)):
        if not width:
            continue
        font = look.font("small", bold=True) if model is None else model.font(row, column, look)
        painter.setFont(font)
        painter.setPen(look.color("soft" if model is None else model.colour(row, column)))
        box = QRectF(left + 8.0, top, width - 16.0, height)
        painter.drawText(box, _RIGHT_EDGE if column in RIGHT else _LEFT_EDGE, elided(font, text, box.width()))
        left += width
