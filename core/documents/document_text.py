"""From bytes to text: a document as it lies on the disk, refused in words if it is not readable text."""

from __future__ import annotations

from typing import BinaryIO

from ..base.errors import DocumentError
from ..base.file_bytes import load_bytes, too_large
from ..base.words import say
from .toml_lines import BOM

LARGEST = 1_000_000
"""Bytes of the largest document that is read.  A long setup has two thousand."""


def decoded(data: str | bytes, file: str, wanted: str = "", largest: int = LARGEST) -> str:
    """The document's text, line ends and a byte order mark kept.

    wanted : what it should have been, in the language that is spoken; a TOML document unless given; largest : bytes.
    Raises DocumentError, with the line where there is one, for what is too large, binary or not UTF-8.
    """
    if isinstance(data, str):
        try:
            data = data.encode("utf-8")
        except UnicodeEncodeError as error:
            line = str(data).count("\n", 0, error.start) + 1
            raise _refused(file, line, say("read_file", "half_character"), wanted) from None
    if len(data) > largest:
        raise too_large(file, largest)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _refused(file, 1, say("read_file", "utf_16"), say("read_file", "utf_8"))
    if (zero := data.find(b"\0")) >= 0:
        raise _refused(file, data.count(b"\n", 0, zero) + 1, say("read_file", "zero_byte"), wanted)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = say("read_file", "no_utf_8", byte=f"0x{data[error.start]:02X}")
        raise _refused(file, line, found, say("read_file", "utf_8")) from None


def _refused(file: str, line: int, found: str, allowed: str) -> DocumentError:
    return DocumentError.of_file(file, found, allowed or say("read_file", "toml"), line=line)


def load_text(path: str, wanted: str = "") -> str:
    """A file's text as :func:`decoded`; also refused where :func:`~core.base.file_bytes.load_bytes` refuses it."""
    return decoded(load_bytes(path, LARGEST), path, wanted)


def load_stream(stream: BinaryIO | None) -> bytes:
    """What comes from standard input, up to one byte more than is read: :func:`decoded` refuses that.

    None is a process that was started without a standard input: nothing.
    """
    return stream.read(LARGEST + 1) if stream else b""


__all__ = ["BOM", "LARGEST", "decoded", "load_stream", "load_text"]
