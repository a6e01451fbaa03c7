"""The ladder: the trade's exceptions in their examples, conditions for what is not told, draws, sliders."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.checks import HOLD_SHARE, check
from core.advice.draws import DRAWS, ENOUGH, INPUTS, Worlds, as_told, drawn, points
from core.advice.force_draws import greatest_pull, wall_sizes
from core.advice.ladder import Verdict, nominal_verdict, verdict, verdict_of_draws
from core.advice.slider_lines import slider_lines, turns_within
from core.advice.stability import stability
from core.advice.steadiness import LOOKED_AT, turned_nearby
from core.advice.turning import told_way, turns, value_of, with_value
from core.base.words import say
from core.chatter.both_ways import holding, limit_of, limits_of_draws
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES, example
from core.effects.wall_depth import wall_profile_over_depth
from core.force.force_turn import force_turn
from core.report.which_way_words import verdict_words
from core.setup.rungs import RUNGS
from core.setup.setup import Advice, LinearEdge, Machine, Mode, Setup, Skin, Thermal, Work
from tests.core.chatter.cuts import setup_of
from tests.steady import moved, without_estimates
from tests.strategies import shop_setups
from tests.usual_setups import TIGHT, ordinary

A = example("boss").setup()
HSS = Thermal(24.0, 8100.0, 460.0)


def cut(id: str) -> Setup:
    """An example with its coefficients."""
    return resolved(example(id).setup())


def said(setup: Setup) -> Verdict:
    """What the ladder says of a one-sided cut."""
    found = verdict(setup)
    assert found is not None
    return found


def conditions(setup: Setup) -> list[str]:
    """Ids of the conditions that the verdict carries."""
    return [condition.id for condition in said(setup).conditions]


def tight(setup: Setup) -> Setup:
    """The same on a machine without lost motion."""
    return replace(setup, machine=TIGHT)


# The trade's exceptions, each found in its example, with its rung, and gone with its cause.

EXCEPTIONS: list[tuple[str, str, int, str, dict[str, Any]]] = [
    ("flame-cut-plate", "conventional", 3, "skin", {"work.skin": None}),
    ("slack-table", "conventional", 1, "pull", {"machine.backlash_mm": 0.004}),
    ("slack-table", "conventional", 1, "pull", {"machine.table_friction_n": 1300.0}),
    ("long-reach", "conventional", 2, "error", {"cut.wall_tolerance_mm": None}),
    ("worn-finish", "climb", 3, "rub", {"work.material": "S235JR", "cutter.edge_radius_mm": 0.0003}),
    ("roughing-steel", "climb", 3, "exit", {"cutter.material": HSS}),
]


@pytest.mark.parametrize(("id", "way", "rung", "by", "without"), EXCEPTIONS)
def test_an_exception_is_found_says_its_rung_and_goes_with_its_cause(
    id: str, way: str, rung: int, by: str, without: dict[str, Any]
) -> None:
    found = said(cut(id))
    assert (found.direction, found.number, found.by) == (way, rung, by)
    assert found.stands_in is not None and found.stands_in >= ENOUGH
    document = example(id).setup()
    if "work.material" in without:
        document = replace(document, work=replace(document.work, material=without["work.material"]))
    for key, value in without.items():
        if key == "work.skin":
            document = replace(document, work=replace(document.work, skin=value))
        elif key != "work.material":
            document = document.with_keys({key: value})
    gone = said(resolved(document))
    assert (gone.number, gone.by) != (rung, by)


def test_a_slender_cutter_that_is_shortened_keeps_its_tolerance_both_ways() -> None:
    reach = cut("long-reach")
    assert said(reach).rung == "part"
    assert check("error", reach.with_keys({"cutter.stickout_mm": 14.0}), as_told()).why == "within"


def test_thin_chips_cooler_in_conventional_are_told_by_the_last_but_one_rung() -> None:
    """A linear edge that pushes hard heats the climbing tooth more in thin chips; nothing above speaks."""
    assert isinstance(A.work.force, LinearEdge)
    keys = {"cutter.material": HSS, "cut.radial_engagement_mm": 0.6, "cutter.edge_radius_mm": 0.001}
    pushing = tight(A.with_keys({**keys, "work.force": replace(A.work.force, kte=60.0)}))
    found = said(pushing)
    assert (found.direction, found.rung, found.by) == ("conventional", "finish", "heat")
    easy = said(pushing.with_keys({"work.force": replace(A.work.force, kte=5.0)}))
    assert (easy.direction, easy.rung) == ("climb", "custom")


def test_heat_beyond_the_models_end_is_not_known_and_never_the_same_both_ways() -> None:
    fast = tight(resolved(replace(A, work=Work("NiCr19Fe19Nb5Mo3")).with_keys({"cut.spindle_speed_rpm": 60_000.0})))
    found = check("heat", fast, as_told())
    assert (found.why, found.missing, found.told) == ("end", ("heat.end",), None)
    finish = next(rung for rung in said(fast).rungs if rung.id == "finish")
    assert finish.answer in ("not known", "climb", "conventional") and check("heat", A, as_told()).why != "end"


def test_work_that_hardens_counts_any_sliding_in_and_the_property_is_the_materials_own() -> None:
    mild, stainless = (
        said(tight(resolved(replace(A, work=Work(name))).with_keys({"cutter.material": HSS})))
        for name in ("C45E", "X5CrNi18-10")
    )
    assert mild.by != "rub" and (stainless.direction, stainless.by) == ("climb", "rub")


def test_rubbing_is_told_beyond_its_band_only() -> None:
    plain = tight(A.with_keys({"cutter.material": HSS}))
    assert said(plain).by == ""
    worn = plain.with_keys({"cutter.edge_radius_mm": 0.03})
    assert (said(worn).direction, said(worn).by) == ("climb", "rub")


def test_power_over_the_spindles_excludes_both_and_is_a_condition() -> None:
    weak = replace(A, machine=replace(TIGHT, power_kw=0.5))
    assert conditions(weak) == ["power"] and said(weak).direction == "climb"
    machine = next(rung for rung in said(weak).rungs if rung.id == "machine")
    assert set(machine.out) == {"climb", "conventional"} and machine.answer == "not clear"


# What is not told.


def test_a_machine_that_is_not_told_of_is_not_tight() -> None:
    assert A.machine is None and conditions(A) == ["no_lost_motion"]
    assert said(tight(A)).conditions == ()
    assert conditions(replace(A, machine=Machine(drive="screw"))) == ["no_lost_motion"]
    assert Machine() == Machine(None, None, None) and replace(A, machine=Machine()).machine is None


def test_known_lost_motion_with_nothing_told_that_holds_it_excludes_climb() -> None:
    slack = replace(A, machine=Machine(backlash_mm=0.2))
    found = said(slack)
    assert (found.direction, found.rung) == ("conventional", "machine")
    assert check("pull", slack, as_told()).why == "conventional_hold_unknown"


def test_half_of_what_holds_is_the_margin() -> None:
    turn = force_turn(A)
    assert turn is not None
    for hold, way in ((turn.fy.greatest / HOLD_SHARE * 1.001, None), (turn.fy.greatest / HOLD_SHARE * 0.999, -1)):
        machine = Machine(table_friction_n=hold, feed_preload_n=0.0, backlash_mm=0.2)
        votes = check("pull", replace(A, machine=machine), as_told()).votes
        assert int(votes[0]) == (way or 0)
    assert conditions(replace(A, machine=Machine(5000.0, 0.0, 0.2))) == ["slack_held"]


MACHINE_KEYS = ("table_friction_n", "feed_preload_n", "backlash_mm")


@settings(max_examples=60)
@given(shop_setups(), st.sets(st.sampled_from(MACHINE_KEYS), min_size=1), st.booleans())
def test_leaving_keys_out_never_makes_a_direction_safe(setup: Setup, left_out: set[str], no_force: bool) -> None:
    """A direction that is excluded with all told is, with less told, another one or told with a condition."""
    if setup.machine is None or setup.cut.direction == "straddling":
        return
    full = said(setup)
    less = replace(setup, machine=replace(setup.machine, **dict.fromkeys(left_out)))
    if no_force:
        less = replace(less, work=replace(less.work, force=None, material=None))
    found = said(less)
    machine = next(rung for rung in full.rungs if rung.id == "machine")
    if found.leaning in machine.out:
        assert found.conditions


# The draws.


def test_the_draws_are_sobols_first_64() -> None:
    # Imported here: it takes each worker a third of a second, and one needs it.
    from scipy.stats import qmc

    wanted = qmc.Sobol(len(INPUTS), scramble=False).random(DRAWS)
    assert np.allclose(points(), wanted + 0.5 / DRAWS)
    for column in points().T:
        assert sorted(column) == pytest.approx([(i + 0.5) / DRAWS for i in range(DRAWS)])


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_a_drawn_pull_and_wall_are_those_of_the_cut_worked_out_anew(direction: str) -> None:
    """Each draw against the whole model with its coefficients, holder and edge in the setup."""
    law = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0, edge_radius_mm=0.008)
    setup = A.facing(direction).with_keys({"work.force": law, "cutter.holder_stiffness_n_mm": 9000.0})  # type: ignore[arg-type]
    few = Worlds(np.concatenate([as_told().places, points()[[3, 17, 40]]]))
    # The flutes are a stiffness of their own: left as told here.
    places = few.places.copy()
    places[:, INPUTS.index("flutes")] = 0.5
    few = Worlds(places)
    pulls, walls = greatest_pull(setup, few), wall_sizes(setup, few)
    assert pulls is not None and walls is not None
    t, r, a = (few.factor(name, 0.15) for name in ("tangential", "radial", "axial"))
    edge, holder = few.factor("edge_radius", 0.3), few.factor("holder", 0.3)
    for i in range(4):
        scaled = LinearEdge(
            1800.0 * t[i], 700.0 * r[i], 300.0 * a[i], 22.0 * t[i], 35.0 * r[i], 3.0 * a[i], edge_radius_mm=0.008
        )
        there = setup.with_keys(
            {
                "work.force": scaled,
                "cutter.holder_stiffness_n_mm": 9000.0 * holder[i],
                "cutter.edge_radius_mm": 0.006 * edge[i],
            }
        )
        turn, wall = force_turn(there), wall_profile_over_depth(there)
        assert turn is not None and wall is not None
        assert pulls[i] == pytest.approx(turn.fy.greatest, abs=2e-3 * turn.resultant_max)
        assert walls[i] == pytest.approx(wall.size, rel=5e-3, abs=1e-5)


def test_the_first_world_is_what_the_setup_tells() -> None:
    for each in EXAMPLES:
        setup = resolved(each.setup())
        told, full = nominal_verdict(setup), verdict(setup)
        if told is None or full is None:
            assert told is full is None
            continue
        assert (told.leaning, told.rung, told.by) == (full.leaning, full.rung, full.by)
        assert told.leaning == told_way(setup.facing("climb"))
        assert told.stands_in is None and full.stands_in is not None


def test_too_close_to_call_says_what_would_settle_it() -> None:
    turn = force_turn(A)
    assert turn is not None
    machine = Machine(table_friction_n=turn.fy.greatest / HOLD_SHARE, feed_preload_n=0.0, backlash_mm=0.2)
    found = said(replace(A, machine=machine))
    assert found.direction == "either" and found.close
    assert found.stands_in is not None and found.stands_in < ENOUGH
    assert found.settles in ("friction", "tangential", "radial")


def test_the_verdict_does_not_depend_on_the_direction_it_is_asked_in() -> None:
    assert verdict(A) is verdict(A.facing("conventional"))
    assert verdict(cut("slot-steel")) is None


# Ordinary cuts, and sliders.


ORDINARY = 400
"""Random cuts; 1,000 were looked at once, and 32 of them are sent into conventional."""


def test_ordinary_cuts_on_a_tight_machine_are_nearly_all_climbed() -> None:
    chance, against = random.Random(13), 0
    for _ in range(ORDINARY):
        setup = ordinary(chance)
        # What the setup tells is climb: then the verdict is climb or either.
        if told_way(setup) != "climb":
            against += said(setup).direction == "conventional"
    assert against <= 0.05 * ORDINARY


def changes_along(setup: Setup, key: str, low: float, high: float) -> list[float]:
    """Where the verdict changes along a part of a slider, by shares of its travel to 0.003."""

    def way(share: float) -> str:
        there = moved(setup, key, share)
        assert there is not None
        return said(there).direction

    # Half the shortest stretch that may be: none hides between two places.
    places = np.linspace(low, high, round((high - low) / 0.025) + 1).tolist()
    with without_estimates():
        ways, found = [way(share) for share in places], []
        for (at, one), (to, other) in itertools.pairwise(zip(places, ways, strict=True)):
            if one == other:
                continue
            for _ in range(3):
                middle = 0.5 * (at + to)
                at, to = (middle, to) if way(middle) == one else (at, middle)
            found.append(to)
    return found


@pytest.mark.parametrize(
    ("id", "key", "low", "high"),
    [
        # Another slider's turning comes and goes as these move.
        ("finishing-aluminium", "cut.wall_tolerance_mm", 0.0875, 0.1625),
        ("finishing-aluminium", "cut.spindle_speed_rpm", 0.58, 0.66),
        ("thin-wall-aluminium", "cutter.stickout_mm", 0.525, 0.625),
        ("thin-wall-aluminium", "cutter.shank_diameter_mm", 0.25, 0.35),
        # What decides without the chatter that decides here turns.
        ("thin-wall-aluminium", "cut.feed_per_tooth_mm", 0.9, 1.0),
        # Its own turning.
        ("slack-table", "machine.table_friction_n", 0.325, 0.525),
        ("pocket-wall-titanium", "cut.feed_per_tooth_mm", 0.725, 0.85),
        # Another cutter.
        ("boss", "cutter.diameter_mm", 0.075, 0.2),
    ],
)
def test_along_a_slider_the_verdict_never_changes_twice_within_a_twentieth(
    id: str, key: str, low: float, high: float
) -> None:
    """Either between two directions is a verdict, too: it stands over a twentieth, as each of them does."""
    changed = changes_along(cut(id), key, low, high)
    held = ("thin-wall-aluminium", "cut.feed_per_tooth_mm"), ("finishing-aluminium", "cut.spindle_speed_rpm")
    assert changed or (id, key) in held
    assert all(b - a >= 0.05 - 0.004 for a, b in itertools.pairwise(changed)), changed


def about_turnings(setup: Setup, key: str, beside: float) -> list[tuple[float, float]]:
    """Parts of a slider's travel about and ``beside`` the places where the ladder turns as the setup tells."""
    places = np.linspace(0.0, 1.0, 41).tolist()
    ways = [None if there is None else told_way(there) for there in (moved(setup, key, share) for share in places)]
    found: list[tuple[float, float]] = []
    for i, (one, other) in enumerate(itertools.pairwise(ways)):
        if None not in (one, other) and one != other:
            low, high = max(places[i] - beside, 0.0), min(places[i + 1] + beside, 1.0)
            if found and low <= found[-1][1]:
                low = found.pop()[0]
            found.append((low, high))
    return found


