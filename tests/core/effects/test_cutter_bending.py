"""Bending of the cutter against the beam equation integrated by scipy, Maxwell, its limits, and a textbook case."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from core.effects.cutter_bending import (
    HeldCutter,
    cantilever_stiffness,
    held_cutter,
    inertia,
    stiffness_from,
    tip_stiffness,
)
from core.setup.setup import Cut, Cutter, Setup

BOSS = Setup(
    Cutter(12.0, 4, helix_deg=30.0, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0),
    Cut("climb", 4.0, 10.0, 0.06, 4000.0),
)
STEPPED = BOSS.with_values(cutter__flute_length_mm=26.0, cutter__shank_diameter_mm=11.0)
HELD = STEPPED.with_values(cutter__holder_stiffness_n_mm=20_000.0)


def by_unit_load(held: HeldCutter, z: float, a: float) -> float:
    """Deflection at z under 1 N at a: the integral of M m / E I by scipy (virtual work), and the holder's."""

    def integrand(t: float) -> float:
        ei = held.flutes_ei if t < held.flutes else held.shank_ei
        return (t - a) * (t - z) / ei

    top = max(z, a)
    pieces = sorted({top, min(max(held.flutes, top), held.stickout), held.stickout})
    bent = sum(quad(integrand, x0, x1, epsabs=0.0, epsrel=1e-12)[0] for x0, x1 in pairwise(pieces))
    return bent + 1.0 / held.holder


@pytest.mark.parametrize(("z", "a"), [(0, 0), (0, 10), (10, 0), (5, 25), (30, 3), (30, 35), (26, 26), (41, 0)])
def test_influence_against_virtual_work(z: float, a: float) -> None:
    held = held_cutter(HELD)
    assert held is not None
    assert float(held.compliance(z, a)) == pytest.approx(by_unit_load(held, z, a), rel=1e-10)


@pytest.mark.parametrize("force_height", [0.0, 8.0, 26.0, 33.0])
def test_influence_against_the_beam_equation(force_height: float) -> None:
    """The curve of the beam by scipy.solve_ivp: y'' = M / E I from the holder, where y = y' = 0.

    Started anew at the step and at the force, where the moment's course has its kinks.
    """
    held = held_cutter(STEPPED)
    assert held is not None
    heights = np.array([0.0, 5.0, 20.0, 26.0, 30.0, 40.0])
    kinks = sorted({held.stickout, held.flutes, force_height, 0.0}, reverse=True)
    state = [0.0, 0.0]
    bent: dict[float, float] = {}
    for top, bottom in pairwise(kinks):
        ei = held.shank_ei if bottom >= held.flutes else held.flutes_ei

        def curve(s: float, y: np.ndarray, ei: float = ei) -> list[float]:
            return [y[1], max(held.stickout - s - force_height, 0.0) / ei]

        ends = (held.stickout - top, held.stickout - bottom)
        done = solve_ivp(curve, ends, state, rtol=1e-11, atol=1e-18, dense_output=True)
        state = list(done.y[:, -1])
        bent |= {z: float(done.sol(held.stickout - z)[0]) for z in heights if bottom <= z <= top}
    assert held.compliance(heights, force_height) == pytest.approx([bent[z] for z in heights], rel=1e-8)


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0), st.floats(0.0, 42.0))
@settings(max_examples=60)
def test_two_heights_may_be_exchanged(z: float, a: float, flutes: float) -> None:
    """Maxwell 1864; and nothing bends at or above the holder, which gives by itself alone."""
    held = HeldCutter(42.0, flutes, 2e8, 4e8, 15_000.0)
    one, other = float(held.compliance(z, a)), float(held.compliance(a, z))
    assert one == other
    assert one >= 1.0 / 15_000.0
    assert (one == 1.0 / 15_000.0) or max(z, a) < 42.0


def test_bend_is_greatest_at_the_tip_and_falls_to_the_holder() -> None:
    held = held_cutter(HELD)
    assert held is not None
    bend = held.compliance(np.linspace(0.0, 42.0, 200), 0.0)
    assert np.all(np.diff(bend) < 0.0) and bend[-1] == pytest.approx(1.0 / 20_000.0)
    assert bend[0] == pytest.approx(1.0 / held.tip_stiffness)


