"""Where each key of a TOML document stands: lines for error sentences, spans for editing in place.

``tomllib`` gives values without places.  The scanner here walks over the same text and notes, for every
key, table and block, its line and the span of its value.  It trusts ``tomllib`` to refuse what is not TOML:
on a broken text it stops early and keeps what it has seen so far.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, TypeVar

from ..base.errors import DocumentError
from ..base.refused import refused
from .toml_errors import syntax_error

Path = tuple[str | int, ...]
"""A key: names, and positions (from 0) in lists and ``[[blocks]]``: ``("dynamics", 1, "axis")``."""

BOM = "\ufeff"


@dataclass(frozen=True, slots=True)
class Entry:
    """One ``key = value``: offsets into the text.

    ``start``/``end`` span the whole statement with its line ends (an inline key: from key to value);
    ``table`` is the header that it stands under, ``outer`` the path of the statement that holds an inline key.
    """

    path: Path
    line: int
    start: int
    end: int
    value_start: int
    value_end: int
    table: Path
    outer: Path


@dataclass(frozen=True, slots=True)
class Header:
    """One ``[table]`` or ``[[block]]`` line; ``last`` is where its own last statement ends."""

    path: Path
    line: int
    start: int
    end: int
    block: bool


_Place = TypeVar("_Place")


def _inside(places: dict[Path, _Place], root: Path) -> dict[Path, _Place]:
    """The places under ``root``, by what follows it in their paths."""
    size = len(root)
    return {path[size:]: place for path, place in places.items() if path[:size] == root}


@dataclass(slots=True)
class Places:
    """All places of one document.

    ``twice`` lists (path, line, first line) of what is set twice, ``broken_line`` where the statement begins
    at which a broken text could not be followed further (0: it was followed to its end).  ``first_line`` is the line
    of what stands nowhere.
    """

    text: str
    entries: dict[Path, Entry] = field(default_factory=dict)
    headers: dict[Path, Header] = field(default_factory=dict)
    first_seen: dict[Path, int] = field(default_factory=dict)
    twice: list[tuple[Path, int, int]] = field(default_factory=list)
    broken_line: int = 0
    first_line: int = 1

    def within(self, root: Path) -> Places:
        """The places of one table, called by the keys inside it; what is not in it has the line of the table."""
        entries, headers, seen = (
            _inside(self.entries, root),
            _inside(self.headers, root),
            _inside(self.first_seen, root),
        )
        return Places(self.text, entries, headers, seen, first_line=self.line(root))

    def line(self, path: Path) -> int:
        """Line of a key, a table or a block; of the nearest table around it if it is not there."""
        while path:
            if path in self.entries:
                return self.entries[path].line
            if path in self.headers:
                return self.headers[path].line
            if path in self.first_seen:
                return self.first_seen[path]
            path = path[:-1]
        return self.first_line

    def written(self, path: Path) -> str | None:
        """The value of a key as it is written, or None if there is no such key."""
        entry = self.entries.get(path)
        return None if entry is None else self.text[entry.value_start : entry.value_end]


class _Lost(Exception):
    """The text is not TOML from here on."""


_BLANK = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_REST_OF_LINE = re.compile(r"[^\n]*\n?")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\]}#\r\n]*")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG_BASIC = re.compile(r'"""(?:[^\\]|\\[\s\S])*?"""(?:"{0,2})(?!")')
_LONG_LITERAL = re.compile(r"'''[\s\S]*?'''(?:'{0,2})(?!')")


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.places = Places(text)
        self.line_starts = [0, *(m.end() for m in re.finditer("\n", text))]
        self.blocks: dict[Path, int] = {}
        self.table: Path = ()
        self.outer: Path = ()

    def line_at(self, position: int) -> int:
        return bisect_right(self.line_starts, position)

    def line_start(self, position: int) -> int:
        return max(self.line_starts[self.line_at(position) - 1], len(BOM) if self.text.startswith(BOM) else 0)

    def skip(self, pattern: re.Pattern[str], position: int) -> int:
        match = pattern.match(self.text, position)
        return match.end() if match else position

    def take(self, pattern: re.Pattern[str], position: int) -> int:
        match = pattern.match(self.text, position)
        if match is None or match.end() == position:
            raise _Lost
        return match.end()

    def document(self) -> Places:
        position = 1 if self.text.startswith(BOM) else 0
        try:
            while (position := self.skip(_BETWEEN, position)) < len(self.text):
                position = self.header(position) if self.text[position] == "[" else self.statement(position)
        except (_Lost, tomllib.TOMLDecodeError, RecursionError):
            self.places.broken_line = self.line_at(position)  # what was seen up to here is still right
        return self.places

    def key(self, position: int) -> tuple[tuple[str, ...], int]:
        parts: list[str] = []
        while True:
            position = self.skip(_BLANK, position)
            mark = self.text[position : position + 1]
            pattern = {'"': _BASIC, "'": _LITERAL}.get(mark, _BARE_KEY)
            end = self.take(pattern, position)
            raw = self.text[position:end]
            parts.append(tomllib.loads(f"k = {raw}")["k"] if mark in ('"', "'") else raw)
            position = self.skip(_BLANK, end)
            if self.text[position : position + 1] != ".":
                return tuple(parts), position
            position += 1

    def header(self, position: int) -> int:
        block = self.text.startswith("[[", position)
        parts, after = self.key(position + (2 if block else 1))
        if not self.text.startswith("]]" if block else "]", after):
            raise _Lost
        path: Path = ()
        for i, part in enumerate(parts):
            path = (*path, part)
            if block and i == len(parts) - 1:
                self.places.first_seen.setdefault(path, self.line_at(position))
                self.blocks[path] = self.blocks.get(path, -1) + 1
            self.places.first_seen.setdefault(path, self.line_at(position))
            if path in self.blocks:
                path = (*path, self.blocks[path])
        start = self.line_start(position)
        header = Header(path, self.line_at(position), start, self.take(_REST_OF_LINE, position), block)
        known = self.places.headers.setdefault(path, header)
        if known is not header:
            self.places.twice.append((path, header.line, known.line))
        elif path in self.places.entries:
            self.places.twice.append((path, header.line, self.places.entries[path].line))
        self.table = path
        return header.end

    def statement(self, position: int) -> int:
        start = self.line_start(position)
        parts, after = self.key(position)
        if not self.text.startswith("=", after):
            raise _Lost
        self.outer = (*self.table, *parts)
        value_start = self.skip(_BLANK, after + 1)
        value_end = self.value(value_start, self.outer)
        end = self.skip(_REST_OF_LINE, value_end)
        self.note(self.table, parts, position, (start, end, value_start, value_end))
        return end

    def note(self, table: Path, parts: tuple[str, ...], position: int, spans: tuple[int, int, int, int]) -> None:
        path, line = (*table, *parts), self.line_at(position)
        for i in range(len(table) + 1, len(path)):
            self.places.first_seen.setdefault(path[:i], line)
        entry = Entry(path, line, *spans, self.table, self.outer)
        known = self.places.entries.setdefault(path, entry)
        if known is not entry:
            self.places.twice.append((path, line, known.line))

    def value(self, position: int, path: Path) -> int:
        text = self.text
        if text.startswith('"""', position):
            return self.take(_LONG_BASIC, position)
        if text.startswith("'''", position):
            return self.take(_LONG_LITERAL, position)
        mark = text[position : position + 1]
        if mark == '"':
            return self.take(_BASIC, position)
        if mark == "'":
            return self.take(_LITERAL, position)
        if mark == "[":
            return self.array(position + 1, path)
        if mark == "{":
            return self.inline_table(position + 1, path)
        end = self.take(_BARE_VALUE, position)
        return position + len(text[position:end].rstrip())

    def array(self, position: int, path: Path) -> int:
        count = 0
        while True:
            position = self.skip(_BETWEEN, position)
            if self.text.startswith("]", position):
                return position + 1
            self.places.first_seen.setdefault((*path, count), self.line_at(position))
            position = self.skip(_BETWEEN, self.value(position, (*path, count)))
            count += 1
            if self.text.startswith(",", position):
                position += 1
            elif not self.text.startswith("]", position):
                raise _Lost

    def inline_table(self, position: int, path: Path) -> int:
        while True:
            position = self.skip(_BLANK, position)
            if self.text.startswith("}", position):
                return position + 1
            parts, after = self.key(position)
            if not self.text.startswith("=", after):
                raise _Lost
            value_start = self.skip(_BLANK, after + 1)
            value_end = self.value(value_start, (*path, *parts))
            self.note(path, parts, position, (position, value_end, value_start, value_end))
            position = self.skip(_BLANK, value_end)
            if self.text.startswith(",", position):
                position += 1
            elif not self.text.startswith("}", position):
                raise _Lost


