"""Whatever is read is refused in the language that is spoken, in whole sentences of the words.

Each refusal is heard three times: in English, in a language without words, and in German.  In the one without words
nothing may be left but keys, figures, and pieces of what was refused: anything else is a sentence of the code, which
no language can have.  In German no word of the English refusal may be left, and no decimal point.
"""

from __future__ import annotations

import os
import re
import string
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache

import pytest

from core.base.errors import Fault
from core.base.language import ENGLISH, speak
from core.base.visible import visible
from core.base.words import own_words
from core.calibration.calibration_file import COLUMNS
from core.chatter import frequency_response, tap_record
from core.documents.material_entry import BLOCKS, GROUPS
from core.documents.materials import catalogue
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_reading import MODELS, TABLES, TOP_KEYS
from core.documents.thermal_laws import LAWS
from core.force import many_cuts
from core.lesson.cut_figures import EXAMPLE, EXAMPLE_CLAIM
from core.setup.setup_limits import CHOICES, LISTS, RANGES
from tests.app.language.pseudo import BOUND, wordless_spoken
from tests.core.documents.test_materials import FULL

from .lesson_refusals import figure_refusals, lesson_refusals, sheet_and_table_refusals
from .measured_refusals import chatter_refusals, response_refusals, tap_refusals
from .path_refusals import drawing_refusals, path_refusals, program_refusals, stock_refusals
from .refused_case import Refused
from .setup_refusals import EVERY_KEY, setup_refusals
from .setups import GOOD

OF_READERS = (
    *("document_refused", "figures_refused", "toml_refused", "toml_value", "speed_curve", "show_list"),
    *("calibration_refused", "read_file", "together", "range", "listed"),
    *("program_refused", "program_group", "program_units", "drawing_refused", "drawing_figure", "outline_refused"),
    *("stock_refused", "measured_refused", "columns_refused", "tap_refused", "hit_left_out", "fit_refused"),
    *("chatter_refused", "sound_refused", "lesson_refused", "lesson_figure_refused", "worksheet_refused"),
    *("vary_refused", "refused_place"),
)
"""Groups of the words that these refusals are made of."""

UNHEARD = {
    # A setup that is legal can be written; its document would have to be read back as another one.
    *(("document_refused", "not_held"), ("document_refused", "not_held_allowed")),
    # No figure of a setup goes on without end.
    *(("range", "any"), ("range", "at_least"), ("range", "over")),
    # Who may read everything is not kept from a file.
    *([("read_file", "forbidden")] if os.geteuid() == 0 else []),
}

NOT_REFUSED = {"our exponents", *(["file locked"] if os.geteuid() == 0 else [])}
"""What is read all the same: only what it would be refused with is heard."""

_OF_FILES = (
    *("material", "cutter_material", "sources", "most", "edge", "exponents", "value", "source", "range", "text"),
    *("status", "conditions", "name", "group", "kind", "also", "standard", "condition", "work_hardens"),
    *("thermal_law", "hardness_hb", "hardness_hrc", "solidus_c", "h_tested_mm"),
)
KNOWN = {
    *(part for key in (*RANGES, *CHOICES, *LISTS) for part in (key, *key.split("."))),
    *(field.name for record in (*TABLES.values(), *MODELS.values()) for field in fields(record)),
    *(name for names in LISTS.values() for name in names.names),
    *(name for entry in catalogue().materials for name in (entry.name, *entry.also)),
    *(f"{group}{words}" for group in GROUPS for words in ("", " ()")),
    *(f'"{word}"' for words in (*CHOICES.values(), tuple(LAWS)) for word in words),
    *(*TOP_KEYS, *_OF_FILES, *COLUMNS, *BLOCKS, *many_cuts.KEYS, *(each.id for each in EXAMPLES)),
    *(f"[{table}]" for table in TABLES),
    ",".join(COLUMNS),
    *("--vary", "--columns", "--material", "--group", "--kind", "TOML"),
    *("Hz", "V", "deg", "rad", "rpm", "/min", "kW", "true", "false", "inf", "carbide", "high-speed steel"),
}
"""What is the same in every language: keys, columns and options, what lists and choices may name, units."""

