"""The workbench: one step of undo a gesture, one derivation a turn, refusals that change nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from app.view_state import ViewState
from app.workbench import Workbench
from core.arc_results import ArcResults
from core.errors import ChiparcError
from core.setup import Cut, Cutter, Setup, Work

BOSS = Setup(Cutter(12.0, 4, helix_deg=30.0), Cut("climb", 4.0, 10.0, 0.06, 4000.0))


@pytest.fixture
def bench(qtbot: Any) -> Workbench:
    return Workbench(BOSS)


def width(setup: Setup, ae: float) -> Setup:
    return setup.with_keys({"cut.radial_engagement_mm": ae})


def test_many_changes_in_one_turn_are_derived_once(bench: Workbench, qtbot: Any) -> None:
    seen: list[ArcResults] = []
    bench.results_changed.connect(seen.append)
    gesture = object()
    for i in range(1, 50):
        bench.propose(width(BOSS, i / 10), "radial width", gesture)
    with qtbot.waitSignal(bench.results_changed):
        pass
    qtbot.wait(20)
    assert len(seen) == 1
    assert seen[0].setup.cut.radial_engagement_mm == 4.9


def test_a_gesture_is_one_step_and_can_be_taken_back(bench: Workbench) -> None:
    drag = object()
    bench.propose(width(BOSS, 3.0), "radial width", drag)
    bench.propose(width(BOSS, 2.0), "radial width", drag)
    bench.propose(width(BOSS, 1.0).opposite, "direction")
    assert bench.undo_name == "direction"
    bench.undo()
    bench.undo()
    assert bench.setup == BOSS and bench.undo_name == ""
    bench.redo()
    assert bench.setup == width(BOSS, 2.0) and bench.redo_name == "direction"
    again = object()
    bench.propose(width(BOSS, 0.5), "radial width", again)
    bench.take_back(again)
    assert bench.setup == width(BOSS, 2.0) and bench.undo_name == "radial width"
    assert bench.redo_name == ""


def test_taking_back_a_gesture_that_changed_nothing_is_harmless(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), "radial width")
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
    assert bench.propose(BOSS.with_keys(values), "x") is False
    assert len(said) == 1 and words in said[0]
    assert bench.setup == BOSS and bench.undo_name == "" and bench.results.setup == BOSS


def test_open_begins_anew_and_modified_follows_undo(bench: Workbench) -> None:
    bench.propose(width(BOSS, 3.0), "radial width")
    assert bench.modified
    bench.undo()
    assert not bench.modified
    bench.redo()
    bench.saved(Path("a.toml"))
    assert not bench.modified and bench.file == Path("a.toml")
    bench.open(width(BOSS, 2.0), None)
    assert not bench.modified and bench.undo_name == "" and bench.redo_name == ""
    with pytest.raises(ChiparcError):
        bench.open(width(BOSS, 50.0), None)
    assert bench.setup == width(BOSS, 2.0)


def test_results_know_the_material(qtbot: Any) -> None:
    bench = Workbench(BOSS.with_keys({"work": Work(material="C45E")}))
    assert bench.setup.work.force is None
    assert bench.results.setup.work.force is not None


def test_view_angle_wraps_and_tells_only_changes(qtbot: Any) -> None:
    view = ViewState()
    angles: list[float] = []
    others: list[str] = []
    view.angle_changed.connect(angles.append)
    view.changed.connect(others.append)
    view.set("angle_deg", 300.0)
    view.set("angle_deg", -60.0)
    view.set("pair", True)
    view.set("pair", True)
    assert angles == [-60.0]
    assert others == ["pair"]
