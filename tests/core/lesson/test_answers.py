"""Guesses held against computed answers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import ChiparcError
from core.documents.setup_examples import example
from core.lesson.answers import answer_words, check_answer, judged, pin_error
from core.lesson.lesson import Option, Predict

BOSS = example("boss").setup()


def pin(figure: str) -> Predict:
    return Predict("pin", "?", "!", figure, near=10.0)


@pytest.mark.parametrize(
    ("figure", "direction", "degrees"),
    [
        ("entry", "conventional", 0.0),
        ("exit", "conventional", math.degrees(math.acos(1 - 2 * 4 / 12))),
        ("entry", "climb", 180.0 - math.degrees(math.acos(1 - 2 * 4 / 12))),
        ("exit", "climb", 180.0),
        ("thickest", "climb", 180.0 - math.degrees(math.acos(1 - 2 * 4 / 12))),
    ],
)
def test_pins_are_where_geometry_says(figure: str, direction: str, degrees: float) -> None:
    cut = BOSS.facing(direction)  # type: ignore[arg-type]
    assert check_answer(pin(figure), cut, None).value == pytest.approx(degrees, abs=1e-9)
    near = judged(pin(figure), degrees + 4.0, cut, None, "metric")
    late = judged(pin(figure), degrees + 20.0, cut, None, "metric")
    early = judged(pin(figure), degrees - 20.0, cut, None, "metric")
    assert near.near and not late.near and not early.near
    assert (late.error, early.error) == pytest.approx((20.0, -20.0))
    assert "20" in late.words and "far" in late.words and "early" in early.words


@given(st.floats(-720, 720), st.floats(0, 180))
def test_a_pin_error_is_the_short_way_round(guess: float, answer: float) -> None:
    error = pin_error(guess, answer)
    assert -180.0 <= error <= 180.0
    assert math.cos(math.radians(answer + error)) == pytest.approx(math.cos(math.radians(guess)), abs=1e-9)


def test_an_estimate_is_judged_as_a_share() -> None:
    asked = Predict("estimate", "?", "!", "chip.arc.h_max_mm", near=0.25)
    true = 0.06 * math.sin(math.acos(1 - 2 * 4 / 12))
    assert check_answer(asked, BOSS, None).value == pytest.approx(true)
    assert judged(asked, 1.2 * true, BOSS, None, "metric").near
    high, low = (judged(asked, k * true, BOSS, None, "inch") for k in (2.0, 0.5))
    assert not high.near and "100" in high.words and "high" in high.words
    assert not low.near and "50" in low.words and "low" in low.words
    assert "0.0566 mm" in answer_words(asked, BOSS, None, "metric")
    assert "0.00223 in" in answer_words(asked, BOSS, None, "inch")


def widths(*values: float) -> tuple[Option, ...]:
    return tuple(Option(f"{v}", BOSS.with_keys({"cut.radial_engagement_mm": v})) for v in values)


def test_an_order_and_a_choice_follow_the_figures() -> None:
    order = Predict("order", "?", "!", "chip.arc.h_max_mm", wanted="least", options=widths(3.0, 0.5, 1.0))
    assert check_answer(order, BOSS, None).value == (1, 2, 0)
    assert judged(order, (1, 2, 0), BOSS, None, "metric").near
    assert judged(order, (1, 0, 2), BOSS, None, "metric").error == 2.0
    most = Predict("choose", "?", "!", "chip.arc.h_max_mm", options=widths(3.0, 0.5, 1.0))
    assert check_answer(most, BOSS, None).value == 0
    assert judged(most, 0, BOSS, None, "metric").near and not judged(most, 1, BOSS, None, "metric").near


def test_options_that_are_alike_are_no_question() -> None:
    alike = Predict("choose", "?", "!", "rates.cutting_speed_m_min", options=widths(3.0, 0.5))
    with pytest.raises(ChiparcError, match="alike"):
        check_answer(alike, BOSS, None)


def test_ranges_have_one_right_option() -> None:
    low, high = Option("under", high=0.05), Option("over", low=0.05)
    asked = Predict("choose", "?", "!", "chip.arc.h_max_mm", options=(low, high))
    assert check_answer(asked, BOSS, None).value == 1
    for options in ((low, low), (high, Option("also", low=0.01))):
        with pytest.raises(ChiparcError, match="options are right"):
            check_answer(Predict("choose", "?", "!", "chip.arc.h_max_mm", options=options), BOSS, None)
