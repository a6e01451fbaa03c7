"""One family of errors, each worded for the person who has to mend the input."""

from __future__ import annotations


class ChiparcError(Exception):
    """Anything the program refuses, with what it needs to be mended.

    ``where`` names the place (a key, a field, a file), ``found`` what stood there and ``allowed``
    what may stand there; ``str()`` is one sentence made of the three.
    """

    def __init__(self, where: str, found: str, allowed: str) -> None:
        self.where = where
        self.found = found
        self.allowed = allowed
        super().__init__(f"{where}: {found}; allowed: {allowed}")


class DocumentError(ChiparcError):
    """A refused document: adds the file and the line (counted from 1 as in an editor; 0 if none).

    ``more`` is how many further problems the same document has.
    """

    def __init__(self, file: str, line: int, where: str, found: str, allowed: str, more: int = 0) -> None:
        super().__init__(where, found, allowed)
        self.file = file
        self.line = line
        self.more = more

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        rest = f" (and {self.more} more)" if self.more else ""
        return f"{place}: {self.where}: {self.found}; allowed: {self.allowed}{rest}"
