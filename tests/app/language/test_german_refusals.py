"""A value that is refused in German: a German sentence, with decimal commas, in field and sentence bar."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.controls.figure_field import FigureField
from core.base.errors import ChiparcError, DocumentError
from core.base.language import ENGLISH, speak
from core.base.safe_write import write_text
from core.base.visible import bounded
from core.setup.setup_limits import check_setup
from tests.app.controls.test_fields import entered, told
from tests.app.language.test_german_windows import ENGLISH_WORDS
from tests.app.windows import boss, laid_out_on, settle

REFUSING_WORDS = re.compile(r"\b(found|allowed|over|under|up|from|to|number|diameter|half|whole|list|line)\b")
"""What an English refusal is made of."""


@pytest.fixture(autouse=True)
def _german(window_app: object) -> Iterator[None]:
    speak("de")
    yield
    speak(ENGLISH.id)


REFUSALS = [
    (
        "metric",
        "cut.radial_engagement_mm",
        "12,5",
        "gefunden: „12,5“; erlaubt: über 0 und unter 12 mm (der Durchmesser)",
    ),
    ("inch", "cut.radial_engagement_mm", "2", "über 0 und unter 0,47244 in (der Durchmesser)"),
    ("metric", "cutter.diameter_mm", "0,001", "gefunden: „0,001“; erlaubt: von 0,01 mm bis 1000 mm"),
    ("metric", "cut.feed_per_tooth_mm", "-5,5", "erlaubt: über 0 bis 6 mm/Zahn (der halbe Durchmesser)"),
    (
        "metric",
        "cut.spindle_speed_rpm",
        "2000000",
        "über 0 bis 1\N{NARROW NO-BREAK SPACE}000\N{NARROW NO-BREAK SPACE}000",
    ),
    ("metric", "cut.radial_engagement_mm", "abc", "gefunden: „abc“; erlaubt: eine Zahl in mm, oder ein Anteil in %"),
]
"""Units, key, what is typed, and what the sentence tells of it."""


def test_typed_values_are_refused_in_german() -> None:
    with laid_out_on(boss()) as window:
        for units, key, text, sentence in REFUSALS:
            window.view.set("units", units)
            refused = entered(window, key, text)
            assert sentence in told(window) and sentence in refused.note.toolTip()
            for each in (told(window), refused.note.text(), refused.note.toolTip()):
                assert not ENGLISH_WORDS.search(each) and not REFUSING_WORDS.search(each), each
                assert not re.search(r"\d\.\d", each), each
            QTest.keyClick(refused.field, Qt.Key.Key_Escape)
            settle()


def test_a_title_and_the_name_of_a_material_are_refused_in_german() -> None:
    with laid_out_on(boss()) as window:
        window.header.edit_title()
        window.header.title_field.setText("a" * 1234)
        QTest.keyClick(window.header.title_field, Qt.Key.Key_Return)
        settle()
        title = told(window)
        window.header.title_field.setText("")
        QTest.keyClick(window.header.title_field, Qt.Key.Key_Return)
        with pytest.raises(ChiparcError) as refused:
            window.workbench.materials.find("Kaugummi")
        field = FigureField("Drehzahl", window.view)
        field.show_figure(1.0, "spindle_speed")
        heard: list[str] = []
        field.refused.connect(heard.append)
        field.setText("-2,5")
        field.setModified(True)
        QTest.keyClick(field, Qt.Key.Key_Return)
    assert "Titel: 1234 Zeichen gefunden; erlaubt: eine Zeile mit höchstens" in title
    assert str(refused.value).endswith(
        ": „Kaugummi“ gefunden, was der Katalog nicht hat; erlaubt: ein Eintrag des Katalogs"
    )
    assert heard == ["Drehzahl: gefunden: „-2,5“; erlaubt: eine Zahl über 0 /min"]
    for each in (title, *heard):
        assert not ENGLISH_WORDS.search(each) and not REFUSING_WORDS.search(each), each


def test_a_file_that_cannot_be_written_is_refused_in_german(tmp_path: Path) -> None:
    with pytest.raises(DocumentError) as refused:
        write_text(tmp_path / "keiner" / "x.toml", "")
    assert refused.value.found == f"den Ordner {tmp_path / 'keiner'} gibt es nicht"
    with pytest.raises(DocumentError) as refused:
        write_text(tmp_path, "")
    assert str(refused.value) == f"{tmp_path}: Datei: einen Ordner gefunden; erlaubt: der Name einer Datei"


def test_what_is_too_long_is_counted_in_german() -> None:
    told = bounded("9" * 40_000, 40)
    assert told.endswith(" (40\N{NARROW NO-BREAK SPACE}000 Zeichen)")


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"cut.centre_offset_mm": 1.5}, "cut.centre_offset_mm: gefunden: 1,5 im Gleichlauf; erlaubt: 0, oder"),
        ({"cut.radial_engagement_mm": 12.5}, "12,5 mit einem Fräser von 12; erlaubt: unter dem Durchmesser (12); "),
        ({"cutter.runout_mm": 7.25}, "cutter.runout_mm: gefunden: 7,25; erlaubt: unter dem halben Durchmesser (6)"),
        ({"cutter.helix_deg": 85.5}, "cutter.helix_deg: gefunden: 85,5; erlaubt: von 0 bis 85"),
        ({"cutter.teeth": 200}, "cutter.teeth: gefunden: 200; erlaubt: eine ganze Zahl von 1 bis 100"),
        ({"cutter.hand": "up"}, "cutter.hand: gefunden: „up“; erlaubt: „right“, „left“"),
    ],
)
def test_a_setup_is_refused_in_german(values: dict[str, object], sentence: str) -> None:
    with pytest.raises(ChiparcError) as refused:
        check_setup(boss().with_keys(values))
    assert sentence in str(refused.value)


def test_a_refusal_is_told_in_the_language_that_is_spoken_when_it_is_told() -> None:
    error = ChiparcError("a", "b", "c")
    fault = DocumentError("x.toml", 3, "a", "b", "c")
    assert (str(error), str(fault)) == ("a: b; erlaubt: c", "x.toml:3: a: b; erlaubt: c")
    speak(ENGLISH.id)
    assert (str(error), str(fault)) == ("a: b; allowed: c", "x.toml:3: a: b; allowed: c")