def ordinary_slack(number: int) -> Setup:
    """One of the ordinary cuts, on a machine with lost motion."""
    chance = random.Random(7)
    *_, setup = (ordinary(chance) for _ in range(number + 1))
    return setup.with_keys({"machine.backlash_mm": 0.1})


@pytest.mark.parametrize(
    ("setup", "key", "beside"),
    [
        # Another diameter would turn it, too: either stands on far beyond the turnings.
        (cut("boss"), "cut.wall_tolerance_mm", 0.125),
        (cut("slack-table"), "cut.axial_engagement_mm", 0.0625),
        (ordinary_slack(3), "cut.radial_engagement_mm", 0.0625),
    ],
    ids=lambda part: (part.title or "ordinary") if isinstance(part, Setup) else str(part),
)
def test_about_its_turnings_the_verdict_never_changes_twice_within_a_twentieth(
    setup: Setup, key: str, beside: float
) -> None:
    parts = about_turnings(setup, key, beside)
    changed = [changes_along(setup, key, low, high) for low, high in parts]
    assert any(changed)
    for found in changed:
        assert all(b - a >= 0.05 - 0.004 for a, b in itertools.pairwise(found)), changed


def test_a_figure_a_little_off_that_would_turn_it_makes_it_too_close_to_call() -> None:
    slack = cut("slack-table")
    turn = next(turn for turn in turns(slack.facing("climb")) if turn.key == "machine.table_friction_n")
    for off, near in ((30.0, True), (70.0, False)):
        there = slack.with_keys({"machine.table_friction_n": turn.value - off})
        assert told_way(there) == "conventional"
        assert (turned_nearby(there) == "machine.table_friction_n") is near
    assert said(slack.with_keys({"machine.table_friction_n": turn.value - 30.0})).direction == "either"
    # Far from every turning nothing is in the way.
    assert turned_nearby(slack) is None and said(slack).turned_by is None


