"""The glossary: each term of the trade with its symbol and one sentence, from ``shared/glossary.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache

from .places import shared
from .quantities import QUANTITIES


@dataclass(frozen=True, slots=True)
class Term:
    """A term: id (a quantity's id where it is one), word, symbol, one sentence, and which quantity it is.

    ``quantity`` is an id of :data:`core.quantities.QUANTITIES` (unit and decimals), empty where the term is
    no figure.
    """

    id: str
    word: str
    symbol: str
    text: str
    quantity: str = ""


@lru_cache(maxsize=1)
def glossary() -> dict[str, Term]:
    """All terms by id, in the order of the file."""
    rows = tomllib.loads(shared("glossary.toml").read_text("utf-8"))["term"]
    terms = [Term(**{"quantity": row["id"] if row["id"] in QUANTITIES else "", **row}) for row in rows]
    return {term.id: term for term in terms}


def explained(id: str) -> str:
    """A term as a hint shows it: word, symbol, sentence."""
    term = glossary()[id]
    symbol = f" {term.symbol}" if term.symbol else ""
    return f"{term.word}{symbol}: {term.text}"