SHOWN = {
    *(frequency_response.EXAMPLE, frequency_response.EXAMPLE_POLAR, tap_record.EXAMPLE),
    *(EXAMPLE, EXAMPLE_CLAIM, "0.5:6:0.5", "X-2.5", "12.5", "0.5", "5.0", '"right"', "{'a': 1}"),
    *(f'{start}"chiparc {kind}"' for kind in ("setup", "materials", "tool life") for start in ("", "format = ")),
    *('"chiparc lesson"', '"chiparc stock"'),
}
"""Examples that refusals show, and what has to stand in a document."""

_NOT_WORDS = SHOWN | KNOWN

_KEY = re.compile(r"[a-z]+([._][a-z0-9]+)+|@[a-z]+")
_SIGNS = re.compile(r"[A-Z$][A-Z0-9.+-]*|I J|[A-Z]-?\.?|/")
_FIGURE = re.compile(r"[XY]?[-+]?(\d[\d.,]*(e[+-]?\d+)?|inf)|nan|0x[0-9A-F]{2}|true|false")


@dataclass(frozen=True)
class Heard:
    """What each refusal may quote, its faults in three languages, and the templates that were told meanwhile."""

    cases: tuple[Refused, ...]
    quoted: list[str]
    english: list[tuple[Fault, ...]]
    wordless: list[tuple[Fault, ...]]
    german: list[tuple[Fault, ...]]
    told: set[tuple[str, str]]


@pytest.fixture(scope="module")
def heard(tmp_path_factory: pytest.TempPathFactory) -> Heard:
    cases = (
        *setup_refusals(tmp_path_factory.mktemp("refused")),
        *(*program_refusals(), *drawing_refusals(), *stock_refusals(), *path_refusals()),
        *(*response_refusals(), *tap_refusals(), *chatter_refusals()),
        *(*lesson_refusals(), *figure_refusals(), *sheet_and_table_refusals()),
    )
    english = [case.faults() for case in cases]
    with pytest.MonkeyPatch.context() as patch, wordless_spoken(patch) as told:
        wordless = [case.faults() for case in cases]
    speak("de")
    try:
        german = [case.faults() for case in cases]
    finally:
        speak(ENGLISH.id)
    quoted = [f"{case.quoted} {visible(case.quoted)}" for case in cases]
    return Heard(cases, quoted, english, wordless, german, told)


def _is_known(text: str) -> bool:
    bare = text.strip("\"'():;,[]{}")
    return not bare or bare in KNOWN or any(known.fullmatch(bare) for known in (_KEY, _SIGNS, _FIGURE))


def _is_piece(text: str, quoted: str, whole: bool) -> bool:
    """Whether a text stands in another one: between blanks and signs, unless it was cut off."""
    if not whole:
        return text in quoted
    return text in quoted and re.search(rf"(?<!\w){re.escape(text)}(?!\w)", quoted) is not None


def unexplained(told: str, quoted: str) -> set[str]:
    """The pieces of what is told in the language without words that are neither known nor a piece of ``quoted``."""
    whole, left = "…" not in told, set()  # dots stand where a long piece is cut off
    for piece in re.split(f"[{BOUND}…]", told):
        text = piece.strip()
        if text in _NOT_WORDS or text.strip('"') in _NOT_WORDS or _is_piece(text, quoted, whole):
            continue
        parts = text.split(", ")
        if not all(
            part in KNOWN or _is_piece(part, quoted, whole) or all(map(_is_known, part.split())) for part in parts
        ):
            left.add(text)
    return left


def _in_place(where: str, quoted: str) -> set[str]:
    """The same of a place, which may be a key of several parts."""
    if not unexplained(where, quoted):
        return set()
    return {left for part in where.split(".") for left in unexplained(part, quoted)}


def _three(heard: Heard) -> Iterator[tuple[str, str, Fault, Fault, Fault]]:
    """Name of a case, what it may quote, and one of its faults in English, without words and in German."""
    for case, quoted, *told in zip(
        heard.cases, heard.quoted, heard.english, heard.wordless, heard.german, strict=True
    ):
        for english, bare, german in zip(*told, strict=True):
            yield case.name, quoted, english, bare, german


