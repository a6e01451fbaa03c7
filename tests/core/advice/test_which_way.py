"""The evidence under the rungs: figures against the report, where each points, words, the machine-readable advice."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from core.advice.ladder import verdict
from core.advice.which_way import REASONS, reason_of, reasons
from core.base.words import words
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.report.report import report
from core.report.text_report import text_report
from core.report.which_way_words import brief_words, decision_words, rung_words, why
from core.setup.setup import Setup
from core.strips.offset_strip import at_offsets, offset_strip
from tests.strategies import setups, shop_setups

A = example("boss").setup()


def cut(id: str) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup())


KEYS = {
    "pull": ("feed", "pull_margin_n"),
    "error": ("wall", "error_size_mm"),
    "skin": ("skin", "h_mm"),
    "rub": ("rubbing", "entry_deg"),
    "exit": ("chip", "trochoid", "h_exit_mm"),
    "entry": ("entry", "area_1deg_mm2"),
    "heat": ("heat", "peak_rise_k"),
    "marks": ("wall", "feed_mark_um"),
}


@pytest.mark.parametrize("id", ["boss", "flame-cut-plate", "slack-table", "long-reach", "left-hand"])
def test_each_figure_is_that_of_the_report(id: str) -> None:
    setup = cut(id)
    climb, conventional = report(setup.facing("climb")), report(setup.facing("conventional"))
    for entry in report(setup)["advice"]:
        if entry["id"] in KEYS:
            assert entry["quantity"] == ".".join(KEYS[entry["id"]])
            for way, found in (("climb", climb), ("conventional", conventional)):
                wanted = found
                for key in KEYS[entry["id"]]:
                    wanted = wanted[key]
                assert entry[way] == (None if wanted is None else pytest.approx(wanted, rel=1e-12))


def test_setup_a_of_the_notes() -> None:
    """Conventional leaves at 70.5 degrees with 0.0566 of 0.06 mm: a hint for climb; the rest is alike."""
    found = {r.id: r for r in reasons(A)}
    assert found["exit"].favours == "climb"
    # On the true path, as the plan's words and the strip tell it; the arc model of the notes has 0.0566 and 0.
    assert found["exit"].conventional == pytest.approx(0.0565, abs=5e-5)
    assert found["exit"].climb == pytest.approx(0.0003, abs=5e-5)
    # 499 and 537 K are nearer than the spread of their order; 1.72 degrees are under a twentieth of 70.5.
    assert found["heat"].favours is None and found["rub"].favours is None and found["marks"].favours is None
    assert found["pull"].why == "no_machine" and found["skin"].why == "no_skin"
    assert found["error"].why == "no_tolerance"


def test_striking_edge_first_answers_nothing_and_with_a_helix_says_why() -> None:
    helix, straight = reason_of("entry", A), reason_of("entry", A.with_keys({"cutter.helix_deg": 0.0}))
    assert helix.favours is straight.favours is None and helix.rung is None
    assert helix.why == "helix" and straight.why == "strikes"
    assert "point by point" in why(helix, A)


def test_which_way_in_the_report() -> None:
    told = report(A)["which_way"]
    assert told["direction"] == "climb" and told["rung"] == 3 and told["stands_in"] == 64
    assert told["condition"] == "if the table has no lost motion (not told)"
    assert {"key", "value", "unit", "direction"} == set(told["turns"][0])
    assert [rung["number"] for rung in told["rungs"]] == [1, 2, 3, 4, 5]
    slot = report(cut("slot-steel"))["which_way"]
    assert (slot["direction"], slot["rung"], slot["stands_in"], slot["turns"]) == (None, None, None, [])


def test_pull_margin_is_null_where_friction_or_preload_is_not_known() -> None:
    slack = cut("slack-table")
    assert report(slack)["feed"]["pull_margin_n"] is not None
    for key in ("machine.table_friction_n", "machine.feed_preload_n"):
        assert report(slack.with_keys({key: None}))["feed"]["pull_margin_n"] is None
    unknown = report(slack.with_keys({"machine.backlash_mm": None}))
    assert unknown["feed"]["pull_margin_n"] is not None and unknown["which_way"]["condition"] is not None


@settings(max_examples=40)
@given(shop_setups())
def test_reasons_do_not_depend_on_the_direction_they_are_asked_in(setup: Setup) -> None:
    assert reasons(setup) == reasons(setup.opposite) or setup.cut.direction == "straddling"


@settings(max_examples=40)
@given(setups())
def test_every_reason_of_every_legal_cut_can_be_told(setup: Setup) -> None:
    for reason in reasons(setup):
        told = why(reason, setup)
        assert told and "{" not in told and reason.source
        for value in (reason.climb, reason.conventional):
            assert value is None or math.isfinite(value)
        assert reason_of(reason.id, setup) == reason
    found = verdict(setup)
    if found is not None:
        assert decision_words(setup).split(",")[0].split(":")[0] in ("Climb", "Conventional", "Either")
        assert all(rung_words(rung) for rung in found.rungs)


def test_every_word_is_there() -> None:
    for group in ("reason", "reason_figure", "reason_threshold", "reason_source", "reason_limits"):
        assert list(words()[group]) == list(REASONS)


def test_rungs_and_losing_reasons_are_printed_with_condition_and_caution() -> None:
    told = text_report(A)
    section = told[told.index("\nWhich way") :]
    joined = " ".join(section.split())
    assert "Climb, if the table has no lost motion (not told)" in joined and "64 of 64" in joined
    assert joined.index("find out the lost motion") < joined.index("1 Can the machine take it?")
    assert "What would turn it" in section and "Edge temperature rise" in section
    assert max(map(len, told.splitlines())) <= 80


@pytest.mark.parametrize("id", [each.id for each in EXAMPLES])
@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_brief_report_never_names_two_directions(id: str, direction: str) -> None:
    setup = cut(id)
    if setup.cut.direction == "straddling":
        return
    setup = setup.facing(direction)  # type: ignore[arg-type]
    other = "conventional" if direction == "climb" else "climb"
    told = brief_words(setup)
    assert other not in told.lower()
    found = verdict(setup)
    assert found is not None
    if found.direction == other:
        assert told.startswith("Do not mill it as it is set here")
    brief = text_report(setup, brief=True)
    # The caution about climb stands at the end, whatever the direction.
    body = brief[brief.index("\nCut\n") : brief.index("Guards closed")].lower()
    assert other not in body


def test_the_headline_and_the_report_say_the_same() -> None:
    for id in ("boss", "slack-table", "long-reach", "flame-cut-plate"):
        told = report(cut(id))["which_way"]
        assert decision_words(cut(id)).lower().startswith(told["direction"])


# The offset of a straddling cut.


def test_an_offset_is_a_choice_and_an_axis_over_the_edge_is_warned_of() -> None:
    face = cut("facing-wide-steel")
    strip = offset_strip(face)
    assert strip is not None and offset_strip(A) is None
    # By hand: the right edge of the work at half its width and the offset.
    radius, half = face.cutter.diameter_mm / 2.0, face.cut.radial_engagement_mm / 2.0
    for i in (0, 30, 60, 90, 120):
        wanted = math.degrees(math.acos(-(strip.offset[i] + half) / radius))
        assert strip.exit_deg[i] == pytest.approx(wanted, abs=1e-6)
    narrow = face.with_keys({"cut.radial_engagement_mm": 50.0, "cut.feed_per_tooth_mm": 0.2})
    on_edge = narrow.with_keys({"cut.centre_offset_mm": -25.0})
    assert at_offsets(-25.0, on_edge).exit_deg[0] == pytest.approx(90.0)
    told = decision_words(on_edge)
    assert "the offset" in told or "an offset" in told
    assert "near the edge of the work" in told and "From an offset of" in told
    assert "near the edge of the work" not in decision_words(face)
    offset = report(on_edge)["which_way"]["offset"]
    assert offset["over_the_edge"] and offset["h_exit_mm"] == pytest.approx(
        0.2 * math.sin(math.radians(face.cutter.cutting_edge_angle_deg))
    )
