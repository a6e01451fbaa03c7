"""Each term explained once, in one short sentence, with the symbol and unit of the one table of quantities."""

from __future__ import annotations

import tomllib

import pytest

from core.base.glossary import Term, explained, glossary
from core.base.places import shared
from core.base.quantities import QUANTITIES

LONGEST = 160


def test_every_quantity_with_a_symbol_is_explained() -> None:
    unexplained = [q.id for q in QUANTITIES.values() if q.symbol and q.id not in glossary()]
    assert unexplained == []


@pytest.mark.parametrize("term", glossary().values(), ids=lambda t: t.id)
def test_a_term_is_one_short_sentence(term: Term) -> None:
    assert term.word[:1].isupper() or not term.word[:1].isalpha()
    assert term.text.endswith(".") and len(term.text) <= LONGEST
    assert ". " not in term.text, "one sentence"


@pytest.mark.parametrize("term", glossary().values(), ids=lambda t: t.id)
def test_symbols_and_units_are_those_of_the_quantities(term: Term) -> None:
    if term.id in QUANTITIES:
        assert (term.quantity, term.symbol) == (term.id, QUANTITIES[term.id].symbol)
    elif term.quantity:
        assert term.quantity in QUANTITIES


def test_the_terms_of_the_report_and_of_the_window_are_there() -> None:
    wanted = {"arc", "clock", "climb", "conventional", "straddling", "slot", "thinning", "true_path", "arc_model"}
    wanted |= {"entry", "exit", "teeth_in_cut", "h_max", "h_mean", "lag", "least_chip", "rubbing", "feed_mark"}
    assert wanted <= set(glossary())
    assert explained("lag") == f"Lag: {glossary()['lag'].text}"
    assert explained("depth").startswith("Depth of cut ap: ")


def test_no_term_stands_twice() -> None:
    ids = [term["id"] for term in tomllib.loads(shared("glossary.toml").read_text("utf-8"))["term"]]
    assert len(ids) == len(set(ids))
