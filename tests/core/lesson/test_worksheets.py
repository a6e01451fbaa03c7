"""Worksheets: each seed has its own numbers, and each key is right against the report of its cut."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from core.base.errors import ChiparcError
from core.base.places import shared
from core.base.quantities import Units
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.lesson.cut_figures import number_of, told
from core.lesson.lesson import PINS, Lesson
from core.lesson.lesson_reading import load_lesson
from core.lesson.tasks import TASKS, task
from core.lesson.worksheet import Question, Worksheet, setup_worksheet, worksheet
from core.report.advice_keys import which_way_keys
from core.report.report import KEY_GROUPS, joined
from core.report.schema import flat
from core.report.stability_keys import stability_keys

LIGHT = ("which-way-is-which", "thickest-chip", "rubbing-and-heat", "chip-thinning")
"""Lessons whose figures cost little, for many sheets."""


def lesson(name: str) -> Lesson:
    return load_lesson(shared("lessons", f"{name}.toml"))


@pytest.mark.parametrize("each", EXAMPLES, ids=lambda e: e.id)
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_working_by_hand_gives_the_figure_of_the_report(each: object, units: Units) -> None:
    setup = example(each.id).setup()  # type: ignore[attr-defined]
    fits = [found for id in TASKS if (found := task(id, setup, units)) is not None]
    assert fits
    for found in fits:
        assert found.answer == pytest.approx(number_of(setup, found.key), rel=1e-9)
        if found.id != "tooth_passing":
            assert found.told == told(setup, found.key, units)
        assert found.told.split(" ")[0] in " ".join(found.steps)


SECTIONS = tuple(section for section in KEY_GROUPS if section not in (stability_keys, which_way_keys))
"""The report without its dear parts, which the light lessons do not ask about."""


def answered_by_report(question: Question) -> float:
    """What the report of the question's cut says, house units."""
    whole = dict(flat(joined(resolved(question.setup), SECTIONS)))
    return float(whole[PINS.get(question.key, question.key)])


@pytest.mark.parametrize("name", LIGHT)
def test_two_seeds_differ_and_each_key_is_right(name: str) -> None:
    sheets = [worksheet(lesson(name), seed, "metric") for seed in ("1", "2")]
    assert [q.setup for q in sheets[0].questions] != [q.setup for q in sheets[1].questions]
    assert [q.answer for q in sheets[0].questions] != [q.answer for q in sheets[1].questions]
    for sheet in sheets:
        checked = 0
        for question in sheet.questions:
            if question.kind in ("work", "pin", "estimate") and isinstance(question.value, float):
                assert question.value == pytest.approx(answered_by_report(question), rel=1e-9)
                checked += 1
        assert checked >= 3


@pytest.mark.parametrize("path", sorted(shared("lessons").glob("*.toml")), ids=lambda p: p.stem)
def test_every_lesson_makes_a_sheet(path: Path) -> None:
    read = load_lesson(path)
    sheet = worksheet(read, "7", "inch")
    asked = sum(scene.predict is not None for scene in read.scenes)
    assert len(sheet.questions) == asked + len(read.tasks)
    assert all(question.answer and question.steps and question.ask for question in sheet.questions)
    assert not any(re.search(r"\bmm\b", q.ask + " ".join(q.steps) + q.answer) for q in sheet.questions)


def test_the_same_seed_is_the_same_sheet() -> None:
    first, second = (worksheet(lesson("thickest-chip"), "anna", "metric") for _ in range(2))
    assert first == second


def test_scenes_that_share_a_figure_go_on_sharing_it() -> None:
    sheet = worksheet(lesson("thickest-chip"), "3", "metric")
    feeds = {q.setup.cut.feed_per_tooth_mm for q in sheet.questions}
    assert len(feeds) == 1


def test_figures_of_a_sheet_are_round_in_its_own_units() -> None:
    sheet = worksheet(lesson("thickest-chip"), "5", "inch")
    for question in sheet.questions:
        thousandths = question.setup.cut.radial_engagement_mm / 25.4 * 1000.0
        assert thousandths == pytest.approx(round(thousandths), abs=1e-6)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_an_estimate_has_its_working_before_its_reason(units: Units) -> None:
    sheet = worksheet(lesson("chip-thinning"), "1", units)
    worked = [q for q in sheet.questions if q.kind == "estimate" and len(q.steps) > 1]
    assert {"chip.arc.h_max_mm", "chip.feed_for_full_thickness_mm"} <= {q.key for q in worked}
    for question in worked:
        # The last line of the working is the answer, which the key tells.
        assert told(question.setup, question.key, units).split(" ")[0] in question.steps[-2]


def test_a_stick_out_is_round_on_an_inch_sheet_and_stays_on_a_metric_one() -> None:
    for units, step in (("inch", 1.27), ("metric", 1.0)):
        setups = {q.setup for q in worksheet(lesson("pushed-or-pulled"), "3", units).questions}  # type: ignore[arg-type]
        lengths = [s.cutter.stickout_mm for s in setups if s.cutter.stickout_mm is not None]
        assert lengths and all(length / step == pytest.approx(round(length / step), abs=1e-6) for length in lengths)


def test_a_sheet_of_a_setup_has_both_directions_in_reach() -> None:
    sheet: Worksheet = setup_worksheet(example("boss").setup(), "1", "metric")
    assert len(sheet.questions) >= 4 and all(q.kind == "work" for q in sheet.questions)


def test_a_task_that_no_cut_fits_is_refused_in_words() -> None:
    read = lesson("thickest-chip")
    wrong = Lesson(read.title, read.about, read.scenes, tasks=("jump",))
    with pytest.raises(ChiparcError, match="jump"):
        worksheet(wrong, "1", "metric")
