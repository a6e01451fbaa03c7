"""Documents in the window: opening is a step of undo, closing asks, copying is told, examples have stories."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt, QTimer
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from app.controls import sentence_bar
from app.pages.arc.arc_state import angle_in_cut
from app.shell.files import Answer
from app.shell.gallery import GalleryDialog
from core.base.words import say
from core.documents.setup_document import load_setup
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import write_setup
from core.report.sentence import sentence_lines
from core.setup.show import Show
from tests.app import steps
from tests.app.windows import ArcWindow, at_rest, boss, drag, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")
WIDTH = "cut.radial_engagement_mm"
CTRL = Qt.KeyboardModifier.ControlModifier


def widened(window: ArcWindow, to: float) -> None:
    window.workbench.propose(window.workbench.setup.with_keys({WIDTH: to}), steps.WIDTH)
    settle()


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """A document of somebody's own."""
    file = tmp_path / "mine.toml"
    file.write_text("# mine\n" + EXAMPLES[3].file.read_text("utf-8"), "utf-8")
    return file


def choose_from_the_gallery(window: ArcWindow, steps: int) -> None:
    def choose() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, GalleryDialog)
        for _ in range(steps):
            QTest.keyClick(dialog.cards, Qt.Key.Key_Right)
        QTest.keyClick(dialog.cards, Qt.Key.Key_Return)

    QTimer.singleShot(0, choose)
    QTest.keyClick(window.arc.plan, Qt.Key.Key_G)
    # Without a screen nobody gives the window its place back.
    window.activateWindow()
    settle()


# Opening


def test_an_example_opened_over_changes_is_undone_with_one_key() -> None:
    with laid_out_on(boss(), angle_deg=123.0) as window:
        widened(window, 2.5)
        choose_from_the_gallery(window, 1)
        bench = window.workbench
        assert bench.setup == EXAMPLES[1].setup() and not window.isWindowModified()
        assert window.arc.shown.angle_deg == pytest.approx(angle_in_cut(bench.setup))
        assert window.menus.by_id["undo"].text() == f"Undo opening {EXAMPLES[1].title}"
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Z, CTRL)
        settle()
        assert bench.setup == boss().with_keys({WIDTH: 2.5}) and window.isWindowModified()
        assert window.arc.shown.angle_deg == pytest.approx(123.0)
        assert window.header.title.text().startswith("Boss")
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Z, CTRL)
        settle()
        assert bench.setup == boss() and not window.isWindowModified()
        assert window.arc.shown.angle_deg == pytest.approx(123.0)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Y, CTRL)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Y, CTRL)
        settle()
        assert bench.setup == EXAMPLES[1].setup() and not window.isWindowModified()


def test_a_file_that_is_come_back_to_is_saved_with_its_comments(mine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(mine), ""))
    with laid_out_on(boss()) as window:
        QTest.keyClick(window.arc.plan, Qt.Key.Key_O, CTRL)
        settle()
        assert window.workbench.file == mine
        widened(window, 3.25)
        window.files.open_example("left-hand")
        assert window.workbench.file is None
        window.workbench.undo()
        assert window.workbench.file == mine and window.isWindowModified()
        assert window.files.save() and not window.isWindowModified()
        assert mine.read_text("utf-8").startswith("# mine\n") and load_setup(mine).cut.radial_engagement_mm == 3.25


# Closing


@pytest.mark.parametrize("answer", list(Answer))
def test_quitting_with_changes_asks(answer: Answer, mine: Path) -> None:
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        widened(window, 3.25)
        asked: list[str] = []

        def say(words: str, answers: tuple[Answer, ...]) -> Answer:
            asked.append(words)
            assert answers == tuple(Answer)
            return answer

        window.files.ask = say
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Q, CTRL)
        settle()
        assert asked == ["mine.toml has changes that are not saved."]
        assert window.isVisible() == (answer is Answer.CANCEL)
        assert (load_setup(mine).cut.radial_engagement_mm == 3.25) == (answer is Answer.SAVE)


def test_nothing_is_asked_where_nothing_would_be_lost(mine: Path) -> None:
    def to_and_fro(window: ArcWindow) -> None:
        widened(window, 2.0)
        window.workbench.undo()

    for change in (lambda w: None, lambda w: w.files.open_path(mine), to_and_fro):
        with laid_out_on(boss()) as window:
            change(window)
            # The question of the tests' windows refuses to be asked.
            QTest.keyClick(window.arc.plan, Qt.Key.Key_Q, CTRL)
            assert not window.isVisible()


def test_an_example_that_was_changed_is_asked_about_and_not_closed_when_it_cannot_be_saved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    with laid_out_on(boss()) as window:
        widened(window, 3.25)
        window.files.ask = lambda words, answers: Answer.SAVE
        assert not window.close() and window.isVisible()


def test_what_is_being_typed_counts_as_a_change() -> None:
    with laid_out_on(boss()) as window:
        field = window.hand_rail.control(WIDTH).field
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, "3")
        asked: list[str] = []
        window.files.ask = lambda words, answers: asked.append(words) or Answer.CANCEL  # type: ignore[func-returns-value]
        assert not window.close() and len(asked) == 1
        assert window.workbench.setup.cut.radial_engagement_mm == 3.0


def test_changes_left_behind_in_a_file_are_not_forgotten(mine: Path) -> None:
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        widened(window, 3.25)
        window.files.open_example("left-hand")
        asked: list[tuple[str, tuple[Answer, ...]]] = []

        def say(words: str, answers: tuple[Answer, ...]) -> Answer:
            asked.append((words, answers))
            return Answer.CANCEL

        window.files.ask = say
        assert not window.close()
        words, answers = asked[0]
        assert "mine.toml" in words and "Undo" in words and Answer.SAVE not in answers


