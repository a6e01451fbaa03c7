"""What every file of measured columns has in common: lines that count, cells, numbers, one decimal mark in a file."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass

from ..base.words import say
from .document_text import BOM

NUMBER = re.compile(r"[+-]?(?:\d+(?:(?P<mark>[.,])\d*)?|(?P<first>[.,])\d+)(?:[eE][+-]?\d+)?", re.ASCII)
"""Not what Python takes for a number: no nan, no 1_000, no figures of other scripts.

A run of digits is matched in one way only, so that a long one that is no number takes no time to be refused.
"""

_LINES = re.compile(r"\r\n|\r|\n")


def numbered_lines(text: str) -> list[tuple[int, str]]:
    """The lines of a file with their numbers from 1, without blank ones and those that begin with ``#``."""
    numbered = enumerate(_LINES.split(text.removeprefix(BOM)), 1)
    return [(n, line) for n, line in numbered if line.strip() and not line.lstrip().startswith("#")]


def cells_of(line: str, delimiter: str) -> list[str] | None:
    """The cells of a line; None where its quotes do not match.  Quotes may hold a delimiter, never a line break."""
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    try:
        row = next(csv.reader([line], delimiter=delimiter, strict=True, skipinitialspace=True))
    except csv.Error:
        return None
    return [cell.strip() for cell in row]


def number_in(cell: str) -> re.Match[str] | None:
    """The number that a cell is; a printed minus sign counts as the typed one."""
    return NUMBER.fullmatch(cell.replace("\N{MINUS SIGN}", "-"))


def sign_of(number: re.Match[str]) -> str:
    """The decimal mark in a number; empty where it has none."""
    return number["mark"] or number["first"] or ""


def value_of(number: re.Match[str]) -> float:
    """The number's value, whichever mark it has."""
    return float(number[0].replace(",", "."))


@dataclass(slots=True)
class DecimalMark:
    """The decimal mark that a file uses, and the line that used it first."""

    sign: str = ""
    line: int = 0

    def clash(self, sign: str, line: int) -> str:
        """What is allowed instead of ``sign`` in a line; empty where it is the file's mark, or its first."""
        if not sign or sign == self.sign:
            return ""
        if self.sign:
            return say("columns_refused", "point_before" if self.sign == "." else "comma_before", line=self.line)
        self.sign, self.line = sign, line
        return ""
