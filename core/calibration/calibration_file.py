"""A person's measured mean forces from a file of columns, read strictly: a refusal tells every fault with its line.

The heading names the columns ``feed_per_tooth_mm``, ``mean_fx_n``, ``mean_fy_n`` and, if it was measured,
``mean_fz_n``, in any order.  Commas, semicolons or tabs stand between columns; between semicolons or tabs the
decimal mark may be a comma.  Blank lines and lines that begin with ``#`` are passed over.
"""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches

import numpy as np

from ..base.refused import refused
from ..base.words import say, say_count
from ..documents.document_text import decoded
from ..documents.measured_text import NUMBER, DecimalMark, cells_of, number_in, numbered_lines, sign_of, value_of
from ..documents.strict_reader import NOTHING, FaultList
from ..documents.toml_errors import shortened
from ..maths.arrays import frozen
from ..setup.setup_limits import RANGES, Range
from .calibration import MeanForces

FEED, AXIAL = "feed_per_tooth_mm", "mean_fz_n"
REQUIRED = (FEED, "mean_fx_n", "mean_fy_n")
COLUMNS = (*REQUIRED, AXIAL)
"""Columns of the file: feed in mm per tooth, mean forces over whole turns in N."""

FORCE_LIMITS = Range(-1e7, 1e7)
"""N.  Beyond it no cutter stands; and figures of this size can be squared and added."""

ALIKE = 1e-6
"""Relative difference below which two feeds are one: a line through them would be all rounding."""


class _Reader(FaultList):
    """One pass over one file; a faulty cell is noted and reading goes on."""

    def __init__(self, text: str, file: str, most_feed_mm: float) -> None:
        super().__init__(file)
        self.feeds = replace(RANGES["cut.feed_per_tooth_mm"], high=most_feed_mm)
        self.lines = numbered_lines(text)
        self.mark = DecimalMark()

    def cells(self, line: int, text: str) -> list[str]:
        """The cells of a line; none where it cannot be taken apart."""
        row = cells_of(text, self.delimiter)
        if row is None:
            told = refused("columns_refused", "quotes", text=shortened(text.strip()))
            self.note(line, say("refused_place", "row"), *told)
        return row or []

    def heading(self) -> list[str]:
        """Names of the columns in their order.  Raises DocumentError for a heading that names no table."""
        if not self.lines:
            allowed = say("calibration_refused", "empty_allowed", columns=",".join(COLUMNS))
            self.note(0, say("refused_place", "file"), say("columns_refused", "empty"), allowed)
            self.finish()
        line, text = self.lines[0]
        self.delimiter = next((d for d in (";", ",", "\t") if d in text), ",")
        names = [name.lower() for name in self.cells(line, text)]
        self.finish()
        heading = say("refused_place", "heading")
        if all(NUMBER.fullmatch(name) for name in names):
            allowed = say("calibration_refused", "no_heading_allowed", columns=", ".join(REQUIRED), axial=AXIAL)
            self.note(line, heading, say("columns_refused", "no_heading"), allowed)
            self.finish()
        for name in dict.fromkeys(names):
            if name not in COLUMNS:
                found = say("columns_refused", "unknown" if name else "nameless", name=shortened(name))
                allowed = ", ".join(COLUMNS)
                if near := get_close_matches(name[:100], COLUMNS, 1, 0.5):
                    allowed = say("calibration_refused", "near", near=near[0], columns=allowed)
                self.note(line, heading, found, allowed)
            elif (count := names.count(name)) > 1:
                self.note(line, name, *refused("calibration_refused", "repeated", count=count))
        for name in REQUIRED:
            if name not in names:
                found = say("columns_refused", "missing", names=shortened(", ".join(names)))
                self.note(line, name, found, say("calibration_refused", "missing_allowed"))
        self.finish()
        return names

    def figure(self, line: int, name: str, cell: str) -> float:
        """A cell's number, nan after a refusal."""
        match = number_in(cell)
        if match is None:
            self.refuse_cell(line, name, cell, say("calibration_refused", "bare", number=self.number_words()))
            return NOTHING
        sign = sign_of(match)
        if sign == "," and self.delimiter == ",":
            self.refuse_cell(line, name, cell, say("calibration_refused", "commas", number=self.number_words()))
            return NOTHING
        if clash := self.mark.clash(sign, line):
            self.refuse_cell(line, name, cell, clash)
            return NOTHING
        value = value_of(match)
        limits = self.feeds if name == FEED else FORCE_LIMITS
        if not limits.holds(value):
            self.refuse_cell(line, name, cell, limits.number_words)
        return value

    def number_words(self) -> str:
        """What a number looks like in this file."""
        id = "number" if self.delimiter == "," else "number_either"
        return say("calibration_refused", id, example="12.5", comma="12,5")

    def refuse_cell(self, line: int, name: str, cell: str, allowed: str) -> None:
        """Note what is wrong with a cell."""
        empty = say("calibration_refused", "empty_cell")
        self.note(line, name, say("refusal", "found_text", text=shortened(cell)) if cell else empty, allowed)

    def table(self) -> tuple[list[str], list[list[float]]]:
        """Names of the columns and the rows.  Raises DocumentError with every fault."""
        names, rows = self.heading(), []
        for line, text in self.lines[1:]:
            row = self.cells(line, text)
            if row and len(row) != len(names):
                commas = self.delimiter == "," and len(row) > len(names)
                id = "comma_cells_allowed" if commas else "cells_allowed"
                allowed = say("columns_refused", id, count=len(names))
                self.note(line, say("refused_place", "row"), say_count("columns_refused", "cells", len(row)), allowed)
            elif row:
                rows.append([self.figure(line, name, cell) for name, cell in zip(names, row, strict=True)])
        self.finish()
        feeds = sorted({row[names.index(FEED)] for row in rows})
        if len(feeds) < 2 or feeds[-1] - feeds[0] <= ALIKE * feeds[-1]:
            one_feed = say_count("calibration_refused", "rows", len(rows))
            found = one_feed if rows else say("calibration_refused", "no_rows")
            self.note(self.lines[-1][0], FEED, found, say("calibration_refused", "rows_allowed"))
        self.finish()
        return names, rows


def wanted() -> str:
    """What a file of mean forces should be, for whoever reads its bytes."""
    return say("read_file", "columns")


def read_mean_forces(
    data: bytes | str, file: str, *, on_work: bool = False, most_feed_mm: float = RANGES["cut.feed_per_tooth_mm"].high
) -> MeanForces:
    """The measured means of a file; ``file`` is its name for the errors.

    on_work : the rig measured the force on the work, so signs are turned; most_feed_mm : greatest feed per tooth
    that this cutter can have.  Raises DocumentError with every fault: line, column, what was found, what is allowed.
    """
    names, rows = _Reader(decoded(data, file, wanted()), file, most_feed_mm).table()
    table = np.array(rows)
    nowhere = np.full(len(rows), np.nan)
    forces = [table[:, names.index(name)] if name in names else nowhere for name in COLUMNS[1:]]
    # + 0.0: a force of 0 on the work is no -0 on the cutter.
    on_cutter = (-1.0 if on_work else 1.0) * np.stack(forces, -1) + 0.0
    return MeanForces(frozen(table[:, names.index(FEED)]), frozen(on_cutter))


__all__ = ["COLUMNS", "read_mean_forces", "wanted"]