@pytest.mark.parametrize("key", [Qt.Key.Key_Escape, Qt.Key.Key_Return])
def test_the_question_itself_is_left_with_nothing_done(key: Qt.Key, mine: Path) -> None:
    with laid_out_on(boss()) as window:
        window.files.open_path(mine)
        widened(window, 3.25)
        window.files.ask = window.files._ask
        seen: list[list[str]] = []

        def leave() -> None:
            box = QApplication.activeModalWidget()
            assert isinstance(box, QMessageBox)
            seen.append([button.text() for button in box.buttons()])
            QTest.keyClick(box, key)

        QTimer.singleShot(0, leave)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Q, CTRL)
        settle()
        assert sorted(seen[0]) == sorted(say("files", answer.value) for answer in Answer)
        assert window.isVisible() and window.isWindowModified()
        assert load_setup(mine).cut.radial_engagement_mm != 3.25


# The tooth's angle


@pytest.mark.parametrize("where", ["plan", "strips"])
def test_a_drag_of_the_angle_is_one_step_of_undo(where: str) -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        widened(window, 4.5)
        if where == "plan":
            widget = window.arc.plan
            scene, frame = widget.frames()[0]
            start, end = (frame.point(scene.place(angle * 3.141592653589793 / 180.0)) for angle in (120.0, 150.0))
            drag(widget, start, end)
        else:
            strips = window.arc.strips
            plot = strips.stack.frames()[0]
            start, end = (QPointF(float(plot.x(angle)), plot.plot.center().y()) for angle in (120.0, 150.0))
            drag(strips.viewport(), start, end)
        there = window.arc.shown.angle_deg
        assert there == pytest.approx(150.0, abs=1.0)
        assert window.menus.by_id["undo"].text() == "Undo tooth angle"
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Z, CTRL)
        assert window.arc.shown.angle_deg == pytest.approx(120.0)
        assert window.workbench.setup.cut.radial_engagement_mm == 4.5
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Y, CTRL)
        assert window.arc.shown.angle_deg == pytest.approx(there)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Z, CTRL)
        QTest.keyClick(window.arc.plan, Qt.Key.Key_Z, CTRL)
        assert window.workbench.setup == boss() and window.arc.shown.angle_deg == pytest.approx(120.0)


def test_keys_that_turn_the_tooth_and_drags_put_back_are_no_steps() -> None:
    with laid_out_on(boss(), angle_deg=120.0) as window:
        for widget in (window.arc.plan, window.arc.strips):
            widget.setFocus()
            QTest.keyClick(widget, Qt.Key.Key_Right)
        window.arc.motion.step_degrees(1.0)
        assert window.arc.shown.angle_deg == pytest.approx(123.0)
        strips = window.arc.strips
        plot = strips.stack.frames()[0]
        start, end = (QPointF(float(plot.x(angle)), plot.plot.center().y()) for angle in (123.0, 90.0))
        drag(strips.viewport(), start, end, release=False)
        QTest.keyClick(strips, Qt.Key.Key_Escape)
        QTest.mouseRelease(strips.viewport(), Qt.MouseButton.LeftButton)
        assert window.arc.shown.angle_deg == pytest.approx(123.0) and window.workbench.undo_name == ""


# What is told


def test_a_copied_report_is_told_for_a_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sentence_bar, "MOMENT_MS", 300)
    heard: list[str] = []
    real = QAccessible.updateAccessibility

    def hear(event: object) -> None:
        if hasattr(event, "message"):
            heard.append(event.message())
        real(event)  # type: ignore[arg-type]

    monkeypatch.setattr(sentence_bar.QAccessible, "updateAccessibility", hear)
    with laid_out_on(boss()) as window:
        label = window.sentence.label
        before = label.text()
        QTest.keyClick(window.arc.plan, Qt.Key.Key_C, CTRL | Qt.KeyboardModifier.ShiftModifier)
        assert "report is copied" in label.text() and "report is copied" in heard[-1]
        assert label.property("problem") == "false"
        at_rest(window)
        assert label.text() == before
        # What happens meanwhile is told at once and stays.
        window.files.copy_report()
        widened(window, 2.5)
        assert label.text().split("\n") == list(sentence_lines(window.workbench.resolved, ranged=False))
        at_rest(window)
        assert label.text().split("\n") == list(sentence_lines(window.workbench.resolved))


def test_every_example_tells_its_story_at_its_title(mine: Path) -> None:
    for each in EXAMPLES:
        assert each.setup().title == each.title and len(each.sentence) > 20
    mine.write_text(write_setup(replace(boss(), show=Show())), "utf-8")
    with laid_out_on(boss(), (1024, 768)) as window:
        title = window.header.title
        assert EXAMPLES[0].sentence in title.toolTip() and title.accessibleDescription() == EXAMPLES[0].sentence
        assert window.story.isVisible() and window.story.text() == EXAMPLES[0].sentence
        window.files.open_example(EXAMPLES[1].id)
        settle()
        assert window.story.text() == EXAMPLES[1].sentence == title.accessibleDescription()
        # All of it is in sight on a small screen.
        label = window.story.label
        assert label.heightForWidth(label.width()) <= label.height()
        window.files.open_path(mine)
        assert window.story.text() == "" == title.accessibleDescription() and not window.story.isVisible()
        window.workbench.undo()
        settle()
        assert window.story.isVisible() and window.story.text() == EXAMPLES[1].sentence
