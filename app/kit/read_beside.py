"""Files that a person opens: a small one is read at once, a larger one beside the window, one at a time.

Nothing that a file is or holds can keep the window waiting: a pipe or a device is never opened, and what is parsed on
the window's thread is no larger than what takes about a frame.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QObject

from app.kit.jobs import Jobs

T = TypeVar("T")

AT_ONCE = 10_000
"""Bytes up to which a document is read at once: about a frame.  A long setup has two thousand."""


class ReadBeside(QObject):
    """Reads one file at a time; a newer request takes the place of the one before, which is forgotten."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._jobs = Jobs(self)
        self._take: Callable[[Callable[[], object]], object] | None = None
        self._jobs.came.connect(self._came)
        self._jobs.failed.connect(self._failed)

    @property
    def busy(self) -> bool:
        """Whether a file is being read."""
        return self._take is not None

    def read(self, path: Path, read: Callable[[], T], take: Callable[[Callable[[], T]], object]) -> bool:
        """Whether the file was read at once, and taken.

        read : reads the file; may run on another thread.  take : gets a callable that returns what was read, or
        raises what reading raised; it runs on the window's thread, at once or as soon as the file has been read.
        """
        self.drop()
        if size_of(path) <= AT_ONCE:
            take(read)
            return True
        self._take = take  # type: ignore[assignment]

        def work() -> Iterator[object]:
            yield read()

        self._jobs.ask(work)
        return False

    def drop(self) -> None:
        """Forget the file that is being read; its thread ends by itself."""
        self._take = None
        self._jobs.drop()

    def _came(self, value: object) -> None:
        take, self._take = self._take, None
        if take is not None:
            take(lambda: value)

    def _failed(self, error: object) -> None:
        take, self._take = self._take, None

        def raised() -> object:
            assert isinstance(error, Exception)
            raise error

        if take is not None:
            take(raised)


def size_of(path: Path) -> int:
    """Bytes of a file; 0 where there is none to be read, which takes no time to be told."""
    try:
        return os.stat(path).st_size
    except (OSError, ValueError):
        return 0
