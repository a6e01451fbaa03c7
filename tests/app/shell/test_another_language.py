"""The language is chosen in the window: everything is said in it at once, and nothing is lost."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox

from app.commands.window import opened, parser
from app.pages.lesson import lesson_memory
from app.pages.lesson.lesson_page import LessonPage
from app.shell.main_window import MainWindow
from core.base.glossary import explained
from core.base.language import ENGLISH, LANGUAGES, language, speak
from core.base.quantities import figure
from core.base.words import say, words_in
from core.documents.setup_examples import example
from core.documents.show_list import Stop
from core.lesson.hands import NamedGuess
from core.lesson.lesson_files import our_lesson
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import boss, laid_out_on, nobody, settle, until


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    yield
    speak(ENGLISH.id)


def changed(window: MainWindow, id: str) -> MainWindow:
    """The window that takes the place of another when a language is chosen from its menu."""
    window.menus.by_id[f"language_{id}"].trigger()
    settle()
    after = window.successor
    assert after is not None
    after.files.ask = nobody
    return after


def test_the_window_is_built_anew_with_document_steps_page_and_place(window_app: QApplication) -> None:
    with laid_out_on(boss()) as window:
        bench = window.workbench
        bench.propose(bench.setup.with_values(cut__radial_engagement_mm=5.0), steps.WIDTH)
        window.arc.shown.set("angle_deg", 33.0)
        window.view.set("units", "inch")
        window.turn_to("figures")
        settle()
        before = (bench.modified, bench.setup.cut)
        assert window.menus.by_id["undo"].text() == "Undo radial width"
        german = changed(window, "de")
        assert language() == "de" and german.settings.language == "de"
        assert german.isVisible()
        assert (german.workbench.modified, german.workbench.setup.cut) == before
        # The step is one of the window before, and named in the language of this one.
        assert german.menus.by_id["undo"].text() == say("action", "undo_step", name=say("plan", "width_step"))
        assert "Arbeitseingriff" in german.menus.by_id["undo"].text()
        assert (german.page.id, german.view.units) == ("figures", "inch")
        german.turn_to("arc")
        assert german.page.undo_state() == 33.0
        german.workbench.undo()
        assert german.workbench.setup.cut == boss().cut and not german.workbench.modified


def test_an_example_is_titled_in_the_language_and_comes_back_as_it_was(window_app: QApplication) -> None:
    with laid_out_on(boss()) as window:
        german = changed(window, "de")
        assert german.workbench.setup == example("boss").setup()
        english = changed(german, "en")
        assert english.workbench.setup == boss() and not english.workbench.modified


def test_the_opening_cut_is_titled_in_the_language_and_a_document_by_itself(
    window_app: QApplication, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    titles: list[str] = []

    def shown(setup: Setup, *_: object, **__: object) -> int:
        titles.append(setup.title)
        return 0

    monkeypatch.setattr("app.shell.start.show_window", shown)
    own = tmp_path / "own.toml"
    own.write_bytes(example("boss").file.read_bytes())
    speak("de")
    for words in ([], [str(own)]):
        assert opened(parser().parse_args(words), "") == 0
    assert titles == ["Auge an einem Pumpenhalter", "Boss on a pump bracket"]


def names_of_qt(window: MainWindow) -> tuple[str, str]:
    """How Qt calls the keys of an entry of the menu, and a button that it makes itself."""
    keys = window.menus.by_id["open_file"].shortcut().toString(QKeySequence.SequenceFormat.NativeText)
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
    return keys, buttons.button(QDialogButtonBox.StandardButton.Cancel).text().replace("&", "")


def test_keys_in_menus_and_buttons_of_qt_are_called_in_the_language(window_app: QApplication) -> None:
    with laid_out_on(boss()) as window:
        assert names_of_qt(window) == ("Ctrl+O", "Cancel")
        german = changed(window, "de")
        assert names_of_qt(german) == ("Strg+O", "Abbrechen")
        english = changed(german, "en")
        assert names_of_qt(english) == ("Ctrl+O", "Cancel")
        changed(english, "de")
    speak("de")
    with laid_out_on(boss()) as window:
        assert names_of_qt(window) == ("Strg+O", "Abbrechen")
    speak(ENGLISH.id)
    with laid_out_on(boss()) as window:
        assert names_of_qt(window) == ("Ctrl+O", "Cancel")


def test_what_caches_hold_is_said_anew() -> None:
    english = (explained("depth"), figure(1.5, "depth"), say("side", "right"))
    speak("de")
    assert figure(1.5, "depth") == "1,50 mm"
    speak("en")
    assert (explained("depth"), figure(1.5, "depth"), say("side", "right")) == english


def test_what_a_language_lacks_is_said_in_english() -> None:
    for id in LANGUAGES:
        told = words_in(id)
        assert {group: set(ids) for group, ids in told.items()} == {g: set(i) for g, i in words_in("en").items()}


def test_a_walk_through_a_list_goes_on_where_it_stood(window_app: QApplication) -> None:
    stops = (Stop(example="boss"), Stop(example="slot-steel"), Stop(example="facing-cast-iron"))
    with laid_out_on(boss()) as window:
        window.presenting.begin(stops)
        while window.presenting.walk.at != 1:
            window.presenting.forward()
            settle()
        walk = window.presenting.walk
        german = changed(window, "de")
        assert german.page.id == "arc" and german.presenting.walk == walk
        assert german.workbench.setup.title == example("slot-steel").title
        # Its two keys are the walk's, as before.
        assert german.menus.by_id["walk_forward"].isEnabled() and german.menus.by_id["walk_back"].isEnabled()
        for _ in range(2):
            QTest.keyClick(german, Qt.Key.Key_PageDown)
            settle()
        assert german.presenting.walk.at == 2
        assert german.workbench.setup.title == example("facing-cast-iron").title
        QTest.keyClick(german, Qt.Key.Key_PageUp)
        settle()
        assert german.presenting.walk.at == 1


def lesson_of(window: MainWindow) -> LessonPage:
    page = window.pages.page("lesson")
    assert isinstance(page, LessonPage)
    until(lambda: page.teaching.run is not None)
    return page


@pytest.mark.parametrize("kept", [True, False], ids=["", "settings that cannot be written"])
def test_a_lesson_goes_on_at_its_place_with_its_predictions(
    window_app: QApplication, monkeypatch: pytest.MonkeyPatch, kept: bool
) -> None:
    if not kept:
        monkeypatch.setattr(lesson_memory, "_written", lambda file, value: None)
    with laid_out_on(boss()) as window:
        window.turn_to("lesson")
        page = window.page
        assert isinstance(page, LessonPage)
        page.teaching.start(str(our_lesson("thickest-chip")))
        to = lesson_of(window).teaching
        while to.run is not None and to.run.place.step != "ask":
            to.next()
        to.add((NamedGuess("Ada", 100.0), NamedGuess("", 70.0)))
        asked = to.run
        german = changed(window, "de")
        run = lesson_of(german).teaching.run
        assert run is not None and asked is not None and german.page.id == "lesson"
        assert (run.position, run.guesses) == (asked.position, asked.guesses)
        assert run.lesson.title != asked.lesson.title and Path(run.file).parent.name == "de"
        # Further, to where the cut is looked at, and changed by hand: it stays as it was made.
        to = lesson_of(german).teaching
        while to.run is not None and to.run.place.step != "look":
            to.next()
        settle()
        bench = german.workbench
        wider = bench.setup.with_values(cut__feed_per_tooth_mm=0.031)
        bench.propose(wider, steps.FEED)
        settle()
        count = len(bench._done)
        english = changed(german, "en")
        run = lesson_of(english).teaching.run
        assert run is not None and run.place.step == "look" and run.guesses == asked.guesses
        assert english.workbench.setup.cut == wider.cut and len(english.workbench._done) == count
        lesson_of(english).teaching.end()
