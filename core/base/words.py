"""Words for people: whole-sentence templates with named fields, read from ``shared/words``."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from typing import Any

from .language import ENGLISH, TEMPLATES, spoken, texts
from .places import shared
from .read_once import read_once


@read_once
def own_words(id: str) -> dict[str, dict[str, str]]:
    """The templates that a language has of its own: group -> id -> text; empty for a language without a file."""
    file = shared("words", f"{id}.toml")
    return tomllib.loads(file.read_text("utf-8")) if file.is_file() else {}


@lru_cache(maxsize=4)
def words_in(id: str) -> dict[str, dict[str, str]]:
    """Every template in a language; those that it lacks are English, so that nothing ends before a class."""
    english = own_words(ENGLISH.id)
    if id == ENGLISH.id:
        return english
    own = own_words(id)
    return {group: {**told, **own.get(group, {})} for group, told in english.items()}


def words() -> dict[str, dict[str, str]]:
    """Every template of the language that is spoken."""
    return words_in(spoken.language.id)


def say(group: str, id: str, /, **fields: Any) -> str:
    """The template ``id`` of ``group`` with its fields filled in.

    >>> say("side", "right")
    'right'
    """
    template = words_in(spoken.language.id)[group][id]
    return template.format(**fields) if spoken.language is ENGLISH else TEMPLATES.vformat(template, (), fields)


def say_count(group: str, id: str, count: int, /, **fields: Any) -> str:
    """The template for one, ``ID_one``, or for another number, ``ID_many``, with its field ``count``."""
    return say(group, f"{id}_{'one' if count == 1 else 'many'}", count=count, **fields)


def inside(word: str) -> str:
    """A word as it stands within a sentence: small in English; German writes its nouns large everywhere."""
    return word.lower() if spoken.language is ENGLISH else word


@lru_cache(maxsize=4)
def _phrases(id: str) -> dict[str, str]:
    """Phrases of data files in that language, by the English one."""
    return {} if id == ENGLISH.id else {k: v for table in texts("phrases", id).values() for k, v in table.items()}


def phrase(text: str) -> str:
    """A text of a data file, which is English, in the language that is spoken; as it is where none is known."""
    return _phrases(spoken.language.id).get(text, text)
