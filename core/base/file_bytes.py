"""The bytes of a file that a person named: an ordinary file of bounded size, or a refusal in words."""

from __future__ import annotations

import os
import stat

from .errors import DocumentError

_BINARY = getattr(os, "O_BINARY", 0)


class _NotAFile(Exception):
    """The name of something that is no regular file."""


def load_bytes(path: str, largest: int) -> bytes:
    """A file's content.  Raises DocumentError for more than ``largest`` bytes, and where :func:`first_bytes` does."""
    data = first_bytes(path, largest + 1)
    if len(data) > largest:
        raise too_large(path, largest)
    return data


def first_bytes(path: str, count: int) -> bytes:
    """The first ``count`` bytes of a file, or all where it has fewer.

    Raises DocumentError for a folder, a missing or a locked file, and for a pipe or a device, which it neither waits
    for nor reads: one may never end.
    """
    try:
        # Asked before it is opened, since opening alone can wake a device; and again afterwards, since a name may
        # come to mean another file in between.
        _refuse_special(os.stat(path).st_mode)
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | _BINARY)
        with os.fdopen(descriptor, "rb") as stream:
            _refuse_special(os.fstat(descriptor).st_mode)
            return stream.read(count)
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
    raise DocumentError(path, 0, "file", found, "a readable file")


def too_large(file: str, largest: int) -> DocumentError:
    """The refusal of a file of more than ``largest`` bytes."""
    size = f"{largest // 1_000_000} million bytes" if largest >= 2_000_000 else f"{largest} bytes"
    return DocumentError(file, 0, "file", f"found more than {size}", f"up to {size}")


def _refuse_special(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise _NotAFile("a folder")
    if stat.S_ISFIFO(mode):
        raise _NotAFile("a pipe")
    if stat.S_ISSOCK(mode):
        raise _NotAFile("a socket")
    if not stat.S_ISREG(mode):
        raise _NotAFile("a device")