def test_whatever_figure_turns_the_verdict_has_its_own_sentence() -> None:
    told = [verdict_words(replace(said(A), direction="either", turned_by=key), A) for key in LOOKED_AT]
    assert all(text.endswith("would turn it.") for text in told) and len(set(told)) == len(LOOKED_AT)


def test_a_narrow_stretch_of_the_other_direction_is_not_stepped_over() -> None:
    """Along the diameter conventional alone keeps this tolerance on 2 % of the travel; beside that climb is told."""
    thin = cut("finishing-aluminium").with_keys({"cut.wall_tolerance_mm": 0.0026}).facing("climb")
    line = next(slider_lines(thin, ("cutter.diameter_mm",)))
    told = [line.told(moved) for moved in (0.0, 0.02, 0.03, 0.05)]
    assert [found.way for found in told if found is not None] == ["climb", "climb", "conventional", "climb"]
    assert told[0] is not None and told[0].by == told[3].by  # type: ignore[union-attr]
    assert turns_within(line, told[0], 0.05) and not turns_within(line, told[0], 0.02)


def test_what_lies_before_the_end_of_a_slider_is_looked_at() -> None:
    """Its edge radius is 0.004 mm, 0.07 of the travel from the end, and a sharper one turns it before that."""
    finish = cut("finishing-aluminium").with_keys({"cut.spindle_speed_rpm": 2600.0}).facing("climb")
    line = next(slider_lines(finish, ("cutter.edge_radius_mm",)))
    now = line.told(0.0)
    assert now is not None and line.at(-0.085) is None
    assert turns_within(line, now, -0.085) and not turns_within(line, now, 0.03)


