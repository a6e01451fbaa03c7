"""The list of lessons as a picture: every lesson with what it is about, as words that a vector file carries."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSize

from app.pages.lesson.lesson_page import LessonPage
from app.pages.page_picture import save_picture_of
from app.state.view_state import ViewState
from tests.app.windows import boss

pytestmark = pytest.mark.usefixtures("window_app")


def test_every_lesson_stands_in_the_picture_with_what_it_is_about(tmp_path: Path) -> None:
    file = tmp_path / "lessons.svg"
    save_picture_of(LessonPage, boss(), file, QSize(1600, 1000), view=ViewState(), theme="light")
    drawn = file.read_text(encoding="utf-8")
    assert "Chatter, heard" in drawn and "why speed and direction can silence it" in drawn
    # The head, and two lines for each of the eight lessons that come with the program.
    assert drawn.count("<text") == 17
