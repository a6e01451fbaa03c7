"""Programs, drawings, stocks, measured files, lessons and tables are refused in the language that is spoken.

Each refusal is heard three times: in English, in a language without words, and in German.  In the one without words
nothing may be left but keys, figures, and pieces of what was refused: anything else is a sentence of the code, which
no language can have.  In German no word of the English refusal may be left, and no decimal point.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields

import pytest

from core.base.errors import Fault
from core.base.language import ENGLISH, speak
from core.base.words import own_words
from core.chatter import frequency_response, tap_record
from core.documents.setup_examples import EXAMPLES
from core.lesson.cut_figures import EXAMPLE, EXAMPLE_CLAIM
from core.lesson.lesson import KINDS, PINS
from core.lesson.lesson_reading import PREDICT_KEYS, SCENE_KEYS
from core.lesson.tasks import TASKS
from core.setup.setup_limits import CHOICES, RANGES
from core.setup.show import Show
from tests.app.language.pseudo import BOUND, wordless_spoken

from .lesson_refusals import figure_refusals, lesson_refusals, sheet_and_table_refusals
from .measured_refusals import chatter_refusals, response_refusals, tap_refusals
from .path_refusals import drawing_refusals, path_refusals, program_refusals, stock_refusals
from .refused_case import Refused

GROUPS = (
    *("program_refused", "program_group", "program_units", "drawing_refused", "drawing_figure", "outline_refused"),
    *("stock_refused", "measured_refused", "columns_refused", "tap_refused", "hit_left_out", "fit_refused"),
    *("chatter_refused", "sound_refused", "lesson_refused", "lesson_figure_refused", "worksheet_refused"),
    *("vary_refused", "refused_place"),
)
"""Groups of the words that these refusals are made of."""

ELSEWHERE = {("refused_place", "setup"), ("refused_place", "mean_forces")}
"""Places in setups and measured forces, whose refusals are heard in a test of their own."""

KEYS = {
    *(part for key in (*RANGES, *CHOICES) for part in key.split(".")),
    *(word for words in CHOICES.values() for word in words),
    *(*TASKS, *PINS, *KINDS, *SCENE_KEYS, *PREDICT_KEYS, *(each.id for each in EXAMPLES)),
    *(
        "title",
        "about",
        "scene",
        "caution",
        "worksheet",
        "tasks",
        "minutes",
        "text",
        "from",
        "to",
        "is",
        "kind",
        "ask",
    ),
    *("why", "most", "least", "format", "version", "loop", "show", "machine", "dynamics", "advice", "force"),
    *(field.name for field in fields(Show)),
    *("frequency", "real", "imaginary", "magnitude", "phase", "coherence", "time", "acceleration"),
    *("figure", "holds", "--vary", "--columns", "Hz", "V", "deg", "rad", "inf", "true", "false", "nan", "report"),
}
"""What documents call their tables, keys and columns, and what their lists may name: the same in every language."""

SHOWN = {
    *(frequency_response.EXAMPLE, frequency_response.EXAMPLE_POLAR, tap_record.EXAMPLE),
    *(EXAMPLE, EXAMPLE_CLAIM, "chiparc lesson", "chiparc stock", "0.5:6:0.5", "X-2.5", "12.5"),
}
"""Examples that refusals show."""

_KEY = re.compile(r"[a-z]+([._][a-z0-9]+)+|@[a-z]+")
_SIGNS = re.compile(r"[A-Z$][A-Z0-9.+-]*|I J|[A-Z]-?\.?")
_FIGURE = re.compile(r"[XY]?[-+]?(\d[\d.,]*(e[+-]?\d+)?|inf|nan)|0x[0-9A-F]{2}|true|false")


@dataclass(frozen=True)
class Heard:
    """The faults of each refusal in three languages, and the templates that were told meanwhile."""

    cases: tuple[Refused, ...]
    english: list[tuple[Fault, ...]]
    wordless: list[tuple[Fault, ...]]
    german: list[tuple[Fault, ...]]
    told: set[tuple[str, str]]


@pytest.fixture(scope="module")
def heard() -> Iterator[Heard]:
    cases = (
        *(*program_refusals(), *drawing_refusals(), *stock_refusals(), *path_refusals()),
        *(*response_refusals(), *tap_refusals(), *chatter_refusals()),
        *(*lesson_refusals(), *figure_refusals(), *sheet_and_table_refusals()),
    )
    english = [case.faults() for case in cases]
    with pytest.MonkeyPatch.context() as patch, wordless_spoken(patch) as told:
        wordless = [case.faults() for case in cases]
    speak("de")
    german = [case.faults() for case in cases]
    speak(ENGLISH.id)
    yield Heard(cases, english, wordless, german, told)


def _is_known(token: str) -> bool:
    bare = token.strip("\"'():;,[]{}")
    return not bare or bare in KEYS or any(known.fullmatch(bare) for known in (_KEY, _SIGNS, _FIGURE))


def unexplained(told: str, quoted: str) -> list[str]:
    """Pieces between the places of words that are no key, no figure, no example and not in ``quoted``."""
    left = []
    for piece in re.split(f"[{BOUND}…]", told):
        text = piece.strip()
        if text.strip('"') in SHOWN or all(
            part in quoted or all(map(_is_known, part.split())) for part in text.split(", ")
        ):
            continue
        left.append(text)
    return left


def test_each_case_is_refused_at_the_same_lines_in_every_language(heard: Heard) -> None:
    every = zip(heard.cases, heard.english, heard.wordless, heard.german, strict=True)
    for case, english, *others in every:
        assert english and all(fault.where and fault.found and fault.allowed for fault in english), case.name
        for faults in others:
            assert [fault.line for fault in faults] == [fault.line for fault in english], case.name


def test_no_sentence_stands_in_the_code(heard: Heard) -> None:
    left = {
        (case.name, text)
        for case, faults in zip(heard.cases, heard.wordless, strict=True)
        for fault in faults
        for part in (fault.where, fault.found, fault.allowed)
        for text in unexplained(part, case.quoted)
    }
    assert left == set()


def test_a_sentence_in_the_code_would_be_found(heard: Heard) -> None:
    """The same search finds every refusal that is told in English, as one that stands in the code would be."""
    for case, faults in zip(heard.cases, heard.english, strict=True):
        for fault in faults:
            assert unexplained(fault.found, case.quoted), (case.name, fault.found)


def test_every_sentence_is_heard(heard: Heard) -> None:
    """No sentence is in the words for nothing, and each has been told with its fields."""
    english = own_words(ENGLISH.id)
    assert {(group, id) for group in GROUPS for id in english[group]} - heard.told == ELSEWHERE


def _words(text: str) -> set[str]:
    """Small words of three letters or more."""
    return set(re.findall(r"(?<![\w.@/-])[a-zäöüß]{3,}(?!\w|[.@/-]\w)", text))


def test_german_refusals_have_no_english_word_and_no_decimal_point(heard: Heard) -> None:
    for case, english, german in zip(heard.cases, heard.english, heard.german, strict=True):
        for told, said in zip(english, german, strict=True):
            for before, after in ((told.found, said.found), (told.allowed, said.allowed), (told.where, said.where)):
                own = _words(case.quoted) | KEYS | set(_words(" ".join(SHOWN)))
                assert (_words(before) & _words(after)) - own == set(), (case.name, after)
                for point in re.findall(r"[\w:*-]*\d\.\d[\w.:*]*", after):
                    assert point in case.quoted or any(point in shown for shown in SHOWN), (case.name, after)
