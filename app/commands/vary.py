"""``report SETUP --vary KEY=FROM:TO:STEP --csv FILE``: a table over one or two figures, as CSV."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterable
from typing import Any

from app.commands.arguments import standard_output
from core.base.errors import ChiparcError
from core.base.safe_write import write_text
from core.base.words import say
from core.report.vary import USUAL, Table, columns_named, varied
from core.setup.setup import Setup

MOST_FIGURES = 2


def as_cell(value: Any) -> str:
    """A value as a cell: empty where it is not defined, true or false, plain figures."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return repr(value) if isinstance(value, float) else str(value)


def csv_text(rows: Iterable[Iterable[Any]]) -> str:
    """Rows as CSV with commas and plain line ends."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([as_cell(value) for value in row] for row in rows)
    return text.getvalue()


def run_table(setup: Setup, spans: list[str], columns: str | None, file: str | None) -> int:
    """Write the table; 0, or 2 where every row was refused.  Raises ChiparcError for what cannot be asked.

    setup : resolved; file : ``-`` is standard output.
    """
    if file is None:
        raise ChiparcError("--vary", say("command_report", "no_csv"), say("command_report", "no_csv_allowed"))
    if len(spans) > MOST_FIGURES:
        found = say("command_report", "figures", count=len(spans))
        raise ChiparcError("--vary", found, say("command_report", "figures_allowed"))
    keys = USUAL if columns is None else columns_named(columns)
    table = Table(setup, [varied(text) for text in spans], keys)
    if file == "-":
        sys.stdout.write(csv_text([table.heads]))
        for row in table.rows():
            sys.stdout.write(csv_text([row]))
        sys.stdout.flush()
    else:
        write_text(file, csv_text([table.heads, *table.rows()]))
    if table.refused:
        place = standard_output() if file == "-" else file
        told = say("command_report", "rows_refused", place=place, refused=table.refused, count=table.count)
        sys.stderr.write(f"{told}\n")
    return 2 if table.refused == table.count else 0
