"""From bytes to text: a document as it lies on the disk, refused in words if it is not readable text."""

from __future__ import annotations

import os
import stat
from typing import BinaryIO

from ..base.errors import DocumentError
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
        raise DocumentError(file, 0, "file", f"found more than {LARGEST} bytes", f"up to {LARGEST} bytes")
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
    """A file's text as :func:`decoded`.

    Raises DocumentError also for a folder, a missing or a locked file, and for a pipe or a device, which it neither
    waits for nor reads: one may never end.
    """
    try:
        # Asked before it is opened, since opening alone can wake a device; and again afterwards, since a name may
        # come to mean another file in between.
        _refuse_special(os.stat(path).st_mode)
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | _BINARY)
        with os.fdopen(descriptor, "rb") as stream:
            _refuse_special(os.fstat(descriptor).st_mode)
            data = stream.read(LARGEST + 1)
    except _NotAFile as special:
        found = f"found {special}"
    except IsADirectoryError:
        found = "found a folder"
    except (FileNotFoundError, NotADirectoryError):
        found = "found no such file"
    except PermissionError:
        found = "found a file that may not be read by this user"
    except ValueError:
        found = "found a name that no file can have"
    except OSError as error:
        found = f"could not be read ({error.strerror or error})"
    else:
        return decoded(data, path, wanted)
    raise DocumentError(path, 0, "file", found, "a readable file")


def load_stream(stream: BinaryIO | None) -> bytes:
    """What comes from standard input, up to one byte more than is read: :func:`decoded` refuses that.

    None is a process that was started without a standard input: nothing.
    """
    return stream.read(LARGEST + 1) if stream else b""


_BINARY = getattr(os, "O_BINARY", 0)


class _NotAFile(Exception):
    """The name of something that is no regular file."""


def _refuse_special(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise _NotAFile("a folder")
    if stat.S_ISFIFO(mode):
        raise _NotAFile("a pipe")
    if stat.S_ISSOCK(mode):
        raise _NotAFile("a socket")
    if not stat.S_ISREG(mode):
        raise _NotAFile("a device")


__all__ = ["BOM", "LARGEST", "decoded", "load_stream", "load_text"]
