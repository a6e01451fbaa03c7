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
            found = f"found quotes that do not match in {shortened(text.strip())}"
            raise self._refuse(line, "row", found, "cells without quotes")
        return cells

    def _column(self, line: int, name: str) -> Column:
        lowered = name.lower().strip()
        match = _NAME.fullmatch(lowered)
        word, unit = (match["what"], match["bracket"] or match["rest"] or "") if match else (lowered, "")
        if word not in self.quantities and " " in word and match and not match["bracket"] and not match["rest"]:
            word, _, unit = word.partition(" ")
        if word not in self.quantities:
            near = get_close_matches(word, self.quantities, 1, 0.6)
            hint = f"{near[0]} (did you mean that?); " if near else ""
            found = f'found an unknown column "{shortened(name)}"' if name else "found a column without a name"
            raise self._refuse(line, "heading", found, f'{hint}columns as in "{self.example}"')
        return Column(self.quantities[word], plain_unit(unit), shortened(name))

    def heading(self) -> tuple[int, tuple[Column, ...]]:
        """Line of the heading and the columns in their order."""
        if not self.lines:
            raise self._refuse(0, "file", "found no line with figures", f'a heading "{self.example}" and rows')
        line, text = self.lines[0]
        self.delimiter = next((d for d in (";", "\t", ",") if d in text), ",")
        names = self._cells(line, text)
        if all(NUMBER.fullmatch(name) for name in names):
            found = "found figures and no heading above them"
            raise self._refuse(line, "heading", found, f'a heading as in "{self.example}"')
        if len(names) == 1:
            raise self._refuse(line, "heading", "found one column", f'columns as in "{self.example}"')
        columns = tuple(self._column(line, name) for name in names)
        for column in columns:
            same = sum(other.quantity == column.quantity for other in columns)
            if same > 1:
                raise self._refuse(
                    line, column.name, f"found {same} columns of {column.quantity}", "each column once"
                )
        return line, columns

    def _figure(self, line: int, column: Column, cell: str) -> float:
        match = number_in(cell)
        if match is None:
            if not cell or cell.lower() in ("nan", "inf", "-inf", "-", "--"):
                found = f'found "{shortened(cell)}"' if cell else "found an empty cell"
                raise self._refuse(line, column.name, f"{found}: a gap", "a number in every row")
            allowed = "a number such as 12.5, without unit or thousands separator"
            raise self._refuse(line, column.name, f'found "{shortened(cell)}"', allowed)
        if allowed := self.mark.clash(sign_of(match), line):
            raise self._refuse(line, column.name, f'found "{cell}"', allowed)
        value = value_of(match)
        if not abs(value) < 1e30:
            raise self._refuse(line, column.name, f'found "{shortened(cell)}"', "a number of ordinary size")
        return value

    def table(self, fewest: int) -> Table:
        """Every row; refused in words if there are fewer than ``fewest``."""
        heading, columns = self.heading()
        rows, lines = [], []
        for line, text in self.lines[1:]:
            cells = self._cells(line, text)
            if len(cells) != len(columns):
                hint = ""
                if self.delimiter == "," and len(cells) > len(columns):
                    hint = "; decimal commas want semicolons between columns"
                number = f"{len(cells)} cell{'' if len(cells) == 1 else 's'}"
                raise self._refuse(line, "row", f"found {number}", f"{len(columns)} as in the heading{hint}")
            rows.append([self._figure(line, column, cell) for column, cell in zip(columns, cells, strict=True)])
            lines.append(line)
        if len(rows) < fewest:
            found = f"found {len(rows)} row{'' if len(rows) == 1 else 's'}"
            raise self._refuse(self.lines[-1][0], "file", found, f"{fewest} rows or more")
        return Table(self.file, columns, np.array(rows, float), tuple(lines), heading)


def require(table: Table, quantities: tuple[str, ...], example: str) -> None:
    """Refuse a table that lacks one of these quantities."""
    for quantity in quantities:
        if not table.has(quantity):
            names = ", ".join(column.name for column in table.columns)
            raise DocumentError(
                table.file, table.heading, quantity, f"missing beside {names}", f'columns as in "{example}"'
            )
