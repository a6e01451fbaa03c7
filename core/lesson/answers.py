"""The answer of a prediction, worked out from the cut, and a learner's answer held against it."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from ..base.errors import ChiparcError
from ..base.language import in_language
from ..base.quantities import Units, number
from ..base.refused import refused
from ..base.words import say
from ..documents.materials import Catalogue
from ..documents.toml_edit import toml_value
from ..maths.angles import clock
from ..setup.setup import Setup
from .cut_figures import NamedFigure, filled, named_figure, no_figure, number_of, told, told_value, value_of
from .lesson import PINS, Option, Predict

ALIKE = 0.02
"""Share by which the figures of two options must differ at least: closer ones are no question."""

LETTERS = "ABCDEF"
"""What options are called."""

Guess = float | int | tuple[int, ...]
"""A learner's answer: degrees of a pin; place of an option; places of options in order; a figure in house units."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The computed answer.

    value : as a guess would give it; figures : of options with cuts of their own, the figure of each, house units.
    """

    value: Guess
    figures: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Judged:
    """A guess against the answer: whether it counts as near, and how far off it is, in words.

    error : degrees of a pin (with sign, along the rotation), share of an estimate, options out of place.
    """

    near: bool
    error: float
    words: str


def asked_figure(predict: Predict) -> NamedFigure:
    """The key of the report that answers, and of which cut."""
    return NamedFigure(PINS[predict.figure]) if predict.kind == "pin" else named_figure(predict.figure)


def _figures(predict: Predict, known: Catalogue | None) -> tuple[float, ...]:
    asked = asked_figure(predict)
    return tuple(number_of(asked.of(o.setup, None), asked.key, known) for o in predict.options if o.setup is not None)


def _apart(values: list[float], key: str) -> None:
    for a, b in itertools.pairwise(values):
        if abs(a - b) <= ALIKE * max(abs(a), abs(b)):
            raise ChiparcError(key, *refused("lesson_figure_refused", "alike", first=a, second=b))


def _is_right(option: Option, value: float | str | bool) -> bool:
    if option.value is not None:
        return value == option.value
    if isinstance(value, str | bool):
        return False
    return (option.low is None or value >= option.low) and (option.high is None or value < option.high)


def check_answer(predict: Predict, setup: Setup, before: Setup | None, known: Catalogue | None = None) -> Answer:
    """The answer of a prediction on the scene's cut.

    Raises ChiparcError where the cut has no such figure, where options are alike, or where not one of them is right.
    """
    asked = asked_figure(predict)
    if predict.kind in ("pin", "estimate"):
        return Answer(number_of(asked.of(setup, before), asked.key, known))
    if any(option.setup is not None for option in predict.options):
        figures = _figures(predict, known)
        order = sorted(range(len(figures)), key=lambda i: figures[i], reverse=predict.wanted == "most")
        ranked = [figures[i] for i in order]
        _apart(ranked if predict.kind == "order" else ranked[:2], asked.key)
        return Answer(tuple(order) if predict.kind == "order" else order[0], figures)
    value = value_of(asked.of(setup, before), asked.key, known)
    if value is None or isinstance(value, tuple):
        raise no_figure(asked.key)
    right = [i for i, option in enumerate(predict.options) if _is_right(option, value)]
    if len(right) != 1:
        written = in_language(f"{value:.4g}") if isinstance(value, float) else toml_value(value)
        told = refused("lesson_figure_refused", "right", value=written, count=len(right))
        raise ChiparcError(asked.key, *told)
    return Answer(right[0])


def answer_words(
    predict: Predict, setup: Setup, before: Setup | None, units: Units, known: Catalogue | None = None
) -> str:
    """The answer in one sentence."""
    answer, asked = check_answer(predict, setup, before, known), asked_figure(predict)
    if predict.kind == "pin":
        angle = float(answer.value)  # type: ignore[arg-type]
        place = clock(angle, setup.cutter.hand)
        return say("lesson_answer", predict.figure, clock=place, angle=number(angle, 1))
    if predict.kind == "estimate":
        return say("lesson_answer", "estimate", figure=told(asked.of(setup, before), asked.key, units, known))
    if predict.kind == "order":
        listed = (_option_words(predict, i, setup, units, known) for i in answer.value)  # type: ignore[union-attr]
        return say("lesson_answer", "order", listed=say("lesson_answer", "then").join(listed))
    chosen = int(answer.value)  # type: ignore[arg-type]
    if answer.figures:
        rest = [i for i in range(len(predict.options)) if i != chosen]
        others = say("lesson_answer", "and").join(_option_words(predict, i, setup, units, known) for i in rest)
        best = _option_words(predict, chosen, setup, units, known)
        return say("lesson_answer", "chosen_of", chosen=best, others=others)
    text = option_text(predict, chosen, setup, units, known)
    return say("lesson_answer", "chosen", letter=LETTERS[chosen], option=text)


def option_text(predict: Predict, index: int, setup: Setup, units: Units, known: Catalogue | None = None) -> str:
    """What an option says, with the figures of its own cut."""
    option = predict.options[index]
    return filled(option.text, option.setup or setup, None, units, known)


def _option_words(predict: Predict, index: int, setup: Setup, units: Units, known: Catalogue | None) -> str:
    asked, cut = asked_figure(predict), predict.options[index].setup or setup
    figure = told(asked.of(cut, None), asked.key, units, known)
    text = option_text(predict, index, setup, units, known)
    return say("lesson_answer", "option", letter=LETTERS[index], option=text, figure=figure)


def _places(guess: Guess) -> tuple[int, ...]:
    return guess if isinstance(guess, tuple) else ()


def guess_words(predict: Predict, guess: Guess, setup: Setup, units: Units) -> str:
    """A learner's answer in words."""
    if isinstance(guess, tuple):
        return "".join(LETTERS[i] for i in guess)
    if predict.kind == "choose":
        return LETTERS[int(guess)]
    if predict.kind == "pin":
        return say("lesson_answer", "pin", clock=clock(guess, setup.cutter.hand), angle=number(guess, 0))
    return told_value(float(guess), asked_figure(predict).key, units)


