"""How the launcher speaks: on standard error, since standard output belongs to the command (``--json``)."""

from __future__ import annotations

import os
import sys


class CannotPrepare(Exception):
    """The environment cannot be made; the text says why and what to do."""


def say(text):  # type: (str) -> None
    """One line to the person, on standard error."""
    sys.stderr.write("Chiparc: " + text + "\n")
    sys.stderr.flush()


def open_streams():  # type: () -> None
    """Give a process that was started without standard streams empty ones, for itself and what it starts."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            # The lowest free number is the missing one: the lower ones are open by now.
            os.set_inheritable(os.open(os.devnull, os.O_RDWR), True)
    for name, number in (("stdin", 0), ("stdout", 1), ("stderr", 2)):
        if getattr(sys, name) is None:
            setattr(sys, name, open(number, "r" if name == "stdin" else "w", closefd=False))


def agreed(question):  # type: (str) -> bool
    """Whether the person at the terminal says yes; False without a terminal, where nobody is asked."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    sys.stderr.write("Chiparc: " + question + " [y/N] ")
    sys.stderr.flush()
    try:
        return sys.stdin.readline().strip().lower() in ("y", "yes")
    except KeyboardInterrupt:
        sys.stderr.write("\n")
        return False
