"""What is wrong with a text that is not TOML, said for a person at a machine, with the line and the key."""

from __future__ import annotations

import re

from ..base.errors import DocumentError

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_KEY = re.compile(r"""^\s*([\w."' -]+?)\s*=\s*(.*?)\s*(?:#.*)?$""")
_HEADER = re.compile(r"^\s*\[\[?\s*([\w.\" '-]+?)\s*\]")

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
        line = next((n for n, each in enumerate(lines, 1) if re.search(r"[\d_]{4000}", each)), line)
    if re.search("Unclosed|Unterminated|Expected [\"'](?!=|\\])|Illegal character '\\n'", message):
        line = broken_line or line  # where the text opens says more than where it fails to close
    if re.search("overwrite|declare|Duplicate|mutate|twice", message):
        for path, second, first in twice:
            where = ".".join(p for p in path if isinstance(p, str))
            return DocumentError(file, second, where, f"found a second time, first in line {first}", "each key once")
        where = _where(lines, line)
        return DocumentError(file, line, where, "found what is already set in another way", "each key once")
    written = lines[line - 1].strip() if 0 < line <= len(lines) else ""
    key = _KEY.match(written)
    if re.search("Invalid value|Expected newline or end of document|Illegal|Found invalid", message) and key:
        for pattern, allowed in _VALUE_HINTS:
            if re.match(pattern, key[2]):
                found = f"found {shortened(key[2])}" if key[2] else "found nothing"
                return DocumentError(file, line, _where(lines, line), found, allowed)
    for pattern, found, allowed in _MESSAGES:
        if re.search(pattern, message):
            return DocumentError(file, line, _where(lines, line), found, allowed)
    found = f"found {shortened(key[2] if key else written)}, which cannot be read"
    return DocumentError(file, line, _where(lines, line), found, "a number, or text in quotes")


def shortened(text: str) -> str:
    """A piece of a document as an error quotes it: one line, nothing unprintable, at most 60 characters."""
    text = "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text[:100])
    return text if len(text) <= 60 else text[:57] + "…"


def _where(lines: list[str], line: int) -> str:
    """The key that a line sets, with its table, as far as a broken text lets one tell; else ``TOML``."""
    key = _KEY.match(lines[line - 1]) if 0 < line <= len(lines) else None
    if key is None:
        return "TOML"
    for above in reversed(lines[: line - 1]):
        if header := _HEADER.match(above):
            return f"{header[1]}.{key[1]}"
    return key[1]
