"""What is on the bench and not saved, kept beside the settings, so that a kill or a power cut loses only seconds.

Each running window has one slot: a document as it would be saved, and a few words about it.  The slot is locked
while its window runs; the system lets the lock go when the process dies, however that happens, so a slot without a
lock is what a dead window has left.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from app.state.settings import settings_folder
from core.base.errors import ChiparcError
from core.base.safe_write import write_text

MOST_KEPT = 20
"""Leftovers beyond which the oldest go."""


@dataclass(frozen=True, slots=True)
class Leftover:
    """What a dead window left: its document's text, the file it belongs to (empty if none), title, time (seconds).

    ``seconds`` tells the minute, ``written_ns`` which of several within one is the newest, by the clock of the disk.
    """

    slot: Path
    text: str
    file: str
    title: str
    seconds: float
    written_ns: int

    def forget(self) -> None:
        """It was taken or thrown away."""
        for path in (self.slot, self.slot.with_suffix(".json"), self.slot.with_suffix(".lock")):
            with contextlib.suppress(OSError):
                path.unlink()


def _folder() -> Path:
    return settings_folder() / "unsaved"


def _locked(path: Path) -> IO[bytes] | None:
    """The lock file, opened and locked by this process; None if another process has it."""
    stream = open(path, "a+b")  # noqa: SIM115 - the lock lives as long as the file is open
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        stream.close()
        return None
    return stream


class Recovery:
    """The slot of this window.  Nothing that it does may stop the window: what cannot be kept is not kept."""

    def __init__(self) -> None:
        self._slot: Path | None = None
        self._lock: IO[bytes] | None = None
        self._about: tuple[str, str, int] | None = None

    def keep(self, text: str, file: Path | None, title: str, seconds: float) -> bool:
        """Keep this text as the state that is not saved; returns whether it is on the disk."""
        try:
            slot = self._own_slot()
            # The time is told to the minute: a drag writes and flushes one file, not two, every two seconds.
            about = (str(file or ""), title, int(seconds // 60.0))
            if about != self._about:
                self._about = None
                told = {"file": about[0], "title": title, "seconds": seconds}
                write_text(slot.with_suffix(".json"), json.dumps(told))
                self._about = about
            write_text(slot, text)
        except (ChiparcError, OSError):
            return False
        return True

    def clear(self) -> None:
        """Everything is saved, or was given up on purpose."""
        self._about = None
        if self._slot is not None:
            for path in (self._slot, self._slot.with_suffix(".json")):
                with contextlib.suppress(OSError):
                    path.unlink()

    def close(self) -> None:
        """The window has closed: the slot goes."""
        self.clear()
        if self._lock is not None and self._slot is not None:
            self._lock.close()
            with contextlib.suppress(OSError):
                self._slot.with_suffix(".lock").unlink()
        self._slot = self._lock = None

    def _own_slot(self) -> Path:
        if self._slot is None:
            folder = _folder()
            folder.mkdir(parents=True, exist_ok=True)
            slot = folder / f"{os.getpid()}-{secrets.token_hex(4)}.toml"
            self._lock = _locked(slot.with_suffix(".lock"))
            self._slot = slot
        return self._slot


def _read(slot: Path) -> Leftover | None:
    try:
        text = slot.read_text("utf-8")
        about = json.loads(slot.with_suffix(".json").read_text("utf-8"))
        seconds, written_ns = float(about["seconds"]), slot.stat().st_mtime_ns
        return Leftover(slot, text, str(about["file"]), str(about["title"]), seconds, written_ns)
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _dead_slots(folder: Path) -> Iterator[Path]:
    for slot in sorted(folder.glob("*.toml")):
        try:
            lock = _locked(slot.with_suffix(".lock"))
        except OSError:
            continue
        if lock is not None:
            lock.close()
            yield slot


def leftovers() -> tuple[Leftover, ...]:
    """What dead windows have left, the newest first; what cannot be read is passed over and stays."""
    folder = _folder()
    try:
        found = [each for slot in _dead_slots(folder) if (each := _read(slot)) is not None]
    except OSError:
        return ()
    found.sort(key=lambda each: (each.seconds // 60.0, each.written_ns), reverse=True)
    for old in found[MOST_KEPT:]:
        old.forget()
    return tuple(found[:MOST_KEPT])
