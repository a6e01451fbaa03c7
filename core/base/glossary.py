"""The glossary: each term of the trade with its symbol and one sentence, from ``shared/glossary.toml``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from .language import ENGLISH, spoken, texts
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


@lru_cache(maxsize=4)
def terms_in(id: str) -> dict[str, Term]:
    """All terms in a language by id, in the order of the English file; a term that it lacks is English."""
    own = {row["id"]: row for row in texts("glossary", id).get("term", ())}
    rows = [{**row, **own.get(row["id"], {})} for row in texts("glossary", ENGLISH.id)["term"]]
    terms = [Term(**{"quantity": row["id"] if row["id"] in QUANTITIES else "", **row}) for row in rows]
    return {term.id: term for term in terms}


def glossary() -> dict[str, Term]:
    """All terms by id, in the language that is spoken."""
    return terms_in(spoken.language.id)


def explained(id: str) -> str:
    """A term as a hint shows it: word, symbol, sentence."""
    term = glossary()[id]
    symbol = f" {term.symbol}" if term.symbol else ""
    return f"{term.word}{symbol}: {term.text}"
