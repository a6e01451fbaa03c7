"""Lines of print: a figure keeps its unit, a unit its slash, and the words are those that were given."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import pytest
from PySide6.QtGui import QFontMetricsF

from app.kit.look import look
from app.kit.whole_figures import on_lines
from core.base.language import ENGLISH, speak

pytestmark = pytest.mark.usefixtures("window_app")

ENGLISH_TEXT = (
    "The spindle turns with 10700 /min, the cutter has 2 teeth, the feed is 0.0650 mm/tooth and the table goes with "
    "1391 mm/min; the wall stands 7.65 mm high.\nTorque 6.29 N·m, removal 4.15 cm³/min, 46 °C over all."
)
GERMAN_TEXT = (
    "Die Spindel läuft mit 10\N{NARROW NO-BREAK SPACE}700 /min, der Fräser hat 2 Zähne, der Vorschub ist "
    "0,0650 mm/Zahn und der Tisch fährt mit 1391 mm/min; die Wand ist 7,65 mm hoch.\n"
    "Drehmoment 6,29 N·m, 4,15 cm³/min."
)


@pytest.fixture(params=["en", "de"])
def text(request: pytest.FixtureRequest) -> Iterator[str]:
    speak(request.param)
    yield GERMAN_TEXT if request.param == "de" else ENGLISH_TEXT
    speak(ENGLISH.id)


def test_no_figure_is_parted_from_its_unit_at_any_width(text: str) -> None:
    font = look("print").font("text")
    advance = QFontMetricsF(font).horizontalAdvance
    ends = set()
    for width in range(126, 700, 7):
        lines = on_lines(text, font, float(width)).split("\n")
        assert " ".join(lines).split() == text.split()
        for line, after in zip(lines, [*lines[1:], ""], strict=True):
            assert advance(line) <= width + 0.5
            assert not line.endswith("/") and not after.startswith("/")
            unit = re.match(r"(/min|mm/\w+|mm|N·m|cm³/min|°C)\b", after)
            assert unit is None or not re.search(r"\d$", line), (width, line, after)
        ends.add(len(lines))
    assert len(ends) > 4


def test_lines_are_as_full_as_they_can_be(text: str) -> None:
    font = look("print").font("text")
    advance = QFontMetricsF(font).horizontalAdvance
    lines = on_lines(text, font, 260.0).split("\n")
    for line, after in pairwise(lines):
        whole = re.match(r"\S*(?<=\d) \S+|\S+", after)
        assert whole is not None
        ended = text.split("\n")[0].endswith(line)
        assert ended or advance(f"{line} {whole[0]}") > 260.0


def test_letters_of_any_plane_stay_as_they_are() -> None:
    font = look("print").font("text")
    odd = "\U0001d54f \U0001f9f0 10 mm " * 9 + "end"
    assert on_lines(odd, font, 120.0).split() == odd.split()
    assert on_lines("", font, 120.0) == "" and on_lines("a\n\nb", font, 120.0) == "a\n\nb"
