"""Writing a file so that at every moment either the old text or the new one is on the disk, whole.

The one writer of the program: a temporary file in the same folder, flushed to the disk, then put in place of
the old one.  Links are followed; mode, owner, group and extended attributes are kept.  A file with several names
(hard links), or whose owner or attributes this user cannot give to another file, is written in place instead, with
the new text whole beside it until that is done.

Two writers at one time: a lock on the old file lets one of them go first, and the other then finds the file changed.
Where there is no old file, the name is made by a link, which the system refuses to the second.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import stat
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .errors import DocumentError
from .refused import refused, system_reason

LOCK_TRIES, LOCK_PAUSE_S = 40, 0.05
"""Another writer holds its lock for one save; whoever holds it longer hangs."""

_STEM = 40
"""Letters of the file's name in that of its temporary file: names of 255 bytes must still fit."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells whether a file is still the one that was read: time of change, size, number."""

    changed_ns: int
    size: int
    inode: int


ABSENT = Stamp(-1, -1, -1)
"""The stamp of a file that is not there: what is written with it must still be a new file."""


def stamp(path: str | Path) -> Stamp | None:
    """The file's stamp as it is now; None if there is no such file."""
    try:
        return _stamp_of(os.stat(path))
    except (OSError, ValueError):
        return None


def _stamp_of(found: os.stat_result) -> Stamp:
    return Stamp(found.st_mtime_ns, found.st_size, found.st_ino)


def write_text(path: str | Path, text: str, unchanged_since: Stamp | None = None) -> Stamp | None:
    """Put ``text`` in UTF-8 into the file, line ends as they are; the new stamp comes back.

    unchanged_since : the stamp from reading it; a file that was changed since is not overwritten.  :data:`ABSENT`: no
    file is overwritten at all.
    Raises DocumentError, with the old file untouched, for a folder, a read-only file or folder, a full disk, half a
    character, and a file that somebody else makes or changes at the same time.
    """
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError:
        raise _refused(path, "half_character") from None
    return write_bytes(path, data, unchanged_since)


def write_bytes(path: str | Path, data: bytes, unchanged_since: Stamp | None = None) -> Stamp | None:
    """As :func:`write_text`, for a picture or anything else that is not text."""
    try:
        target = Path(os.path.realpath(path))
        old = _old_file(path, target)
        _clear_dead(target)
        temporary = target.with_name(f".{target.name[:_STEM]}.{os.getpid()}.{secrets.token_hex(4)}.tmp")
        try:
            _write_new(temporary, data, private=old is not None)
            with _locked(path, target, there=old is not None):
                now = _old_file(path, target)
                if unchanged_since is not None and now is not None and _stamp_of(now) != unchanged_since:
                    if unchanged_since == ABSENT:
                        raise _made_meanwhile(path)
                    raise _refused(path, "changed")
                _put_in_place(path, temporary, target, now, data)
        finally:
            with contextlib.suppress(OSError):
                temporary.unlink()
    except (OSError, ValueError) as error:
        raise _refused(path, "not_written", why=system_reason(error)) from error
    _flush_folder(target.parent)
    return stamp(target)


def _refused(path: str | Path, id: str, **fields: object) -> DocumentError:
    return DocumentError.of_file(str(path), *refused("written_file", id, **fields))


def _made_meanwhile(path: str | Path) -> DocumentError:
    return _refused(path, "made_meanwhile")


def _old_file(path: str | Path, target: Path) -> os.stat_result | None:
    """The file to be replaced, None for a new one; refuses what must not be replaced."""
    folder = target.parent
    if not folder.is_dir():
        raise _refused(path, "no_folder", folder=folder)
    try:
        found = os.stat(target)
    except FileNotFoundError:
        found = None
    except OSError as error:
        raise _refused(path, "not_reached", why=system_reason(error)) from error
    if found is not None:
        if stat.S_ISDIR(found.st_mode):
            raise _refused(path, "folder")
        if not stat.S_ISREG(found.st_mode):
            raise _refused(path, "device")
        # Replacing would succeed where writing is forbidden: a file marked read-only is meant to stay.
        if not found.st_mode & 0o222 or not os.access(target, os.W_OK):
            raise _refused(path, "read_only")
    if not os.stat(folder).st_mode & 0o222 or not os.access(folder, os.W_OK):
        raise _refused(path, "read_only_folder", folder=folder)
    return found


