"""Texts of data files in German: every one that people read, and none that no data file has."""

from __future__ import annotations

import errno
import json
import os
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from core.base.language import ENGLISH, speak
from core.base.places import shared
from core.base.refused import system_reason
from core.documents.material_entry import GROUPS
from core.documents.materials import catalogue
from core.documents.setup_examples import example
from core.report.figure_words import shown
from core.report.figures import figures
from core.report.schema import group_titles, report_keys

GERMAN: dict[str, dict[str, str]] = tomllib.loads(shared("phrases.de.toml").read_text("utf-8"))
BOOKS = re.compile(
    r".*Manufacturing Automation, .*|.*Zerspanungstechnik, 2014|(EN|ISO|ASTM)[A-Z0-9 -]+|T6|force\.[a-z_.; ]+"
)
"""Titles, standards and keys, which stay as they are."""

MATERIAL_TEXTS = ("kind", "condition", "standard", "thermal_law")


def read(name: str) -> dict[str, Any]:
    return tomllib.loads(shared(name).read_text("utf-8"))


def texts_of_materials() -> Iterator[str]:
    """Groups, kind, condition and standard of each material, and what is said beside each source."""
    yield from GROUPS.values()
    for name in ("materials.toml", "tool_life.toml"):
        data = read(name)
        for source in data["sources"].values():
            yield from (source[key] for key in ("text", "status", "conditions"))
        for entry in (*data.get("material", ()), *data.get("cutter_material", ())):
            yield from (entry[key] for key in MATERIAL_TEXTS if key in entry)
        yield from (entry["edge"] for entry in data.get("exponents", ()))


def texts_of_the_report() -> Iterator[str]:
    yield from group_titles().values()
    for key in report_keys().values():
        yield from (text for text in (key.meaning, key.model, key.source, key.leaves_out) if text)


def test_every_text_is_there_in_german() -> None:
    told = {english for table in GERMAN.values() for english in table}
    missing = {text for text in (*texts_of_materials(), *texts_of_the_report()) if text not in told}
    assert [text for text in missing if not BOOKS.fullmatch(text)] == []


def test_every_english_text_stands_in_a_data_file() -> None:
    known = {*texts_of_materials(), *texts_of_the_report()}
    tables = [table for name, table in GERMAN.items() if name not in ("words", "system")]
    assert [text for table in tables for text in table if text not in known] == []


def test_what_the_system_says_is_what_it_says() -> None:
    says = {os.strerror(number) for number in errno.errorcode} | {"embedded null byte"}
    assert [text for text in GERMAN["system"] if text not in says] == []
    full, other = (OSError(number, os.strerror(number)) for number in (errno.ENOSPC, errno.EBADMSG))
    with pytest.raises(ValueError, match="null") as nameless:
        os.stat("a\0b")
    speak("de")
    try:
        assert system_reason(full) == "kein Platz mehr auf dem Datenträger"
        assert system_reason(nameless.value) == "ein Null-Byte im Namen"
        assert system_reason(other) == os.strerror(errno.EBADMSG)
    finally:
        speak(ENGLISH.id)
    assert system_reason(full) == os.strerror(errno.ENOSPC)


def test_german_texts_keep_figures_and_the_part_for_scripts() -> None:
    for english, german in ((e, g) for table in GERMAN.values() for e, g in table.items()):
        assert german and german != english.lower() and "  " not in german
        # What null means stands behind this sign, and a reader of the window is not told it.
        assert ("; null" in german) == ("; null" in english), english
        if "doi" not in english:
            figures = [sorted(re.findall(r"\d+", text)) for text in (english, german)]
            assert figures[0] == figures[1], english
            assert not re.search(r"\d\.\d", german), "a decimal comma"


@pytest.mark.parametrize("name", ["slack-table", "flame-cut-plate", "facing-wide-steel"])
def test_words_that_stand_for_a_figure_are_told_in_german(name: str) -> None:
    speak("de")
    try:
        rows = figures(example(name).setup()).rows
        told = {v: shown(r, v, "metric") for r in rows for v in (r.climb, r.conventional) if isinstance(v, str)}
    finally:
        speak(ENGLISH.id)
    words = {*GERMAN["words"], "climb", "conventional", "straddling"}
    assert {"pulls", "slides in", "left"} & told.keys() or "straddling" in told
    assert {word for word in words & told.keys() if told[word] == word} == set()
    # Single words that are neither German already nor keys, names or units.
    keys = re.compile(r"[\d:]+|[a-z]+(_[a-z]+)*|.*\..*|.*[A-ZÄÖÜß].*|1/min|mm")
    assert {word for word, text in told.items() if text == word and not keys.fullmatch(word)} == set()


def test_no_key_of_the_report_is_described_twice() -> None:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        names = [name for name, _ in pairs]
        assert len(names) == len(set(names)), sorted(name for name in names if names.count(name) > 1)
        return dict(pairs)

    json.loads(shared("report.schema.json").read_text("utf-8"), object_pairs_hook=once)
    assert "greatest error" in report_keys()["wall.error_greatest_mm"].meaning


def test_sources_of_a_material_are_told_in_the_language_that_is_spoken() -> None:
    english = catalogue().find("C45E")
    speak("de")
    try:
        german = catalogue().find("C45E")
        assert "aus dem Gedächtnis" in str(german.figures[0][1].source)
        assert german.facts.force_source.startswith("C45E: Kienzle-Konstanten, wie gedruckt in")
        assert german.facts.edge_radius_source == "üblicher Radius einer solchen Schneide: in der Praxis üblich, " + (
            "keine Quelle; im Druck der Koeffizienten steht der Radius nicht"
        )
    finally:
        speak(ENGLISH.id)
    assert catalogue().find("C45E").facts == english.facts
    assert "from memory" in str(english.figures[0][1].source)
