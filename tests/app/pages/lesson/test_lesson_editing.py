"""Lessons recorded and edited in the window, worksheets and results from there; through real widgets and files."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QWidget

from app.kit.look import look
from app.pages.lesson.lesson_editor import LessonEditor
from app.pages.lesson.lesson_memory import Result, add_results, erase_results, results
from app.pages.lesson.lesson_page import LessonPage
from app.pages.lesson.sheet_blocks import block
from app.pages.lesson.sheet_panel import key_file
from app.pages.lesson.sheet_pdf import PdfPages, paged, sheet_blocks
from core.base.places import shared
from core.documents.setup_examples import EXAMPLES, example
from core.lesson.lesson_reading import load_lesson, read_lesson
from core.lesson.lesson_writing import new_lesson, scene_block, with_scene
from core.lesson.worksheet import setup_worksheet, worksheet
from tests.app import steps
from tests.app.windows import ArcWindow, boss, laid_out_on, settle, until

pytestmark = pytest.mark.usefixtures("window_app")
THICK = shared("lessons", "thickest-chip.toml")


def lesson_page(window: ArcWindow) -> LessonPage:
    window.turn_to("lesson")
    assert isinstance(window.page, LessonPage)
    return window.page


def put(editor: LessonEditor, text: str) -> None:
    """Another text, as a hand pastes it over all that is there."""
    editor.text.selectAll()
    editor.text.insertPlainText(text)


@pytest.mark.parametrize("each", EXAMPLES, ids=lambda e: e.id)
def test_every_example_is_captured_and_reads_back(each: object) -> None:
    setup = each.setup()  # type: ignore[attr-defined]
    changed = setup.with_keys({"cut.feed_per_tooth_mm": 1.1 * setup.cut.feed_per_tooth_mm})
    text = with_scene(new_lesson(setup), changed)
    assert f'example = "{each.id}"' in text  # type: ignore[attr-defined]
    first, second = read_lesson(text, "captured.toml").scenes
    assert first.setup.cut == setup.cut and first.setup.show == setup.show
    assert second.setup.cutter == setup.cutter and second.setup.cut == changed.cut
    assert second.setup.dynamics == setup.dynamics and second.setup.machine == setup.machine


def test_a_scene_is_captured_from_the_window_edited_and_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "mine.toml"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.new_lesson()
        assert page.stack.editor.isVisible()
        window.workbench.propose(boss().with_values(cut__radial_engagement_mm=2.5), steps.WIDTH)
        page.stack.editor.buttons["capture"].click()
        page.stack.editor.buttons["save"].click()
        settle()
        saved = load_lesson(out)
        assert [scene.setup.cut.radial_engagement_mm for scene in saved.scenes] == [4.0, 2.5]
        page.stack.editor.buttons["leave"].click()
        assert page.stack.list.isVisible() and str(out) in page.stack.list.recent


def test_the_editor_saves_nothing_that_the_reader_refuses(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    text = THICK.read_text("utf-8")
    file.write_text(text, "utf-8")
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.edit(str(file))
        editor = page.stack.editor
        wrong = text.replace("h_max_mm < setup", "h_max_mm > setup", 1)
        put(editor, wrong)
        assert not editor.save() and file.read_text("utf-8") == text
        assert editor.told.palette().windowText().color() == QColor(look("light").warn)
        line = text[: text.index("h_max_mm < setup")].count("\n") + 1
        assert editor.faults.count() == 1 and f"mine.toml:{line}:" in editor.faults.item(0).text()
        editor.faults.itemActivated.emit(editor.faults.item(0))
        assert editor.text.textCursor().blockNumber() == line - 1
        editor.leave()
        assert editor.isVisible(), "what is not saved is said first"
        put(editor, text.replace("minutes = 2", "minutes = 3", 1))
        assert editor.save() and load_lesson(file).minutes == load_lesson(THICK).minutes + 1
        # What went well is not in the colour of a problem.
        assert editor.told.palette().windowText().color() == QColor(look("light").soft)


def test_what_is_not_saved_is_still_there_after_the_window_has_gone(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(THICK.read_text("utf-8"), "utf-8")
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.edit(str(file))
        page.stack.editor.text.appendPlainText("# half a thought")
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        assert page.stack.editor.isVisible() and page.stack.editor.text.toPlainText().endswith("# half a thought")
        assert page.stack.editor.file == file and page.stack.editor.save()
        assert file.read_text("utf-8").endswith("# half a thought")
    with laid_out_on(boss()) as window:
        assert lesson_page(window).stack.list.isVisible()


def test_a_lesson_of_the_program_is_edited_as_a_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    before = THICK.read_bytes()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(THICK), ""))
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.edit(str(THICK))
        page.stack.editor.text.appendPlainText("# mine")
        assert page.stack.editor.file is None and not page.stack.editor.save()
        assert THICK.read_bytes() == before


def test_a_name_without_its_ending_replaces_no_lesson_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = tmp_path / "mine.toml"
    there.write_bytes(b"old")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "mine"), ""))
    asked: list[Path] = []
    answers = [False, True]

    def ask(parent: QWidget, path: Path) -> bool:
        asked.append(path)
        return answers[len(asked) - 1]

    monkeypatch.setattr("app.kit.path_to_write.ask_replace", ask)
    with laid_out_on(boss()) as window:
        editor = lesson_page(window).stack.editor
        editor.new()
        assert not editor.save() and there.read_bytes() == b"old"
        assert editor.save() and load_lesson(there).scenes[0].setup.cut == boss().cut
    assert asked == [there, there]


def test_a_key_replaces_no_other_key_unasked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "class.pdf"
    key_file(out).write_bytes(b"old")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    asked: list[Path] = []

    def keep(parent: QWidget, path: Path) -> bool:
        asked.append(path)
        return False

    monkeypatch.setattr("app.pages.lesson.sheet_panel.ask_replace", keep)
    with laid_out_on(boss()) as window:
        sheet = lesson_page(window).stack.sheet
        sheet.open_for(str(THICK), "")
        sheet.save_button.click()
        settle()
    assert asked == [key_file(out)] and not out.exists() and key_file(out).read_bytes() == b"old"


def test_a_worksheet_and_its_key_from_the_window(tmp_path: Path) -> None:
    out = tmp_path / "class.pdf"
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.open_sheet(str(THICK))
        page.stack.sheet.seed.setText("Ann")
        page.stack.sheet.make(out)
        until(lambda: "class-key.pdf" in page.stack.sheet.told.text())
        assert out.read_bytes().startswith(b"%PDF") and key_file(out).read_bytes().startswith(b"%PDF")
        assert "class-key.pdf" in page.stack.sheet.told.text()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("key", [False, True])
def test_no_words_of_a_sheet_leave_it_or_lie_on_one_another(paper: str, key: bool) -> None:
    pdf = PdfPages(paper, "x")
    pdf.painter.end()
    room = pdf.rect
    for sheet in (
        worksheet(load_lesson(THICK), "4", "inch"),
        setup_worksheet(example("slack-table").setup(), "4", "metric"),
    ):
        blocks = sheet_blocks(sheet, room.width(), look("print"), key=key)
        for each in blocks:
            assert each.height < room.height() - 100.0
            places = [text.rect for text in each.texts] + ([each.ring_rect] if each.ring is not None else [])
            for i, place in enumerate(places):
                assert place.left() >= -1.0 and place.right() <= room.width() + 3.0 and place.bottom() <= each.height
                shrunk = place.adjusted(2.0, 3.0, -3.0, -3.0)
                assert not any(shrunk.intersects(other.adjusted(2.0, 3.0, -3.0, -3.0)) for other in places[:i])
        pages = paged(blocks, room.height() - 100.0, room.height() - 26.0)
        assert [b for page in pages for b in page] == blocks
        assert all(sum(b.height for b in page) <= room.height() for page in pages)


def test_the_answer_is_in_the_key_and_not_on_the_sheet() -> None:
    sheet = worksheet(load_lesson(THICK), "2", "metric")
    pins = [q for q in sheet.questions if q.kind == "pin"]
    assert pins
    for question in pins:
        asked = block(question, 1, 600.0, "metric", look("print"), key=False, figure=True)
        told = block(question, 1, 600.0, "metric", look("print"), key=True, figure=True)
        assert asked.ring is not None and asked.ring.answer_deg is None and asked.ring.chip is None
        assert told.ring is not None and told.ring.answer_deg == question.value
        assert not any(question.answer in text.text for text in asked.texts)
        assert any(question.answer in text.text for text in told.texts)
        assert all(isinstance(text.font, QFont) and isinstance(text.rect, QRectF) for text in told.texts)


def test_results_are_exported_and_erased_by_a_second_press(tmp_path: Path) -> None:
    erase_results()
    add_results((Result("Ann", "L", "Q", "B", True), Result("Bo", "L", "Q", "A", False)))
    with laid_out_on(boss()) as window:
        page = lesson_page(window)
        page.stack.open_results()
        assert "Ann: L, Q: B, near" in page.stack.results.text.toPlainText()
        page.stack.results.export(tmp_path / "results.csv")
        assert (tmp_path / "results.csv").read_text("utf-8").splitlines()[1] == "Ann,L,Q,B,yes"
        QTest.mouseClick(page.stack.results.erase_button, Qt.MouseButton.LeftButton)
        assert len(results()) == 2
        QTest.mouseClick(page.stack.results.erase_button, Qt.MouseButton.LeftButton)
        assert results() == () and page.stack.results.text.toPlainText() == ""


def test_a_captured_scene_keeps_its_view() -> None:
    setup = example("boss").setup()
    assert "[scene.show]" in scene_block(setup) or not setup.show.given