def test_a_threshold_at_the_very_start_of_a_slider_is_crossed_once() -> None:
    """A tight machine is not called loose because its lost motion might be a fortieth of a millimetre."""
    for setup in (cut("slack-table"), tight(cut("flame-cut-plate"))):
        for key in ("machine.backlash_mm", "work.skin.thickness_mm"):
            values = [0.0, *np.geomspace(0.002, 0.2, 16).tolist()]
            told = [said(with_value(setup, key, value)).direction for value in values]
            assert sum(one != other for one, other in itertools.pairwise(told)) <= 1
    assert "machine.backlash_mm" not in LOOKED_AT


def test_the_share_of_draws_changes_gradually() -> None:
    slack = cut("slack-table")
    shares = []
    for friction in np.linspace(200.0, 1600.0, 71):
        # By the draws alone: what is near is not asked.
        found = verdict_of_draws(slack.with_keys({"machine.table_friction_n": float(friction)}))
        assert found is not None and found.stands_in is not None
        shares.append(found.stands_in if found.leaning == "climb" else DRAWS - found.stands_in)
    assert shares[0] == 0 and shares[-1] == DRAWS
    steps = np.diff(shares)
    assert steps.min() >= 0 and steps.max() <= 8


# What would turn it.


@pytest.mark.parametrize("id", ["slack-table", "long-reach", "flame-cut-plate", "roughing-steel"])
def test_every_figure_that_is_said_to_turn_the_verdict_does(id: str) -> None:
    setup = cut(id).facing("climb")
    found = turns(setup)
    assert found
    for turn in found:
        assert told_way(with_value(setup, turn.key, turn.value)) == turn.direction != told_way(setup)
        now = value_of(setup, turn.key)
        if now and turn.value:
            short = now * (turn.value / now) ** 0.97
            assert told_way(with_value(setup, turn.key, short)) == told_way(setup), turn


