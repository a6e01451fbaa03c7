"""The reasons for a direction: figures against the report, votes by hand, the rule, the trade's exceptions, words."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given, settings

from core.advice import which_way
from core.advice.which_way import REASONS, Decision, Reason, decide, leaves_in_band, reason_of, reasons
from core.base.words import say, words
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.report.report import report
from core.report.text_report import text_report
from core.report.which_way_words import decision_words, why
from core.setup.setup import Cut, Cutter, Machine, Setup, Skin
from tests.strategies import setups, shop_setups

A = example("boss").setup()


def cut(id: str) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup())


def by_id(setup: Setup) -> dict[str, Reason]:
    """Reasons of a setup by id."""
    return {r.id: r for r in reasons(setup)}


def vote(id: str, weight: str, favours: str | None) -> Reason:
    """A reason with nothing but its vote."""
    return Reason(id, "k", "force", 1.0, 2.0, None, weight, favours, "none")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("votes", "way", "rule"),
    [
        ([], "climb", "default"),
        ([vote("a", "mild", "conventional")], "conventional", "mild"),
        ([vote("a", "mild", "conventional"), vote("b", "strong", "climb")], "climb", "strong"),
        ([vote("a", "strong", "climb"), vote("b", "strong", "climb"), vote("c", "stop", "conventional")],
         "conventional", "stop"),
        ([vote("a", "strong", "climb"), vote("b", "strong", "conventional"), vote("c", "mild", "conventional")],
         "conventional", "mild"),
        ([vote("a", "strong", "climb"), vote("b", "strong", "conventional")], "climb", "default"),
        ([vote("a", "strong", None)], "climb", "default"),
    ],
)  # fmt: skip
def test_the_rule_goes_step_by_step(votes: list[Reason], way: str, rule: str) -> None:
    found = decide(votes)
    assert (found.way, found.rule) == (way, rule)


def test_a_reason_switched_off_does_not_count() -> None:
    votes = [vote("a", "stop", "conventional"), vote("b", "mild", "climb")]
    assert decide(votes).way == "conventional"
    assert decide(votes, {"a"}) == Decision("climb", "mild", ("b",), ())
    assert decide(votes, {"a", "b"}).rule == "default"


KEYS = {
    "pull": ("feed", "pull_margin_n"),
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
    error = next(e for e in report(setup)["advice"] if e["id"] == "error")
    assert error["climb"] == pytest.approx(abs(climb["wall"]["error_mm"]), abs=1e-9)


def test_setup_a_of_the_notes() -> None:
    """For climb the exit (conventional leaves at 70.5 degrees, 0.0566 of 0.06 mm) and heat; against: entry, error."""
    found = by_id(A)
    assert (found["exit"].favours, found["exit"].weight) == ("climb", "strong")
    # On the true path, as the plan's words and the strip tell it; the arc model of the notes has 0.0566 and 0.
    assert found["exit"].conventional == pytest.approx(0.0565, abs=5e-5)
    assert found["exit"].climb == pytest.approx(0.0003, abs=5e-5)
    assert (found["heat"].favours, found["entry"].favours) == ("climb", "conventional")
    assert (found["heat"].climb, found["heat"].conventional) == (
        pytest.approx(499.4, rel=1e-3),
        pytest.approx(537.1, rel=1e-3),
    )
    # 1.72 degrees of 70.5 are under a twentieth; marks of 0.074 and 0.076 um are alike.
    assert found["rub"].favours is None and found["marks"].favours is None
    assert found["pull"].why == "no_machine" and found["skin"].why == "no_skin"
    assert decide(reasons(A)) == Decision("climb", "strong", ("exit",), ())


# The trade's exceptions: each in an example as a computed result, gone when its cause is taken away by one figure.


def test_a_slack_table_stops_climb_and_no_more_without_its_lost_motion() -> None:
    slack = cut("slack-table")
    assert decide(reasons(slack)).rule == "stop" and decide(reasons(slack)).way == "conventional"
    tight = slack.with_keys({"machine.backlash_mm": 0.004})
    assert by_id(tight)["pull"].why == "no_backlash" and decide(reasons(tight)).rule != "stop"
    stiff = slack.with_keys({"machine.table_friction_n": 600.0})
    assert by_id(stiff)["pull"].why == "none" and decide(reasons(stiff)).rule != "stop"


def test_a_skin_speaks_for_conventional_and_no_more_without_it() -> None:
    plate = cut("flame-cut-plate")
    assert (by_id(plate)["skin"].favours, by_id(plate)["skin"].weight) == ("conventional", "strong")
    assert decide(reasons(plate)).way == "conventional"
    clean = replace(plate, work=replace(plate.work, skin=None))
    assert by_id(clean)["skin"].favours is None and decide(reasons(clean)).way == "climb"
    none = replace(plate, work=replace(plate.work, skin=Skin(0.0)))
    assert by_id(none)["skin"].why == "no_skin"


def test_a_long_cutter_at_part_width_leaves_more_climbing_and_no_more_when_short() -> None:
    reach = cut("long-reach")
    error = by_id(reach)["error"]
    assert error.favours == "conventional" and error.climb is not None and error.climb > 0.1
    # Less stick-out, and both directions keep the tolerance of 0.05 mm.
    short = by_id(reach.with_keys({"cutter.stickout_mm": 14.0}))["error"]
    assert (short.favours, short.why) == (None, "within") and short.climb is not None and short.climb < 0.05


def test_thin_chips_with_a_strong_edge_force_heat_more_climbing_and_no_more_in_a_wider_cut() -> None:
    wall = cut("thin-wall-aluminium")
    assert wall.work.thermal is not None
    # With figures that are the same at any temperature; where the work softens the hotter end softens more.
    stiff = replace(wall.work.thermal, solidus_c=None, law=None)
    soft, wall = wall, wall.with_keys({"work.thermal": stiff})
    assert by_id(wall)["heat"].favours == "conventional"
    assert by_id(soft)["heat"].favours is None
    assert by_id(wall.with_keys({"cut.radial_engagement_mm": 3.0}))["heat"].favours is None


def test_a_worn_edge_rubs_out_and_no_more_when_sharp_or_fed_more() -> None:
    worn = cut("worn-finish")
    assert by_id(worn)["rub"].why == "feed_first" and by_id(worn)["rub"].against("climb")
    for key, value in (("cutter.edge_radius_mm", 0.006), ("cut.feed_per_tooth_mm", 0.05)):
        assert by_id(worn.with_keys({key: value}))["rub"].why == "climb"


def test_thin_chips_with_a_dull_edge_turn_the_heat_round() -> None:
    dull = A.with_keys({"work.force": replace(A.work.force, kte=60.0)})  # type: ignore[type-var]
    assert by_id(A)["heat"].favours == "climb" and by_id(dull)["heat"].favours == "conventional"


def test_chips_too_thin_for_the_edge_ask_for_more_feed_first() -> None:
    """D 12, ae 0.05, fz 0.02, edge 0.02 of the notes: all of the arc rubs, three teeth a chip."""
    thin = A.with_keys(
        {"cut.radial_engagement_mm": 0.05, "cut.feed_per_tooth_mm": 0.02, "cutter.edge_radius_mm": 0.02}
    )
    assert by_id(thin)["rub"].why == "feed_first" and by_id(thin)["rub"].favours is None
    thicker = thin.with_keys({"cut.feed_per_tooth_mm": 0.2})
    assert by_id(thicker)["rub"].favours == "climb"


def test_work_that_hardens_counts_any_sliding_in() -> None:
    stainless = A.with_keys({"work.material": "X5CrNi18-10"})
    assert by_id(stainless)["rub"].favours == "climb" and by_id(stainless)["rub"].threshold == 0.0


def test_both_directions_that_pull_decide_nothing() -> None:
    """A deep cut past the centre pulls and pushes: with no friction at all it pulls both ways."""
    loose = A.with_keys({"cut.radial_engagement_mm": 11.0, "cutter.teeth": 1, "cutter.helix_deg": 0.0}).with_keys(
        {"machine": None}
    )
    loose = replace(loose, machine=Machine(table_friction_n=0.0, backlash_mm=0.3))
    pull = by_id(loose)["pull"]
    assert pull.climb is not None and pull.conventional is not None
    assert (pull.why == "both") is (pull.climb < 0.0 and pull.conventional < 0.0)
    assert pull.why in ("both", "conventional")


def test_a_straddling_cut_has_no_choice() -> None:
    slot = cut("slot-steel")
    assert reasons(slot) == () and report(slot)["advice"] == []
    assert report(slot)["which_way"] == {"direction": None, "rule": None}
    assert "mills both ways" in text_report(slot)


@settings(max_examples=60)
@given(shop_setups())
def test_advice_does_not_depend_on_the_direction_it_is_asked_in(setup: Setup) -> None:
    assert reasons(setup) == reasons(setup.opposite) or setup.cut.direction == "straddling"


@settings(max_examples=60)
@given(setups())
def test_every_reason_of_every_legal_cut_can_be_told(setup: Setup) -> None:
    for reason in reasons(setup):
        told = why(reason, setup)
        assert told and "{" not in told and reason.source
        assert reason.favours is None or reason.weight is not None
        for value in (reason.climb, reason.conventional):
            assert value is None or math.isfinite(value)
        assert reason_of(reason.id, setup) == reason
    if setup.cut.direction != "straddling":
        assert decision_words(decide(reasons(setup))).split(":")[0] in ("Climb", "Conventional")


def test_every_word_is_there() -> None:
    for group in ("reason", "reason_figure", "reason_threshold", "reason_source", "reason_limits"):
        assert list(words()[group]) == list(REASONS)


def test_the_losing_reasons_are_printed_too() -> None:
    told = text_report(A)
    section = told[told.index("Which way") :]
    assert "mild, conventional" in section and "strong, climb" in section and "qualified" in section
    assert max(map(len, told.splitlines())) <= 80


@pytest.mark.parametrize(
    "diameter", [1.0, 3.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 63.0, 125.0, 12.7, 19.05]
)
@pytest.mark.parametrize("share", [0.25, 0.75])
def test_a_width_on_the_bands_end_is_in_it_for_every_cutter(diameter: float, share: float) -> None:
    """A quarter and three quarters of the diameter leave at 60 and 120 degrees, whatever rounding makes of it."""
    setup = Setup(Cutter(diameter, 4), Cut("conventional", share * diameter, 2.0, 0.004 * diameter, 1000.0))
    assert leaves_in_band(setup)
    assert not leaves_in_band(
        setup.with_keys({"cut.radial_engagement_mm": (share + 0.01 * (2 * share - 1)) * diameter})
    )


@pytest.mark.parametrize("id", ["heat", "error", "marks"])
def test_a_difference_counts_from_the_share_on_that_the_words_tell(id: str, monkeypatch: pytest.MonkeyPatch) -> None:
    told = re.search(r"differ by (\d+) %", say("reason_threshold", id))
    assert told is not None
    share, base = float(told[1]) / 100.0, 100.0
    for over, favours in ((0.99, None), (1.01, "climb")):
        figure = {"climb": base, "conventional": base * (1.0 + share * over)}

        def peak(setup: Setup, figure: dict[str, float] = figure) -> SimpleNamespace:
            return SimpleNamespace(peak=figure[setup.cut.direction], height=1e-3 * figure[setup.cut.direction])

        monkeypatch.setattr(which_way, "edge_temperature", peak)
        monkeypatch.setattr(which_way, "feed_marks", peak)
        monkeypatch.setattr(which_way, "wall_error", lambda height, setup, f=figure: f[setup.cut.direction])
        # In either order: the smaller figure is the better one.
        here = replace(A, cut=replace(A.cut, direction="climb", wall_tolerance_mm=None))
        assert REASONS[id](here, here.opposite).favours == favours
        figure["climb"], figure["conventional"] = figure["conventional"], figure["climb"]
        assert REASONS[id](here, here.opposite).favours == (favours and "conventional")
