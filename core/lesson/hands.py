"""A show of hands: many learners' predictions from a typed or pasted list, and what they come to."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

from ..base.errors import ChiparcError
from ..base.quantities import Units
from ..base.typed_value import typed_value
from ..base.words import say
from ..setup.setup import Setup
from .answers import LETTERS, Guess
from .cut_figures import quantity_of, row_of
from .lesson import Predict

MOST_GUESSES = 500
"""Predictions of one question: more is no class."""

LONGEST_NAME = 24

_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_COUNT = re.compile(r"(\d{1,3})\s*[x×]\s*(.+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NamedGuess:
    """One learner's prediction; the name may be empty."""

    name: str
    guess: Guess


@dataclass(frozen=True, slots=True)
class Hands:
    """What a list held: predictions, and a sentence for each line that could not be read."""

    guesses: tuple[NamedGuess, ...]
    faults: tuple[str, ...]


def clock_angle(hour: int, minute: int, hand: str) -> float:
    """Tooth angle, degrees from -180 to 180, of a clock position; mirrored for a left-hand cutter."""
    degrees = 30.0 * (hour + minute / 60.0)
    angle = 450.0 - degrees if hand == "left" else degrees - 270.0
    return (angle + 180.0) % 360.0 - 180.0


def typed_guess(text: str, predict: Predict, setup: Setup, units: Units) -> Guess:
    """One prediction as it is typed.

    A pin as a clock position (``11:30``, ``11``) or in degrees (``75°``); an option by its letter; an order as
    letters (``BAC``); an estimate with or without its unit.  Raises ChiparcError.
    """
    text = text.strip()
    if predict.kind == "pin":
        return _typed_pin(text, setup)
    if predict.kind == "estimate":
        key = predict.figure.partition("@")[0]
        value = typed_value(text, quantity_of(key), units)
        return value / 100.0 if row_of(key).unit == "1" else value
    known = LETTERS[: len(predict.options)]
    letters = [known.find(c) for c in text.upper() if c not in " ,;>-"]
    wanted = len(known) if predict.kind == "order" else 1
    if -1 in letters or len(letters) != wanted or len(set(letters)) != wanted:
        word = "order_allowed" if predict.kind == "order" else "letter_allowed"
        raise _refused(text, say("lesson_hands", word, letters=known))
    return tuple(letters) if predict.kind == "order" else letters[0]


def _refused(text: str, allowed: str) -> ChiparcError:
    return ChiparcError(say("lesson_hands", "guess"), say("refusal", "found_text", text=text), allowed)


def _typed_pin(text: str, setup: Setup) -> float:
    wrong = _refused(text, say("lesson_hands", "pin_allowed"))
    if clock := _CLOCK.fullmatch(text):
        hour, minute = int(clock[1]), int(clock[2])
    elif text.isdecimal() and 1 <= int(text) <= 12:
        hour, minute = int(text), 0
    else:
        try:
            angle = float(text.removesuffix("°").removesuffix("deg").strip())
        except ValueError:
            raise wrong from None
        if not -360.0 <= angle <= 360.0:
            raise wrong
        return angle
    if not 1 <= hour <= 12 or minute > 59:
        raise wrong
    return clock_angle(hour, minute, setup.cutter.hand)


def read_hands(text: str, predict: Predict, setup: Setup, units: Units) -> Hands:
    """The predictions of a list, one a line: ``11:30``, ``Ann 11:30``, ``Bo; B``, ``7 x A`` for seven hands.

    The last word of a line is the prediction, with its unit; what stands before it is a name.
    """
    found: list[NamedGuess] = []
    faults: list[str] = []
    for number, line in enumerate(text.splitlines(), 1):
        line = line.strip()
        if not line:
            continue
        count = _COUNT.fullmatch(line)
        times, rest = (int(count[1]), count[2]) if count else (1, line)
        try:
            named = _named_guess(rest, predict, setup, units)
        except ChiparcError as error:
            faults.append(say("lesson_hands", "fault", line=number, found=error.found, allowed=error.allowed))
            continue
        found += [named] * times
    if len(found) > MOST_GUESSES:
        faults.append(say("lesson_hands", "too_many", count=len(found), most=MOST_GUESSES))
    return Hands(tuple(found[:MOST_GUESSES]), tuple(faults))


def _named_guess(line: str, predict: Predict, setup: Setup, units: Units) -> NamedGuess:
    """A line with or without a name: the shortest end that is a prediction."""
    words = re.split(r"[\s;:,]+(?=\S)", line) if predict.kind != "pin" else re.split(r"[\s;,]+|:\s+", line)
    last: ChiparcError | None = None
    for start in range(len(words) - 1, max(len(words) - 4, -1), -1):
        guess, name = " ".join(words[start:]), " ".join(words[:start])
        try:
            return NamedGuess(name[:LONGEST_NAME], typed_guess(guess, predict, setup, units))
        except ChiparcError as error:
            last = last or error
    assert last is not None, "a line that is not empty has a word"
    raise last


def tallies(guesses: tuple[NamedGuess, ...], options: int) -> list[int]:
    """How many chose each option."""
    counted = Counter(g.guess for g in guesses if isinstance(g.guess, int))
    return [counted[i] for i in range(options)]
