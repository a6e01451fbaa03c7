"""A run of a lesson goes from end to end, and comes back from what was kept of it, whatever became of the file."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.places import shared
from core.documents.setup_examples import example
from core.lesson.hands import NamedGuess, clock_angle, read_hands, tallies
from core.lesson.lesson import Option, Predict
from core.lesson.lesson_reading import load_lesson
from core.lesson.lesson_run import LessonRun, resumed
from core.maths.angles import clock

LESSON = load_lesson(shared("lessons", "thickest-chip.toml"))
BOSS = example("boss").setup()
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)


def test_a_clicker_goes_from_end_to_end_and_back() -> None:
    run, seen = LessonRun(LESSON, "x.toml"), []
    for _ in run.places:
        seen.append(run.place)
        run = run.moved(1)
    assert tuple(seen) == run.places and run.place.step == "end" == run.moved(1).place.step
    asked = [p.scene for p in seen if p.step == "ask"]
    assert asked == [i for i, scene in enumerate(LESSON.scenes) if scene.predict is not None]
    assert all(seen[seen.index(p) + 1].step == "reveal" for p in seen if p.step == "ask")
    assert [p.scene for p in seen if p.step == "look"] == list(range(len(LESSON.scenes)))
    for _ in run.places:
        run = run.moved(-1)
    assert run.position == 0


@given(st.integers(0, 30), st.lists(st.floats(-180, 180), max_size=4))
def test_it_resumes_where_it_was(position: int, pins: list[float]) -> None:
    run = LessonRun(LESSON, "x.toml", seconds=12.0).moved(position)
    run = run.with_guesses(1, tuple(NamedGuess("Ann", pin) for pin in pins))
    again = resumed(LESSON, json.loads(json.dumps(run.kept())))
    assert again == run


@given(st.dictionaries(st.sampled_from(["file", "position", "guesses", "seconds"]), JSON))
def test_what_is_damaged_is_passed_over(kept: dict[str, Any]) -> None:
    run = resumed(LESSON, kept)
    assert run.place in run.places


@given(st.integers(1, 12), st.integers(0, 59), st.sampled_from(["right", "left"]))
def test_a_clock_position_reads_back(hour: int, minute: int, hand: str) -> None:
    angle = clock_angle(hour, minute, hand)
    assert clock(angle, hand) == f"{hour}:{minute:02d}" and -180.0 <= angle <= 180.0


PIN = Predict("pin", "?", "!", "entry", near=10.0)
CHOOSE = Predict("choose", "?", "!", "x", options=(Option("a"), Option("b"), Option("c")))
ORDER = Predict("order", "?", "!", "x", options=(Option("a"), Option("b"), Option("c")))
ESTIMATE = Predict("estimate", "?", "!", "chip.arc.h_max_mm", near=0.2)


@pytest.mark.parametrize(
    ("predict", "text", "wanted"),
    [
        (PIN, "11:30\nAnn 12\nBo Li; 75°\nCy: 2:15", [("", 75.0), ("Ann", 90.0), ("Bo Li", 75.0), ("Cy", 157.5)]),
        (CHOOSE, "a\nAnn B\n3 x C", [("", 0), ("Ann", 1), ("", 2), ("", 2), ("", 2)]),
        (ORDER, "bac\nAnn: C A B", [("", (1, 0, 2)), ("Ann", (2, 0, 1))]),
        (ESTIMATE, "0.05\nAnn 0.06 mm\nBo 0.002 in", [("", 0.05), ("Ann", 0.06), ("Bo", 0.0508)]),
    ],
)
def test_lists_as_a_class_gives_them(predict: Predict, text: str, wanted: list[tuple[str, object]]) -> None:
    hands = read_hands(text, predict, BOSS, "metric")
    assert not hands.faults
    assert [g.name for g in hands.guesses] == [name for name, _ in wanted]
    for got, (_, guess) in zip(hands.guesses, wanted, strict=True):
        assert got.guess == (pytest.approx(guess) if isinstance(guess, float) else guess)


def test_lines_that_are_wrong_are_told_and_the_others_taken() -> None:
    hands = read_hands("A\nAnn Q\n\nB", CHOOSE, BOSS, "metric")
    assert tallies(hands.guesses, 3) == [1, 1, 0]
    assert len(hands.faults) == 1 and "Line 2" in hands.faults[0] and "ABC" in hands.faults[0]
    assert len(read_hands("900 x A", CHOOSE, BOSS, "metric").guesses) == 500
    assert read_hands("25:00\n11:75\n", PIN, BOSS, "metric").guesses == ()
