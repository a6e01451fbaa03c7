"""A program's bytes as text and back again, byte for byte, whatever encoding the editor left.

Words of a program are ASCII; encodings matter in comments only.
"""

from __future__ import annotations

import codecs
from dataclasses import dataclass

from ..base.errors import DocumentError
from ..base.file_bytes import too_large
from ..base.refused import refused
from ..base.words import say

LARGEST_PROGRAM = 30_000_000
"""Bytes of the largest program that is read: about a million blocks, in some ten seconds."""

MOST_LINES = 1_500_000

_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))


@dataclass(frozen=True, slots=True)
class ProgramText:
    """A decoded program; ``mark`` is its byte order mark, not in ``text``."""

    text: str
    encoding: str
    mark: bytes

    def encoded(self, text: str) -> bytes:
        """Another text as the bytes of a file like this one."""
        return self.mark + text.encode(self.encoding)


def program_text(data: bytes, file: str) -> ProgramText:
    """The program's text; ``file`` is its name for the errors.

    UTF-8 and UTF-16 are told by their bytes; any other text is taken as Latin-1, in which each byte is one letter and
    comes back as it was (as do those of code page 1252, which differs in few letters).
    Raises DocumentError, with the line, for what is too large or no text.
    """
    if len(data) > LARGEST_PROGRAM:
        raise too_large(file, LARGEST_PROGRAM)
    mark, encoding = next(((m, e) for m, e in _MARKS if data.startswith(m)), (b"", ""))
    if not mark and len(data) >= 4 and len(data) % 2 == 0:
        zeros = (data[0] == 0 and data[2] == 0, data[1] == 0 and data[3] == 0)
        encoding = {(True, False): "utf-16-be", (False, True): "utf-16-le"}.get(zeros, "")
    body = data[len(mark) :]
    try:
        text = body.decode(encoding or "utf-8")
    except UnicodeDecodeError as error:
        if encoding:
            line = body[: error.start].decode(encoding, "replace").count("\n") + 1
            name = encoding.upper()[: 6 if "16" in encoding else 5]
            raise _no_text(file, line, say("program_refused", "encoding", encoding=name)) from None
        encoding, text = "latin-1", body.decode("latin-1")
    if (zero := text.find("\0")) >= 0:
        line = text.count("\n", 0, zero) + 1
        raise _no_text(file, line, say("read_file", "zero_byte"))
    lines = text.count("\n") + text.count("\r") - text.count("\r\n") + 1
    if lines > MOST_LINES:
        raise DocumentError.of_file(file, *refused("program_refused", "lines", count=lines, most=MOST_LINES))
    return ProgramText(text, encoding or "utf-8", mark)


def _no_text(file: str, line: int, found: str) -> DocumentError:
    """The refusal of bytes that are no text."""
    return DocumentError.of_file(file, found, say("program_refused", "text_allowed"), line=line)
