"""The words of every language: the same groups, ids and fields as the English ones, and print as print is set."""

from __future__ import annotations

import re
import string
import tomllib

import pytest

from core.base.places import shared
from core.report.text_layout import LABEL

OTHERS = ("de",)

Words = dict[tuple[str, str], str]


def words_of(language: str) -> Words:
    tables = tomllib.loads(shared("words", f"{language}.toml").read_text("utf-8"))
    return {(group, id): text for group, table in tables.items() for id, text in table.items()}


def fields(text: str) -> list[str]:
    return sorted({name for _, name, _, _ in string.Formatter().parse(text) if name is not None})


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_has_every_word_and_no_other(language: str) -> None:
    assert words_of(language).keys() == words_of("en").keys()


@pytest.mark.parametrize("language", OTHERS)
def test_every_word_has_the_fields_of_the_english_one(language: str) -> None:
    said, english = words_of(language), words_of("en")
    assert {key: fields(text) for key, text in said.items() if key in english} == {
        key: fields(text) for key, text in english.items() if key in said
    }


@pytest.mark.parametrize("language", ("en", *OTHERS))
def test_a_row_of_the_report_has_room_for_its_label(language: str) -> None:
    table = words_of(language)
    assert {id: text for (group, id), text in table.items() if group == "row" and len(text) >= LABEL} == {}


@pytest.mark.parametrize("language", OTHERS)
def test_blanks_are_those_of_the_english_words(language: str) -> None:
    said, english = words_of(language), words_of("en")
    for key, text in said.items():
        assert "  " not in text or "  " in english[key], (key, text)
        assert text.endswith(" ") == english[key].endswith(" "), (key, text)
        assert text.startswith((" ", ", ")) == english[key].startswith((" ", ", ")), (key, text)


@pytest.mark.parametrize("language", OTHERS)
def test_sentences_of_a_language_are_its_own(language: str) -> None:
    english = words_of("en")
    alike = {text for key, text in words_of(language).items() if text == english[key] and len(text.split()) > 3}
    assert {text for text in alike if re.search(r"[a-z]{3} [a-z]{3}", text)} == set()


def test_german_numbers_and_marks_are_german() -> None:
    for key, text in words_of("de").items():
        plain = re.sub(r"\{\w+\}", "", text)
        numbers = re.findall(r"(?<![\w.])\d+\.\d+(?![\w.])", plain)
        assert numbers == (["1.2312"] if key == ("control", "material_search") else []), (key, text)
        assert not re.search(r"[\"‘’]|“\w", plain), (key, text)
        assert not re.search(r"\b(the|with|not|cut|chip|wall)\b", plain), (key, text)
