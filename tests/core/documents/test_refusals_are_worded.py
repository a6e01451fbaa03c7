"""What setups, materials and files are refused with comes from the words alone, in whole sentences.

The refusals are heard in a language without words.  What is still told then must be a key, a figure, or a piece of
what was refused; anything else is a sentence of the code, which no other language can have.
"""

from __future__ import annotations

import os
import re
import string
from dataclasses import dataclass, fields

import pytest

from core.base.errors import ChiparcError, DocumentError, Fault
from core.base.language import ENGLISH, speak
from core.base.visible import visible
from core.base.words import own_words
from core.calibration.calibration_file import COLUMNS
from core.documents.material_entry import BLOCKS, GROUPS
from core.documents.materials import catalogue
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_reading import MODELS, TABLES, TOP_KEYS
from core.documents.thermal_laws import LAWS
from core.force import many_cuts
from core.setup.setup_limits import CHOICES, LISTS, RANGES
from tests.app.language.pseudo import BOUND, wordless_spoken
from tests.core.documents.test_materials import FULL
from tests.documents_refused.every_refusal import EVERY_KEY, Case, every_refusal
from tests.documents_refused.setups import GOOD

REFUSING = (
    *("document_refused", "figures_refused", "toml_refused", "toml_value", "speed_curve", "show_list"),
    *("calibration_refused", "read_file", "together", "range", "listed"),
)
"""Groups of the words that are told of what is refused here."""

UNHEARD = {
    # A setup that is legal can be written; its document would have to be read back as another one.
    *(("document_refused", "not_held"), ("document_refused", "not_held_allowed")),
    # No figure of a setup goes on without end.
    *(("range", "any"), ("range", "at_least"), ("range", "over")),
    # Who may read everything is not kept from a file.
    *([("read_file", "forbidden")] if os.geteuid() == 0 else []),
}

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
    *(f'{start}"chiparc {kind}"' for kind in ("setup", "materials", "tool life") for start in ("", "format = ")),
    *('"right"', "carbide", "high-speed steel", "TOML", "--material", "--group", "--kind", "/min", "kW", "{'a': 1}"),
}
"""What is the same in every language: keys, what lists and choices may name, units."""

AS_WRITTEN = {"12.5", "0.5", "5.0"}
"""Examples of how a figure is written in a document."""

_FIGURE = re.compile(r"[-+]?(\d[\d.,]*(e[+-]?\d+)?|inf)|nan|0x[0-9A-F]{2}|true|false")


def _is_known(text: str) -> bool:
    return text in KNOWN or _FIGURE.fullmatch(text) is not None


def _is_piece(text: str, quoted: str, whole: bool) -> bool:
    """Whether a text stands in another one: between blanks and signs, unless it was cut off."""
    if not whole:
        return text in quoted
    return text in quoted and re.search(rf"(?<!\w){re.escape(text)}(?!\w)", quoted) is not None


def unexplained(told: str, quoted: str) -> set[str]:
    """The pieces of what is told in the language without words that are neither known nor a piece of ``quoted``."""
    # Dots stand where a long piece is cut off.
    pieces = {piece.strip() for piece in re.split(f"[{BOUND}…]", told)} - {""}
    left = {piece for piece in pieces if not all(map(_is_known, piece.split(", ")))}
    return {piece for piece in left if not _is_piece(piece, quoted, "…" not in told)}


def faults_of(case: Case) -> tuple[Fault, ...]:
    """All faults that a case is refused with; none where it is no document."""
    try:
        case.read()
    except DocumentError as error:
        return error.faults
    except ChiparcError as error:
        return (Fault(0, error.where, error.found, error.allowed),)
    return ()


@dataclass(frozen=True)
class Refusals:
    """The faults of every case in English, in German and without words, and which templates were told."""

    cases: list[Case]
    english: list[tuple[Fault, ...]]
    german: list[tuple[Fault, ...]]
    bare: list[tuple[Fault, ...]]
    heard: set[tuple[str, str]]


@pytest.fixture(scope="module")
def refused(tmp_path_factory: pytest.TempPathFactory) -> Refusals:
    cases = every_refusal(tmp_path_factory.mktemp("refused"))
    english = list(map(faults_of, cases))
    speak("de")
    try:
        german = list(map(faults_of, cases))
    finally:
        speak(ENGLISH.id)
    with pytest.MonkeyPatch.context() as patch, wordless_spoken(patch) as heard:
        bare = list(map(faults_of, cases))
    return Refusals(cases, english, german, bare, heard)


def test_a_refusal_without_its_words_is_keys_and_figures(refused: Refusals) -> None:
    left: set[tuple[str, str]] = set()
    for case, faults in zip(refused.cases, refused.bare, strict=True):
        quoted = f"{case.text} {visible(case.text)}"
        for fault in faults:
            told = unexplained(fault.found, quoted) | unexplained(fault.allowed, quoted)
            told |= {text for part in fault.where.split(".") for text in unexplained(part, quoted)}
            left |= {(case.name, text) for text in told}
    assert left == set()


def test_every_sentence_of_a_refusal_is_told(refused: Refusals) -> None:
    """None escapes the other tests, and none is left that nothing calls forth."""
    english = own_words(ENGLISH.id)
    assert {(group, id) for group in REFUSING for id in english[group]} - refused.heard == UNHEARD


@pytest.mark.parametrize("quoted", [GOOD, EVERY_KEY, FULL], ids=["setup", "every key", "materials"])
def test_a_sentence_of_the_code_would_be_seen(quoted: str) -> None:
    """The words of all refusals, were they told in the language without words, are seen to be words."""
    english = own_words(ENGLISH.id)
    texts = {text for group in REFUSING for text in english[group].values()}
    parts = {part.strip(" ,;:()[]\"'") for text in texts for part, *_ in string.Formatter().parse(text)}
    told = {part for part in parts if re.search("[a-z]{2}", part)}
    assert len(told) > 150
    unseen = {part for part in told if not unexplained(f"{BOUND}{part}{BOUND}", quoted)}
    # A key of a source, a kind of document, and a word of "bar from the rack".
    assert unseen <= {"text", "setup", "from"}


def test_whatever_has_words_is_told_in_others_in_german(refused: Refusals) -> None:
    alike = set()
    for case, *told in zip(refused.cases, refused.english, refused.german, refused.bare, strict=True):
        assert len({tuple(fault.line for fault in faults) for faults in told}) == 1, case.name
        for faults in zip(*told, strict=True):
            for part in ("found", "allowed"):
                english, german, bare = (getattr(fault, part) for fault in faults)
                has_words = re.sub(r"\W", "", english) != re.sub(rf"[\W{BOUND}]", "", bare)
                if has_words and german == english:
                    alike.add((case.name, english))
    assert alike == set()


def test_german_refusals_have_decimal_commas(refused: Refusals) -> None:
    """A point stands in a German figure only where the document, or what is to be written in it, has one."""
    points = set()
    for case, faults in zip(refused.cases, refused.german, strict=True):
        for text in (text for fault in faults for text in (fault.found, fault.allowed)):
            figures = re.findall(r"(?<![\w.])\d+\.\d+(?![\w.])", text)
            points |= {(case.name, each) for each in figures if each not in case.text and each not in AS_WRITTEN}
    assert points == set()
