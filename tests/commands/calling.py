"""The command line called as a person calls it: in a process of its own, or in this one with the same ends.

A process costs a start of Python and of the libraries.  It is taken where the process is the point: real pipes and
encodings, no display, libraries that must not be loaded.  Everything else goes through the same entry here.
"""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

from app.commands import main
from core.base.places import ROOT

HANGS_S = 240
"""After this a child is taken to hang, on any machine; none needs more than seconds."""

DISPLAYS = ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY")


def process(
    *arguments: object, cwd: Path | None = None, given: bytes = b"", env: dict[str, str] | None = None, **more: Any
) -> subprocess.CompletedProcess[bytes]:
    """The program in a process of its own, without any display."""
    environment = {k: v for k, v in os.environ.items() if k not in DISPLAYS} | (env or {})
    command = [sys.executable, str(ROOT / "app"), *map(str, arguments)]
    more = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **more}
    return subprocess.run(command, cwd=cwd, env=environment, input=given, timeout=HANGS_S, **more)


@contextlib.contextmanager
def _stream(name: str) -> Iterator[Callable[[], bytes]]:
    """A real file in place of a standard stream; what is given tells all that was written."""
    with tempfile.TemporaryFile() as file:
        # The command may lead the stream elsewhere, as at the end of a pipe.
        kept = os.dup(file.fileno())
        stream = io.TextIOWrapper(file, encoding="utf-8")

        def written() -> bytes:
            stream.flush()
            return os.pread(kept, os.fstat(kept).st_size, 0)

        try:
            with mock.patch.object(sys, name, stream):
                yield written
        finally:
            stream.detach()
            os.close(kept)


def _no_window(*_: object) -> int:
    """Stands where the window would be shown and waited for."""
    raise AssertionError("a window would have opened")


def call(
    *arguments: object, cwd: Path | None = None, given: bytes = b"", env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """The program in this process, without any display: the same entry, real files behind its streams.

    Folder and variables are as before afterwards.  What paints needs the fixture ``window_app``.
    """
    words = [*map(str, arguments)]
    with contextlib.ExitStack() as held:
        held.enter_context(mock.patch("app.shell.start.show_window", _no_window))
        held.enter_context(mock.patch.dict(os.environ))
        for name in DISPLAYS:
            os.environ.pop(name, None)
        os.environ.update(env or {})
        held.enter_context(contextlib.chdir(cwd or Path.cwd()))
        held.enter_context(mock.patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO(given), encoding="utf-8")))
        out, err = (held.enter_context(_stream(name)) for name in ("stdout", "stderr"))
        status = main(words)
        return subprocess.CompletedProcess(words, status, out(), err())
