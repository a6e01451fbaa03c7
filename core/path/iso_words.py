"""Blocks and words of a program in the way of ISO 6983-1: letters with numbers, comments, block skip.

Every step looks at each character a bounded number of times, so that no text, however malformed, takes long.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from ..base.errors import DocumentError
from ..base.refused import refused
from ..base.words import say
from ..documents.toml_errors import shortened

LONGEST_LINE = 20_000
"""Letters of the longest line that is read; a control takes a few hundred."""

PLAIN, SKIPPED, TAPE = 0, 1, 2
"""Marks of a block: none, a ``/`` before it, a ``%`` before it."""

_NUMBER = r"[+-]?+(?:[0-9]{1,12}+(?:\.[0-9]{0,12}+)?+|\.[0-9]{1,12}+)"
_WORD = re.compile(rf"([A-Za-z:])[ \t]*+({_NUMBER})")
_BLOCK = re.compile(rf"[ \t]*+(?:[A-Za-z:][ \t]*+{_NUMBER}[ \t]*+)*+")
_SKIP = re.compile(r"[ \t]*+(?:[Nn][ \t]*+[0-9]{1,12}+[ \t]*+)?+(/[ \t]*+[1-9]?+)")
_TAPE = re.compile(r"[ \t]*+(%[ \t]*+[0-9]{0,12}+)")
_COMMENT = re.compile(r"[(;]")
_LINE_END = re.compile(r"\r\n|\r|\n")
_BLANK = re.compile(r"[ \t]*+")
_LAST_BLANKS = " \t\v\f\x1a"
"""Taken as nothing at the end of a line; 1A ends a text on some systems."""

_EXAMPLE = "X-2.5"


class Block(NamedTuple):
    """A line with words: its number from 1, its mark, and its words as upper-case letter and number as written."""

    line: int
    mark: int
    words: list[tuple[str, str]]


def without_comments(line: str, number: int, file: str) -> str:
    """A line with blanks in place of its comments, as long as before.

    Raises DocumentError for a comment that is not closed on its line.
    """
    parts, at = [], 0
    while opened := _COMMENT.search(line, at):
        start = opened.start()
        end = len(line) if line[start] == ";" else line.find(")", start) + 1
        if end == 0:
            told = refused("program_refused", "comment", comment=shortened(line[start:]))
            raise DocumentError(file, number, say("refused_place", "comment"), *told)
        parts += [line[at:start], " " * (end - start)]
        at = end
    return "".join((*parts, line[at:]))


def bare_block(line: str, number: int, file: str) -> tuple[str, int]:
    """A line with blanks in place of what is no word, as long as before up to its end, and the mark of its block.

    Raises DocumentError if anything but words is left.
    """
    line = line.rstrip(_LAST_BLANKS)
    if "(" in line or ";" in line:
        line = without_comments(line, number, file)
    mark = PLAIN
    if "%" in line and (prefix := _TAPE.match(line)):
        line, mark = _blanked(line, prefix), TAPE
    if "/" in line and (prefix := _SKIP.match(line)):
        line, mark = _blanked(line, prefix), SKIPPED
    if not _BLOCK.fullmatch(line):
        raise _fault(line, number, file)
    return line, mark


def _blanked(line: str, match: re.Match[str]) -> str:
    start, end = match.span(1)
    return line[:start] + " " * (end - start) + line[end:]


def lines_of(text: str) -> list[str]:
    """Lines as an editor counts them, without their ends: CR LF, LF or CR."""
    return _LINE_END.split(text) if "\r" in text else text.split("\n")


def blocks(text: str, file: str) -> Iterator[Block]:
    """The blocks that have words or a mark, in their order.  Raises DocumentError at the first that has more."""
    findall, fullmatch, plain = _WORD.findall, _BLOCK.fullmatch, str.upper
    for number, line in enumerate(lines_of(text), 1):
        mark = PLAIN
        if len(line) > LONGEST_LINE:
            told = refused("program_refused", "long_line", count=len(line), most=LONGEST_LINE)
            raise DocumentError(file, number, say("refused_place", "block"), *told)
        if not fullmatch(line):
            line, mark = bare_block(line, number, file)
        words = findall(plain(line))
        if words or mark:
            yield Block(number, mark, words)


def word_spans(line: str) -> list[tuple[str, str, int, int]]:
    """Words of a line from :func:`bare_block` with their places: upper-case letter, number, start, end."""
    return [(m[1].upper(), m[2], m.start(), m.end()) for m in _WORD.finditer(line)]


def _fault(line: str, number: int, file: str) -> DocumentError:
    """What is wrong with a line that is not all words."""
    at = _BLANK.match(line).end()  # type: ignore[union-attr]
    before = ""
    while word := _WORD.match(line, at):
        before, at = word[0], _BLANK.match(line, word.end()).end()  # type: ignore[union-attr]
    sign, rest = line[at], line[at:]
    glued = before if at and line[at - 1] not in " \t" else ""
    where = shortened(glued + rest.split(" ")[0])
    id, shown = _fault_id(sign, rest, bool(glued)), sign
    if id == "no_word" and not sign.isprintable():
        shown = say("program_refused", "character", code=f"{ord(sign):04X}")
    found = say("program_refused", id, sign=shown, letter=sign)
    allowed = say("program_refused", _ALLOWED.get(id, "number_allowed"), sign=sign, example=_EXAMPLE)
    return DocumentError(file, number, where, found, allowed)


_ALLOWED = {
    **{id: f"{id}_allowed" for id in ("closing", "inside", "formula", "minus")},
    **dict.fromkeys(("variable", "no_word"), "word_allowed"),
}
"""What is allowed in place of a fault, by the ids of both, if not a number behind its letter."""


def _fault_id(sign: str, rest: str, glued: bool) -> str:
    """What a piece that begins with ``sign`` is in place of a word; glued: it stands right behind one."""
    if sign == ",":
        return "decimal_comma" if glued else "comma"
    if sign == "." and glued:
        return "two_points"
    if sign in "0123456789.+-":
        return "digits" if glued else "no_letter"
    if sign == ")":
        return "closing"
    if sign in "/%":
        return "inside"
    if sign in "#=[]<>*&$?!\"'":
        return "variable"
    if not (sign.isascii() and sign.isalpha()):
        return "no_word"
    value = rest[1:].lstrip(" \t")[:1]
    return "formula" if value in ("#", "[", "=") else "minus" if value == "\N{MINUS SIGN}" else "no_number"
