"""From bytes to text: a document as it lies on the disk, refused in words if it is not readable text."""

from __future__ import annotations

from typing import BinaryIO

from ..base.errors import DocumentError
from ..base.file_bytes import load_bytes, too_large
from .toml_lines import BOM

LARGEST = 1_000_000
"""Bytes of the largest document that is read.  A long setup has two thousand."""

_WANTED = "a TOML document in UTF-8"


def decoded(data: str | bytes, file: str, wanted: str = _WANTED) -> str:
    """The document's text, line ends and a byte order mark kept; ``wanted`` says what it should have been.

    Raises DocumentError, with the line where there is one, for what is too large, binary or not UTF-8.
    """
    if isinstance(data, str):
        try:
            data = data.encode("utf-8")
        except UnicodeEncodeError as error:
            line = str(data).count("\n", 0, error.start) + 1
            raise DocumentError(file, line, "file", "found half a character", wanted) from None
    if len(data) > LARGEST:
        raise too_large(file, LARGEST)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise DocumentError(file, 1, "file", "found UTF-16 text", "UTF-8 text (save it again with that encoding)")
    if (zero := data.find(b"\0")) >= 0:
        raise DocumentError(
            file, data.count(b"\n", 0, zero) + 1, "file", "found a zero byte, as in a binary file", wanted
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"found the byte 0x{data[error.start]:02X}, which is not UTF-8"
        raise DocumentError(file, line, "file", found, "UTF-8 text (save it again with that encoding)") from None


def load_text(path: str, wanted: str = _WANTED) -> str:
    """A file's text as :func:`decoded`; also refused where :func:`~core.base.file_bytes.load_bytes` refuses it."""
    return decoded(load_bytes(path, LARGEST), path, wanted)


def load_stream(stream: BinaryIO | None) -> bytes:
    """What comes from standard input, up to one byte more than is read: :func:`decoded` refuses that.

    None is a process that was started without a standard input: nothing.
    """
    return stream.read(LARGEST + 1) if stream else b""


__all__ = ["BOM", "LARGEST", "decoded", "load_stream", "load_text"]