def _write_new(temporary: Path, data: bytes, *, private: bool) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    # 0o666 less the user's mask for a new file; never more open than the old one while it is written.
    descriptor = os.open(temporary, flags, 0o600 if private else 0o666)
    with os.fdopen(descriptor, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _put_in_place(path: str | Path, temporary: Path, target: Path, old: os.stat_result | None, data: bytes) -> None:
    if old is None:
        _make_name(path, temporary, target)
    elif old.st_nlink == 1 and _made_alike(temporary, target, old):
        os.replace(temporary, target)
    else:
        _write_over(path, temporary, target, data)


def _make_name(path: str | Path, temporary: Path, target: Path) -> None:
    """Give the new file its name, unless somebody else has made one of that name meanwhile."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        raise _made_meanwhile(path) from None
    except OSError:  # a file system without links
        os.replace(temporary, target)


def _made_alike(temporary: Path, target: Path, old: os.stat_result) -> bool:
    """Give the new file owner, group, mode and extended attributes of the old one; False where that cannot be."""
    try:
        if hasattr(os, "chown") and (old.st_uid, old.st_gid) != (temporary.stat().st_uid, temporary.stat().st_gid):
            os.chown(temporary, old.st_uid, old.st_gid)
        os.chmod(temporary, stat.S_IMODE(old.st_mode))
        if hasattr(os, "listxattr"):
            names = _attributes(target)
            for name in names:
                if name not in _attributes(temporary) or os.getxattr(temporary, name) != os.getxattr(target, name):
                    os.setxattr(temporary, name, os.getxattr(target, name))
    except OSError:
        return False
    return True


def _attributes(path: Path) -> list[str]:
    """Names of the extended attributes; none on a file system without them."""
    try:
        return os.listxattr(path)
    except OSError:
        return []


def _write_over(path: str | Path, temporary: Path, target: Path, data: bytes) -> None:
    """Write into the old file itself; the new text lies whole beside it, under another name, until it is done."""
    kept = temporary.with_suffix(".new")
    os.replace(temporary, kept)
    try:
        with open(target, "r+b") as stream:
            stream.write(data)
            stream.truncate()
            stream.flush()
            os.fsync(stream.fileno())
    except OSError as error:
        raise _refused(path, "half_written", why=system_reason(error), kept=kept) from error
    kept.unlink()


@contextlib.contextmanager
def _locked(path: str | Path, target: Path, *, there: bool) -> Iterator[None]:
    """Hold the old file, so that of two writers the second looks at it after the first has replaced it."""
    try:
        import fcntl
    except ImportError:  # not a POSIX system
        yield
        return
    if not there:
        yield
        return
    descriptor = os.open(target, (os.O_RDONLY if os.access(target, os.R_OK) else os.O_WRONLY) | os.O_NONBLOCK)
    try:
        for left in reversed(range(LOCK_TRIES)):
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if not left:
                    raise _refused(path, "busy") from None
                time.sleep(LOCK_PAUSE_S)
            except OSError:  # a file system without locks
                break
        yield
    finally:
        os.close(descriptor)


def _clear_dead(target: Path) -> None:
    """Remove temporary files of this file whose maker is gone: it was killed before it could."""
    pattern = re.compile(rf"\.{re.escape(target.name[:_STEM])}\.(\d+)\.[0-9a-f]{{8}}\.tmp")
    with contextlib.suppress(OSError), os.scandir(target.parent) as found:
        for entry in found:
            match = pattern.fullmatch(entry.name)
            if match and not _alive(int(match[1])):
                with contextlib.suppress(OSError):
                    os.unlink(entry.path)


def _alive(process: int) -> bool:
    if os.name != "posix":
        return True  # asking would end it there
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


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
