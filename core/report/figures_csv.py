"""Rows of the figures as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from ..base.quantities import Units
from ..base.words import say
from .figure_row import FigureRow, Value
from .figure_words import is_different

CSV_HEADS = (
    *("group", "figure", "key", "climb", "conventional", "difference", "unit", "climb_low", "climb_high"),
    *("conventional_low", "conventional_high", "model", "source", "leaves_out"),
)
"""Heads of the CSV; for a straddling cut ``climb`` is the cut and ``conventional`` its mirror image."""


def figures_csv(rows: Iterable[FigureRow], units: Units) -> str:
    """Rows as CSV, figures plain and in the units that are shown, so that a spreadsheet can go on with them."""

    def cell(row: FigureRow, value: Value) -> Any:
        if isinstance(value, tuple):
            low, high = (f"{row.shown_value(v, units):.7g}" for v in value)
            return say("value", "between", low=low, high=high)
        if isinstance(value, bool):
            return "true" if value else "false"
        return f"{row.shown_value(value, units):.7g}" if isinstance(value, float) else value

    def gap(row: FigureRow) -> Any:
        a, b = row.climb, row.conventional
        figures_both = isinstance(a, float | int) and isinstance(b, float | int) and not isinstance(a, bool)
        if not figures_both or isinstance(b, bool):
            return None
        return cell(row, float(b - a)) if is_different(row, units) else "0"  # type: ignore[operator]

    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(CSV_HEADS)
    for row in rows:
        ends = [
            None if pair is None else pair[i] for pair in (row.climb_range, row.conventional_range) for i in (0, 1)
        ]
        out.writerow(
            [
                *(row.group, row.label, row.key, cell(row, row.climb), cell(row, row.conventional), gap(row)),
                *(row.unit_in(units), *(cell(row, end) for end in ends), row.model, row.source, row.leaves_out),
            ]
        )
    return text.getvalue()
