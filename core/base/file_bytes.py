"""The bytes of a file that a person named: an ordinary file of bounded size, or a refusal in words."""

from __future__ import annotations

import os
import stat

from .errors import DocumentError
from .refused import refused, system_reason
from .words import say

_BINARY = getattr(os, "O_BINARY", 0)


class _NotAFile(Exception):
    """Which kind of thing it is that is no regular file, by its id in the words."""


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
        found = say("read_file", str(special))
    except IsADirectoryError:
        found = say("read_file", "folder")
    except (FileNotFoundError, NotADirectoryError):
        found = say("read_file", "absent")
    except PermissionError:
        found = say("read_file", "forbidden")
    except ValueError:
        found = say("read_file", "no_name")
    except OSError as error:
        found = say("read_file", "not_read", why=system_reason(error))
    raise DocumentError.of_file(path, found, say("read_file", "allowed"))


def too_large(file: str, largest: int) -> DocumentError:
    """The refusal of a file of more than ``largest`` bytes."""
    millions = largest >= 2_000_000
    id, count = ("more_than_millions", largest // 1_000_000) if millions else ("more_than", largest)
    return DocumentError.of_file(file, *refused("read_file", id, count=count))


def _refuse_special(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise _NotAFile("folder")
    if stat.S_ISFIFO(mode):
        raise _NotAFile("pipe")
    if stat.S_ISSOCK(mode):
        raise _NotAFile("socket")
    if not stat.S_ISREG(mode):
        raise _NotAFile("device")
