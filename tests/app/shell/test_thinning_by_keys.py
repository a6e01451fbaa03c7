"""Chip thinning and stepover before a class with keys alone, on a small projector, in every language."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QWidget

from app.controls.thinning_line import ThinningLine
from app.kit.look import LEAST_CAPITALS, themed
from app.pages.lesson.lesson_page import LessonPage
from core.base.language import ENGLISH, LANGUAGES, speak
from core.documents.setup_examples import example
from core.effects.arc_results import arc_results
from core.lesson.answers import answer_words
from core.lesson.lesson_files import our_lesson
from core.lesson.lesson_reading import load_lesson
from core.report.sentence import said_thickness
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")

SIZE = (1024, 768)
THINNING = "chip-thinning"


@pytest.fixture(params=LANGUAGES)
def projected(request: pytest.FixtureRequest) -> Iterator[ArcWindow]:
    """Full screen by its key on a small projector, in its type; a window of the language."""
    speak(request.param)
    try:
        with laid_out_on(boss(), SIZE, theme=themed("projector", SIZE[1])) as window:
            QTest.keyClick(window, Qt.Key.Key_F11)
            settle()
            window.resize(*SIZE)
            at_rest(window)
            yield window
    finally:
        speak(ENGLISH.id)


def press(window: ArcWindow, key: Qt.Key) -> None:
    """A key, whatever has the focus."""
    QTest.keyClick(QApplication.focusWidget() or window, key)
    settle()


def to(window: ArcWindow, widget: QWidget) -> None:
    """The Tab key until a widget has the focus."""
    for _ in range(120):
        if QApplication.focusWidget() is widget:
            return
        press(window, Qt.Key.Key_Tab)
    raise AssertionError(f"{widget.accessibleName()} is not reached by Tab")


def to_button(window: ArcWindow, words: str) -> None:
    """The Tab key until a button with these words has the focus."""
    for _ in range(80):
        focus = QApplication.focusWidget()
        if isinstance(focus, QAbstractButton) and words in focus.text():
            return
        press(window, Qt.Key.Key_Tab)
    raise AssertionError(f"no button with {words} is reached by Tab")


def in_sight(window: ArcWindow) -> list[QWidget]:
    """What of words can be read now."""
    found: list[QWidget] = [
        *window.findChildren(QLabel),
        *window.findChildren(QAbstractButton),
        window.sentence.label,
    ]
    return [each for each in found if each.isVisible()]


def words_in_sight(window: ArcWindow) -> str:
    """All of them, one under another."""
    return "\n".join(each.text() for each in in_sight(window))  # type: ignore[attr-defined]


def answer(window: ArcWindow, page: LessonPage) -> None:
    """A prediction by keys, as the question wants it."""
    assert page.teaching.run is not None and page.teaching.run.scene.predict is not None
    kind, panel = page.teaching.run.scene.predict.kind, page.teaching.run_view.panel
    focus = QApplication.focusWidget()
    assert focus is not None
    if kind == "choose":
        QTest.keyClick(focus, Qt.Key.Key_2)
    else:
        to(window, panel.field)
        QTest.keyClicks(panel.field, "DBCA" if kind == "order" else "0.2")
        press(window, Qt.Key.Key_Return)
    settle()
    assert len(page.teaching.run.of_scene(page.teaching.run.place.scene)) == 1, kind


def readable(widget: QWidget) -> None:
    """Its capitals are seen from the back of the room, and all its lines are there."""
    assert widget.fontMetrics().capHeight() >= LEAST_CAPITALS * SIZE[1] - 0.5, widget
    if isinstance(widget, QLabel) and widget.wordWrap():
        assert widget.heightForWidth(widget.width()) <= widget.height(), widget.text()


def test_the_lesson_is_given_and_no_answer_is_seen_before_its_reveal(projected: ArcWindow) -> None:
    window = projected
    QTest.keyClick(window, Qt.Key.Key_5, Qt.KeyboardModifier.ControlModifier)
    settle()
    page = window.page
    assert isinstance(page, LessonPage)
    file = our_lesson(THINNING)
    assert file is not None
    to_button(window, load_lesson(file, None).title)
    press(window, Qt.Key.Key_Return)
    until(lambda: page.teaching.run is not None)
    panel = page.teaching.run_view.panel
    assert page.teaching.run is not None
    seen = []
    for _ in page.teaching.run.places:
        run = page.teaching.run
        step, predict = run.place.step, run.scene.predict
        seen.append(step)
        assert (window.width(), window.height()) == SIZE
        if step in ("ask", "reveal"):
            assert predict is not None
            told = answer_words(predict, run.scene.setup, run.before, "metric")
            assert (told in words_in_sight(window)) == (step == "reveal"), told
            assert panel.why.isVisible() == panel.answer.isVisible() == (step == "reveal")
            for part in (panel.title, panel.say, panel.ask, panel.answer, panel.why, *panel.options):
                if part.isVisible():
                    readable(part)
            inside = panel.widget()
            assert inside is not None and inside.height() <= panel.viewport().height()
        if step == "caution":
            readable(page.teaching.run_view.large)
        if step == "ask":
            answer(window, page)
        press(window, Qt.Key.Key_PageDown)
    assert seen[0] == "caution" and seen[-1] == "end" and seen.count("ask") == seen.count("reveal") == 5
    assert sum(map(len, page.teaching.run.guesses)) == 5
    # The end tells how the class did at each question.
    asked = [scene.title for scene in page.teaching.run.lesson.scenes if scene.predict is not None]
    assert all(title in page.teaching.run_view.large.text() for title in asked)


def test_the_narrow_cut_is_asked_and_told_on_the_arc_page_and_another_stepover_is_set(projected: ArcWindow) -> None:
    window, shown = projected, example("finishing-aluminium")
    window.workbench.propose(shown.setup(), steps.ANOTHER)
    press(window, Qt.Key.Key_F10)
    for key in (Qt.Key.Key_E, Qt.Key.Key_N, Qt.Key.Key_C, Qt.Key.Key_W):
        press(window, key)
    at_rest(window)
    assert (window.width(), window.height()) == SIZE
    panel, told = window.arc.which_way, window.sentence.label
    width, feed = (window.hand_rail.controls[f"cut.{id}"] for id in ("radial_engagement_mm", "feed_per_tooth_mm"))
    thinning = feed.beside
    assert isinstance(thinning, ThinningLine)

    def chip() -> str:
        return said_thickness(arc_results(window.workbench.resolved).trochoid.h_max, "metric")

    # Which way is open with its questions alone; neither the chip nor the feed that restores it can be read.
    assert panel.isVisible() and panel.ask_button.isVisible() and not panel.decision.isVisible()
    assert not thinning.text() and not window.sentence.isVisible() and not window.story.isVisible()
    assert shown.sentence not in words_in_sight(window) and chip() not in words_in_sight(window)
    press(window, Qt.Key.Key_V)
    for key in (Qt.Key.Key_W, Qt.Key.Key_E, Qt.Key.Key_N, Qt.Key.Key_C):
        press(window, key)
    at_rest(window)
    assert window.story.text() == shown.sentence and chip() in told.text()
    for label in (told, window.story.label):
        assert label.fontMetrics().capHeight() >= LEAST_CAPITALS * SIZE[1] - 0.5
    # The feed that makes the chip as thick as was thought: one key.
    to(window, thinning)
    press(window, Qt.Key.Key_Space)
    at_rest(window)
    assert window.workbench.setup.cut.feed_per_tooth_mm == pytest.approx(0.1466)
    restored = arc_results(window.workbench.resolved).arc.h_max
    assert restored == pytest.approx(0.05, rel=1e-3) and chip() in told.text()
    # In a corner the stepover is as if it were ten times as wide: nearly the whole raised feed is chip.
    to(window, width.field)
    width.field.selectAll()
    QTest.keyClicks(width.field, "3")
    press(window, Qt.Key.Key_Return)
    at_rest(window)
    assert window.workbench.setup.cut.radial_engagement_mm == 3.0
    assert arc_results(window.workbench.resolved).arc.h_max > 0.9 * 0.1466 and chip() in told.text()
    assert len(told.lines()) * told.fontMetrics().lineSpacing() <= told.height()
    assert (window.width(), window.height()) == SIZE
