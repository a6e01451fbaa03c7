"""The workbench: one step of undo a gesture, one derivation a turn, refusals that change nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from app.state.step_name import TERM, StepName
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.language import speak
from core.documents.setup_examples import example
from core.setup.setup import Setup, Work
from tests.app import steps
from tests.app.windows import PATIENCE_MS
from tests.usual_setups import boss

BOSS = boss()


@pytest.fixture
def bench(qtbot: Any) -> Workbench:
    return Workbench(BOSS)


def width(setup: Setup, ae: float) -> Setup:
    return setup.with_keys({"cut.radial_engagement_mm": ae})


def test_many_changes_in_one_turn_are_derived_once(bench: Workbench, qtbot: Any) -> None:
    seen: list[Setup] = []
    bench.follow(seen.append)
    gesture = object()
    for i in range(1, 50):
        bench.propose(width(BOSS, i / 10), steps.WIDTH, gesture)
    qtbot.waitUntil(lambda: bool(seen), timeout=PATIENCE_MS)
    qtbot.wait(20)
    assert len(seen) == 1
    assert seen[0].cut.radial_engagement_mm == 4.9


def test_a_gesture_is_one_step_and_can_be_taken_back(bench: Workbench) -> None:
    drag = object()
    bench.propose(width(BOSS, 3.0), steps.WIDTH, drag)
    bench.propose(width(BOSS, 2.0), steps.WIDTH, drag)
    bench.propose(width(BOSS, 1.0).opposite, steps.DIRECTION)
    assert bench.undo_name == "direction"
    bench.undo()
    bench.undo()
    assert bench.setup == BOSS and bench.undo_name == ""
    bench.redo()
    assert bench.setup == width(BOSS, 2.0) and bench.redo_name == "direction"
    again = object()
    bench.propose(width(BOSS, 0.5), steps.WIDTH, again)
    bench.take_back(again)
    assert bench.setup == width(BOSS, 2.0) and bench.undo_name == "radial width"
    assert bench.redo_name == ""


def test_taking_back_a_gesture_that_changed_nothing_is_harmless(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    bench.take_back(object())
    assert bench.setup == width(BOSS, 3.0)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"cut.radial_engagement_mm": 12.0}, "slot"),
        ({"cut.radial_engagement_mm": -1.0}, "over 0"),
        ({"cutter.teeth": 0}, "whole number"),
        ({"cut.feed_per_tooth_mm": 7.0}, "half the cutter diameter"),
        ({"work": Work(material="unobtainium")}, "catalogue"),
    ],
)
def test_refused_in_words_and_nothing_lost(bench: Workbench, values: dict[str, Any], words: str) -> None:
    said: list[str] = []
    bench.refused.connect(said.append)
    assert bench.propose(BOSS.with_keys(values), steps.ANOTHER) is False
    assert len(said) == 1 and words in said[0]
    assert bench.setup == BOSS and bench.undo_name == "" and bench.resolved == BOSS


def test_opening_is_one_step_and_modified_follows_undo(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    assert bench.modified
    bench.undo()
    assert not bench.modified
    bench.redo()
    bench.saved(Path("a.toml"))
    assert not bench.modified and bench.file == Path("a.toml")
    bench.open(width(BOSS, 2.0), None)
    assert not bench.modified and bench.undo_name.startswith("opening") and bench.redo_name == ""
    assert bench.file is None
    with pytest.raises(ChiparcError):
        bench.open(width(BOSS, 50.0), None)
    assert bench.setup == width(BOSS, 2.0)
    bench.undo()
    assert bench.setup == width(BOSS, 3.0) and bench.file == Path("a.toml") and not bench.modified
    assert bench.undo_name == "radial width"
    bench.redo()
    assert bench.setup == width(BOSS, 2.0) and bench.file is None


def test_what_was_left_comes_back_with_its_changes_and_knows_what_was_saved_since(bench: Workbench) -> None:
    a, b = Path("a.toml"), Path("b.toml")
    bench.open(width(BOSS, 3.0), a, "text of a")
    bench.propose(width(BOSS, 3.5), steps.WIDTH)
    bench.open(width(BOSS, 2.0), b, "text of b")
    assert bench.left_unsaved == (a,)
    bench.propose(width(BOSS, 2.5), steps.WIDTH)
    bench.saved(b, "new text of b")
    bench.undo()
    bench.undo()
    assert (bench.setup, bench.file, bench.document.text) == (width(BOSS, 3.5), a, "text of a") and bench.modified
    bench.saved(a, "new text of a")
    bench.redo()
    # The file holds 2.5 since it was saved; the step before stands at 2.0.
    assert (bench.file, bench.document.text, bench.setup) == (b, "new text of b", width(BOSS, 2.0))
    assert bench.modified and bench.left_unsaved == ()
    bench.redo()
    assert not bench.modified


def test_the_same_file_opened_again_and_saved_is_known_below_the_step(bench: Workbench) -> None:
    a = Path("a.toml")
    bench.open(width(BOSS, 3.0), a, "old")
    bench.propose(width(BOSS, 3.5), steps.WIDTH)
    bench.open(width(BOSS, 3.0), a, "old")
    assert bench.left_unsaved == () and not bench.modified
    bench.propose(width(BOSS, 1.0), steps.WIDTH)
    bench.saved(a, "new")
    bench.undo()
    bench.undo()
    assert bench.setup == width(BOSS, 3.5) and bench.document.text == "new" and bench.modified


def test_opened_as_it_stands_is_no_step(bench: Workbench) -> None:
    bench.open(BOSS, None, "text")
    assert bench.undo_name == "" and bench.document.text == "text"


def test_a_change_of_the_page_is_a_step_that_asks_for_it_back(bench: Workbench) -> None:
    wanted: list[float] = []
    bench.page_state_wanted.connect(wanted.append)
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    bench.page_changed(steps.ANGLE, 120.0, 120.0)
    assert bench.undo_name == "radial width"
    bench.page_changed(steps.ANGLE, 120.0, 150.0)
    assert bench.undo_name == "tooth angle" and wanted == []
    bench.undo()
    assert wanted == [120.0] and bench.setup == width(BOSS, 3.0)
    bench.redo()
    assert wanted == [120.0, 150.0]
    bench.undo()
    bench.undo()
    assert bench.setup == BOSS and wanted == [120.0, 150.0, 120.0]


def test_results_know_the_material(qtbot: Any) -> None:
    bench = Workbench(BOSS.with_keys({"work": Work(material="C45E")}))
    assert bench.setup.work.force is None
    assert bench.resolved.work.force is not None


class Broken(Exception):
    """What a page may raise."""


def test_a_follower_that_fails_puts_everything_back(bench: Workbench, own_settings: Path) -> None:
    shown: list[float] = []
    said: list[str] = []

    def show(setup: Setup) -> None:
        if setup.cut.radial_engagement_mm == 2.0:
            raise Broken("no")
        shown.append(setup.cut.radial_engagement_mm)

    bench.follow(show)
    bench.refused.connect(said.append)
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    bench.derive_now()
    bench.propose(width(BOSS, 2.0), steps.WIDTH)
    bench.propose(width(BOSS, 2.0).with_keys({"cut.feed_per_tooth_mm": 0.05}), steps.FEED)
    bench.derive_now()
    assert bench.setup == width(BOSS, 3.0) == bench.resolved
    assert bench.undo_name == "radial width" and bench.redo_name == ""
    assert shown == [3.0, 3.0]
    assert len(said) == 1 and "Broken" in said[0] and "put back" in said[0]
    assert "Broken: no" in (own_settings / "errors.log").read_text("utf-8")
    bench.undo()
    assert bench.setup == BOSS


def test_an_opened_document_that_cannot_be_shown_is_put_back(bench: Workbench) -> None:
    def show(setup: Setup) -> None:
        if setup.cut.radial_engagement_mm == 2.0:
            raise Broken

    bench.follow(show)
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    assert not bench.open(width(BOSS, 2.0), Path("b.toml"), "text")
    assert bench.setup == width(BOSS, 3.0) and bench.file is None and bench.undo_name == "radial width"


def test_a_failure_after_the_step_was_shown_puts_that_step_back(bench: Workbench, qtbot: Any) -> None:
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    bench.derive_now()
    bench.put_back(Broken())
    assert bench.setup == BOSS and bench.undo_name == ""
    bench.propose(width(BOSS, 3.0), steps.WIDTH)
    bench.derive_now()
    # A step that has been there for a while is not what failed.
    qtbot.waitUntil(lambda: not bench._confirm.isActive(), timeout=PATIENCE_MS)
    bench.put_back(Broken())
    assert bench.setup == width(BOSS, 3.0) and bench.undo_name == "radial width"


def test_a_step_is_named_in_the_language_that_is_spoken_when_it_is_asked(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), StepName(TERM, "radial_width"))
    bench.open(example("slot-steel").setup(), None)
    try:
        english = []
        for id in ("en", "de", "en"):
            speak(id)
            names = [bench.undo_name]
            bench.undo()
            names += [bench.undo_name, bench.redo_name]
            bench.redo()
            if id == "de":
                assert names[0] == "Öffnen von Slot for the clamp, in steel" and names[1] == "Arbeitseingriff"
            else:
                english.append(names)
        assert english[0] == english[1] and english[0][1] == "radial width of cut"
    finally:
        speak("en")


def test_a_run_of_steps_is_told_by_their_ids(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), StepName(TERM, "diameter"))
    speak("de")
    try:
        bench.propose(width(BOSS, 2.0), StepName(TERM, "diameter"))
        assert bench.before_run(StepName(TERM, "diameter")) == BOSS
        assert bench.before_run(StepName(TERM, "radial_width")) == width(BOSS, 2.0)
    finally:
        speak("en")
