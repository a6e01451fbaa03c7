"""What would lift a reason: never a change that makes its own figure worse, and told with what it does."""

from __future__ import annotations

import pytest

from core.advice.reason_remedies import BETTER_SHARE, effects, lifting_value, measures
from core.advice.remedies import QUANTITY_OF
from core.advice.which_way import REASONS, stands_against
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.force.force_turn import force_turn
from core.report.report import report
from core.setup.setup import Setup
from core.setup.setup_limits import check_setup

WIDTH, FEED, SPEED, DEPTH = QUANTITY_OF


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
    "entry": lambda r: r["entry"]["area_1deg_mm2"],
    "heat": lambda r: r["heat"]["peak_rise_k"],
    "error": lambda r: abs(r["wall"]["error_mm"]),
}
"""The figure of each reason in the report, so that less is better."""


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("id", ["boss", "left-hand", "slack-table", "long-reach", "flame-cut-plate"])
def test_whatever_is_offered_betters_the_figure_of_the_reason_in_the_report(id: str, direction: str) -> None:
    setup, offered = cut(id, direction), 0
    for reason in REASONS:
        # The heat of a slow cut takes long, and has the same rule.
        if not stands_against(reason)(setup) or (reason == "heat" and id != "left-hand"):
            continue
        before = FIGURES[reason](report(setup))
        for key in QUANTITY_OF:
            value = lifting_value(reason, setup, key)
            if value is None:
                continue
            offered += 1
            after = setup.with_keys({key: value})
            check_setup(after)
            assert not stands_against(reason)(after)
            assert FIGURES[reason](report(after)) < before - 0.999 * BETTER_SHARE * abs(before), (reason, key, value)
    assert offered > 0 or (id, direction) in (("boss", "climb"), ("slack-table", "conventional"))


def test_no_wider_cut_is_offered_for_a_wall_that_it_makes_worse() -> None:
    """The boss, climb: at 11.5 mm both directions err alike, and twice as much as before."""
    setup = cut("boss")
    wide = setup.with_keys({WIDTH: 11.5})
    assert stands_against("error")(setup) and not stands_against("error")(wide)
    assert abs(report(wide)["wall"]["error_mm"]) > 1.8 * abs(report(setup)["wall"]["error_mm"])
    assert lifting_value("error", setup, WIDTH) is None


def test_a_change_that_spares_the_cutter_is_taken_before_a_nearer_one_that_loads_it() -> None:
    """The old hand mill: past the centre teeth push the table back, but the force of so wide a cut is half as high
    again."""
    setup = cut("slack-table")
    wide = setup.with_keys({WIDTH: 16.6})
    assert not stands_against("pull")(wide) and force(wide) > 1.5 * force(setup)
    value = lifting_value("pull", setup, WIDTH)
    assert value is not None and value < setup.cut.radial_engagement_mm
    assert force(setup.with_keys({WIDTH: value})) < force(setup)


def test_where_only_a_heavier_cut_lifts_it_that_one_is_offered() -> None:
    """A tooth that slides in wants more feed, whatever that costs."""
    setup = cut("finishing-aluminium", "conventional")
    value = lifting_value("rub", setup, FEED)
    assert value is not None and value > setup.cut.feed_per_tooth_mm
    told = {effect.name: effect for effect in effects("rub", setup, setup.with_keys({FEED: value}))}
    assert told["greatest force"].worse and not told["greatest force"].better
    # The same degrees of a longer arc are no less.
    assert lifting_value("rub", setup, WIDTH) is None


def test_a_cut_that_rubs_all_the_way_is_judged_by_how_much_of_it_rubs() -> None:
    """Climbing, too, where nothing rubs after the entry."""
    setup = cut("worn-finish")
    own = measures("rub", setup)[0]
    assert own.quantity == "share" and own.of(setup) == pytest.approx(100.0)
    value = lifting_value("rub", setup, FEED)
    assert value is not None
    after = own.of(setup.with_keys({FEED: value}))
    assert after is not None and after < 99.0


def test_what_a_change_does_is_told_before_and_after() -> None:
    setup = cut("boss")
    own, strongest = effects("error", setup, setup.opposite)
    assert (own.before, own.after) == (pytest.approx(0.0659, abs=5e-5), pytest.approx(0.0237, abs=5e-5))
    assert own.better and not own.worse and own.quantity == "deflection"
    assert (strongest.before, strongest.after) == (
        pytest.approx(force(setup), rel=1e-12),
        pytest.approx(force(setup.opposite), rel=1e-12),
    )
    names = [effect.name for effect in effects("exit", setup.opposite, setup)]
    assert names == ["chip thickness as the tooth leaves", "greatest force", "error of the wall"]


def test_more_is_better_of_what_friction_leaves() -> None:
    setup = cut("slack-table")
    own = effects("pull", setup, setup.opposite)[0]
    assert own.before is not None and own.after is not None
    assert own.after > own.before and own.better


def test_what_does_not_change_is_neither_better_nor_worse() -> None:
    setup = cut("left-hand")
    slower = setup.with_keys({SPEED: 4000.0})
    told = {effect.name: effect for effect in effects("heat", setup, slower)}
    assert told["greatest rise over the surroundings"].better
    assert not told["greatest force"].better and not told["greatest force"].worse


def test_nothing_lifts_what_does_not_stand_against_the_cut() -> None:
    assert lifting_value("exit", cut("boss"), WIDTH) is None