def test_each_case_is_refused_at_the_same_lines_in_every_language(heard: Heard) -> None:
    for case, english, *others in zip(heard.cases, heard.english, heard.wordless, heard.german, strict=True):
        assert english or case.name in NOT_REFUSED, case.name
        assert all(fault.where and fault.found and fault.allowed for fault in english), case.name
        for faults in others:
            assert [fault.line for fault in faults] == [fault.line for fault in english], case.name


def test_no_sentence_stands_in_the_code(heard: Heard) -> None:
    left = set()
    for name, quoted, _, bare, _ in _three(heard):
        told = unexplained(bare.found, quoted) | unexplained(bare.allowed, quoted) | _in_place(bare.where, quoted)
        left |= {(name, text) for text in told}
    assert left == set()


def test_a_sentence_in_the_code_would_be_found(heard: Heard) -> None:
    """The same search finds every refusal that is told in English, as one that stands in the code would be."""
    unseen = {
        (name, english.found) for name, quoted, english, *_ in _three(heard) if not unexplained(english.found, quoted)
    }
    assert unseen == set()


@pytest.mark.parametrize("quoted", [GOOD, EVERY_KEY, FULL], ids=["setup", "every key", "materials"])
def test_a_part_of_a_sentence_in_the_code_would_be_found(quoted: str) -> None:
    """The words of all refusals, were they told in the language without words, are seen to be words."""
    english = own_words(ENGLISH.id)
    texts = {text for group in OF_READERS for text in english[group].values()}
    parts = {part.strip(" ,;:()[]\"'") for text in texts for part, *_ in string.Formatter().parse(text)}
    told = {part for part in parts if re.search("[a-z]{2}", part)}
    assert len(told) > 150
    unseen = {part for part in told if not unexplained(f"{BOUND}{part}{BOUND}", quoted)}
    # A key of a source, a kind of document, a word of "bar from the rack"; curves, charts, keys and units.
    assert unseen <= {"text", "setup", "from", "motion", "arc", "none", "loop", "teeth", "mm", "/min"}


def test_every_sentence_is_heard(heard: Heard) -> None:
    """No sentence is in the words for nothing, and each has been told with its fields."""
    english = own_words(ENGLISH.id)
    assert {(group, id) for group in OF_READERS for id in english[group]} - heard.told == UNHEARD


def test_whatever_has_words_is_told_in_others_in_german(heard: Heard) -> None:
    alike = set()
    for name, _, *faults in _three(heard):
        for part in ("found", "allowed"):
            english, bare, german = (getattr(fault, part) for fault in faults)
            has_words = re.sub(r"\W", "", english) != re.sub(rf"[\W{BOUND}]", "", bare)
            if has_words and german == english:
                alike.add((name, english))
    assert alike == set()


@cache
def _words(text: str) -> frozenset[str]:
    """Small words of three letters or more."""
    return frozenset(re.findall(r"(?<![\w.@/-])[a-zäöüß]{3,}(?!\w|[.@/-]\w)", text))


def test_german_refusals_have_no_english_word(heard: Heard) -> None:
    left, always = set(), KNOWN | _words(" ".join(_NOT_WORDS))
    for name, quoted, english, _, german in _three(heard):
        own = _words(quoted) | always
        for part in ("where", "found", "allowed"):
            left |= {(name, word) for word in _words(getattr(english, part)) & _words(getattr(german, part)) - own}
    assert left == set()


def test_german_refusals_have_decimal_commas(heard: Heard) -> None:
    """A point stands in a German figure only where the document, or what is to be written in it, has one."""
    points = set()
    for name, quoted, _, _, german in _three(heard):
        figures = re.findall(r"(?<![\w.])\d+\.\d+(?![\w.])", german.where)
        for text in (german.found, german.allowed):
            figures += re.findall(r"[\w:*-]*\d\.\d[\w.:*]*", text)
        points |= {(name, each) for each in figures if not any(each in text for text in (quoted, *SHOWN))}
    assert points == set()
