"""The examples in German: a title and a line for each document of the gallery."""

from __future__ import annotations

import re
import tomllib

import pytest

from core.base.places import shared
from core.documents.setup_examples import EXAMPLES, example

GERMAN = tomllib.loads(shared("examples.de.toml").read_text("utf-8"))


def test_every_example_has_german_texts_and_no_other() -> None:
    assert set(GERMAN) == {each.id for each in EXAMPLES}
    assert len({texts["title"] for texts in GERMAN.values()}) == len(GERMAN)


@pytest.mark.parametrize("name", GERMAN)
def test_title_and_line_are_german_sentences_with_the_figures_of_the_english_ones(name: str) -> None:
    texts, setup = GERMAN[name], example(name).setup()
    assert set(texts) == {"title", "line"}
    assert texts["title"] != setup.title and texts["line"] != setup.show.line
    assert texts["line"].endswith(".") and not texts["title"].endswith(".")
    for german, english in ((texts["title"], setup.title), (texts["line"], setup.show.line)):
        assert sorted(re.findall(r"\d+", german)) == sorted(re.findall(r"\d+", english.replace(":00", "")))
        assert "  " not in german and len(german) <= 1.35 * len(english) + 12
