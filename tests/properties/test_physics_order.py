"""What physics orders, over shop setups: blunter, slower, softer, thinner, longer; and what remedies must keep."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.checks import CURED_SHARE
from core.advice.reason_remedies import lifting_value
from core.advice.remedies import QUANTITY_OF
from core.advice.which_way import stands_against
from core.documents.materials import catalogue, resolved
from core.effects.edge_temperature import edge_temperature
from core.effects.machine_limits import LOST_MOTION_SHARE
from core.effects.rubbing import forms_no_chip, rubbing
from core.effects.wall_depth import wall_profile_over_depth
from core.effects.wall_range import wall_range
from core.force.force_turn import force_turn
from core.setup.setup import Cut, Cutter, LinearEdge, Machine, PowerLaw, Setup, Thermal, Work

STEEL = Thermal(45.0, 7850.0, 480.0)
LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0, edge_radius_mm=0.008)
POWER = PowerLaw(1900.0, 0.2, 0.4, edge_radius_mm=0.01)
NAMES = [m.name for m in catalogue().materials if m.force is not None]


def cuts() -> st.SearchStrategy[Setup]:
    """One-sided cuts of an end mill, with either law, whose thermal figures are constant."""

    def made(direction: str, law: LinearEdge | PowerLaw, d: float, z: int, shares: tuple[float, ...]) -> Setup:
        width, depth, feed, edge, reach, helix = shares
        cutter = Cutter(
            d,
            z,
            helix_deg=helix,
            edge_radius_mm=edge,
            stickout_mm=d * reach,
            youngs_modulus_n_mm2=580_000.0,
        )
        cut = Cut(direction, d * width, d * depth, d * feed, 60_000.0 / (3.1416 * d))  # type: ignore[arg-type]
        return Setup(cutter, cut, Work(force=law, thermal=STEEL))

    shares = st.tuples(
        st.floats(0.05, 0.9),
        st.floats(0.1, 1.0),
        st.floats(0.003, 0.01),
        st.floats(0.003, 0.02),
        st.floats(2.0, 5.0),
        st.sampled_from([0.0, 30.0, 45.0]),
    )
    ways, laws = st.sampled_from(["climb", "conventional"]), st.sampled_from([LINEAR, POWER])
    return st.builds(made, ways, laws, st.sampled_from([6.0, 12.0, 20.0]), st.integers(1, 6), shares)


CUTS, NAMED, KEYS = cuts(), st.sampled_from(NAMES), st.sampled_from(list(QUANTITY_OF))


def forces(setup: Setup) -> tuple[float, float, float]:
    """Greatest force, mean power, greatest torque."""
    found = force_turn(setup)
    assert found is not None
    return found.resultant_max, found.power_kw, found.torque.greatest


def scaled(law: LinearEdge | PowerLaw, factor: float) -> LinearEdge | PowerLaw:
    """A law with all of its coefficients of force by a factor."""
    if isinstance(law, PowerLaw):
        return replace(law, kc11_n_mm2=factor * law.kc11_n_mm2)
    names = ("ktc", "krc", "kac", "kte", "kre", "kae")
    ktc, krc, kac, kte, kre, kae = (factor * getattr(law, name) for name in names)
    return LinearEdge(ktc, krc, kac, kte, kre, kae, edge_radius_mm=law.edge_radius_mm)


@settings(max_examples=20)
@given(CUTS)
def test_softer_work_takes_less_force_and_bends_less_in_proportion(setup: Setup) -> None:
    assert setup.work.force is not None
    soft = setup.with_keys({"work.force": scaled(setup.work.force, 0.7)})
    assert forces(soft) == pytest.approx([0.7 * value for value in forces(setup)], rel=1e-6)
    walls = [wall_profile_over_depth(each) for each in (soft, setup)]
    if walls[0] is not None and walls[1] is not None:
        assert walls[0].size == pytest.approx(0.7 * walls[1].size, rel=1e-6, abs=1e-9)


@settings(max_examples=20)
@given(CUTS)
def test_a_thinner_chip_takes_less_force_and_rubs_longer(setup: Setup) -> None:
    thin = setup.with_keys({"cut.feed_per_tooth_mm": 0.8 * setup.cut.feed_per_tooth_mm})
    assert all(a < b for a, b in zip(forces(thin), forces(setup), strict=True))
    rubs = [rubbing(each) for each in (thin, setup)]
    assert rubs[0] is not None and rubs[1] is not None
    assert rubs[0].entry >= rubs[1].entry and rubs[0].exit >= rubs[1].exit


@settings(max_examples=20)
@given(CUTS)
def test_a_blunter_edge_takes_more_force_and_rubs_longer(setup: Setup) -> None:
    edge = setup.cutter.edge_radius_mm
    assert edge is not None
    blunt = setup.with_keys({"cutter.edge_radius_mm": 1.3 * edge})
    assert all(a > b for a, b in zip(forces(blunt), forces(setup), strict=True))
    rubs = [rubbing(each) for each in (blunt, setup)]
    assert rubs[0] is not None and rubs[1] is not None
    assert rubs[0].arc_share >= rubs[1].arc_share and rubs[0].h_min > rubs[1].h_min


@settings(max_examples=10)
@given(CUTS)
def test_slower_is_cooler(setup: Setup) -> None:
    slow = setup.with_keys({"cut.spindle_speed_rpm": 0.6 * setup.cut.spindle_speed_rpm})
    found = [edge_temperature(each) for each in (slow, setup)]
    assert found[0] is not None and found[1] is not None
    assert found[0].peak < found[1].peak and found[0].mean < found[1].mean


@settings(max_examples=20)
@given(CUTS)
def test_a_longer_cutter_never_makes_a_truer_wall_of_one_tooth_on_one_side(setup: Setup) -> None:
    """Of a straight edge every height is made at one moment: all bends grow with the stick-out."""
    straight = setup.with_keys({"cutter.helix_deg": 0.0})
    longer = straight.with_keys({"cutter.stickout_mm": 1.2 * (straight.cutter.stickout_mm or 0.0)})
    walls = [wall_profile_over_depth(each) for each in (longer, straight)]
    if walls[0] is not None and walls[1] is not None:
        assert walls[0].size >= walls[1].size


@settings(max_examples=12)
@given(CUTS, NAMED, st.floats(0.0, 0.3), st.floats(50.0, 3000.0), st.floats(0.01, 0.1), KEYS)
def test_no_remedy_leaves_a_stop_with_less_than_its_margin(
    setup: Setup, name: str, slack: float, hold: float, tolerance: float, key: str
) -> None:
    """Whatever lifts a pull leaves under a third of what holds, or no lost motion; a wall its whole range."""
    machine = Machine(table_friction_n=hold, feed_preload_n=0.0, backlash_mm=slack)
    made = replace(setup, machine=machine, work=Work(name)).with_keys({"cut.wall_tolerance_mm": tolerance})
    made = resolved(made)
    for reason in ("pull", "error"):
        if not stands_against(reason)(made):
            continue
        value = lifting_value(reason, made, key)
        if value is None:
            continue
        after = made.with_keys({key: value})
        assert forms_no_chip(made) or not forms_no_chip(after)
        if reason == "error":
            spread = wall_range(after)
            assert spread is not None and spread.size <= tolerance * (1.0 + 1e-6)
            continue
        turn = force_turn(after)
        assert turn is not None
        tight = slack <= LOST_MOTION_SHARE * after.cut.feed_per_tooth_mm
        assert tight or turn.fy.greatest <= CURED_SHARE * hold * (1.0 + 1e-9)
