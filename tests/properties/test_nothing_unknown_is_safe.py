"""Documents with keys left out: what is not known is null, missing or a condition, and never safe; and no change that
is offered leaves a stop with less than its margin."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.advice.checks import CURED_SHARE, HOLD_SHARE, check, chip_forms
from core.advice.draws import as_told
from core.advice.ladder import verdict_of_draws
from core.advice.reason_remedies import cleared, lifting_value
from core.advice.remedies import QUANTITY_OF
from core.advice.which_way import stands_against
from core.base.places import shared
from core.documents.materials import resolved
from core.documents.setup_document import read_setup
from core.effects.machine_limits import LOST_MOTION_SHARE
from core.effects.wall_range import wall_range
from core.force.force_turn import force_turn
from core.report.effect_keys import rubbing_keys, skin_keys, table_pull_keys
from core.report.force_keys import force_keys, wall_keys
from core.report.heat_keys import heat_keys
from core.report.machine_keys import machine_keys, wall_depth_keys
from core.report.report import joined
from core.report.stability_keys import stability_keys
from core.report.which_way_words import verdict_words
from core.setup.setup import Machine, Setup
from tests.strategies import shop_setups

SECTIONS = (
    *(force_keys, wall_keys, wall_depth_keys, table_pull_keys, heat_keys, machine_keys, rubbing_keys, skin_keys),
    stability_keys,
)

FORCE = ("force.power_kw", "force.resultant_max_n", "heat.peak_rise_k", "feed.pull_margin_n")
WALL = ("wall.error_mm", "wall.error_size_mm", "wall.within_tolerance", "wall.compensation_mm")

NULL_WITHOUT: dict[str, tuple[str, ...]] = {
    "work.force": (*FORCE, *WALL, "machine.power_used_share", "machine.torque_used_share", "stability.stable"),
    "cutter.stickout_mm": WALL,
    "cutter.youngs_modulus_n_mm2": WALL,
    "cutter.edge_radius_mm": ("rubbing.entry_deg", "rubbing.exit_deg", "rubbing.h_min_um"),
    "cut.wall_tolerance_mm": ("wall.within_tolerance", "wall.tolerance_mm"),
    "machine.table_friction_n": ("feed.pull_margin_n",),
    "machine.feed_preload_n": ("feed.pull_margin_n",),
    "machine.backlash_mm": (),
    "machine.power_kw": ("machine.power_used_share", "machine.power_available_kw"),
    "machine.torque_nm": ("machine.torque_used_share", "machine.torque_available_nm"),
    "work.skin": ("skin.h_mm", "skin.arc_share"),
    "dynamics": ("stability.stable", "stability.axial_limit_mm", "stability.stable_draws"),
}
"""Of each key that a document may leave out, what is then null in the report."""

ASKS_FOR = {
    "error": ("work.force", "cutter.stickout_mm", "cutter.youngs_modulus_n_mm2", "cut.wall_tolerance_mm"),
    "rub": ("cutter.edge_radius_mm",),
    "stability": ("work.force", "dynamics"),
    "heat": ("work.force",),
}
"""Of each question of the ladder the keys without which it has no answer."""


def document(left_out: set[str], direction: str, friction: float, slack: float) -> Setup:
    """The document with every key less some of them; without coefficients its material is not named either."""
    every: dict[str, Any] = tomllib.loads(shared("every_key.toml").read_text("utf-8"))
    every.pop("show", None)
    every["cut"]["direction"] = direction
    every["machine"] |= {"table_friction_n": friction, "backlash_mm": slack}
    for key in left_out:
        *way, name = key.split(".")
        table = every
        for part in way:
            table = table[part]
        table.pop(name, None)
    if "work.force" in left_out:
        del every["work"]["material"]
    return resolved(read_setup(toml_of(every), "left out"))


def toml_of(table: dict[str, Any], name: str = "") -> str:
    """A document as text: figures and words first, then its tables."""

    def plain(value: Any) -> str:
        return (
            f'"{value}"' if isinstance(value, str) else str(value).lower() if isinstance(value, bool) else str(value)
        )

    lines = [f"{key} = {plain(v)}" for key, v in table.items() if not isinstance(v, dict | list)]
    lines += [f"{key} = {v}" for key, v in table.items() if isinstance(v, list) and not isinstance(v[0], dict)]
    text = "\n".join(lines) + "\n"
    for key, value in table.items():
        whole = f"{name}.{key}" if name else key
        if isinstance(value, dict):
            text += f"[{whole}]\n{toml_of(value, whole)}"
        elif isinstance(value, list) and isinstance(value[0], dict):
            text += "".join(f"[[{whole}]]\n{toml_of(each, whole)}" for each in value)
    return text


def told(report: dict[str, Any], key: str) -> Any:
    """A figure of the report by its key."""
    group, name = key.split(".")
    return report[group][name]


left_out_keys = st.sets(st.sampled_from(sorted(NULL_WITHOUT)), min_size=1, max_size=5)


def test_with_every_key_there_nothing_of_it_is_null() -> None:
    """Else a null would tell nothing about what was left out."""
    whole = joined(document(set(), "climb", 200.0, 0.2), SECTIONS)
    every = {key for keys in NULL_WITHOUT.values() for key in keys}
    assert [key for key in sorted(every) if told(whole, key) is None] == []


@settings(max_examples=25, deadline=None)
@given(left_out_keys, st.sampled_from(["climb", "conventional"]), st.sampled_from([50.0, 900.0]))
def test_what_was_left_out_is_null_and_its_question_has_no_answer(
    left_out: set[str], direction: str, friction: float
) -> None:
    setup = document(left_out, direction, friction, 0.2)
    report = joined(setup, SECTIONS)
    for key in left_out:
        for name in NULL_WITHOUT[key]:
            assert told(report, name) is None, (key, name)
    for id, needs in ASKS_FOR.items():
        found = check(id, setup, as_told())
        lacks = left_out & set(needs)
        assert not lacks or (found.told is None and found.missing), (id, lacks)
        if lacks == {next(iter(lacks), "")} and id != "stability":
            assert found.missing[0] in lacks


@settings(max_examples=60, deadline=None)
@given(left_out_keys, st.sampled_from([50.0, 300.0, 900.0]), st.sampled_from([0.0, 0.002, 0.2]))
def test_no_direction_that_may_pull_a_slack_table_is_told_without_its_condition(
    left_out: set[str], friction: float, slack: float
) -> None:
    setup = document(left_out, "climb", friction, slack)
    # Without a look at what is near, which changes no condition.
    found, machine = verdict_of_draws(setup), setup.machine
    assert found is not None and machine is not None and found.leaning is not None
    turn = force_turn(setup.facing(found.leaning))
    # Climb pulls unless it is shown not to.
    pull = (1e9 if found.leaning == "climb" else 0.0) if turn is None else turn.fy.greatest
    may_jump = machine.backlash_mm is None or machine.backlash_mm > LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm
    held = pull <= HOLD_SHARE * machine.least_hold_n or pull <= 0.0
    if may_jump and not held:
        assert found.conditions, (found.leaning, pull)
        words = verdict_words(found, setup)
        assert " if " in words or "only" in words or found.close
    if machine.backlash_mm is None and not held:
        assert found.conditions[0].id == "no_lost_motion"


@settings(max_examples=20, deadline=None)
@given(shop_setups(), st.sampled_from(tuple(QUANTITY_OF)), st.floats(5.0, 800.0), st.floats(0.001, 0.3))
def test_no_change_that_is_offered_leaves_a_stop_with_less_than_its_margin(
    setup: Setup, key: str, friction: float, tolerance: float
) -> None:
    """A table that jumps and a wall out of tolerance: each figure that is offered, and the other direction."""
    assume(setup.cut.direction != "straddling" and setup.work.force is not None)
    machine = Machine(table_friction_n=friction, feed_preload_n=0.0, backlash_mm=0.5)
    setup = replace(setup, machine=machine, cut=replace(setup.cut, wall_tolerance_mm=tolerance))
    for id in ("pull", "error"):
        if not stands_against(id)(setup):
            continue
        value = lifting_value(id, setup, key)
        offered = [] if value is None else [setup.with_keys({key: value})]
        if cleared(id, setup.opposite):
            offered.append(setup.opposite)
        for after in offered:
            if id == "pull":
                turn = force_turn(after)
                tight = LOST_MOTION_SHARE * after.cut.feed_per_tooth_mm >= 0.5
                assert turn is not None and (tight or turn.fy.greatest <= CURED_SHARE * friction * (1.0 + 1e-9))
            else:
                spread = wall_range(after)
                assert spread is not None and spread.size <= tolerance * (1.0 + 2e-6)
        if value is not None and chip_forms(setup):
            assert chip_forms(offered[0])
