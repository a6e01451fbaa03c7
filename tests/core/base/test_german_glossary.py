"""The German glossary: the English terms, each explained once, in one sentence of its own."""

from __future__ import annotations

import re
import tomllib

import pytest

from core.base.places import shared

LONGEST = 200
"""Characters of a sentence: German runs a quarter longer than English, which has 160."""

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    return list(tomllib.loads(shared(name).read_text("utf-8"))["term"])


ENGLISH = {row["id"]: row for row in rows("glossary.toml")}
GERMAN = rows("glossary.de.toml")


def test_the_same_terms_in_the_same_order() -> None:
    assert [row["id"] for row in GERMAN] == list(ENGLISH)


@pytest.mark.parametrize("row", GERMAN, ids=lambda r: r["id"])
def test_a_term_is_one_german_sentence(row: Row) -> None:
    english = ENGLISH[row["id"]]
    assert {"id", "word", "text"} <= row.keys() <= {"id", "word", "symbol", "text", "quantity"}
    assert row.get("quantity") == english.get("quantity")
    assert row.get("symbol") != english["symbol"], "a symbol stands there only where it is another one"
    assert row["text"] != english["text"]
    assert row["word"][:1].isupper()
    assert row["text"].endswith(".") and len(row["text"]) <= LONGEST
    assert ". " not in row["text"], "one sentence"
    assert "  " not in row["text"] and not re.search(r"\d\.\d", row["text"]), "a decimal comma"


def test_no_word_names_two_terms() -> None:
    words = [row["word"] for row in GERMAN]
    assert len(words) == len(set(words))
