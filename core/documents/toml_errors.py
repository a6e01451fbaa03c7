"""What is wrong with a text that is not TOML, said for a person at a machine, with the line and the key."""

from __future__ import annotations

import re

from ..base.errors import DocumentError
from ..base.visible import visible

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_KEY_LETTERS = re.compile(r"""[\w."' -]+""")
_DIGITS = re.compile(r"[\d_]+")
MOST_DIGITS = 4000
"""Python reads whole numbers of up to 4300 digits."""

_VALUE_HINTS: tuple[tuple[str, str], ...] = (
    (r"[+-]?\d+,\d+$", "a decimal point, not a comma, as in 12.5"),
    (r"[+-]?\.\d", "a digit before the decimal point, as in 0.5"),
    (r"[+-]?\d+\.(?!\d)", "a digit after the decimal point, as in 5.0"),
    (r"[+-]?0\d", "a number without leading zeros"),
    (r"\N{MINUS SIGN}", "a plain hyphen as the minus sign"),
    (r"[+-]?[\d.]+\s*(?![eE](?:$|\W))[A-Za-z°µ/%]", "the number alone: the unit is in the key's name"),
    (r"[\u201c\u201d\u2018\u2019\u201e\u00ab]", 'text in straight quotes, as in "right"'),
    (r"(?:True|False|TRUE|FALSE)\b", "a number, or text in quotes"),
    (r"$", "a value after the = sign"),
    (r"[A-Za-z_]", 'text in quotes, as in "right"'),
)

_MESSAGES: tuple[tuple[str, str, str], ...] = (
    (r"Expected '=' after a key", "found a line without an = sign after its key", "key = value"),
    (r"Invalid statement", "found what is neither a key nor a table", "key = value, [table] or # a comment"),
    (
        r"Expected newline or end of document",
        "found more on the line after its end",
        "one key = value on a line",
    ),
    (
        r"Invalid initial character for a key part",
        "found no key",
        "letters, digits, _ and - , or a key in quotes",
    ),
    (
        r"Expected '\]+' at the end of a table",
        "found a table name that is not closed",
        "[table] or [[block]]",
    ),
    (r"Unclosed array", "found a list that is not closed", "] at its end, commas between"),
    (
        r"Unclosed inline table",
        "found a { } table that is not closed on its line",
        "} at its end, commas between",
    ),
    (
        r"Illegal character '\\n'|Unterminated string|Expected \"'|Expected '\"|Expected ",
        "found text whose quotes do not close",
        "text in quotes",
    ),
    (
        r"Illegal character '\\r'|Found invalid character '\\r'",
        "found a lone carriage return",
        "line ends LF or CR LF",
    ),
    (r"Illegal character|Found invalid character", "found a control character", "plain text"),
    (
        r"Unescaped|[Ee]scape|Invalid hex",
        "found a backslash that means nothing",
        "\\\\ for a backslash, or text in '…'",
    ),
    (r"date", "found a date that does not exist", "a number, or text in quotes"),
    (r"digits", "found a number with thousands of digits", "a number"),
)


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
            return DocumentError(file, second, where, f"found a second time, first in line {first}", "each key once")
        where = _where(lines, line)
        return DocumentError(file, line, where, "found what is already set in another way", "each key once")
    written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    key = _key_and_value(written)
    if re.search("Invalid value|Expected newline or end of document|Illegal|Found invalid", message) and key:
        for pattern, allowed in _VALUE_HINTS:
            if re.match(pattern, key[1]):
                found = f"found {shortened(key[1])}" if key[1] else "found nothing"
                return DocumentError(file, line, _where(lines, line), found, allowed)
    for pattern, found, allowed in _MESSAGES:
        if re.search(pattern, message):
            return DocumentError(file, line, _where(lines, line), found, allowed)
    found = f"found {shortened(key[1] if key else written)}, which cannot be read"
    return DocumentError(file, line, _where(lines, line), found, "a number, or text in quotes")


LONGEST_QUOTE = 60
"""Characters of a piece of a document that a refusal repeats."""


def shortened(text: str) -> str:
    """A piece of a document as an error quotes it: one line, nothing invisible, a long one with its length."""
    shown = visible(text[: LONGEST_QUOTE + 1])
    if len(text) <= LONGEST_QUOTE:
        return shown
    return f"{shown[: LONGEST_QUOTE - 20]}… ({len(text):,} characters)"


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
    found = _key_and_value(lines[line - 1]) if 0 < line <= len(lines) else None
    if found is None:
        return "TOML"
    key = shortened(found[0])
    for above in reversed(lines[: line - 1]):
        if (table := _table_of(above)) is not None:
            return f"{shortened(table)}.{key}"
    return key