# Rungs off, or in another order.


def test_a_rung_that_is_off_is_not_asked_and_the_machine_still_stands() -> None:
    slack = cut("slack-table")
    off = replace(slack, advice=Advice(off=("machine",)))
    assert said(off).rung != "machine" and said(off).direction == "climb"
    assert conditions(off) == ["slack_taken_out"]
    nothing = said(replace(slack, advice=Advice(off=RUNGS)))
    assert nothing.leaning is None and nothing.direction == "either" and nothing.stands_in == 0


def test_another_order_lets_another_rung_decide() -> None:
    plate = cut("flame-cut-plate")
    assert said(plate).rung == "edge"
    assert said(replace(plate, advice=Advice(order=("custom",)))).rung == "custom"
    assert [rung.id for rung in said(replace(plate, advice=Advice(order=("custom",)))).rungs] == [
        "custom",
        "machine",
        "part",
        "edge",
        "finish",
    ]


@settings(max_examples=40)
@given(shop_setups())
def test_every_one_sided_cut_has_a_verdict(setup: Setup) -> None:
    found = verdict(setup)
    assert (found is None) is (setup.cut.direction == "straddling")
    if found is not None:
        assert found.leaning in ("climb", "conventional") and 0 <= (found.stands_in or 0) <= DRAWS
        either = (found.stands_in or 0) < ENOUGH or found.turned_by is not None
        assert found.direction == ("either" if either else found.leaning)
        assert drawn().places.shape == (DRAWS + 1, len(INPUTS))


