"""The Lesson page through a real window: a clicker alone, predictions, reveals, a crash, results."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox, QPushButton, QWidget

from app.kit.look import look, themed
from app.pages.lesson.lesson_memory import erase_results, forget_run, kept_run, results, results_csv, results_file
from app.pages.lesson.lesson_page import LessonPage
from app.pages.lesson.ring_scene import HEAD_RADIUS, REACH, Mark, mark_places, ring_scene
from app.pages.lesson.scene_words import scene_ring
from core.base.places import shared
from core.lesson.answers import check_answer
from core.lesson.lesson_files import our_lesson
from tests.app.windows import ArcWindow, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")

WAYS = str(shared("lessons", "which-way-is-which.toml"))
SKIN = str(shared("lessons", "skin-and-exceptions.toml"))
RUBS = str(shared("lessons", "rubbing-and-heat.toml"))
THICK = str(shared("lessons", "thickest-chip.toml"))


def begin(window: ArcWindow, file: str) -> LessonPage:
    """The Lesson page on top, with a lesson under way."""
    window.turn_to("lesson")
    page = window.page
    assert isinstance(page, LessonPage)
    page.teaching.start(file)
    under_way(page)
    return page


def under_way(page: LessonPage) -> None:
    """Wait until the answers are worked out."""
    until(lambda: page.teaching.run is not None)


@contextmanager
def lesson(file: str, size: tuple[int, int] = (1024, 768)) -> Iterator[tuple[ArcWindow, LessonPage]]:
    with laid_out_on(boss(), size, theme="projector") as window:
        yield window, begin(window, file)


def click(window: ArcWindow, key: Qt.Key = Qt.Key.Key_PageDown) -> None:
    """A press of the clicker."""
    QTest.keyClick(window, key)
    settle()


def to_step(window: ArcWindow, page: LessonPage, scene: int, step: str) -> None:
    """On to a place."""
    for _ in range(60):
        assert page.teaching.run is not None
        if (page.teaching.run.place.scene, page.teaching.run.place.step) == (scene, step):
            return
        click(window)
    raise AssertionError("no such place")


def ask_of(page: LessonPage) -> str:
    assert page.teaching.run is not None
    predict = page.teaching.run.lesson.scenes[page.teaching.run.place.scene].predict
    return predict.kind if predict is not None else ""


@pytest.mark.parametrize("file", [WAYS, SKIN], ids=["short", "long words"])
def test_a_clicker_alone_goes_from_start_to_end_without_a_dialog(file: str) -> None:
    with lesson(file) as (window, page):
        assert page.teaching.run is not None
        count = len(page.teaching.run.places)
        steps = []
        for position in range(count):
            assert page.teaching.run.position == position
            steps.append(page.teaching.run.place.step)
            assert not [w for w in QApplication.topLevelWidgets() if isinstance(w, QDialog) and w.isVisible()]
            assert (window.width(), window.height()) == (1024, 768)
            assert not window.hand_rail.isVisible()
            click(window)
        assert steps[0] == "caution" and steps[-1] == "end" and {"ask", "reveal", "look", "words"} <= set(steps)
        for _ in range(count):
            click(window, Qt.Key.Key_PageUp)
        assert page.teaching.run.position == 0


def test_an_open_question_tells_nothing_and_the_reveal_tells_all() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        assert page.teaching.run is not None
        panel = page.teaching.run_view.panel
        asked = scene_ring(page.teaching.run)
        assert asked is not None and asked.answer_deg is None and asked.chip is None
        assert not panel.answer.isVisible() and not panel.why.isVisible()
        assert "0.0566" not in window.sentence.label.text() and "?" not in panel.answer.text()
        click(window)
        told = scene_ring(page.teaching.run)
        assert told is not None and told.chip is not None
        assert told.answer_deg == pytest.approx(70.5288, abs=1e-3)
        assert panel.answer.isVisible() and "11:21" in panel.answer.text() and panel.why.isVisible()


def test_the_controls_are_in_sight_only_where_a_cut_is_looked_at() -> None:
    with lesson(THICK, (1280, 900)) as (window, page):
        for _ in range(6):
            assert page.teaching.run is not None
            assert window.hand_rail.isVisible() == (page.teaching.run.place.step == "look")
            click(window)


def test_full_screen_does_not_bring_the_controls_where_they_would_tell_the_answer() -> None:
    with lesson(THICK, (1280, 900)) as (window, page):
        to_step(window, page, 1, "ask")
        assert page.teaching.run is not None
        window.full_screen.toggle()
        settle()
        window.full_screen.toggle_bars()
        assert window.header.isVisible() and not window.hand_rail.isVisible()
        window.full_screen.toggle()
        settle()
        assert window.header.isVisible() and not window.hand_rail.isVisible()
        to_step(window, page, 1, "look")
        assert window.hand_rail.isVisible()
        window.full_screen.toggle()
        settle()
        to_step(window, page, 2, "look")
        # Full screen is the pictures alone, until the bars are asked for.
        assert not window.hand_rail.isVisible()
        window.full_screen.toggle_bars()
        assert window.hand_rail.isVisible()


def test_arrow_keys_go_from_lesson_to_lesson_and_along_one() -> None:
    with laid_out_on(boss()) as window:
        window.turn_to("lesson")
        page = window.page
        assert isinstance(page, LessonPage)
        window.activateWindow()
        settle()
        rows = page.stack.list.rows()

        def press(key: Qt.Key) -> str:
            at = QApplication.focusWidget()
            assert at is not None
            QTest.keyClick(at, key)
            now = QApplication.focusWidget()
            assert isinstance(now, QPushButton)
            return now.text()

        assert press(Qt.Key.Key_Up) == rows[0][0]
        assert press(Qt.Key.Key_Down) == rows[1][0]
        assert press(Qt.Key.Key_Down) == rows[2][0]
        assert press(Qt.Key.Key_Right) not in [title for title, _ in rows]
        press(Qt.Key.Key_Up)
        assert press(Qt.Key.Key_Left) == rows[1][0]


def test_pins_are_put_by_hand_by_keys_and_by_typing_and_are_held_against_the_answer() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        ring = page.teaching.run_view.ring
        at = ring.point_of(75.0).toPoint()
        QTest.mouseClick(ring, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(at.x(), at.y()))
        settle()
        assert page.teaching.run is not None
        assert page.teaching.run.of_scene(1)[0].guess == pytest.approx(75.0, abs=1.0)
        ring.setFocus()
        for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Left, Qt.Key.Key_Return):
            QTest.keyClick(ring, key)
        settle()
        assert len(page.teaching.run.of_scene(1)) == 2
        field = page.teaching.run_view.panel.field
        field.setText("Ann 2:00")
        QTest.keyClick(field, Qt.Key.Key_Return)
        settle()
        ann = page.teaching.run.of_scene(1)[2]
        assert ann.name == "Ann" and ann.guess == pytest.approx(150.0)
        field.setText("25:00")
        QTest.keyClick(field, Qt.Key.Key_Return)
        settle()
        assert page.teaching.run_view.panel.problem.isVisible() and len(page.teaching.run.of_scene(1)) == 3
        page.teaching.next()
        settle()
        marks = scene_ring(page.teaching.run).marks  # type: ignore[union-attr]
        assert marks[0].near and not marks[2].near
        assert "of 3 near" in page.teaching.run_view.panel.class_words.text()
        page.teaching.back()
        page.teaching.run_view.panel.undo_button.click()
        settle()
        assert len(page.teaching.run.of_scene(1)) == 2


def test_options_are_counted_by_their_numbers() -> None:
    with lesson(WAYS) as (window, page):
        to_step(window, page, 1, "ask")
        assert page.teaching.run is not None and ask_of(page) == "choose"
        units = window.view.units
        for number in map(ord, "12222"):
            QTest.keyClick(page.teaching.run_view.ring, Qt.Key(number))
        settle()
        assert [g.guess for g in page.teaching.run.of_scene(1)] == [0, 1, 1, 1, 1] and window.view.units == units
        click(window)
        panel = page.teaching.run_view.panel
        assert panel.options[1].words.endswith("4")
        assert panel.options[1].isChecked() and not panel.options[0].isChecked()
        assert panel.class_words.text() == "4 of 5 right."


@pytest.mark.parametrize("language", ["en", "de"])
def test_no_words_of_a_scene_are_cut_on_a_projector(language: str) -> None:
    with lesson(str(our_lesson("pushed-or-pulled", language))) as (window, page):
        assert page.teaching.run is not None
        for _ in page.teaching.run.places:
            if page.teaching.run.place.step in ("ask", "reveal", "words"):
                panel = page.teaching.run_view.panel
                inside = panel.widget()
                assert inside is not None
                assert inside.width() <= panel.viewport().width()
                for part in inside.findChildren(QWidget):
                    if part.isVisible() and part.parentWidget() is inside:
                        assert part.geometry().right() <= inside.width()
                for option in (each for each in panel.options if each.isVisible()):
                    for line in option.text().split("\n"):
                        assert QFontMetrics(option.font()).horizontalAdvance(line) <= option.width()
                    assert option.height() >= option.fontMetrics().height() * len(option.text().split("\n"))
            click(window)


def test_words_are_in_a_classs_type_and_in_a_smaller_one_rather_than_out_of_sight() -> None:
    with lesson(RUBS) as (window, page):
        to_step(window, page, 6, "reveal")
        panel = page.teaching.run_view.panel
        inside = panel.widget()
        assert inside is not None

        def size() -> int:
            settle()
            assert inside is not None and inside.height() <= panel.viewport().height()
            assert all(
                label.heightForWidth(label.width()) <= label.height()
                for label in (panel.ask, panel.answer, panel.why)
                if label.isVisible()
            )
            return panel.why.font().pixelSize()

        projector, seen = look("projector"), look(themed("projector", 768))
        # The window is not the screen's: there is less room than in full screen.
        window.view.set("theme", seen.name)
        assert size() == projector.text
        window.resize(1400, 1000)
        assert size() == seen.small
        window.resize(1024, 768)
        assert size() == projector.text
        click(window, Qt.Key.Key_PageUp)
        assert panel.say.font().pixelSize() == seen.small


def test_a_show_of_hands_is_pasted_and_told_where_it_is_wrong() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        page.teaching.run_view.panel.list_button.click()
        hands = page.teaching.run_view.hands
        assert hands.isVisible()
        hands.text.setPlainText("11:00\nAnn 11:30\nnoon")
        page.teaching.take_list(hands.text.toPlainText())
        assert page.teaching.run is not None
        assert "Line 3" in hands.faults.text() and page.teaching.run.of_scene(1) == ()
        page.teaching.take_list("11:00\nAnn 11:30\n20 x 12:00")
        settle()
        assert len(page.teaching.run.of_scene(1)) == 22 and not hands.isVisible()


def test_a_list_that_lies_open_is_taken_or_kept_when_the_clicker_goes_on() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        teaching, hands = page.teaching, page.teaching.run_view.hands
        teaching.run_view.panel.list_button.click()
        hands.text.setPlainText("Ann 11:30\nnoon")
        teaching.next()
        settle()
        assert teaching.run is not None and teaching.run.place.step == "reveal"
        assert teaching.run.of_scene(1) == ()
        teaching.back()
        teaching.run_view.panel.list_button.click()
        assert hands.text.toPlainText() == "Ann 11:30\nnoon"
        hands.text.setPlainText("Ann 11:30\n12:00")
        teaching.next()
        settle()
        assert teaching.run.place.step == "reveal"
        assert [guess.name for guess in teaching.run.of_scene(1)] == ["Ann", ""]
        # What was taken is not offered a second time, and another scene has a list of its own.
        teaching.back()
        teaching.run_view.panel.list_button.click()
        assert hands.text.toPlainText() == ""
        hands.text.setPlainText("noon")
        to_step(window, page, 2, "ask")
        teaching.run_view.panel.list_button.click()
        assert hands.text.toPlainText() == ""
        while (teaching.run.place.scene, teaching.run.place.step) != (1, "ask"):
            teaching.back()
        teaching.run_view.panel.list_button.click()
        assert hands.text.toPlainText() == "noon"


def test_marks_of_one_place_stand_behind_one_another() -> None:
    placed = mark_places((*(Mark(60.0 + 0.1 * i) for i in range(5)), Mark(120.0)))
    near = [radius for mark, _, radius in placed if mark.angle_deg < 90.0]
    assert len(set(near)) == 5 and placed[-1][2] == min(near)


def test_thirty_hands_for_one_place_are_thirty_heads_within_the_picture() -> None:
    scene = ring_scene(boss())
    marks = (*(Mark(180.0, f"{i}") for i in range(30)), Mark(181.0), Mark(109.0))
    heads = [scene.place(angle, radius) for _, angle, radius in mark_places(marks)]
    assert len(heads) == 32
    for i, (x, y) in enumerate(heads):
        assert max(abs(x), abs(y)) + HEAD_RADIUS <= REACH
        assert all(math.hypot(x - a, y - b) > 1.9 * HEAD_RADIUS for a, b in heads[:i])


def test_the_cut_of_a_scene_is_on_the_bench_and_undo_brings_back_what_was_there() -> None:
    with lesson(THICK) as (window, page):
        assert page.teaching.run is not None
        to_step(window, page, 4, "look")
        assert window.workbench.setup.cut.radial_engagement_mm == 9.0
        assert not window.workbench.modified
        page.teaching.end()
        settle()
        assert page.stack.list.isVisible() and kept_run() is None
        for _ in range(40):
            window.workbench.undo()
        assert window.workbench.setup == boss()


def test_the_next_start_goes_on_with_a_lesson_that_was_cut_short_and_not_with_one_that_was_ended() -> None:
    forget_run()
    with laid_out_on(boss()) as window:
        window.go_on()
        assert window.page.id == "arc"
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "reveal")
    with laid_out_on(boss()) as window:
        window.go_on()
        assert isinstance(window.page, LessonPage)
        again = window.page.teaching
        under_way(window.page)
        assert again.run is not None
        assert (again.run.place.scene, again.run.place.step) == (1, "reveal")
        again.end()
    assert not LessonPage.was_cut_short()


def test_a_lesson_that_is_refused_is_told_in_the_list(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.toml"
    text = Path(THICK).read_text("utf-8")
    wrong.write_text(text.replace("minutes = 2", "minutes = -2", 1), "utf-8")
    with laid_out_on(boss()) as window:
        window.turn_to("lesson")
        page = window.page
        assert isinstance(page, LessonPage)
        page.teaching.start(str(wrong))
        until(lambda: "wrong.toml" in page.stack.list.told.text())
        assert "minutes" in page.stack.list.told.text() and page.teaching.run is None


def test_only_predictions_with_a_name_are_kept_and_they_are_erased_for_good() -> None:
    erase_results()
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        page.teaching.take_list("Ann 11:30\n9:00\n=Bo 11:20")
        click(window)
        click(window, Qt.Key.Key_PageUp)
        click(window)
    kept = results()
    assert [(r.name, r.near) for r in kept] == [("Ann", True), ("=Bo", True)]
    told = json.loads(results_file().read_text("utf-8"))
    assert all(set(entry) == {"name", "lesson", "question", "prediction", "near"} for entry in told)
    table = results_csv(kept).splitlines()
    assert len(table) == 3 and table[2].startswith("'=Bo,")
    erase_results()
    assert results() == () and not results_file().exists()


def test_notes_tell_the_teacher_more_than_the_class_sees() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 1, "ask")
        page.teaching.toggle_notes()
        settle()
        notes = page.teaching.notes.window
        assert notes is not None and notes.isVisible() and not isinstance(notes, QMessageBox)
        assert "11:21" in notes.answer.text() and not page.teaching.run_view.panel.answer.isVisible()
        assert "Climb: and now?" in notes.next.text()
        notes.on.emit()
        assert page.teaching.run is not None and page.teaching.run.place.step == "reveal"
        page.teaching.end()
        settle()
        assert page.teaching.notes.window is None


def test_the_answer_that_is_shown_is_the_one_that_is_computed() -> None:
    with lesson(THICK) as (window, page):
        assert page.teaching.run is not None
        for i, scene in enumerate(page.teaching.run.lesson.scenes):
            if scene.predict is None or scene.predict.kind != "pin":
                continue
            to_step(window, page, i, "reveal")
            told = scene_ring(page.teaching.run)
            assert told is not None
            right = check_answer(scene.predict, scene.setup, page.teaching.run.lesson.before(i))
            assert told.answer_deg == right.value


def test_a_lesson_waits_while_another_page_is_looked_at() -> None:
    with lesson(THICK) as (window, page):
        to_step(window, page, 2, "reveal")
        window.turn_to("arc")
        settle()
        assert window.hand_rail.isVisible()
        window.turn_to("lesson")
        settle()
        assert page.teaching.run is not None
        assert (page.teaching.run.place.scene, page.teaching.run.place.step) == (2, "reveal")
        click(window)
        assert page.teaching.run.place.step == "look" and page.teaching.shown_pages.top is not None
        window.turn_to("arc")
        assert page.teaching.shown_pages.top is None
        window.turn_to("lesson")
        settle()
        assert page.teaching.shown_pages.top is not None