def pin_error(guess: float, answer: float) -> float:
    """How far a pin is from the answer, degrees from -180 to 180, above 0 where it is further along the rotation."""
    return (guess - answer + 180.0) % 360.0 - 180.0


def judged(
    predict: Predict, guess: Guess, setup: Setup, before: Setup | None, units: Units, known: Catalogue | None = None
) -> Judged:
    """A learner's guess held against the answer."""
    answer = check_answer(predict, setup, before, known)
    if predict.kind == "pin":
        error = pin_error(float(guess), float(answer.value))  # type: ignore[arg-type]
        near = abs(error) <= predict.near
        word = "pin_near" if near else "pin_late" if error > 0.0 else "pin_early"
        return Judged(near, error, say("lesson_judged", word, error=number(abs(error), 0)))
    if predict.kind == "estimate":
        right, guessed = float(answer.value), float(guess)  # type: ignore[arg-type]
        error = math.inf if right == 0.0 else guessed / right - 1.0
        near = abs(error) <= predict.near or guessed == right
        word = "estimate_near" if near else "estimate_high" if error > 0.0 else "estimate_low"
        percent = say("lesson_judged", "much") if abs(error) > 9.99 else number(abs(100.0 * error), 0) + " %"
        return Judged(near, error, say("lesson_judged", word, error=percent))
    if predict.kind == "order":
        given, right_order = _places(guess), _places(answer.value)
        wrong = sum(1 for i, place in enumerate(right_order) if i >= len(given) or given[i] != place)
        word = "order_wrong" if wrong else "right"
        return Judged(wrong == 0, float(wrong), say("lesson_judged", word, count=wrong))
    right_one = guess == answer.value
    return Judged(right_one, 0.0 if right_one else 1.0, say("lesson_judged", "right" if right_one else "wrong"))
