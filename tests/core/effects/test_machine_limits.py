"""What the cut asks against what there is: power, torque, tolerance; in strips, sentence, report and text."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from core.documents.materials import resolved
from core.documents.setup_document import read_setup, write_setup
from core.documents.setup_examples import example
from core.effects.machine_limits import (
    SLACK,
    limit_checks,
    power_available,
    power_check,
    torque_check,
    wall_check,
)
from core.effects.wall import wall_error
from core.force.force_turn import force_turn
from core.report.report import report
from core.report.sentence import sentence
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, LinearEdge, Machine, Setup, Work
from core.setup.setup_limits import check_setup
from core.strips.force_strips import movement_strip, torque_strip
from tests.strategies import setups

A = Setup(
    Cutter(12.0, 4, helix_deg=30.0, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
    Work(force=LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)),
    Machine(),
)
"""Setup A of the notes: the mean power follows from the chip section, below."""

POWER_KW = (1800.0 * 38.4e3 / 60.0 + 22.0 * 10.0 * 4 * math.acos(1 - 8 / 12) * 0.006 * 1000 * 4000 / 60) / 1e6
"""Cutting: ktc times removal rate (N/mm2 mm3/s); edge: kte ap z arc R turns/s (N mm/s); in kW, by hand."""


def with_machine(**values: Any) -> Setup:
    """Setup A on a machine of those figures."""
    return A.with_keys({f"machine.{name}": value for name, value in values.items()})


def test_mean_power_by_hand_against_one_figure() -> None:
    check = power_check(with_machine(power_kw=1.0))
    assert check is not None
    assert check.value == pytest.approx(POWER_KW, rel=1e-12) and check.limit == 1.0
    assert (check.id, check.quantity, check.crossed) == ("power", "power", True)
    assert check.share == pytest.approx(POWER_KW)
    assert power_check(with_machine(power_kw=5.5)).crossed is False  # type: ignore[union-attr]


def test_a_curve_is_read_along_straight_lines() -> None:
    curve = ((1000.0, 1.5), (3000.0, 4.5), (5000.0, 2.5))
    for speed, kw in ((1000.0, 1.5), (2000.0, 3.0), (3000.0, 4.5), (4000.0, 3.5), (5000.0, 2.5)):
        s = with_machine(speed_curve=curve).with_values(cut__spindle_speed_rpm=speed)
        check_setup(s)
        assert power_available(s) == pytest.approx(kw, rel=1e-14)


def test_torque_holds_the_power_down_at_low_speed() -> None:
    """35 N m give 35 * 2 pi * 600 / 60 W at 600 /min, however strong the motor."""
    s = with_machine(power_kw=5.5, torque_nm=35.0).with_values(cut__spindle_speed_rpm=600.0)
    assert power_available(s) == pytest.approx(2.1991, abs=5e-5)
    assert power_available(s.with_values(cut__spindle_speed_rpm=4000.0)) == 5.5


def test_peak_torque_is_that_of_the_turn() -> None:
    peak = force_turn(A).torque.greatest  # type: ignore[union-attr]
    assert torque_check(with_machine(torque_nm=peak)).crossed is False  # type: ignore[union-attr]
    low = torque_check(with_machine(torque_nm=peak * 0.99))
    assert low is not None and low.crossed and low.value == peak


def test_the_wall_counts_over_its_whole_depth_and_by_size() -> None:
    roughing = example("roughing-steel").setup()
    for s in (A, A.with_values(cut__direction="conventional"), roughing):
        errors = wall_error(np.linspace(0.0, s.cut.axial_engagement_mm, 20_001), s)
        size = float(np.abs(errors).max())  # type: ignore[arg-type]
        check = wall_check(s.with_values(cut__wall_tolerance_mm=size * 1.001))
        assert check is not None and not check.crossed and check.value == pytest.approx(size, rel=1e-5)
        assert wall_check(s.with_values(cut__wall_tolerance_mm=size * 0.999)).crossed  # type: ignore[union-attr]
    # There the tip alone would keep what a height above it does not.
    finish = example("finishing-aluminium").setup().opposite
    check = wall_check(resolved(finish).with_values(cut__wall_tolerance_mm=1.0))
    assert check is not None and abs(float(wall_error(0.0, resolved(finish)))) < 0.5 * check.value  # type: ignore[arg-type]


def test_unknown_is_none_and_not_zero() -> None:
    bare = Setup(A.cutter, A.cut)
    assert limit_checks(bare) == () and power_available(bare) is None
    assert limit_checks(A) == () and power_available(with_machine(torque_nm=35.0)) is None
    without_force = Setup(A.cutter, A.cut, machine=Machine(power_kw=5.5, torque_nm=35.0))
    assert limit_checks(without_force) == () and power_available(without_force) == 5.5
    slot = A.with_values(cut__direction="straddling", cut__wall_tolerance_mm=0.01)
    assert wall_check(slot) is None


def test_a_spindle_that_gives_nothing_has_no_share() -> None:
    dead = with_machine(speed_curve=((0.0, 0.0), (4000.0, 0.0)))
    check = power_check(dead)
    assert check is not None and check.crossed and check.share is None
    assert report(dead)["machine"]["power_used_share"] is None


def test_strips_carry_the_limits() -> None:
    assert torque_strip(A).limits == () == movement_strip(A).limits
    (limit,) = torque_strip(with_machine(torque_nm=5.0)).limits
    assert (limit.value, limit.crossed, limit.label) == (5.0, True, "spindle gives")
    # Climb leaves stock: the tip is pushed to the left, so only the level on that side is crossed.
    stock, under = movement_strip(A.with_values(cut__wall_tolerance_mm=0.01)).limits
    assert (stock.value, stock.crossed) == (-0.01, True) and (under.value, under.crossed) == (0.01, False)
    stock, under = movement_strip(A.with_values(cut__direction="conventional", cut__wall_tolerance_mm=0.04)).limits
    assert (stock.value, under.value) == (0.04, -0.04) and not stock.crossed and not under.crossed
    movement = movement_strip(A).curves[0].values
    assert movement.min() < -0.01


def test_the_sentence_speaks_of_a_limit_only_where_it_is_crossed() -> None:
    quiet = with_machine(power_kw=5.5, torque_nm=35.0).with_values(cut__wall_tolerance_mm=0.5)
    assert sentence(quiet) == sentence(A)
    loud = with_machine(power_kw=1.0, torque_nm=3.0).with_values(cut__wall_tolerance_mm=0.01)
    told = sentence(loud)
    # First of all, and in one sentence.
    assert told.endswith(sentence(A)) and told.count(". ") == sentence(A).count(". ") + 1
    assert told.startswith("The cut asks 1.6 kW (1.3 to 1.8) of a spindle that gives 1.00 kW at this speed; ")
    assert "over the 3.00 N·m of the spindle; " in told and "more than the 0.0100 mm allowed. Climb: " in told
    assert "2.1 hp (1.8 to 2.4)" in sentence(loud, "inch") and "1.34 hp" in sentence(loud, "inch")


def test_two_figures_that_differ_are_told_so_that_they_differ() -> None:
    told = sentence(with_machine(power_kw=POWER_KW * (1.0 - 1e-4)))
    words = told.split("asks ")[1].split()
    assert words[words.index("gives") + 1] != words[0]


def test_report_and_text_tell_what_there_is_and_what_is_used() -> None:
    s = with_machine(power_kw=5.5, torque_nm=35.0, drive="ball screw").with_values(cut__wall_tolerance_mm=0.01)
    found = report(s)
    assert found["machine"]["power_available_kw"] == 5.5 and found["machine"]["torque_available_nm"] == 35.0
    assert found["machine"]["power_used_share"] == pytest.approx(POWER_KW / 5.5)
    peak = force_turn(s).torque.greatest  # type: ignore[union-attr]
    assert found["machine"]["torque_used_share"] == pytest.approx(peak / 35.0)
    assert found["wall"]["tolerance_mm"] == 0.01 and found["wall"]["within_tolerance"] is False
    assert found["wall"]["stiffness_from"] == "cantilever 0.8 D, rigid holder"
    text = text_report(s)
    assert "5.50 kW, 29 % used" in text and "ball screw" in text and "0.0100 mm, not kept" in text
    nothing = report(Setup(A.cutter, A.cut))
    assert set(nothing["machine"].values()) == {None}
    assert nothing["wall"]["tolerance_mm"] is None is nothing["wall"]["within_tolerance"]


def test_the_fixed_wall_figures_do_not_move_with_a_tolerance_or_a_machine() -> None:
    """With neither flutes nor holder given the stiffness is 3 E I / L^3 with 0.8 D, and the tip moves by less."""
    plain = report(Setup(A.cutter, A.cut, A.work))["wall"]
    more = report(with_machine(power_kw=5.5, drive="screw").with_values(cut__wall_tolerance_mm=0.01))["wall"]
    for key in ("deflection_mm", "error_mm", "error_top_mm", "stiffness_n_mm", "stiffness_from"):
        assert more[key] == plain[key], key
    fx, k = force_turn(A).fx, 3 * 580_000.0 * (math.pi * (0.8 * 12.0) ** 4 / 64) / 42.0**3  # type: ignore[union-attr]
    assert plain["stiffness_n_mm"] == pytest.approx(k, rel=1e-12)
    assert 0.5 * fx.least / k > plain["deflection_mm"]["min"] > fx.least / k


def test_given_flutes_and_holder_move_them_and_the_report_says_so() -> None:
    s = A.with_keys({"cutter.flute_length_mm": 26.0, "cutter.holder_stiffness_n_mm": 20_000.0})
    wall, plain = report(s)["wall"], report(A)["wall"]
    assert wall["stiffness_n_mm"] != plain["stiffness_n_mm"]
    # A stiffer shank and a softer holder: between them by what each alone does.
    assert wall["error_mm"] != pytest.approx(plain["error_mm"], rel=1e-3)
    told = " ".join(text_report(s).split())
    assert "shank 12.00 mm and fluted length 26.0 mm at 0.8 D, holder 20000 N/mm" in told
    assert "one sideways spring at the line of the tip that does not tilt" in told
    assert "a cantilever of 0.8 D in a rigid holder." in " ".join(text_report(A).split())
    lost = " ".join(text_report(A.with_values(cutter__shank_diameter_mm=10.0)).split())
    assert "no flute length given: the shank is left out" in lost


def test_new_keys_are_written_and_read_and_edited_in_place() -> None:
    s = with_machine(torque_nm=35.0, drive="screw", speed_curve=((100.0, 0.5), (8000.0, 5.5)))
    s = s.with_values(cut__wall_tolerance_mm=0.02, cutter__flute_length_mm=26.0, cutter__shank_diameter_mm=12.0)
    text = write_setup(s)
    assert "speed_curve = [[100.0, 0.5], [8000.0, 5.5]]" in text and read_setup(text, "a.toml") == s
    noted = text.replace(
        "speed_curve = [[100.0, 0.5], [8000.0, 5.5]]", "speed_curve = [\n  [100, 0.5],\n  [8000, 5.5],\n]  # plate"
    )
    assert write_setup(s, noted) == noted
    other = s.with_keys({"machine.speed_curve": ((100.0, 0.5), (6000.0, 4.0))})
    edited = write_setup(other, noted)
    assert "\nspeed_curve = [[100.0, 0.5], [6000.0, 4.0]]" in edited and edited.rstrip().endswith("# plate")
    assert edited[: edited.index("speed_curve")] == noted[: noted.index("speed_curve")]
    gone = s.with_keys({"machine.speed_curve": None})
    assert "speed_curve" not in write_setup(gone, noted) and read_setup(write_setup(gone, noted), "b") == gone


def test_the_examples_that_use_the_new_keys() -> None:
    roughing, reach, thin = (example(n).setup() for n in ("roughing-steel", "long-reach", "thin-wall-aluminium"))
    assert [c.id for c in limit_checks(roughing)] == ["power", "torque"]
    assert not any(c.crossed for c in limit_checks(roughing))
    assert wall_check(reach).crossed and not wall_check(thin).crossed  # type: ignore[union-attr]


@given(setups())
@settings(max_examples=60)
def test_checks_of_every_legal_setup_are_finite_and_as_they_say(s: Setup) -> None:
    for check in limit_checks(s):
        assert math.isfinite(check.value) and check.value >= 0.0
        assert check.crossed == (check.value > check.limit * (1.0 + SLACK))
