"""The examples show their lesson: what their lines claim is what the figures say."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from core.advice.ladder import verdict
from core.advice.which_way import reason_of
from core.chatter.both_ways import both_ways
from core.chatter.why_direction import why_direction
from core.cut.engagement import engagement
from core.cut.runout_chips import runout_chips
from core.cut.skin import free_faces
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, Example, example
from core.effects.arc_results import arc_results
from core.effects.feed_marks import feed_marks
from core.effects.rubbing import forms_no_chip
from core.maths.angles import clock
from core.setup.setup import Setup


def of(id: str) -> Setup:
    """An example with what the catalogue knows."""
    return resolved(example(id).setup())


def sizes(id: str, setup: Setup) -> tuple[float, float]:
    """A reason's figures, without their signs: climb and conventional."""
    reason = reason_of(id, setup)
    assert reason.climb is not None and reason.conventional is not None
    return abs(reason.climb), abs(reason.conventional)


@pytest.mark.parametrize("each", EXAMPLES, ids=lambda e: e.id)
def test_each_has_a_line_and_but_for_the_opening_one_a_view_with_the_tooth_in_its_cut(each: Example) -> None:
    setup = of(each.id)
    show, results = setup.show, arc_results(setup)
    assert 20 < len(show.line) <= 105 and show.line.endswith(".")
    if setup.title == EXAMPLES[0].title:
        # It is what the program starts with, and must leave the view as it was left.
        assert not show.given
        return
    assert show.strips and show.angle_deg is not None
    assert results.true_entry < math.radians(show.angle_deg) < results.true_exit


def test_the_finishing_pass_has_a_chip_of_a_third_of_the_feed() -> None:
    results = arc_results(of("finishing-aluminium"))
    assert 0.30 < results.trochoid.h_max / results.setup.cut.feed_per_tooth_mm < 0.37


def test_the_worn_edge_lifts_no_chip_until_it_is_sharp_or_the_feed_is_greater() -> None:
    setup = of("worn-finish")
    assert forms_no_chip(setup)
    assert not forms_no_chip(setup.with_values(cutter__edge_radius_mm=0.008))
    assert not forms_no_chip(setup.with_values(cut__feed_per_tooth_mm=0.06))


def test_the_slot_and_the_face_mills_are_what_they_are_called() -> None:
    slot = engagement(of("slot-steel"))
    assert slot.entry == 0.0 and slot.exit == pytest.approx(math.pi)
    iron = of("facing-cast-iron")
    thinned = arc_results(iron).trochoid.h_max / iron.cut.feed_per_tooth_mm
    assert iron.cut.centre_offset_mm != 0.0
    assert thinned == pytest.approx(math.sin(math.radians(75.0)), rel=1e-3)
    wide = of("facing-wide-steel")
    assert wide.cutter.teeth * engagement(wide).arc / (2.0 * math.pi) > 2.0


def test_the_thin_wall_heats_the_climbing_edge_more_but_not_in_a_wider_cut() -> None:
    setup = of("thin-wall-aluminium")
    climb, conventional = sizes("heat", setup)
    assert climb > conventional
    climb, conventional = sizes("heat", setup.with_values(cut__radial_engagement_mm=4.0))
    assert climb < conventional


def test_the_slender_cutter_leaves_far_more_stock_climbing_and_a_short_one_keeps_the_tolerance() -> None:
    setup = of("long-reach")
    (climb, conventional), allowed = sizes("error", setup), setup.cut.wall_tolerance_mm
    assert allowed is not None and climb > allowed > conventional and climb > 5.0 * conventional
    assert max(sizes("error", setup.with_values(cutter__stickout_mm=18.0))) < allowed


def test_the_skin_is_broken_out_of_conventionally_and_struck_climbing() -> None:
    setup = of("flame-cut-plate")
    assert setup.cut.direction == "conventional"
    assert free_faces(setup) == (False, True) and free_faces(setup.opposite) == (True, False)


def test_the_left_hand_cutter_mirrors_the_clock() -> None:
    e = engagement(of("left-hand"))
    entry, leaves = (clock(math.degrees(phi), "left") for phi in (e.entry, e.exit))
    assert entry.startswith("11:") and leaves == "9:00"


def test_one_of_the_two_teeth_takes_more_and_makes_the_wall_alone() -> None:
    setup = of("runout-two-teeth")
    thick = sorted(chip.trochoid.h_max for chip in runout_chips(setup))
    found = feed_marks(setup)
    assert thick[1] > 2.0 * thick[0] > 0.0 and found is not None and found.teeth == 1


def test_the_slack_table_says_conventional_and_its_machine_is_given() -> None:
    setup = of("slack-table")
    found = verdict(setup)
    assert setup.machine is not None and found is not None
    assert found.direction == "conventional" and found.rung == "machine"


def test_the_trades_saying_which_axis_is_soft_says_which_direction_is_quiet() -> None:
    """Nine of ten draws hold in one direction and chatter in the other; swap the axes, and it is the reverse."""
    for id, quiet in (("reach-soft-across", "conventional"), ("reach-soft-along", "climb")):
        setup = of(id)
        assert setup.cut.direction == quiet and setup.show.page == "chatter"
        own, other = both_ways(setup)
        assert own.sure is True and other.sure is False
        found = verdict(setup)
        assert found is not None and (found.direction, found.by, found.number) == (quiet, "stability", 2)
        why = why_direction(setup)
        assert why.steadier == quiet and why.turns_at is not None
        assert why.softer == {"conventional": 0, "climb": 1}[quiet]
        by_factor = {way.direction: abs(float(way.back[why.softer])) for way in why.ways}
        assert by_factor[quiet] < 0.7 * max(by_factor.values())
        swapped = replace(
            setup, dynamics=tuple(replace(m, axis="y" if m.axis == "x" else "x") for m in setup.dynamics)
        )
        assert [held.sure for held in both_ways(swapped)] == [False, True]


def test_the_trades_saying_two_equal_axes_decide_nothing() -> None:
    own, other = both_ways(of("reach-alike"))
    assert own.limit.depth_mm == pytest.approx(other.limit.depth_mm, rel=1e-6)
    assert own.stable_draws == other.stable_draws and own.sure is True
    why = why_direction(of("reach-alike"))
    assert why.steadier is None and why.softer is None
    found = verdict(of("reach-alike"))
    assert found is not None and found.by != "stability"


def test_the_trades_saying_turns_where_the_soft_axis_is_stiffened() -> None:
    for id in ("reach-soft-across", "reach-soft-along"):
        setup = of(id)
        found = why_direction(setup)
        assert found.turns_at is not None and found.turns_at > 1.0
        for factor, turned in ((0.9, False), (1.1, True)):
            stiffer = [
                replace(m, stiffness_n_mm=factor * found.turns_at * m.stiffness_n_mm)
                if m.axis == "xy"[found.softer or 0]
                else m
                for m in setup.dynamics
            ]
            there = why_direction(replace(setup, dynamics=tuple(stiffer)))
            assert (there.steadier != found.steadier) is turned and there.steadier is not None


@pytest.mark.parametrize("width", [1.0, 3.0, 5.0])
def test_the_trades_saying_ends_where_both_axes_are_alike(width: float) -> None:
    assert why_direction(of("reach-alike").with_keys({"cut.radial_engagement_mm": width})).steadier is None