def test_a_skin_must_be_thicker_than_the_least_chip() -> None:
    plate = tight(A.with_keys({"cutter.material": HSS}))
    thin, thick = (replace(plate, work=replace(plate.work, skin=Skin(t))) for t in (0.015, 0.5))
    assert said(thin).direction == "climb" and (said(thick).direction, said(thick).by) == ("conventional", "skin")


# Chatter: the part comes right only where it does not.


def shaken(axis: str, **modes: float) -> Setup:
    """A steel-like cut at a tenth of the width with one weak mode, on a machine without lost motion."""
    base = setup_of("climb", 0.1, 3, 9000.0, axis)
    return replace(base, machine=TIGHT).with_keys({"cut.axial_engagement_mm": modes.get("depth", 1.0)})


def test_the_steadier_direction_is_chosen_by_the_part() -> None:
    """One weak mode: between the limits of the two directions one holds and the other does not."""
    limits = {way: limit_of(shaken("x").facing(way)).depth_mm for way in ("climb", "conventional")}
    steadier = max(limits, key=lambda way: limits[way] or math.inf)
    other = min(limits, key=lambda way: limits[way] or math.inf)
    low, high = limits[other], limits[steadier]
    assert low is not None
    between = 2.0 * low if high is None else math.sqrt(low * high)
    assert high is None or high > 1.5 * low
    found = said(shaken("x", depth=between))
    assert (found.direction, found.rung, found.by) == (steadier, "part", "stability")
    assert say("decision", "lobes") in verdict_words(found, shaken("x", depth=between))
    assert say("decision", "lobes") not in verdict_words(said(A), A)
    assert other in next(rung for rung in found.rungs if rung.id == "part").out
    deep = said(shaken("x", depth=10.0 * (high or low)))
    assert high is None or [c.id for c in deep.conditions] == ["unstable"]
    assert said(shaken("x", depth=0.2 * low)).conditions == ()


