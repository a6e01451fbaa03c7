"""Writing a file so that at every moment either the old text or the new one is on the disk, whole.

The one writer of the program: a temporary file in the same folder, flushed to the disk, then put in place of
the old one.  Links are followed, the file's mode is kept.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from dataclasses import dataclass
from pathlib import Path

from .errors import DocumentError


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells whether a file is still the one that was read: time of change, size, number."""

    changed_ns: int
    size: int
    inode: int


def stamp(path: str | Path) -> Stamp | None:
    """The file's stamp as it is now; None if there is no such file."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return Stamp(found.st_mtime_ns, found.st_size, found.st_ino)


def write_text(path: str | Path, text: str, unchanged_since: Stamp | None = None) -> Stamp | None:
    """Put ``text`` in UTF-8 into the file, line ends as they are; the new stamp comes back.

    unchanged_since : the stamp from reading it; a file that was changed since is not overwritten.
    Raises DocumentError, with the old file untouched, for a folder, a read-only file or folder, a full disk.
    """
    return write_bytes(path, text.encode("utf-8"), unchanged_since)


def write_bytes(path: str | Path, data: bytes, unchanged_since: Stamp | None = None) -> Stamp | None:
    """As :func:`write_text`, for a picture or anything else that is not text."""
    target = Path(os.path.realpath(path))
    mode = _check_target(str(path), target)
    if unchanged_since is not None and stamp(target) not in (None, unchanged_since):
        raise _refused(
            path, "found a file that was changed on the disk meanwhile", "another name, or open it again first"
        )
    temporary = target.with_name(f".{target.name[:40]}.{secrets.token_hex(4)}.tmp")
    try:
        _write_new(temporary, data, mode, target)
        os.replace(temporary, target)
    except OSError as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise _refused(
            path, f"could not be written ({error.strerror or error})", "a place that can be written"
        ) from error
    _flush_folder(target.parent)
    return stamp(target)


def _refused(path: str | Path, found: str, allowed: str) -> DocumentError:
    return DocumentError(str(path), 0, "file", found, allowed)


def _check_target(path: str, target: Path) -> int | None:
    """Mode of the file to be replaced, None for a new one; refuses what must not be replaced."""
    folder = target.parent
    if not folder.is_dir():
        raise _refused(path, f"found no folder {folder}", "a folder that exists")
    try:
        found = os.stat(target)
    except FileNotFoundError:
        mode = None
    except OSError as error:
        raise _refused(path, f"could not be reached ({error.strerror})", "a file that can be written") from error
    else:
        if stat.S_ISDIR(found.st_mode):
            raise _refused(path, "found a folder", "the name of a file")
        if not stat.S_ISREG(found.st_mode):
            raise _refused(path, "found a device", "the name of a file")
        mode = stat.S_IMODE(found.st_mode)
        # Replacing would succeed where writing is forbidden: a file marked read-only is meant to stay.
        if not mode & 0o222 or not os.access(target, os.W_OK):
            raise _refused(path, "found a read-only file", "a file that may be written, or another name")
    if not os.stat(folder).st_mode & 0o222 or not os.access(folder, os.W_OK):
        raise _refused(path, f"found the read-only folder {folder}", "a folder that may be written")
    return mode


def _write_new(temporary: Path, data: bytes, mode: int | None, target: Path) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    # 0o666 less the user's mask for a new file; never more open than the old one while it is written.
    descriptor = os.open(temporary, flags, 0o666 if mode is None else 0o600)
    with os.fdopen(descriptor, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    if mode is not None:
        if hasattr(os, "chown"):
            old = os.stat(target)
            with contextlib.suppress(OSError):  # another's file in a shared folder: the mode must do
                os.chown(temporary, old.st_uid, old.st_gid)
        os.chmod(temporary, mode)


def _flush_folder(folder: Path) -> None:
    """The new name to the disk too, where the system lets one do that."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
