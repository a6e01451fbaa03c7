"""Worksheets in German: a decimal comma in every figure, nothing over anything else, both papers and units."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF

from app.kit.label_layout import text_size
from app.kit.look import look
from app.pages.lesson.sheet_blocks import wrapped_height
from app.pages.lesson.sheet_pdf import PdfPages, foot, save_sheet, sheet_blocks
from core.base.language import ENGLISH, LANGUAGES, speak
from core.base.quantities import Units
from core.base.words import say
from core.documents.setup_examples import example
from core.lesson.lesson_files import our_lesson
from core.lesson.lesson_reading import load_lesson
from core.lesson.tasks import TASKS, task
from core.lesson.worksheet import Worksheet, worksheet

pytestmark = pytest.mark.usefixtures("window_app")

PRINTED: tuple[tuple[str, Units], ...] = (("A4", "metric"), ("Letter", "inch"))


@pytest.fixture
def german() -> Iterator[None]:
    speak("de")
    yield
    speak(ENGLISH.id)


def room_on(paper: str) -> QRectF:
    """What may be painted on."""
    pdf = PdfPages(paper, "sheet")
    pdf.painter.end()
    return pdf.rect


def sheet(name: str, units: Units) -> Worksheet:
    file = our_lesson(name)
    assert file is not None and file.parent.name == "de"
    return worksheet(load_lesson(file), "7", units)


@pytest.mark.usefixtures("german")
@pytest.mark.parametrize("name", ["thickest-chip", "chip-thinning"])
@pytest.mark.parametrize(("paper", "units"), PRINTED)
def test_figures_have_a_decimal_comma_and_words_are_german(
    name: str, paper: str, units: Units, tmp_path: Path
) -> None:
    made, room = sheet(name, units), room_on(paper)
    for key in (False, True):
        blocks = sheet_blocks(made, room.width(), look("print"), key=key)
        texts = [each for block in blocks for each in block.texts]
        told = [re.sub(r"[a-z_]+\.[a-z_.]+", "", each.text) for each in texts]
        assert any(re.search(r"\d,\d", text) for text in told)
        assert [text for text in told if re.search(r"\d\.\d", text)] == []
        english = re.compile(r"\b(the|of|and|tooth|feed|teeth|cutter|answer|sheet)\b", re.IGNORECASE)
        assert [text for text in told if english.search(text)] == []
        for each in texts:
            assert each.rect.right() <= room.width() + 4.0
            assert wrapped_height(each.font, each.text, each.rect.width()) <= each.rect.height() + 0.5
        save_sheet(made, tmp_path / f"{key}.pdf", paper=paper, key=key)
        assert (tmp_path / f"{key}.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_foot_stands_beside_the_number_of_the_page(language: str) -> None:
    speak(language)
    try:
        theme = look("print")
        for paper in ("A4", "Letter"):
            rect = room_on(paper)
            words, number = foot(rect, theme)
            assert not words.intersects(number)
            assert rect.adjusted(-0.5, -0.5, 0.5, 2.5).contains(words) and rect.contains(number)
            font = theme.font("small")
            assert wrapped_height(font, say("worksheet", "caution"), words.width()) <= words.height()
            assert text_size(font, say("worksheet", "page", page=12, pages=34)).width() <= number.width()
    finally:
        speak(ENGLISH.id)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_working_has_the_same_figures_in_german_to_the_same_digit(units: Units) -> None:
    def figures_of_steps() -> list[str]:
        setup = example("boss").setup()
        made = [found for id in TASKS if (found := task(id, setup, units)) is not None]
        return re.findall(r"\d+(?:[.,]\d+)?", " ".join(step for each in made for step in each.steps))

    english = figures_of_steps()
    speak("de")
    try:
        german = figures_of_steps()
    finally:
        speak(ENGLISH.id)
    assert len(english) > 20
    assert german == [figure.replace(".", ",") for figure in english]