def test_draws_count_in_which_a_direction_holds() -> None:
    shallow = shaken("x")
    limit = limit_of(shallow).depth_mm
    assert limit is not None
    near = replace(shallow, cut=replace(shallow.cut, axial_engagement_mm=0.97 * limit))
    found = stability(near, drawn())
    assert found.stable is not None and found.told
    assert int(found.stable[1:].sum()) == holding(near).stable_draws
    # Without draws nothing is drawn.
    assert stability(near, as_told()).stable.tolist() == [True]  # type: ignore[union-attr]


def test_a_slow_cut_whose_band_takes_long_is_told_by_its_limit_with_draws_about_it() -> None:
    """Climb chatters from half this depth on; it was called the custom in 64 of 64 draws, since no band was there."""
    modes = (Mode("x", 700.0, 0.06, 2500.0), Mode("y", 1150.0, 0.06, 7000.0))
    keys = {"cut.spindle_speed_rpm": 2200.0, "cut.radial_engagement_mm": 2.0, "cut.axial_engagement_mm": 4.5}
    slow = tight(replace(cut("reach-soft-across"), dynamics=modes)).with_keys(keys)
    found = said(slow)
    assert (found.leaning, found.by) == (told_way(slow.facing("climb")), "stability") == ("conventional", "stability")
    for way in ("climb", "conventional"):
        limits, told = limits_of_draws(slow.facing(way)), limit_of(slow.facing(way)).depth_mm
        assert limits is not None and told is not None
        # As many draws on each side as in the band itself, which takes half a second, but for a few.
        for share in (0.6, 0.8, 1.25, 1.6):
            near = slow.facing(way).with_keys({"cut.axial_engagement_mm": share * told})
            stable = stability(near, drawn()).stable
            assert stable is not None and stable[0] == (share < 1.0)
            assert abs(int(stable[1:].sum()) - int((limits > share * told).sum())) <= 10


def test_modes_of_the_beam_choose_nothing_and_ask_for_a_tap_test() -> None:
    deep = replace(tight(A), cut=replace(A.cut, spindle_speed_rpm=12000.0))
    found = said(deep)
    asked = next(rung for rung in found.rungs if rung.id == "part").checks["stability"]
    assert not asked.votes.any() and asked.missing == ("dynamics",) and asked.why == "estimated"
    assert [c.id for c in found.conditions] == ["tap_test"]
    assert nominal_verdict(deep).conditions == ()  # type: ignore[union-attr]
    gone = replace(deep, cutter=replace(deep.cutter, stickout_mm=None))
    assert said(gone).conditions == () and "stability" in said(gone).rungs[1].checks
    assert not stability(gone, drawn()).known and stability(gone, drawn()).missing == ("dynamics",)


def test_a_slider_step_without_modes_searches_for_no_border(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr("core.chatter.both_ways.limit_at", never)
    monkeypatch.setattr("core.chatter.known_borders.border_band", never)
    limit = A.with_keys({"cut.radial_engagement_mm": 3.3})
    assert nominal_verdict(limit) is not None and told_way(limit) is not None
