"""The strict reader under every kind of document: it notes all faults, each with its line, and refuses once.

A faulty value is noted and a blank stands for it while reading goes on; :meth:`FaultList.finish` refuses the
document before anybody sees the blanks.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from ..base.errors import MOST_FAULTS, ChiparcError, DocumentError, Fault
from ..base.refused import refused
from ..base.words import say
from ..setup.setup_limits import Range
from .near_keys import meant_key, not_taken
from .toml_errors import shortened
from .toml_lines import Path, Places, parse_toml, places

NOTHING = float("nan")
"""Stands for a figure that was refused."""

_KINDS = {bool: "truth", str: "text", int: "number", float: "number"}
"""What a value of each type is called, by its id in the words; any other is a date."""


class FaultList:
    """The faults of one document; ``file`` is its name for the refusal."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []

    def note(self, line: int, where: str, found: str, allowed: str) -> None:
        """One more fault.  Raises DocumentError when there are MOST_FAULTS."""
        error = ChiparcError(where, found, allowed)
        self.faults.append(Fault(line, error.where, error.found, error.allowed))
        if len(self.faults) >= MOST_FAULTS:
            self.finish()

    def finish(self) -> None:
        """Raise DocumentError with every fault, if there is any."""
        if self.faults:
            raise DocumentError.of(self.file, self.faults)


class StrictToml(FaultList):
    """One TOML document.  Raises DocumentError at once only for a text that is not TOML."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(file)
        self.text = text
        self.data = parse_toml(text, file)

    @cached_property
    def places(self) -> Places:
        """Where each key stands, looked for with the first fault: most documents have none."""
        return places(self.text)

    def refuse(self, path: Path, found: str, allowed: str) -> None:
        """Note a fault of the key at ``path``."""
        self.note(self.places.line(path), self.name(path), found, allowed)

    def name(self, path: Path) -> str:
        """What a refusal calls a key; positions in lists count from 1."""
        return ".".join(str(p + 1) if isinstance(p, int) else shortened(p) for p in path)

    def written(self, path: Path, value: Any) -> str:
        """A value as it stands in the document, shortened."""
        text = self.places.written(path)
        if text is not None:
            return shortened(text)
        if isinstance(value, str):
            return f'"{shortened(value)}"'
        if isinstance(value, bool):
            return str(value).lower()
        try:
            return shortened(repr(value))
        except ValueError:  # Python writes no whole number of more than 4300 digits
            return say("document_refused", "long_number")

    def refuse_missing(self, path: Path) -> None:
        """Note that a key is missing which must be there."""
        self.refuse(path, *refused("refusal", "missing"))

    def refuse_value(self, path: Path, value: Any, allowed: str) -> None:
        """Note a value that is of the right type and yet not allowed."""
        self.refuse(path, say("refusal", "found", value=self.written(path, value)), allowed)

    def refuse_type(self, path: Path, value: Any, allowed: str) -> None:
        """Note a value of a type that cannot stand there."""
        if isinstance(value, dict):
            found = say("document_refused", "table")
        elif isinstance(value, list):
            found = say("document_refused", "list" if path in self.places.entries else "blocks")
        else:
            kind = say("document_refused", _KINDS.get(type(value), "date"))
            found = say("document_refused", "of_kind", value=self.written(path, value), kind=kind)
        self.refuse(path, found, allowed)

    def hint(self, word: str, known: tuple[str, ...], missing: set[str], home: str = "") -> str:
        """What to write in place of an unknown key; a missing key that it was meant for leaves ``missing``.

        home : the table that has such a key, if another one does.
        """
        near = word if word in known else meant_key(word, missing) or meant_key(word, known)
        missing.discard(near or "")
        keys = ", ".join(known)
        if near:
            return say("document_refused", "meant", key=near, keys=keys)
        if home:
            return say("document_refused", "belongs", key=word, table=home, keys=keys)
        why = not_taken(word)
        return say("document_refused", "not_taken", why=why, keys=keys) if why else keys

    def fields(self, table: Any, path: Path, must: Iterable[str], may: Iterable[str]) -> dict[str, Any]:
        """Those keys of a table that are known; unknown and missing ones are noted."""
        must, may = tuple(must), tuple(may)
        known = must + tuple(key for key in may if key not in must)
        if not isinstance(table, dict):
            id = "table_with" if known else "a_table"
            self.refuse_type(path, table, say("document_refused", id, keys=", ".join(known)))
            return {}
        allowed = frozenset(known)
        missing = {key for key in must if key not in table}
        for key in table:
            if key not in allowed:
                found = say("document_refused", "unknown_key")
                self.refuse((*path, key), found, self.hint(str(key), known, missing))
        for key in must:
            if key in missing:
                self.refuse_missing((*path, key))
        return {key: value for key, value in table.items() if key in allowed}

    def number(self, value: Any, path: Path, limits: Range) -> float:
        """A number in its range; :data:`NOTHING` after a refusal.  A whole range wants a whole number."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.refuse_type(path, value, limits.number_words)
            return NOTHING
        if limits.whole and isinstance(value, float):
            self.refuse_value(path, value, say("document_refused", "no_point", number=limits.number_words))
            return NOTHING
        try:
            figure = float(value)
        except OverflowError:  # a whole number of a document may have any number of digits
            figure = float("inf")
        if not limits.holds(figure):
            self.refuse_value(path, value, limits.number_words)
            return NOTHING
        return figure


__all__ = ["MOST_FAULTS", "NOTHING", "FaultList", "StrictToml"]
