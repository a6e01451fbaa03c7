"""What is wrong with a text that is not TOML, said for a person at a machine, with the line and the key."""

from __future__ import annotations

import re

from ..base.errors import DocumentError
from ..base.language import in_language
from ..base.refused import refused
from ..base.visible import visible
from ..base.words import say

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_KEY_LETTERS = re.compile(r"""[\w."' -]+""")
_DIGITS = re.compile(r"[\d_]+")
MOST_DIGITS = 4000
"""Python reads whole numbers of up to 4300 digits."""

_STRAIGHT = '"right"'
_VALUE_HINTS: tuple[tuple[str, str, str], ...] = (
    (r"[+-]?\d+,\d+$", "comma", "12.5"),
    (r"[+-]?\.\d", "digit_before", "0.5"),
    (r"[+-]?\d+\.(?!\d)", "digit_after", "5.0"),
    (r"[+-]?0\d", "leading_zeros", ""),
    (r"\N{MINUS SIGN}", "minus", ""),
    (r"[+-]?[\d.]+\s*(?![eE](?:$|\W))[A-Za-z°µ/%]", "unit", ""),
    (r"[\u201c\u201d\u2018\u2019\u201e\u00ab]", "curly_quotes", _STRAIGHT),
    (r"(?:True|False|TRUE|FALSE)\b", "number_or_text", ""),
    (r"$", "nothing", ""),
    (r"[A-Za-z_]", "no_quotes", _STRAIGHT),
)
"""How a value begins that is none, what to say of it, and what it might be instead, as a document has it."""

_MESSAGES: tuple[tuple[str, str], ...] = (
    (r"Expected '=' after a key", "no_equals"),
    (r"Invalid statement", "no_statement"),
    (r"Expected newline or end of document", "more_on_line"),
    (r"Invalid initial character for a key part", "no_key"),
    (r"Expected '\]+' at the end of a table", "open_header"),
    (r"Unclosed array", "open_list"),
    (r"Unclosed inline table", "open_table"),
    (r"Illegal character '\\n'|Unterminated string|Expected \"'|Expected '\"|Expected ", "open_quotes"),
    (r"Illegal character '\\r'|Found invalid character '\\r'", "lone_return"),
    (r"Illegal character|Found invalid character", "control"),
    (r"Unescaped|[Ee]scape|Invalid hex", "backslash"),
    (r"date", "no_date"),
    (r"digits", "digits"),
)
"""What ``tomllib`` says of a text, and what we say of it."""


def syntax_error(
    text: str, file: str, message: str, twice: list[tuple[tuple[str | int, ...], int, int]], broken_line: int
) -> DocumentError:
    """The refusal for a text that ``tomllib`` refused with ``message``.

    twice : what the scanner saw set twice; broken_line : where the statement begins at which it gave up, or 0.
    """
    lines = text.split("\n")
    place = _PLACE.search(message)
    line = (
        int(place[1]) if place and place[1] else len(lines) - (1 if len(lines) > 1 and not lines[-1].strip() else 0)
    )
    if "digits" in message:  # the one refusal of Python itself, without a place
        line = next((n for n, each in enumerate(lines, 1) if _has_a_long_number(each)), line)
    if re.search("Unclosed|Unterminated|Expected [\"'](?!=|\\])|Illegal character '\\n'", message):
        line = broken_line or line  # where the text opens says more than where it fails to close
    if re.search("overwrite|declare|Duplicate|mutate|twice", message):
        for path, second, first in twice:
            where = ".".join(p for p in path if isinstance(p, str))
            return DocumentError(file, second, where, *refused("toml_refused", "second_time", line=first))
        return DocumentError(file, line, _where(lines, line), *refused("toml_refused", "set_otherwise"))
    written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    key = _key_and_value(written)
    if re.search("Invalid value|Expected newline or end of document|Illegal|Found invalid", message) and key:
        for pattern, id, example in _VALUE_HINTS:
            if re.match(pattern, key[1]):
                found = say("refusal", "found", value=shortened(key[1])) if key[1] else say("refusal", "nothing")
                allowed = say("toml_value", id, example=example)
                return DocumentError(file, line, _where(lines, line), found, allowed)
    id = next((id for pattern, id in _MESSAGES if re.search(pattern, message)), "unread")
    told = refused("toml_refused", id, text=shortened(key[1] if key else written))
    return DocumentError(file, line, _where(lines, line), *told)


LONGEST_QUOTE = 60
"""Characters of a piece of a document that a refusal repeats."""


def shortened(text: str) -> str:
    """A piece of a document as an error quotes it: one line, nothing invisible, a long one with its length."""
    shown = visible(text[: LONGEST_QUOTE + 1])
    if len(text) <= LONGEST_QUOTE:
        return shown
    length = say("refusal", "characters", count=in_language(f"{len(text):,}"))
    return f"{shown[: LONGEST_QUOTE - 20]}… {length}"


def _has_a_long_number(line: str) -> bool:
    return any(match.end() - match.start() >= MOST_DIGITS for match in _DIGITS.finditer(line))


# A line is taken apart by its marks, not by one pattern: each way to share out a run of spaces between the parts of a
# pattern is tried, and a line of 20,000 spaces took a minute.


def _key_and_value(line: str) -> tuple[str, str] | None:
    """The key that a line sets and what stands behind its equals sign, without a comment; None for another line."""
    before, mark, after = line.partition("=")
    key = before.strip()
    if not mark or not _KEY_LETTERS.fullmatch(key):
        return None
    return key, after.partition("#")[0].strip()


def _table_of(line: str) -> str | None:
    """The name in a ``[table]`` or ``[[block]]`` line; None for another line."""
    text = line.lstrip()
    if not text.startswith("["):
        return None
    inside, mark, _ = text[2 if text.startswith("[[") else 1 :].partition("]")
    name = inside.strip()
    return name if mark and _KEY_LETTERS.fullmatch(name) else None


def _where(lines: list[str], line: int) -> str:
    """The key that a line sets, with its table, as far as a broken text lets one tell; else ``TOML``."""
    statement = _key_and_value(lines[line - 1]) if 0 < line <= len(lines) else None
    if statement is None:
        return "TOML"
    key = shortened(statement[0])
    for above in reversed(lines[: line - 1]):
        if (table := _table_of(above)) is not None:
            return f"{shortened(table)}.{key}"
    return key
