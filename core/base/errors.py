"""One family of errors, each worded for the person who has to mend the input."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .visible import LONGEST_ALLOWED, LONGEST_FOUND, LONGEST_WHERE, bounded, visible
from .words import say

MOST_TOLD = 10
"""Faults of a document that its refusal tells; the others are counted."""

MOST_FAULTS = 200
"""A document of more faults is another kind of file: it is refused with those that were found by then."""


class ChiparcError(Exception):
    """Anything the program refuses, with what it needs to be mended.

    ``where`` names the place (a key, a field, a file), ``found`` what stood there and ``allowed``
    what may stand there; ``str()`` is one sentence made of the three.  Each is one line of bounded length
    without invisible characters, whatever the input held.
    """

    def __init__(self, where: str, found: str, allowed: str) -> None:
        self.where = bounded(where, LONGEST_WHERE)
        self.found = bounded(found, LONGEST_FOUND)
        self.allowed = bounded(allowed, LONGEST_ALLOWED)
        super().__init__(self.where, self.found, self.allowed)

    def __str__(self) -> str:
        # Made where it is asked for: most refusals are taken as an answer and told to nobody.
        return say("refusal", "sentence", where=self.where, found=self.found, allowed=self.allowed)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong in a document: line (from 1; 0 if none), key, what was found, what is allowed."""

    line: int
    where: str
    found: str
    allowed: str

    def sentence(self, file: str) -> str:
        """The fault as one line, with its place in ``file``."""
        place = f"{visible(file)}:{self.line}" if self.line else visible(file)
        return say("refusal", "in_file", place=place, where=self.where, found=self.found, allowed=self.allowed)


class DocumentError(ChiparcError):
    """A refused document: file, and all ``faults`` in the order of their lines; never empty.

    ``line``, ``where``, ``found`` and ``allowed`` are those of the first fault.  ``str()`` is a sentence for each
    fault on a line of its own, ten at most, and then how many more there are.
    """

    def __init__(self, file: str, line: int, where: str, found: str, allowed: str) -> None:
        super().__init__(where, found, allowed)
        self.file = file
        self.line = line
        self.faults: tuple[Fault, ...] = (Fault(line, self.where, self.found, self.allowed),)

    @classmethod
    def of(cls, file: str, faults: Iterable[Fault]) -> DocumentError:
        """One refusal for all faults of a file, sorted by line."""
        every = sorted(faults, key=lambda fault: fault.line)
        first = every[0]
        error = cls(file, first.line, first.where, first.found, first.allowed)
        error.faults = (*error.faults, *every[1:])
        return error

    @classmethod
    def of_file(cls, file: str, found: str, allowed: str, *, line: int = 0) -> DocumentError:
        """The refusal of a file as such, where no key or column is to blame."""
        return cls(file, line, say("refused_place", "file"), found, allowed)

    @property
    def more(self) -> int:
        """How many faults the document has besides the first."""
        return len(self.faults) - 1

    def told(self, most: int = MOST_TOLD) -> str:
        """A line for each of the first ``most`` faults, and one for the number of the others."""
        lines = [fault.sentence(self.file) for fault in self.faults[:most]]
        if len(self.faults) > most:
            more = "more_at_least" if len(self.faults) >= MOST_FAULTS else "more"
            lines.append(say("refusal", more, file=visible(self.file), count=len(self.faults) - most))
        return "\n".join(lines)

    def __str__(self) -> str:
        return self.told()
