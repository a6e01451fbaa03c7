"""The German lessons: each read by the strict reader, and the English one but for its words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from core.base.places import shared
from core.documents.toml_lines import parse_toml
from core.lesson.cut_figures import FIELD, fields_of, filled
from core.lesson.lesson import Lesson
from core.lesson.lesson_files import is_ours, our_lesson, our_lessons
from core.lesson.lesson_reading import load_lesson

FILES = sorted(shared("lessons").glob("*.toml"))
WORDS = {"title", "about", "caution", "say", "do", "ask", "why", "text"}
"""Keys of a lesson document that hold words."""


def german(path: Path) -> Path:
    return path.parent / "de" / path.name


@lru_cache(maxsize=16)
def lesson(path: Path) -> Lesson:
    return load_lesson(path)


def document(path: Path) -> dict[str, Any]:
    return parse_toml(path.read_text("utf-8"), str(path))


def all_words(part: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Every text that a person reads, with its place in the document."""
    for key, value in part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ():
        if key in WORDS and isinstance(value, str):
            yield (*path, key), value
        else:
            yield from all_words(value, (*path, key))


def without_words(part: Any) -> Any:
    """A document of which every text for people is the same."""
    if isinstance(part, dict):
        return {key: "" if key in WORDS else without_words(value) for key, value in part.items()}
    return [without_words(each) for each in part] if isinstance(part, list) else part


def test_every_lesson_is_there_in_german() -> None:
    assert [german(path).name for path in FILES] == [path.name for path in sorted(shared("lessons", "de").glob("*"))]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_only_words_differ_and_they_name_the_same_figures(path: Path) -> None:
    english, other = document(path), document(german(path))
    assert without_words(other) == without_words(english)
    words, german_words = dict(all_words(english)), dict(all_words(other))
    assert german_words.keys() == words.keys()
    for place, text in words.items():
        told = german_words[place]
        assert sorted(fields_of(told)) == sorted(fields_of(text)), place
        assert told != text or not FIELD.sub("", text).strip(), f"{place} is still English"
        assert told.count("\n") == text.count("\n"), place


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_it_is_read_and_has_the_scenes_and_claims_of_the_english_one(path: Path) -> None:
    english, read = lesson(path), lesson(german(path))
    assert [s.setup for s in read.scenes] == [s.setup for s in english.scenes]
    assert [s.holds for s in read.scenes] == [s.holds for s in english.scenes]
    for scene, own in zip(english.scenes, read.scenes, strict=True):
        if scene.predict is None or own.predict is None:
            assert scene.predict is own.predict
            continue
        asked = [(p.kind, p.figure, p.near, p.wanted) for p in (scene.predict, own.predict)]
        assert asked[0] == asked[1]
        options = [[(o.setup, o.low, o.high, o.value) for o in p.options] for p in (scene.predict, own.predict)]
        assert options[0] == options[1]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_its_words_hold_no_figure_of_their_own_and_no_doubled_blank(path: Path) -> None:
    for place, text in all_words(document(german(path))):
        assert not re.search(r"\d", FIELD.sub("", text)), place
        assert "  " not in text and not re.search(r" [.,;:!?]", text), place
    read = lesson(german(path))
    assert "{" not in filled(read.scenes[0].say, read.scenes[0].setup, None, "metric")


def test_cautions_are_said_wherever_the_english_lesson_has_them() -> None:
    for path in FILES:
        english, told = lesson(path).caution, lesson(german(path)).caution
        assert bool(told) == bool(english)
        assert not told or told.endswith(
            "Betriebsanleitung der Maschine, betriebliche Regeln und eine fachkundige Person entscheiden."
        )
    slack = lesson(german(shared("lessons", "slack-table.toml")))
    assert "Gefahr" in slack.caution and "Umkehrspiel" in slack.caution and "Vorsichtshinweis" in slack.scenes[0].say


def test_a_language_has_its_own_lessons_in_the_same_order_and_others_fall_back_to_english() -> None:
    english, own = our_lessons("en"), our_lessons("de")
    assert [each.id for each in own] == [each.id for each in english]
    assert [each.minutes for each in own] == [each.minutes for each in english]
    assert all(each.file.parent.name == "de" and is_ours(each.file) for each in own)
    assert not {each.title for each in own} & {each.title for each in english}
    assert [each.file for each in our_lessons("xx")] == [each.file for each in english]
    assert our_lesson("slack-table", "de") == shared("lessons", "de", "slack-table.toml")
    assert not is_ours(Path("slack-table.toml"))