@lru_cache(maxsize=8)
def places(text: str) -> Places:
    """Places of all keys of a TOML text.  Never raises: of a broken text, the part before the break."""
    return _Scanner(text).document()


def key_line(text: str, path: Path) -> int:
    """Line (from 1) of a key; of the table that should hold it if it is missing; 1 for a missing table.

    >>> key_line("a = 1\\n[b]\\nc = 2\\n", ("b", "c")), key_line("a = 1\\n[b]\\nc = 2\\n", ("b", "d"))
    (3, 2)
    """
    return places(text).line(path)


LONGEST_LINE = 20_000
DEEPEST_KEY = 40
"""More than this is no document of ours, and would hold the reader for minutes or fill the memory."""

_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DEEP_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{DEEPEST_KEY},}}+")


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """A TOML text as nested dicts.  Raises DocumentError with the line for everything that is not TOML 1.0."""
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            told = refused("toml_refused", "long_line", count=len(line), longest=LONGEST_LINE)
            raise DocumentError(file, number, "TOML", *told)
    if deep := _DEEP_KEY.search(text):
        number = text.count("\n", 0, deep.start()) + 1
        raise DocumentError(file, number, "TOML", *refused("toml_refused", "deep_key", deepest=DEEPEST_KEY))
    try:
        return tomllib.loads(text.removeprefix(BOM))
    except RecursionError:
        raise DocumentError(file, 0, "TOML", *refused("toml_refused", "nested")) from None
    except ValueError as error:  # TOMLDecodeError, and int() of too many digits
        raise syntax_error(text, file, str(error), places(text).twice, places(text).broken_line) from None
