"""What would lift a reason: with a margin, never a worse figure of its own, and told with what it does and costs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.advice.checks import CHECKS, CURED_SHARE, chip_forms
from core.advice.ladder import nominal_verdict
from core.advice.reason_remedies import BETTER_SHARE, cleared, effects, lifting_value, measures
from core.advice.remedies import QUANTITY_OF
from core.advice.which_way import stands_against
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.wall_range import wall_range
from core.force.force_turn import force_turn
from core.report.effect_keys import rubbing_keys, skin_keys, table_pull_keys
from core.report.force_keys import wall_keys
from core.report.heat_keys import heat_keys
from core.report.machine_keys import wall_depth_keys
from core.report.report import chip_keys, joined
from core.setup.setup import Machine, Setup
from core.setup.setup_limits import check_setup

WIDTH, FEED, SPEED, DEPTH, STICKOUT = QUANTITY_OF


def cut(id: str, direction: str = "climb") -> Setup:
    """An example with its coefficients, in one direction."""
    return resolved(example(id).setup()).facing(direction)  # type: ignore[arg-type]


def force(setup: Setup) -> float:
    """Greatest force on the cutter, N."""
    found = force_turn(setup)
    assert found is not None
    return found.resultant_max


FIGURES = {
    "pull": lambda r: -r["feed"]["pull_margin_n"],
    "skin": lambda r: r["skin"]["h_mm"],
    "rub": lambda r: r["rubbing"]["entry_deg"],
    "exit": lambda r: r["chip"]["trochoid"]["h_exit_mm"],
    "heat": lambda r: r["heat"]["peak_rise_k"],
    "error": lambda r: r["wall"]["error_size_mm"],
}
"""The figure of each reason in the report, so that less is better."""

SECTIONS = (table_pull_keys, skin_keys, rubbing_keys, chip_keys, heat_keys, wall_keys, wall_depth_keys)


def figure_of(reason: str, setup: Setup) -> float:
    """That figure, out of the sections that have one."""
    return FIGURES[reason](joined(setup, SECTIONS))


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("id", ["boss", "slack-table", "long-reach", "flame-cut-plate"])
def test_whatever_is_offered_clears_its_reason_with_a_margin(id: str, direction: str) -> None:
    setup = cut(id, direction)
    for reason in FIGURES:
        if not stands_against(reason)(setup):
            continue
        before = figure_of(reason, setup)
        for key in QUANTITY_OF:
            value = lifting_value(reason, setup, key)
            if value is None:
                continue
            after = setup.with_keys({key: value})
            check_setup(after)
            assert cleared(reason, after) and not stands_against(reason)(after) and chip_forms(after)
            assert figure_of(reason, after) < before - 0.999 * BETTER_SHARE * abs(before), (reason, key, value)


def test_a_stop_is_left_with_more_than_its_margin() -> None:
    """On the slack table whatever is offered leaves the pull under a third of what holds it, or no remedy."""
    setup, offered = cut("slack-table"), 0
    for key in QUANTITY_OF:
        value = lifting_value("pull", setup, key)
        if value is None:
            continue
        offered += 1
        after = setup.with_keys({key: value})
        turn = force_turn(after)
        assert turn is not None and turn.fy.greatest <= 250.0 * CURED_SHARE * (1.0 + 1e-9)
        # The table is as slack as before: a verdict for climb is told with that while anything pulls.
        found = nominal_verdict(after)
        assert found is not None and found.leaning == "climb"
        warned = [condition.id for condition in found.conditions if condition.id.startswith("slack")]
        assert warned == (["slack_held"] if turn.fy.greatest > 0.0 else [])
    assert offered >= 1
    unknown = replace(setup, machine=Machine(backlash_mm=0.25))
    for key in QUANTITY_OF:
        value = lifting_value("pull", unknown, key)
        assert value is None or pull(unknown.with_keys({key: value})) <= 0.0


def pull(setup: Setup) -> float:
    """Greatest pull on the table, N."""
    turn = force_turn(setup)
    assert turn is not None
    return turn.fy.greatest


def test_a_wall_is_brought_within_its_tolerance_over_its_whole_range_and_the_stick_out_is_named() -> None:
    setup = cut("boss").with_keys({"cut.wall_tolerance_mm": 0.03})
    assert stands_against("error")(setup)
    for key in (FEED, DEPTH, STICKOUT):
        value = lifting_value("error", setup, key)
        if value is not None:
            after = setup.with_keys({key: value})
            found = wall_range(after)
            assert chip_forms(after) and found is not None and found.size <= 0.03 * (1.0 + 1e-6)
    short = lifting_value("error", setup, STICKOUT)
    assert short is not None and short < 42.0


def test_no_feed_is_offered_that_the_edge_does_not_lift() -> None:
    setup = cut("slack-table").with_keys({"cutter.edge_radius_mm": 0.05})
    for reason in CHECKS:
        if reason in FIGURES and stands_against(reason)(setup):
            value = lifting_value(reason, setup, FEED)
            assert value is None or chip_forms(setup.with_keys({FEED: value})) or not chip_forms(setup)


def test_no_heavier_cut_is_offered_for_a_table_that_can_jump() -> None:
    """The old hand mill: past the centre teeth push the table back, but the force of so wide a cut is half as high
    again."""
    setup = cut("slack-table")
    wide = setup.with_keys({WIDTH: 17.8})
    assert cleared("pull", wide) and force(wide) > 1.4 * force(setup)
    value = lifting_value("pull", setup, WIDTH)
    assert value is None or value < setup.cut.radial_engagement_mm


def test_a_cut_that_rubs_all_the_way_is_judged_by_how_much_of_it_rubs() -> None:
    """Climbing, too, where nothing rubs after the entry."""
    setup = cut("worn-finish")
    soft = replace(setup, work=replace(setup.work, facts=None))
    own = measures("rub", soft)[0]
    assert own.quantity == "share" and own.of(soft) == pytest.approx(100.0)
    value = lifting_value("rub", soft, FEED)
    assert value is not None
    after = soft.with_keys({FEED: value})
    assert chip_forms(after) and (own.of(after) or 100.0) < 99.0


def test_what_a_change_does_and_costs_is_told_before_and_after() -> None:
    setup = cut("boss")
    own, rate, strongest = effects("error", setup, setup.opposite)
    assert (own.before, own.after) == (pytest.approx(0.0659, abs=5e-5), pytest.approx(0.0237, abs=5e-5))
    assert own.better and not own.worse and own.quantity == "deflection"
    assert (rate.before, rate.after) == (pytest.approx(38.4), pytest.approx(38.4)) and not rate.worse
    assert (strongest.before, strongest.after) == (
        pytest.approx(force(setup), rel=1e-12),
        pytest.approx(force(setup.opposite), rel=1e-12),
    )
    shallower = effects("error", setup, setup.with_keys({DEPTH: 5.0}))[1]
    assert shallower.worse and shallower.after == pytest.approx(19.2)
    names = [effect.name for effect in effects("exit", setup.opposite, setup)]
    assert names == ["chip thickness as the tooth leaves", "removal rate", "error of the wall"]


def test_more_is_better_of_what_friction_leaves() -> None:
    setup = cut("slack-table")
    own = effects("pull", setup, setup.opposite)[0]
    assert own.before is not None and own.after is not None
    assert own.after > own.before and own.better


def test_nothing_lifts_what_does_not_stand_against_the_cut() -> None:
    assert lifting_value("exit", cut("boss"), WIDTH) is None
    assert lifting_value("entry", cut("boss"), WIDTH) is None
