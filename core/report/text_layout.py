"""How the text report is set: rows of label and value, 80 columns wide, and the phrases that many rows share."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from typing import Any

from ..base.quantities import Units, number
from ..base.words import say
from ..setup.setup import Setup

WIDTH = 80
LABEL, COLUMN = 30, 16

Report = dict[str, Any]
"""The report of a setup, or one group of it, as nested plain data."""

Row = tuple[str, str]
Rows = Callable[[Setup, Report, Units], list[Row]]


def wrapped(text: str, indent: str = "") -> list[str]:
    """Text as lines of at most 80 columns; a single word that is longer is cut."""
    # A word that is cut leaves the space that followed it.
    lines = textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
    return [line.rstrip() for line in lines] or [""]


def aligned(rows: list[Row]) -> list[str]:
    """Rows of label and value as lines; a value too long for its line goes on below itself."""
    lines = []
    for label, value in rows:
        # Columns of a value are kept apart by runs of spaces, which wrapping would eat.
        fits = LABEL + 2 + len(value) <= WIDTH
        first, *rest = [value] if fits else textwrap.wrap(value, WIDTH - LABEL - 2)
        lines += [f"  {label:<{LABEL}}{first}".rstrip(), *((" " * (LABEL + 2) + more).rstrip() for more in rest)]
    return lines


def in_columns(*texts: str) -> str:
    """Texts of equal rank under one another."""
    return "".join(f"{text:<{COLUMN}}" for text in texts).rstrip()


def between(low: str, high: str) -> str:
    """Two figures as a range, or one where they are the same."""
    return say("value", "same", count=low) if low == high else say("value", "between", low=low, high=high)


def degrees(angle_deg: float) -> str:
    """An angle in degrees as rows give it."""
    return number(angle_deg, 2) + "°"
