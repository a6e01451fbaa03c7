"""The sentence: each kind of cut told whole, with the clock of its hand and figures that can be read."""

from __future__ import annotations

import math
import re
import string
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.quantities import figure, told_figure
from core.base.words import say, words
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.arc_results import arc_results
from core.effects.wall import runout_reach
from core.effects.wall_depth import wall_profile_over_depth
from core.effects.wall_range import wall_range
from core.force.force_range import force_range
from core.force.force_turn import force_turn
from core.report.sentence import other_of_pair, passage_name, sentence, sentence_lines, spoken
from core.setup.setup import Cut, Cutter, Direction, Setup
from tests.strategies import setups

EDGE = 0.006


def cut(direction: Direction, ae: float, fz: float = 0.06, offset: float = 0.0, **cutter: Any) -> Setup:
    """A cutter of 12 mm in a cut of that width."""
    return Setup(Cutter(12.0, 4, **cutter), Cut(direction, ae, 10.0, fz, 4000.0, offset))


KINDS = {
    "climb": cut("climb", 4.0),
    "climb_past_centre": cut("climb", 9.0),
    "conventional": cut("conventional", 4.0),
    "conventional_past_centre": cut("conventional", 9.0),
    "straddling": cut("straddling", 6.0),
    "straddling_climb": cut("straddling", 2.0, offset=3.0),
    "straddling_conventional": cut("straddling", 2.0, offset=-3.0),
    "slot": cut("straddling", 12.0),
}

