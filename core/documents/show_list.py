"""A list of setups to be shown one after another: one a line, an example by its name or a document by its path.

Read strictly: every setup is read beforehand, so that a class never meets a refusal.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ..base.errors import DocumentError
from ..base.words import say
from .document_text import BOM, load_text
from .setup_examples import EXAMPLES
from .setup_reading import read_setup
from .strict_reader import FaultList
from .toml_errors import shortened

if TYPE_CHECKING:
    from .materials import Catalogue

NAMES = tuple(each.id for each in EXAMPLES)


@dataclass(frozen=True, slots=True)
class Stop:
    """One setup of a list: an example by its id, or a document."""

    example: str = ""
    file: Path | None = None


GALLERY = tuple(Stop(example=name) for name in NAMES)
"""All examples in the order of the gallery: what is walked through where no list is given."""


def _allowed() -> str:
    return say("show_list", "allowed", names=", ".join(NAMES))


def read_show_list(text: str, file: Path, known: Catalogue | None = None) -> tuple[Stop, ...]:
    """The stops of a list; empty lines and what follows a ``#`` say nothing.

    known : the catalogue that has the materials of the setups.  Raises DocumentError with every fault and its line:
    a name that is neither an example nor a document, a document that is refused, or a list without any.
    """
    faults, stops, where = FaultList(str(file)), [], say("refused_place", "setup")
    for number, line in enumerate(text.removeprefix(BOM).splitlines(), 1):
        name = line.partition("#")[0].strip()
        if not name:
            continue
        if name in NAMES:
            stops.append(Stop(example=name))
            continue
        path = file.parent / name
        if not path.is_file():
            faults.note(number, where, say("refusal", "found_text", text=shortened(name)), _allowed())
            continue
        try:
            read_setup(load_text(str(path)), str(path), known)
        except DocumentError as error:
            first = error.faults[0]
            id = "refused_at" if first.line else "refused"
            found = say("show_list", id, name=shortened(name), line=first.line)
            faults.note(number, where, found, first.allowed)
        else:
            stops.append(Stop(file=path))
    if not stops and not faults.faults:
        faults.note(1, where, say("show_list", "none"), _allowed())
    faults.finish()
    return tuple(stops)


def load_show_list(path: Path, known: Catalogue | None = None) -> tuple[Stop, ...]:
    """The stops of a list in a file.  Raises DocumentError, also for a file that cannot be read."""
    return read_show_list(load_text(str(path), say("read_file", "setups")), path, known)
