"""Changing a TOML text in place: values, lines and tables come and go, everything else stays as it was."""

from __future__ import annotations

import re
from typing import Any

from .toml_lines import BOM, Entry, Header, Path, Places


def toml_value(value: Any) -> str:
    """A value as TOML writes it: the shortest digits that read back the same, text in double quotes, lists alike."""
    if isinstance(value, list):
        return "[" + ", ".join(map(toml_value, value)) + "]"
    if isinstance(value, str):
        return '"' + "".join(_escaped(c) for c in value) + '"'
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(int(value)) if isinstance(value, int) else repr(float(value))


def _escaped(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    code = ord(character)
    return f"\\u{code:04X}" if code < 0x20 or code == 0x7F else character


def toml_lines(values: dict[str, Any]) -> str:
    """``key = value`` lines."""
    return "".join(f"{key} = {toml_value(value)}\n" for key, value in values.items())


def inline_table(values: dict[Path, Any]) -> str:
    """``{ a = 1, b = { c = 2 } }`` of values by path."""
    parts: dict[str, str] = {}
    for path, value in values.items():
        name = str(path[0])
        if len(path) == 1:
            parts[name] = toml_value(value)
        elif name not in parts:
            parts[name] = inline_table({p[1:]: v for p, v in values.items() if p[0] == name})
    return "{ " + ", ".join(f"{name} = {text}" for name, text in parts.items()) + " }"


class Edits:
    """Changes gathered against one text, made all at once by :meth:`text`."""

    def __init__(self, places: Places) -> None:
        self.places = places
        self.original = places.text
        self.newline = "\r\n" if "\r\n" in self.original else "\n"
        self._edits: list[tuple[int, int, str]] = []

    def set_value(self, entry: Entry, value: str) -> None:
        """Another value; a comment behind it stays in its column if there is room."""
        end = entry.value_end
        gap = re.compile(r" {2,}(?=#)").match(self.original, end)
        if gap and "\n" not in value:
            room = len(gap[0]) - (len(value) - (end - entry.value_start))
            value, end = value + " " * max(room, 1), gap.end()
        self._edits.append((entry.value_start, end, value))

    def insert(self, position: int, lines: str) -> None:
        """Whole lines at the start of a line, or at the end of the text."""
        self._edits.append((position, position, lines))

    def remove(self, start: int, end: int) -> None:
        """Whole lines; where a blank line stood before and behind, one of them goes too."""
        blank = re.compile(r"[ \t]*\r?\n")
        above = self._line_above(start)
        blank_above = above is not None and not self.original[above:start].strip()
        if start in (0, len(BOM)) or (blank_above and above):
            behind = blank.match(self.original, end)
            if behind:
                end = behind.end()
            elif end == len(self.original) and blank_above and above:
                start = above
        self._edits.append((start, end, ""))

    def text(self) -> str:
        """The text with all changes."""
        out: list[str] = []
        position, last = 0, ""
        for start, end, new in sorted(self._edits, key=lambda e: (e[0], e[1])):
            if start < end <= position:
                continue  # within lines that go anyway
            kept = self.original[position : max(start, position)]
            out.append(kept)
            last = kept[-1:] or last
            if start == end and new and last not in ("\n", "", BOM):
                new = "\n" + new
            new = new.replace("\n", self.newline)
            out.append(new)
            last = new[-1:] or last
            position = max(end, position)
        out.append(self.original[position:])
        text = "".join(out)
        if _ends_blank(text) and not _ends_blank(self.original):
            text = text.rstrip() + self.newline
        return text

    def last_end(self, table: Path) -> int:
        """Where the last statement right under a ``[table]`` line ends; the end of that line if it has none."""
        header = self.places.headers.get(table)
        ends = [e.end for e in self.places.entries.values() if e.table == table and e.path == e.outer]
        return max([header.end if header else 0, *ends])

    def above(self, header: Header) -> int:
        """Start of a table's header with the comment lines right above it."""
        start = header.start
        while (above := self._line_above(start)) is not None:
            if not self.original[above:start].lstrip(" \t").startswith("#"):
                break
            start = above
        return start

    def _line_above(self, start: int) -> int | None:
        """Where the line begins that ends right before ``start``; None where nothing or no line end is there."""
        if start == 0 or self.original[start - 1] != "\n":
            return None
        return self.original.rfind("\n", 0, start - 1) + 1


def _ends_blank(text: str) -> bool:
    """Whether the last line is blank and another stands before it."""
    return text.endswith("\n") and text[len(text.rstrip()) : -1].count("\n") > 0
