"""The lessons that come with the program: read, answered, of a lesson's length, and with no figure of their own."""

from __future__ import annotations

import json
import re
from functools import lru_cache
from pathlib import Path

import pytest

from core.base.places import shared
from core.documents.materials import resolved
from core.lesson.answers import Answer, asked_figure, check_answer
from core.lesson.cut_figures import FIELD, fields_of, filled, named_figure, number_of, value_of
from core.lesson.lesson import Lesson, Scene
from core.lesson.lesson_reading import load_lesson
from core.report.report import report
from core.report.schema import flat

FILES = sorted(shared("lessons").glob("*.toml"))


@lru_cache(maxsize=16)
def lesson(path: Path) -> Lesson:
    return load_lesson(path)


def words(scene: Scene) -> list[str]:
    """All words of a scene."""
    found = [scene.title, scene.say, scene.do]
    if scene.predict is not None:
        found += [scene.predict.ask, scene.predict.why, *(option.text for option in scene.predict.options)]
    return found


def test_there_are_at_least_seven() -> None:
    assert len(FILES) >= 7
    assert len({lesson(path).title for path in FILES}) == len(FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_lesson_takes_ten_to_twenty_minutes_and_asks(path: Path) -> None:
    read = lesson(path)
    assert 10 <= read.minutes <= 20
    assert sum(scene.predict is not None for scene in read.scenes) >= 4


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_its_words_hold_no_figure_of_their_own(path: Path) -> None:
    read = lesson(path)
    for text in (read.title, read.about, read.caution, *(w for scene in read.scenes for w in words(scene))):
        assert not re.search(r"\d", FIELD.sub("", text)), text


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_its_words_fill_in_both_units(path: Path) -> None:
    read = lesson(path)
    for i, scene in enumerate(read.scenes):
        both = [filled(scene.say, scene.setup, read.before(i), units) for units in ("metric", "inch")]
        assert "{" not in both[0]
        if any(" mm" in text for text in both[:1]):
            assert both[0] != both[1] and " mm" not in both[1]


def test_the_slack_table_begins_with_its_caution() -> None:
    read = lesson(shared("lessons", "slack-table.toml"))
    assert "danger" in read.caution and "lost motion" in read.caution
    assert "caution" in read.scenes[0].say


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_answers_are_those_of_the_whole_report(path: Path) -> None:
    """The figure behind each answer, and each in the words, equals the one that ``report`` gives for that cut."""
    read = lesson(path)
    checked = 0
    for i, scene in enumerate(read.scenes):
        if scene.predict is None or i % 2:
            continue
        asked = asked_figure(scene.predict)
        cut = resolved(asked.of(scene.setup, read.before(i)))
        whole = dict(flat(report(cut)))
        if not asked.key.startswith("setup."):
            assert value_of(cut, asked.key) == whole[asked.key]
            checked += 1
        for name in fields_of(scene.predict.why):
            named = [named_figure(part) for part in name.split(" / ")]
            for figure in named:
                if figure.side == "" and figure.key in whole and isinstance(whole[figure.key], float):
                    assert number_of(scene.setup, figure.key) == pytest.approx(whole[figure.key], rel=1e-12)
                    checked += 1
    assert checked >= 2


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_answer_is_one_that_can_be_given(path: Path) -> None:
    read = lesson(path)
    for i, scene in enumerate(read.scenes):
        predict = scene.predict
        if predict is None:
            continue
        answer: Answer = check_answer(predict, scene.setup, read.before(i))
        if predict.kind == "pin":
            assert 0.0 <= answer.value <= 180.0  # type: ignore[operator]
        elif predict.kind == "choose":
            assert answer.value in range(len(predict.options))
        elif predict.kind == "order":
            assert sorted(answer.value) == list(range(len(predict.options)))  # type: ignore[arg-type]
        json.dumps(answer.value)