def test_without_the_new_keys_the_stiffness_is_that_of_the_plain_cantilever_exactly() -> None:
    """3 E I / L^3 with 0.8 D (Kops and Vo 1990): the fixed figure of the report."""
    plain = 3.0 * 580_000.0 * (math.pi * (0.8 * 12.0) ** 4 / 64.0) / 42.0**3
    assert tip_stiffness(BOSS) == plain == cantilever_stiffness(12.0, 42.0, 580_000.0)
    # A shank whose length is not known cannot count.
    assert tip_stiffness(BOSS.with_values(cutter__shank_diameter_mm=11.0)) == plain


def test_limits_of_the_step() -> None:
    whole = BOSS.with_values(cutter__flute_length_mm=42.0, cutter__shank_diameter_mm=3.0)
    assert tip_stiffness(whole) == pytest.approx(tip_stiffness(BOSS), rel=1e-14)
    same = BOSS.with_values(cutter__flute_length_mm=20.0, cutter__shank_diameter_mm=0.8 * 12.0)
    assert tip_stiffness(same) == pytest.approx(tip_stiffness(BOSS), rel=1e-13)
    # All shank: a plain bar of the cutter's own diameter, which is the shank where none is given.
    bar = 3.0 * 580_000.0 * inertia(12.0) / 42.0**3
    assert tip_stiffness(replace(BOSS, cutter=replace(BOSS.cutter, flute_length_mm=1e-3))) == pytest.approx(bar, 1e-9)


def test_stepped_tip_in_closed_form() -> None:
    """Two parts by superposition: Lf^3 / 3 E If + (L^3 - Lf^3) / 3 E Is (moment-area, from memory)."""
    flutes, shank = 580_000.0 * inertia(9.6), 580_000.0 * inertia(11.0)
    soft = 26.0**3 / (3.0 * flutes) + (42.0**3 - 26.0**3) / (3.0 * shank)
    assert tip_stiffness(STEPPED) == pytest.approx(1.0 / soft, rel=1e-13)
    assert tip_stiffness(HELD) == pytest.approx(1.0 / (soft + 1.0 / 20_000.0), rel=1e-13)


def test_a_holder_is_a_spring_in_series_with_the_plain_cantilever() -> None:
    with_holder = BOSS.with_values(cutter__holder_stiffness_n_mm=20_000.0)
    series = 1.0 / (1.0 / cantilever_stiffness(12.0, 42.0, 580_000.0) + 1.0 / 20_000.0)
    assert tip_stiffness(with_holder) == pytest.approx(series, rel=1e-13)


def test_textbook_cantilever() -> None:
    """Force part of the way out (strength-of-materials tables, from memory): tip F a^2 (3 L - a) / 6 E I."""
    bar = HeldCutter(100.0, 0.0, 1.0, 210_000.0 * inertia(20.0))
    a = 60.0  # from the wall, so 40 mm from the tip
    tip = a**2 * (3 * 100.0 - a) / (6 * 210_000.0 * inertia(20.0))
    assert float(bar.compliance(0.0, 40.0)) == pytest.approx(tip, rel=1e-13)
    # A steel bar of 20 mm, 100 mm out, bends 0.2021 mm under 1 kN: 1e6 / (3 * 210 * 7853.98).
    assert 1000.0 * float(bar.compliance(0.0, 0.0)) == pytest.approx(0.20210, abs=5e-6)


def test_unknown_stays_unknown() -> None:
    for key in ("cutter.stickout_mm", "cutter.youngs_modulus_n_mm2"):
        without = HELD.with_keys({key: None})
        assert held_cutter(without) is tip_stiffness(without) is stiffness_from(without) is None


def test_the_model_is_told_in_words() -> None:
    assert stiffness_from(BOSS) == "cantilever 0.8 D, rigid holder"
    assert stiffness_from(STEPPED) == "shank 11.00 mm and fluted length 26.0 mm at 0.8 D, rigid holder"
    assert stiffness_from(HELD) == "shank 11.00 mm and fluted length 26.0 mm at 0.8 D, holder 20000 N/mm"
    only_holder = BOSS.with_values(cutter__holder_stiffness_n_mm=20_000.0)
    assert stiffness_from(only_holder) == "cantilever 0.8 D, holder 20000 N/mm"
    assert "in and fluted" in str(stiffness_from(HELD, "inch")) and "lbf/in" in str(stiffness_from(HELD, "inch"))
