"""Files of figures with their sources, read strictly: what is not foreseen is refused with its line.

The catalogue of materials and the exponents of tool life are such files.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from ..base.errors import DocumentError
from ..setup.setup_limits import Range
from .toml_lines import Path, key_line, parse_toml

LONGEST = 60
"""Letters of a text that a refusal repeats."""

_LARGEST = 1e300
"""A whole number of a document may have any number of digits; beyond this it is no figure."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from: the text, whether it was seen or is from memory, and the conditions."""

    text: str
    status: str
    conditions: str

    def __str__(self) -> str:
        return f"{self.text} ({self.status}). {self.conditions[:1].upper()}{self.conditions[1:]}."


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure in the unit of its key, with its expected spread and its source."""

    value: float
    source: Source
    spread: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Flag:
    """A property that a thing has or has not, with its source."""

    value: bool
    source: Source


@dataclass(frozen=True, slots=True)
class Span:
    """From where to where something holds, in the unit of its key, with its source."""

    low: float
    high: float
    source: Source


def written(value: Any) -> str:
    """A value of a document as a person finds it there, a long one by its kind."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a [table]"
    if isinstance(value, list) and any(isinstance(one, dict | list) for one in value):
        return "[[tables]]"
    if isinstance(value, str):
        return f'"{value}"' if len(value) <= LONGEST else f'"{value[: LONGEST - 1]}…"'
    return str(value)


class StrictTables:
    """One file of figures; a refusal names file, line, key, what was found, what is allowed.

    text, file : the file as text, and its name for refusals.  Everything here raises DocumentError.
    """

    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file
        self.data = parse_toml(text, file)
        self.sources: dict[str, Source] = {}

    def refuse(self, path: Path, found: str, allowed: str) -> DocumentError:
        """The refusal of a key, to be raised."""
        name = ".".join(str(p + 1) if isinstance(p, int) else p for p in path)
        return DocumentError(self.file, key_line(self.text, path), name, found, allowed)

    def head(self, form: str, must: Iterable[str], may: Iterable[str]) -> dict[str, Any]:
        """The whole document, its ``format`` and ``version`` checked and its ``[sources.…]`` read."""
        # What kind of document it is comes first: in a file of another kind every key would be wrong.
        if self.data.get("format", form) != form:
            raise self.refuse(("format",), f"found {written(self.data['format'])}", f'"{form}"')
        top = self.fields(self.data, (), ("format", "version", *must), ("sources", *may))
        if top["version"] != 1 or isinstance(top["version"], bool):
            raise self.refuse(("version",), f"found {written(top['version'])}", "1")
        for name, table in self.fields(top.get("sources", {}), ("sources",), (), top.get("sources", {})).items():
            path = ("sources", name)
            self.fields(table, path, ("text", "status", "conditions"), ())
            self.sources[name] = Source(*(self.word(table, path, k) for k in ("text", "status", "conditions")))
        return top

    def blocks(self, top: dict[str, Any], key: str) -> list[Any]:
        """The ``[[key]]`` tables of the document, none if there are none."""
        found = top.get(key, [])
        if not isinstance(found, list):
            raise self.refuse((key,), f"found {written(found)}", f"[[{key}]] tables")
        return found

    def fields(self, table: Any, path: Path, must: Iterable[str], may: Iterable[str]) -> dict[str, Any]:
        """A table that has all keys it must and no others than it may."""
        if not isinstance(table, dict):
            raise self.refuse(path, f"found {written(table)}", "a table")
        must, may = tuple(must), tuple(may)
        for key in table:
            if key not in must + may:
                raise self.refuse((*path, key), "unknown key", ", ".join(must + may))
        for key in must:
            if key not in table:
                raise self.refuse((*path, key), "missing", "this key must be there")
        return table

    def word(self, table: dict[str, Any], path: Path, key: str) -> str:
        """A line of text."""
        value = table[key]
        if not isinstance(value, str) or not value.strip() or "\n" in value:
            raise self.refuse((*path, key), f"found {written(value)}", "a line of text")
        return value

    def number(self, value: Any, path: Path, allowed: Range) -> float:
        """A number in its range."""
        known = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < _LARGEST
        if not known or not allowed.holds(float(value)):
            raise self.refuse(path, f"found {written(value)}", str(allowed))
        return float(value)

    def pair(self, value: Any, path: Path, allowed: Range) -> tuple[float, float]:
        """Two numbers in their range, the low one first."""
        if not isinstance(value, list) or len(value) != 2:
            raise self.refuse(path, f"found {written(value)}", "two numbers, low and high")
        low, high = (self.number(end, path, allowed) for end in value)
        if low > high:
            raise self.refuse(path, f"found {written(value)}", "low before high")
        return low, high

    def source(self, table: dict[str, Any], path: Path) -> Source:
        """The source that a table names."""
        source = self.word(table, path, "source")
        if source not in self.sources:
            raise self.refuse((*path, "source"), f'found "{source}"', "a [sources.…] table of this file")
        return self.sources[source]

    def figure(self, value: Any, path: Path, allowed: Range) -> Figure:
        """A table of ``value``, ``source`` and perhaps ``range``."""
        table = self.fields(value, path, ("value", "source"), ("range",))
        source = self.source(table, path)
        spread = self.pair(table["range"], (*path, "range"), allowed) if "range" in table else None
        return Figure(self.number(table["value"], (*path, "value"), allowed), source, spread)

    def flag(self, value: Any, path: Path) -> Flag:
        """A table of ``value``, true or false, and ``source``."""
        table = self.fields(value, path, ("value", "source"), ())
        if not isinstance(table["value"], bool):
            raise self.refuse((*path, "value"), f"found {written(table['value'])}", "true or false")
        return Flag(table["value"], self.source(table, path))

    def span(self, value: Any, path: Path, allowed: Range) -> Span:
        """A table of ``range``, two numbers, and ``source``."""
        table = self.fields(value, path, ("range", "source"), ())
        return Span(*self.pair(table["range"], (*path, "range"), allowed), self.source(table, path))