TOLD = {
    "climb": "Climb: meets the work thick at 12:39, 0.0567 mm, and leaves it thin at 3:00.",
    "climb_past_centre": "Climb: meets the work at 11:00, 0.0519 mm, is thickest at 12:00, 0.0600 mm, "
    "and leaves it thin at 3:00.",
    "conventional": "Conventional: slides in thin at 9:00, thickens all the way, "
    "and leaves thick at 11:21, 0.0565 mm.",
    "conventional_past_centre": "Conventional: slides in thin at 9:00, is thickest at 12:00, 0.0600 mm, "
    "and leaves at 1:00, 0.0522 mm.",
    "straddling": "Straddling: meets the work at 11:00, 0.0519 mm, is thickest at 12:00, 0.0600 mm, "
    "and leaves at 1:00, 0.0522 mm; conventional on the left, climb on the right.",
    "straddling_climb": "Straddling, climb side only: meets the work thick at 12:39, 0.0567 mm, "
    "and leaves thinner at 1:24, 0.0450 mm.",
    "straddling_conventional": "Straddling, conventional side only: meets the work at 10:36, 0.0447 mm, "
    "and leaves thicker at 11:21, 0.0565 mm.",
    "slot": "Slot: slides in thin at 9:00, is thickest at 12:00, 0.0600 mm, and leaves thin at 3:00; "
    "conventional on the left, climb on the right.",
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_cut_is_told_whole(kind: str) -> None:
    assert passage_name(KINDS[kind]) == kind
    assert sentence(KINDS[kind]) == TOLD[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_template_and_half_the_diameter_is_not_past_it(kind: str) -> None:
    assert kind in words()["sentence"]
    assert passage_name(cut("climb", 6.0)) == "climb" and passage_name(cut("conventional", 6.0)) == "conventional"


def test_a_left_hand_cutter_has_its_clock_and_its_sides_mirrored() -> None:
    left = sentence(cut("straddling", 12.0, hand="left"))
    assert "slides in thin at 3:00" in left and "leaves thin at 9:00" in left
    assert "conventional on the right, climb on the left" in left
    assert "at 11:21" in sentence(cut("climb", 4.0, hand="left"))


@pytest.mark.parametrize(
    ("setup", "last"),
    [
        (cut("climb", 4.0, edge_radius_mm=EDGE), " It rubs for the last 1.7 degrees."),
        (cut("conventional", 4.0, edge_radius_mm=EDGE), " It rubs for the first 1.7 degrees before a chip forms."),
        (cut("straddling", 12.0, edge_radius_mm=EDGE), " It rubs for the first 1.7 and the last 1.7 degrees."),
        (cut("climb", 4.0, 0.006, edge_radius_mm=EDGE), " It rubs for the last 17 degrees."),
    ],
)
def test_rubbing_is_told_in_degrees_of_the_arc_model(setup: Setup, last: str) -> None:
    assert math.degrees(math.asin(0.3 * EDGE / 0.06)) == pytest.approx(1.72, abs=0.005)
    assert math.degrees(math.asin(0.3 * EDGE / 0.006)) == pytest.approx(17.46, abs=0.005)
    assert sentence(setup).endswith(last)


def test_an_unknown_or_perfectly_sharp_edge_says_nothing_of_rubbing() -> None:
    assert "rubs" not in sentence(cut("climb", 4.0)) + sentence(cut("climb", 4.0, edge_radius_mm=0.0))
    assert "rubs" not in sentence(cut("straddling", 6.0, edge_radius_mm=EDGE)), "thick at both ends"


@pytest.mark.parametrize(
    "thin", [cut("climb", 0.001, edge_radius_mm=EDGE), cut("climb", 4, 1e-3, edge_radius_mm=EDGE)]
)
def test_a_cut_that_only_rubs_says_so_with_its_least_chip(thin: Setup) -> None:
    assert "no chip under 0.0018 mm" in sentence(thin)
    # It matters most.
    lead, rest = sentence_lines(thin)
    assert lead.endswith("it rubs all the way and never forms a chip in one pass.") and rest.startswith("Climb: ")


def test_the_share_of_the_edge_radius_is_the_setups_own() -> None:
    from dataclasses import replace

    setup = cut("climb", 4.0, edge_radius_mm=EDGE)
    more = replace(setup, work=replace(setup.work, chip=replace(setup.work.chip, min_chip_ratio=0.6)))
    assert "the last 3.4 degrees" in sentence(more)


def test_teeth_that_runout_keeps_out() -> None:
    # Radii 6.1, 6.0, 5.9, 6.0; two teeth of 6.05 and 5.95; a little that leaves all in.
    assert "2 of 4 teeth miss the work; the thickest chip becomes 0.1567 mm." in sentence(
        cut("climb", 4.0, runout_mm=0.1)
    )
    two = Setup(Cutter(12.0, 2, runout_mm=0.05), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    assert "only 1 of 2 teeth cuts" in sentence(two)
    one = Setup(Cutter(12.0, 3, runout_mm=0.055), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    assert "1 of 3 teeth misses the work" in sentence(one)
    assert "teeth" not in sentence(cut("climb", 4.0, runout_mm=0.001))
    uneven = sentence(cut("climb", 4.0, runout_mm=0.01))
    assert "the teeth take chips of up to 0.0467 mm to 0.0667 mm" in uneven and "those of tooth" in uneven
    assert "teeth" not in sentence(Setup(Cutter(12.0, 1, runout_mm=0.05), two.cut))


def test_inch_figures() -> None:
    assert sentence(cut("climb", 4.0), "inch").startswith("Climb: meets the work thick at 12:39, 0.00223 in, and")


@given(setups(boundless=True), st.sampled_from(["metric", "inch"]))
@settings(max_examples=80)
def test_the_sentence_of_any_cut_is_plain(setup: Setup, units: Any) -> None:
    told = sentence(setup, units)
    assert told.endswith(".") and told[0].isupper() and len(told) < 560
    assert "nan" not in told and "{" not in told and " -" not in told and "  " not in told
    assert 1 <= told.count(". ") + 1 <= 5
    lead, rest = sentence_lines(setup, units)
    # One thing first, in one sentence, and nothing twice.
    assert lead.endswith(".") and lead.count(". ") == 0 and told == f"{lead} {rest}".strip()
    sentences = told.split(". ")
    assert len(set(sentences)) == len(sentences)
    assert " 0.0000 mm" not in told.split("leaves")[0].replace("slides", ""), "a thin chip is not nothing"


def test_a_moving_tooth_in_one_line() -> None:
    setup = cut("climb", 4.0, edge_radius_mm=EDGE)
    assert spoken(setup, 125.0) == "Tooth at 1:10, 125.0°, chip 0.0494 mm, in the cut."
    assert spoken(setup, 10.0) == "Tooth at 9:20, 10.0°, in the air."
    assert spoken(setup, 179.5).endswith("rubbing.") and spoken(setup, 177.0).endswith("in the cut.")
    assert spoken(setup, 125.0, "inch") == "Tooth at 1:10, 125.0°, chip 0.00195 in, in the cut."
    assert spoken(setup, 485.0) == spoken(setup, 125.0)
    assert spoken(cut("climb", 4.0, hand="left"), 120.0).startswith("Tooth at 11:00, 120.0°")


@pytest.mark.parametrize("kind", KINDS)
def test_a_tooth_at_the_very_ends_of_contact_is_in_the_cut(kind: str) -> None:
    setup = KINDS[kind]
    r = arc_results(setup)
    for end, outward in ((r.true_entry, -0.01), (r.true_exit, 0.01)):
        assert "in the cut" in spoken(setup, math.degrees(end))
        assert "in the air" in spoken(setup, math.degrees(end) + outward)


def test_before_nine_oclock_the_angle_is_negative_not_three_hundred() -> None:
    assert spoken(cut("conventional", 4.0), 359.9).startswith("Tooth at 9:00, −0.1°")


@pytest.mark.parametrize("group", ["sentence", "spoken"])
def test_templates_are_whole_sentences_with_named_fields(group: str) -> None:
    for id, template in words()[group].items():
        assert template[0].isupper() and template.endswith("."), id
        fields = [name for _, name, spec, _ in string.Formatter().parse(template) if name is not None]
        assert all(name.isidentifier() for name in fields), id


def test_a_missing_field_is_an_error_and_not_a_hole() -> None:
    with pytest.raises(KeyError):
        say("sentence", "climb", entry="9:00")


def example(name: str, **keys: Any) -> Setup:
    return resolved(next(e for e in EXAMPLES if e.id == name).setup()).with_keys(keys)


def test_an_end_is_thin_only_where_it_is() -> None:
    """Feeds beyond any shop's: the true path leaves a climb cut as thick as the feed."""
    usual = sentence(example("boss", **{"cut.feed_per_tooth_mm": 1.0}))
    assert "leaves it thin at 3:00" in usual
    far = sentence(example("boss", **{"cut.feed_per_tooth_mm": 4.0}))
    assert "thin" not in far and "leaves it at 3:00, still 6.0000 mm" in far
    for feed in (0.06, 0.6, 2.0, 4.0, 6.0):
        for way in ("climb", "conventional"):
            setup = example("boss", **{"cut.feed_per_tooth_mm": feed, "cut.direction": way})
            chip = arc_results(setup).trochoid
            end = chip.h_exit if way == "climb" else chip.h_entry
            assert ("thin at" in sentence(setup)) == (end <= 0.3 * chip.h_max), (feed, way)


def test_the_wall_is_told_where_it_is_worst() -> None:
    top = sentence(example("runout-two-teeth"))
    profile = wall_profile_over_depth(example("runout-two-teeth"))
    assert profile is not None
    tip, last = profile.error[0], -profile.error[-1]
    spread = wall_range(example("runout-two-teeth"))
    assert spread is not None
    # At the tip the range is wide; the top is made by the reach of the tooth alone, which is known.
    tip_words = told_figure(tip, *spread.tip, "deflection")
    assert " to " in tip_words
    assert f"{tip_words} of stock at the tip and undercuts by {last:.4f} mm at the top." in top
    between = sentence(example("finishing-aluminium").opposite)
    found = wall_profile_over_depth(example("finishing-aluminium").opposite)
    assert found is not None
    spread = wall_range(example("finishing-aluminium").opposite)
    assert spread is not None
    greatest = told_figure(found.greatest, *spread.greatest, "deflection")
    assert f"at the tip and {greatest} at {found.greatest_at:.1f} mm above it." in between
    # Where no edge is in cut as the tip makes the wall, the worst place above it is told all the same.
    none = sentence(example("slack-table", **{"machine.backlash_mm": 0.0}).opposite)
    true = r"when the tip makes the wall: there the wall comes out true; "
    told = true + r"0\.0020 mm \(0\.\d+ to 0\.\d+\) of stock is left at 6\.1 mm"
    assert re.search(told, none)
    # Where the tip is the worst place, or a limit tells of the worst, it is told once.
    assert sentence(example("boss")).endswith("of stock at the tip.")
    assert " and " not in sentence(example("long-reach")).split("stock at the tip")[1]


def test_force_and_wall_are_told_with_their_ranges_in_two_digits() -> None:
    boss = example("boss")
    told, ends, spread = force_turn(boss), force_range(boss), wall_range(boss)
    assert told is not None and ends is not None and spread is not None
    # The boss is climbed: off the wall is to the left.
    assert (round(-told.fx.least, -2), round(-ends.fx.least.high, -1), round(-ends.fx.least.low, -2)) == (
        1100,
        960,
        1200,
    )
    assert [round(v, 3) for v in spread.tip] == [0.052, 0.082]
    whole = (
        "Pushed off the wall by up to 1100 N (960 to 1200), it leaves 0.066 mm (0.052 to 0.082) of stock at the tip."
    )
    assert sentence(boss).endswith(whole)
    assert sentence(boss, ranged=False).endswith("by up to 1100 N, it leaves 0.066 mm of stock at the tip.")


def test_a_tooth_that_reaches_farther_than_its_cutter_is_pushed_back_undercuts() -> None:
    narrow = {"cut.feed_per_tooth_mm": 0.03, "cut.radial_engagement_mm": 0.4}
    setup = example("runout-two-teeth", **narrow)
    turn, profile, reach = force_turn(setup), wall_profile_over_depth(setup), runout_reach(setup)
    assert turn is not None and profile is not None and reach is not None
    error = float(profile.error[0])
    # The force of the whole turn is off the climbed wall, and yet its longest tooth cuts too deep.
    assert turn.fx.greatest == 0.0 and turn.fx.least < -40.0 and error < 0.0 < error + reach
    told = sentence(setup)
    assert f"Pushed off the wall by up to {-turn.fx.least:.0f} N (" in told and " toward the wall" not in told
    assert f"it still undercuts by {-error:.4f} mm (" in told and "The runout's reach of" in told
    # Without it the cutter leaves stock.
    true = sentence(setup.with_keys({"cutter.runout_mm": 0.0}))
    assert "of stock" in true and "still" not in true


def test_stock_at_the_tip_and_an_undercut_elsewhere() -> None:
    """Widths between those that only leave stock and those that only undercut: the profile's own signs are told."""
    told = set()
    keys = {"cut.direction": "conventional", "cut.axial_engagement_mm": 14.0}
    cuts = [example("boss", **keys, **{"cut.radial_engagement_mm": float(w)}) for w in np.linspace(0.3, 6.0, 58)]
    # Runout takes from the top what the bend leaves at the tip.
    cuts += [example("runout-two-teeth", **{"cutter.runout_mm": e}) for e in (0.006, 0.009, 0.012)]
    for setup in cuts:
        profile, words = wall_profile_over_depth(setup), sentence(setup)
        assert profile is not None
        tip, worst = float(profile.error[0]), float(profile.error[np.abs(profile.error).argmax()])
        if abs(worst) > 1.06 * abs(tip) + 5e-5 and abs(tip) > 5e-5 and "not known" not in words:
            stock, undercut = "of stock" in words, "undercuts" in words
            assert (stock, undercut) == (max(tip, worst) > 0.0, min(tip, worst) < 0.0), (setup, words)
            told.add((stock, undercut))
    assert (True, True) in told, "the test must meet a wall of both signs"


def test_a_pulled_table_is_told_only_with_lost_motion() -> None:
    told = sentence(example("slack-table"))
    assert told.startswith("The table, held by 250 N, is pulled with 420 N (320 to 500) and can jump 0.25 mm. ")
    assert "table" not in sentence(example("slack-table").opposite)
    assert "table" not in sentence(example("slack-table", **{"machine.backlash_mm": 0.0}))
    assert "table" not in sentence(example("slack-table", **{"machine.feed_preload_n": 2000.0}))
    assert "can jump 0.0098 in." in sentence(example("slack-table"), "inch")


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_thickness_is_said_with_the_decimals_that_it_has_everywhere(units: Any) -> None:
    setup = cut("climb", 4.0)
    h = arc_results(setup).trochoid.h_entry
    assert figure(h, "chip_thickness", units) in sentence(setup, units)


def test_what_matters_most_comes_first_and_the_rest_on_a_second_line() -> None:
    """The table that is pulled, the chip that never forms, the teeth that differ; else the way through the work."""
    first = {
        "slack-table": "The table, held by 250 N, is pulled with",
        "long-reach": "The wall is off by up to",
        "worn-finish": "This edge lifts no chip under",
        "runout-two-teeth": "With this runout the teeth take",
        "boss": "Climb: meets the work thick at",
        "facing-cast-iron": "Straddling: meets the work at",
    }
    for id, words_ in first.items():
        setup = resolved(next(e for e in EXAMPLES if e.id == id).setup())
        lead, rest = sentence_lines(setup)
        assert lead.startswith(words_) and rest and lead not in rest


def test_a_pair_of_a_centred_cut_says_what_the_offset_does_and_nothing_twice() -> None:
    centred = cut("straddling", 6.0)
    assert other_of_pair(centred) and other_of_pair(centred) != sentence(centred)
    assert "offset" in other_of_pair(centred).lower()
    assert other_of_pair(cut("straddling", 12.0)) == ""
    climb = cut("climb", 4.0)
    assert other_of_pair(climb) == sentence(climb.opposite)
    aside = cut("straddling", 6.0, offset=1.0)
    assert other_of_pair(aside) == sentence(aside.opposite)
