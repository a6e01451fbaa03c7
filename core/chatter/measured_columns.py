"""A measured table from a text file, read strictly: heading with quantity and unit, then rows of numbers.

Commas, semicolons or tabs stand between columns; between semicolons or tabs the decimal mark may be a comma.  Blank
lines and lines that begin with ``#`` are passed over.  A column's name is its quantity and, in brackets or after an
underscore, its unit: ``real [um/N]``, ``Real (µm/N)``, ``real_um_n``.  Every refusal says file, line, column.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np

from ..base.errors import DocumentError
from ..base.refused import refused, refused_count
from ..base.words import say, say_count
from ..documents.measured_text import NUMBER, DecimalMark, cells_of, number_in, numbered_lines, sign_of, value_of
from ..documents.toml_errors import shortened
from ..maths.arrays import Array

_NAME = re.compile(r"(?P<what>[a-z]+(?: [a-z]+)*)(?:[ _]*[\[(] *(?P<bracket>[^\[\]()]*?) *[\])]|[ _](?P<rest>.+))?")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its quantity, its unit ("" if none is named) and its name as it stands in the file."""

    quantity: str
    unit: str
    name: str


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of a file: ``columns``, ``values`` (rows, columns), ``lines`` (rows,) of the file, ``heading``
    line."""

    file: str
    columns: tuple[Column, ...]
    values: Array
    lines: tuple[int, ...]
    heading: int

    def has(self, quantity: str) -> bool:
        """Whether the file has this column."""
        return any(column.quantity == quantity for column in self.columns)

    def column(self, quantity: str) -> Column:
        """The column of a quantity that is there."""
        return next(column for column in self.columns if column.quantity == quantity)

    def of(self, quantity: str) -> Array:
        """Its figures (rows,)."""
        return self.values[:, self.columns.index(self.column(quantity))]

    def refuse(self, row: int, quantity: str, found: str, allowed: str) -> DocumentError:
        """The refusal of a figure in ``row`` (-1: of the column as a whole, at the heading)."""
        line = self.heading if row < 0 else self.lines[row]
        return DocumentError(self.file, line, self.column(quantity).name, found, allowed)


def plain_unit(unit: str) -> str:
    """A unit in one spelling: ``µm / N``, ``um_n`` and ``um per N`` are all ``um/n``."""
    text = unit.strip().lower().replace("µ", "u").replace("μ", "u").replace("°", "deg").replace("²", "2")
    return re.sub(r"\s*(?:/|\bper\b|_per_|[ _])\s*", "/", text.replace("^", ""))


class ColumnReader:
    """One pass over one text.  ``quantities`` maps every name that a column may have to its quantity."""

    def __init__(self, text: str, file: str, quantities: dict[str, str], example: str) -> None:
        self.file, self.quantities, self.example = file, quantities, example
        self.lines = numbered_lines(text)
        self.delimiter, self.mark = ",", DecimalMark()

    def _refuse(self, line: int, where: str, found: str, allowed: str) -> DocumentError:
        return DocumentError(self.file, line, where, found, allowed)

    def _cells(self, line: int, text: str) -> list[str]:
        cells = cells_of(text, self.delimiter)
        if cells is None:
            told = refused("columns_refused", "quotes", text=shortened(text.strip()))
            raise self._refuse(line, say("refused_place", "row"), *told)
        return cells

    def _column(self, line: int, name: str) -> Column:
        lowered = name.lower().strip()
        match = _NAME.fullmatch(lowered)
        word, unit = (match["what"], match["bracket"] or match["rest"] or "") if match else (lowered, "")
        if word not in self.quantities and " " in word and match and not match["bracket"] and not match["rest"]:
            word, _, unit = word.partition(" ")
        if word not in self.quantities:
            near = get_close_matches(word, self.quantities, 1, 0.6)
            fields = {"near": near[0] if near else "", "example": self.example}
            found = say("columns_refused", "unknown" if name else "nameless", name=shortened(name))
            allowed = say("columns_refused", "near_allowed" if near else "columns_allowed", **fields)
            raise self._refuse(line, say("refused_place", "heading"), found, allowed)
        return Column(self.quantities[word], plain_unit(unit), shortened(name))

    def heading(self) -> tuple[int, tuple[Column, ...]]:
        """Line of the heading and the columns in their order."""
        if not self.lines:
            told = refused("columns_refused", "empty", example=self.example)
            raise self._refuse(0, say("refused_place", "file"), *told)
        line, text = self.lines[0]
        self.delimiter = next((d for d in (";", "\t", ",") if d in text), ",")
        names = self._cells(line, text)
        if all(NUMBER.fullmatch(name) for name in names):
            told = refused("columns_refused", "no_heading", example=self.example)
            raise self._refuse(line, say("refused_place", "heading"), *told)
        if len(names) == 1:
            allowed = say("columns_refused", "columns_allowed", example=self.example)
            raise self._refuse(line, say("refused_place", "heading"), say("columns_refused", "one_column"), allowed)
        columns = tuple(self._column(line, name) for name in names)
        for column in columns:
            same = sum(other.quantity == column.quantity for other in columns)
            if same > 1:
                told = refused("columns_refused", "twice", count=same, quantity=column.quantity)
                raise self._refuse(line, column.name, *told)
        return line, columns

    def _figure(self, line: int, column: Column, cell: str) -> float:
        match = number_in(cell)
        if match is None:
            if not cell or cell.lower() in ("nan", "inf", "-inf", "-", "--"):
                found = say("columns_refused", "gap" if cell else "empty_cell", text=shortened(cell))
                raise self._refuse(line, column.name, found, say("columns_refused", "gap_allowed"))
            allowed = say("columns_refused", "number_allowed", example="12.5")
            raise self._refuse(line, column.name, self._cell_words(cell), allowed)
        if allowed := self.mark.clash(sign_of(match), line):
            raise self._refuse(line, column.name, self._cell_words(cell), allowed)
        value = value_of(match)
        if not abs(value) < 1e30:
            allowed = say("columns_refused", "ordinary_allowed")
            raise self._refuse(line, column.name, self._cell_words(cell), allowed)
        return value

    @staticmethod
    def _cell_words(cell: str) -> str:
        return say("refusal", "found_text", text=shortened(cell))

    def table(self, fewest: int) -> Table:
        """Every row; refused in words if there are fewer than ``fewest``."""
        heading, columns = self.heading()
        rows, lines = [], []
        for line, text in self.lines[1:]:
            cells = self._cells(line, text)
            if len(cells) != len(columns):
                split = self.delimiter == "," and len(cells) > len(columns)
                id = "comma_cells_allowed" if split else "cells_allowed"
                found = say_count("columns_refused", "cells", len(cells))
                allowed = say("columns_refused", id, count=len(columns))
                raise self._refuse(line, say("refused_place", "row"), found, allowed)
            rows.append([self._figure(line, column, cell) for column, cell in zip(columns, cells, strict=True)])
            lines.append(line)
        if len(rows) < fewest:
            told = refused_count("columns_refused", "rows", len(rows), fewest=fewest)
            raise self._refuse(self.lines[-1][0], say("refused_place", "file"), *told)
        return Table(self.file, columns, np.array(rows, float), tuple(lines), heading)


def require(table: Table, quantities: tuple[str, ...], example: str) -> None:
    """Refuse a table that lacks one of these quantities."""
    for quantity in quantities:
        if not table.has(quantity):
            names = ", ".join(column.name for column in table.columns)
            found = say("columns_refused", "missing", names=names)
            allowed = say("columns_refused", "columns_allowed", example=example)
            raise DocumentError(table.file, table.heading, quantity, found, allowed)
