"""A person's measured mean forces from a file of columns, read strictly: a refusal tells every fault with its line.

The heading names the columns ``feed_per_tooth_mm``, ``mean_fx_n``, ``mean_fy_n`` and, if it was measured,
``mean_fz_n``, in any order.  Commas, semicolons or tabs stand between columns; between semicolons or tabs the
decimal mark may be a comma.  Blank lines and lines that begin with ``#`` are passed over.
"""

from __future__ import annotations

from difflib import get_close_matches

import numpy as np

from ..documents.document_text import decoded
from ..documents.measured_text import NUMBER, DecimalMark, cells_of, number_in, numbered_lines, sign_of, value_of
from ..documents.strict_reader import NOTHING, FaultList
from ..documents.toml_errors import shortened
from ..maths.arrays import frozen
from ..setup.setup_limits import RANGES
from .calibration import MeanForces

FEED, AXIAL = "feed_per_tooth_mm", "mean_fz_n"
REQUIRED = (FEED, "mean_fx_n", "mean_fy_n")
COLUMNS = (*REQUIRED, AXIAL)
"""Columns of the file: feed in mm per tooth, mean forces over whole turns in N."""

WANTED = "a text file of columns in UTF-8"
LARGEST_FORCE = 1e7
"""N.  Beyond it no cutter stands; and figures of this size can be squared and added."""

ALIKE = 1e-6
"""Relative difference below which two feeds are one: a line through them would be all rounding."""


class _Reader(FaultList):
    """One pass over one file; a faulty cell is noted and reading goes on."""

    def __init__(self, text: str, file: str, most_feed_mm: float) -> None:
        super().__init__(file)
        self.most_feed_mm = most_feed_mm
        self.lines = numbered_lines(text)
        self.mark = DecimalMark()

    def cells(self, line: int, text: str) -> list[str]:
        """The cells of a line; none where it cannot be taken apart."""
        row = cells_of(text, self.delimiter)
        if row is None:
            found = f"found quotes that do not match in {shortened(text.strip())}"
            self.note(line, "row", found, "cells without quotes")
        return row or []

    def heading(self) -> list[str]:
        """Names of the columns in their order.  Raises DocumentError for a heading that names no table."""
        if not self.lines:
            self.note(0, "file", "found no line with figures", f"a heading {','.join(COLUMNS)} and rows")
            self.finish()
        line, text = self.lines[0]
        self.delimiter = next((d for d in (";", ",", "\t") if d in text), ",")
        names = [name.lower() for name in self.cells(line, text)]
        self.finish()
        if all(NUMBER.fullmatch(name) for name in names):
            wanted = f"{', '.join(REQUIRED)}, and if known {AXIAL}"
            self.note(line, "heading", "found figures and no heading above them", wanted)
            self.finish()
        for name in dict.fromkeys(names):
            if name not in COLUMNS:
                near = get_close_matches(name[:100], COLUMNS, 1, 0.5)
                hint = f"{near[0]} (did you mean that?); columns are " if near else ""
                found = f'found an unknown column "{shortened(name)}"' if name else "found a column without a name"
                self.note(line, "heading", found, hint + ", ".join(COLUMNS))
            elif names.count(name) > 1:
                self.note(line, name, f"found this column {names.count(name)} times", "each column once")
        for name in REQUIRED:
            if name not in names:
                beside = shortened(", ".join(names))
                self.note(line, name, f"missing beside {beside}", "this column must be there")
        self.finish()
        return names

    def figure(self, line: int, name: str, cell: str) -> float:
        """A cell's number, nan after a refusal."""
        allowed = "a number such as 12.5" if self.delimiter == "," else "a number such as 12.5 or 12,5"
        match = number_in(cell)
        quoted = f'found "{shortened(cell)}"'
        if match is None:
            found = quoted if cell else "found an empty cell"
            self.note(line, name, found, f"{allowed}, without unit or thousands separator")
            return NOTHING
        sign = sign_of(match)
        if sign == "," and self.delimiter == ",":
            self.note(line, name, quoted, f"{allowed}; decimal commas want semicolons between columns")
            return NOTHING
        if clash := self.mark.clash(sign, line):
            self.note(line, name, quoted, clash)
            return NOTHING
        value = value_of(match)
        if name == FEED:
            if not RANGES["cut.feed_per_tooth_mm"].least <= value <= self.most_feed_mm:
                self.note(line, name, quoted, f"a number over 0 up to {self.most_feed_mm:g}")
        elif not abs(value) <= LARGEST_FORCE:
            self.note(line, name, quoted, f"a number from {-LARGEST_FORCE:g} to {LARGEST_FORCE:g}")
        return value

    def table(self) -> tuple[list[str], list[list[float]]]:
        """Names of the columns and the rows.  Raises DocumentError with every fault."""
        names, rows = self.heading(), []
        for line, text in self.lines[1:]:
            row = self.cells(line, text)
            if row and len(row) != len(names):
                hint = ""
                if self.delimiter == "," and len(row) > len(names):
                    hint = "; decimal commas want semicolons between columns"
                self.note(line, "row", f"found {_count(len(row), 'cell')}", f"{len(names)} as in the heading{hint}")
            elif row:
                rows.append([self.figure(line, name, cell) for name, cell in zip(names, row, strict=True)])
        self.finish()
        feeds = sorted({row[names.index(FEED)] for row in rows})
        if len(feeds) < 2 or feeds[-1] - feeds[0] <= ALIKE * feeds[-1]:
            found = f"found {_count(len(rows), 'row')} at {_count(min(len(feeds), 1), 'feed')}"
            self.note(self.lines[-1][0], FEED, found, "rows at two different feeds or more")
        self.finish()
        return names, rows


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def read_mean_forces(
    data: bytes | str, file: str, *, on_work: bool = False, most_feed_mm: float = RANGES["cut.feed_per_tooth_mm"].high
) -> MeanForces:
    """The measured means of a file; ``file`` is its name for the errors.

    on_work : the rig measured the force on the work, so signs are turned; most_feed_mm : greatest feed per tooth
    that this cutter can have.  Raises DocumentError with every fault: line, column, what was found, what is allowed.
    """
    names, rows = _Reader(decoded(data, file, WANTED), file, most_feed_mm).table()
    table = np.array(rows)
    nowhere = np.full(len(rows), np.nan)
    forces = [table[:, names.index(name)] if name in names else nowhere for name in COLUMNS[1:]]
    # + 0.0: a force of 0 on the work is no -0 on the cutter.
    on_cutter = (-1.0 if on_work else 1.0) * np.stack(forces, -1) + 0.0
    return MeanForces(frozen(table[:, names.index(FEED)]), frozen(on_cutter))


__all__ = ["COLUMNS", "WANTED", "read_mean_forces"]
