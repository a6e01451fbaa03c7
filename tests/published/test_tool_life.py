"""Exponents of tool life against the prints they are taken from, and printed examples of Taylor's equation."""

from __future__ import annotations

import math
from typing import Any

import pytest

from core.advice.tool_life import taylor
from core.documents.materials import GROUPS
from core.documents.tool_life_tables import TERMS, Exponents, life_tables
from tests.published.tables import agree, table

PRINTED = table("tool_life")
ALL = life_tables().exponents


def printed_exponents(of: Exponents, term: str) -> list[float]:
    """Every printed exponent of T for one edge material and group: 1/m for the speed, the term's own over m."""
    found = []
    for one in PRINTED["set"]:
        for row in one["rows"]:
            if row["edge"] != of.edge or of.group not in row.get("groups", GROUPS):
                continue
            key = {"speed": None, "feed": "fz", "width": "ae", "depth": "ap"}[term]
            powers = 1.0 if key is None else row.get(key, [])
            found += [power / row["m"] for power in (powers if isinstance(powers, list) else [powers])]
    return found


def half_a_digit(value: float) -> float:
    """Half of the last digit of the ends as they are written: three figures, at most two decimals."""
    return 0.05 if value >= 10.0 else 0.005


@pytest.mark.parametrize("of", ALL, ids=lambda e: f"{e.edge} {e.group}")
@pytest.mark.parametrize("term", TERMS)
def test_the_spread_is_that_of_the_prints_and_the_value_its_middle(of: Exponents, term: str) -> None:
    found, figure = printed_exponents(of, term), of.figures[TERMS.index(term)]
    source = {"source": figure.source.text, "status": figure.source.status}
    assert len(found) >= 2 and figure.spread is not None
    for name, ours, printed in zip(("least", "greatest"), figure.spread, (min(found), max(found)), strict=True):
        agree(ours, printed, half_a_digit(printed) + 1e-9, f"{name} exponent of {term}", source)
    middle = math.sqrt(figure.spread[0] * figure.spread[1])
    assert figure.value == pytest.approx(middle, rel=0.05), "two figures of the geometric middle"


@pytest.mark.parametrize("example", PRINTED["example"], ids=lambda e: e["id"])
def test_printed_examples_of_taylors_equation(example: dict[str, Any]) -> None:
    given = example["given"]
    ours = taylor([given["speed"]], [1.0 / given["n"]])
    agree(ours, example["printed"], example["tolerance"], "ratio of lives", example)


def test_the_typical_set_of_a_textbook() -> None:
    """T = C^7 V^-7 d^-1 f^-4 (Kalpakjian and Schmid, from memory), rounded from n 0.15, f 0.6, d 0.15."""
    row = next(s["rows"][0] for s in PRINTED["set"] if "typical" in s["source"])
    assert [round(power / row["m"]) for power in (1.0, row["fz"][0], row["ap"])] == [7, 4, 1]
