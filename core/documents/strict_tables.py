"""Files of figures with their sources, read strictly: what is not foreseen is refused with its line.

The catalogue of materials and the exponents of tool life are such files.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from ..base.words import phrase, say
from ..setup.setup_limits import Range
from .strict_reader import NOTHING, StrictToml
from .toml_edit import toml_value
from .toml_lines import Path


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from: the text, whether it was seen or is from memory, and the conditions."""

    text: str
    status: str
    conditions: str

    def __str__(self) -> str:
        text, status, conditions = (phrase(each) for each in (self.text, self.status, self.conditions))
        return f"{text} ({status}). {conditions[:1].upper()}{conditions[1:]}."


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


def one_line(text: str) -> bool:
    """Whether a text has no line break and no control character: names are printed on terminals."""
    return not any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in text)


class StrictTables(StrictToml):
    """One file of figures; its refusal names file, line, key, what was found and what is allowed of every fault.

    text, file : the file as text, and its name for refusals.
    """

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.sources: dict[str, Source] = {}

    def head(self, form: str, must: Iterable[str], may: Iterable[str]) -> dict[str, Any]:
        """The whole document, its ``format`` and ``version`` checked and its ``[sources.…]`` read.

        Raises DocumentError for a document of another kind: in it every key would be wrong.
        """
        kind, version = self.data.get("format", form), self.data.get("version", 1)
        if kind != form:
            self.refuse_value(("format",), kind, toml_value(form))
        elif version != 1 or isinstance(version, bool):
            self.refuse_value(("version",), version, "1")
        self.finish()
        top = self.fields(self.data, (), ("format", "version", *must), ("sources", *may))
        listed = top.get("sources", {})
        for name, table in self.fields(listed, ("sources",), (), listed if isinstance(listed, dict) else ()).items():
            path, keys = ("sources", name), ("text", "status", "conditions")
            table = self.fields(table, path, keys, ())
            self.sources[name] = Source(*(self.word(table, path, key) for key in keys))
        return top

    def blocks(self, top: dict[str, Any], key: str) -> list[Any]:
        """The ``[[key]]`` tables of the document, none if there are none."""
        tables = top.get(key, [])
        if not isinstance(tables, list):
            self.refuse_type((key,), tables, say("document_refused", "tables", key=key))
            return []
        return tables

    def word(self, table: dict[str, Any], path: Path, key: str) -> str:
        """A line of text; "" where the key is missing or was refused."""
        value = table.get(key)
        if isinstance(value, str) and value.strip() and one_line(value):
            return value
        if key in table:
            refuse = self.refuse_value if isinstance(value, str) else self.refuse_type
            refuse((*path, key), value, say("document_refused", "line"))
        return ""

    def one_of(
        self,
        table: dict[str, Any],
        path: Path,
        key: str,
        allowed: Iterable[str],
        told: Callable[[], str] | None = None,
    ) -> str:
        """A word out of a list; "" where it is missing or was refused.  ``told`` names the list for the person."""
        word, listed = self.word(table, path, key), tuple(allowed)
        if not word or word in listed:
            return word
        self.refuse_value((*path, key), word, ", ".join(listed) if told is None else told())
        return ""

    def pair(self, value: Any, path: Path, allowed: Range) -> tuple[float, float]:
        """Two numbers in their range, the low one first."""
        if not isinstance(value, list) or len(value) != 2:
            self.refuse_value(path, value, say("figures_refused", "pair"))
            return NOTHING, NOTHING
        low, high = (self.number(end, path, allowed) for end in value)
        if low > high:
            self.refuse_value(path, value, say("figures_refused", "ordered"))
        return low, high

    def source(self, table: dict[str, Any], path: Path) -> Source:
        """The source that a table names."""
        name = self.word(table, path, "source")
        if name and name not in self.sources:
            self.refuse_value((*path, "source"), name, say("figures_refused", "source"))
        return self.sources.get(name, Source("", "", ""))

    def figure(self, value: Any, path: Path, allowed: Range) -> Figure:
        """A table of ``value``, ``source`` and perhaps ``range``."""
        table = self.fields(value, path, ("value", "source"), ("range",))
        spread = self.pair(table["range"], (*path, "range"), allowed) if "range" in table else None
        figure = self.number(table["value"], (*path, "value"), allowed) if "value" in table else NOTHING
        return Figure(figure, self.source(table, path), spread)

    def flag(self, value: Any, path: Path) -> Flag:
        """A table of ``value``, true or false, and ``source``."""
        table = self.fields(value, path, ("value", "source"), ())
        held = table.get("value", False)
        if not isinstance(held, bool):
            self.refuse_type((*path, "value"), held, say("document_refused", "flag"))
        return Flag(bool(held), self.source(table, path))

    def span(self, value: Any, path: Path, allowed: Range) -> Span:
        """A table of ``range``, two numbers, and ``source``."""
        table = self.fields(value, path, ("range", "source"), ())
        low, high = self.pair(table["range"], (*path, "range"), allowed) if "range" in table else (NOTHING, NOTHING)
        return Span(low, high, self.source(table, path))
