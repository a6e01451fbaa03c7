"""Languages made from English on the fly.

In one every letter has an accent, and a text is two fifths longer: what is clipped in it would be clipped in a real
language of long words; what has no accents does not come from the words.  The other has no words at all: what is
still told in it stands in the code, or comes from what a person wrote.
"""

from __future__ import annotations

import math
import re
import string
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from core.base import language, words
from core.base.language import ENGLISH, Language, speak

ID = "xx"
LONGER = 0.38
"""Part by which a text is longer than the English one."""

ACCENTS = str.maketrans("aeiouyAEIOUY", "åëïöüýÅËÏÖÜÝ")
FILL = "ñëñï "


def accented(text: str) -> str:
    """A text with every vowel outside of its fields accented, and longer; a sentence keeps its last sign."""
    parts, length = [], 0
    for literal, name, spec, _ in string.Formatter().parse(text):
        parts.append(literal.replace("{", "{{").replace("}", "}}").translate(ACCENTS))
        length += len(literal)
        if name is not None:
            parts.append("{" + name + (f":{spec}" if spec else "") + "}")
    letters = sum(c.isalpha() for literal, *_ in string.Formatter().parse(text) for c in literal)
    if letters < 2:
        return "".join(parts)
    whole = "".join(parts)
    more = (FILL * 200)[: math.ceil(LONGER * length)].strip()
    body, end = (whole[:-1], whole[-1]) if whole[-1:] in ".:…?" else (whole, "")
    blank = " " if len(more) > 4 else ""
    tail = re.search(r"\s*$", body)
    room = tail[0] if tail else ""
    return f"{body.rstrip()}{blank}{more}{room}{end}"


def _all(texts: Any) -> Any:
    if isinstance(texts, dict):
        return {key: value if key in ("id", "symbol", "quantity") else _all(value) for key, value in texts.items()}
    if isinstance(texts, list):
        return [_all(each) for each in texts]
    return accented(texts) if isinstance(texts, str) else texts


class _Phrases(dict[str, str]):
    """The phrases of data files, each accented."""

    def get(self, text: str, default: Any = None) -> Any:
        return accented(text)


@contextmanager
def pseudo_spoken(patch: pytest.MonkeyPatch) -> Iterator[None]:
    """The pseudo-language, for the window and whatever it asks."""
    real_words, real_texts = words.own_words, language.texts

    def own_words(id: str) -> Any:
        found = real_words(ENGLISH.id if id == ID else id)
        # Names of keys are what the system calls them; a list of file types is read by Qt.
        return {g: t if g == "key" else _all(t) for g, t in found.items()} if id == ID else found

    def texts(name: str, id: str) -> Any:
        return _all(real_texts(name, ENGLISH.id)) if id == ID else real_texts(name, id)

    patch.setattr(words, "_phrases", lambda id: _Phrases())
    patch.setitem(language.LANGUAGES, ID, Language(ID, "Pseudo"))
    patch.setattr(words, "own_words", own_words)
    for module in ("core.base.glossary", "core.documents.setup_examples", "core.base.words"):
        patch.setattr(f"{module}.texts", texts)
    speak(ID)
    try:
        yield
    finally:
        speak(ENGLISH.id)


BOUND = "\ue000"
"""Stands in place of the words between two fields, and at both ends of a text."""


def wordless(text: str) -> str:
    """A template without its words: its fields alone, with bounds about them."""
    fields = [(name, spec) for _, name, spec, _ in string.Formatter().parse(text) if name is not None]
    return BOUND + "".join("{" + name + (f":{spec}" if spec else "") + "}" + BOUND for name, spec in fields)


class _Heard(dict[str, str]):
    """The templates of a group; which of them were told is noted."""

    def __init__(self, group: str, templates: dict[str, str], heard: set[tuple[str, str]]) -> None:
        super().__init__(templates)
        self._group, self._heard = group, heard

    def __getitem__(self, id: str) -> str:
        self._heard.add((self._group, id))
        return super().__getitem__(id)


class _NoPhrases(dict[str, str]):
    """The phrases of data files, without a word."""

    def get(self, text: str, default: Any = None) -> Any:
        return ""


@contextmanager
def wordless_spoken(patch: pytest.MonkeyPatch) -> Iterator[set[tuple[str, str]]]:
    """The language without words; group and id of each template that is told meanwhile."""
    heard: set[tuple[str, str]] = set()
    templates = {
        group: _Heard(group, {id: wordless(text) for id, text in told.items()}, heard)
        for group, told in words.own_words(ENGLISH.id).items()
    }
    with patch.context() as only_here:
        only_here.setattr(words, "words_in", lambda id: templates)
        only_here.setattr(words, "_phrases", lambda id: _NoPhrases())
        only_here.setitem(language.LANGUAGES, ID, Language(ID, "Wordless"))
        speak(ID)
        try:
            yield heard
        finally:
            speak(ENGLISH.id)
