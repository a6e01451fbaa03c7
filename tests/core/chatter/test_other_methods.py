"""Zeroth order and semi-discretisation: against the border, against each other, and their own properties."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.linalg

from core.chatter.border import border
from core.chatter.directional import CuttingSlopes, direction_matrix, mean_direction_matrix
from core.chatter.modes import modes_of
from core.chatter.semi_discretisation import PloughDamping, Teeth, axial_limit, even_teeth, exponential, multipliers
from core.chatter.spectral_map import spectral_map
from core.chatter.zeroth_order import zeroth_order
from core.setup.setup import Mode
from tests.core.chatter.cuts import SLOPES, arc, chatter_cut, plant

SPEEDS = np.linspace(2600.0, 17000.0, 12)
TWO = modes_of([Mode("x", 810.0, 0.02, 9800.0), Mode("y", 950.0, 0.018, 11000.0)])
STEEL = CuttingSlopes(1800.0, 700.0)


@pytest.mark.parametrize("teeth", [4, 8, 12])
def test_zeroth_order_is_right_in_a_slot_with_many_even_teeth(teeth: int) -> None:
    assert TWO is not None
    plain = zeroth_order(TWO, STEEL, 0.0, math.pi, teeth, SPEEDS)
    found = border(TWO, STEEL, 0.0, math.pi, teeth, SPEEDS, 120.0)
    np.testing.assert_allclose(plain.depth_mm, found.depth_mm, rtol=3e-3)
    every = found.chatter_hz(60)
    assert np.abs(every - plain.chatter_hz[:, None]).min(1).max() < 1.0


def test_zeroth_order_is_off_with_three_teeth() -> None:
    """The comparison can fail: with three teeth the directions vary."""
    assert TWO is not None
    plain = zeroth_order(TWO, STEEL, 0.0, math.pi, 3, SPEEDS).depth_mm
    found = border(TWO, STEEL, 0.0, math.pi, 3, SPEEDS, 120.0).depth_mm
    assert np.abs(plain / found - 1.0).max() > 0.05


def test_mean_direction_matrix_by_many_places() -> None:
    phi = 0.3 + 1.9 * (np.arange(200000) + 0.5) / 200000
    for slopes, off in ((STEEL, 1e-9), (CuttingSlopes(1800.0, 700.0, 0.26, 0.06, 6e-5), 1e-8)):
        plain = direction_matrix(phi, slopes).mean(0) * 1.9 * 4 / (2 * math.pi)
        np.testing.assert_allclose(mean_direction_matrix(0.3, 2.2, 4, slopes), plain, rtol=off, atol=1e-6)


@pytest.mark.parametrize(("cut", "teeth"), [("climb twentieth", 2), ("slot", 2), ("conventional half", 5)])
def test_semi_discretisation_converges_to_the_map(cut: str, teeth: int) -> None:
    c = chatter_cut("xy", cut, teeth)
    depth = float(c.border(5200.0).depth_mm[0]) * 1.2
    told = float(c.spectral_map([5200.0], [depth]).radius[0, 0])
    args = (c.modes, c.slopes, c.entry, c.leave, even_teeth(teeth), 5200.0, depth)
    off = [abs(abs(multipliers(*args, m)[0]) - told) for m in (30, 60, 120)]
    assert off[2] < 0.3 * off[1] < 0.1 * off[0]


def test_its_axial_limit_is_the_border() -> None:
    c = chatter_cut("y", "climb half", 2)
    found = axial_limit(c.modes, c.slopes, c.entry, c.leave, even_teeth(2), 5000.0, 60.0, 80, first=0.3)
    assert found == pytest.approx(float(c.border(5000.0).depth_mm[0]), rel=0.01)


def test_uneven_teeth_that_are_nearly_even_are_as_even_ones() -> None:
    args = (plant("xy"), SLOPES, *arc("climb half"))
    gaps = np.radians([120.0, 120.0, 120.0 + 1e-7])
    turn = multipliers(*args, Teeth(gaps), 5000.0, 0.4, 120)[0]
    even = multipliers(*args, even_teeth(3), 5000.0, 0.4, 40)[0]
    assert abs(turn) == pytest.approx(abs(even) ** 3, rel=1e-5)


def test_uneven_teeth_against_the_equation_stepped_in_time() -> None:
    """Two teeth 150 and 210 degrees apart, one mode, a slot: growth over a turn seen in a plain Euler-Cromer run."""
    gaps, rpm, depth = np.radians([150.0, 210.0]), 6000.0, 0.5
    m = plant("y")
    told = abs(multipliers(m, SLOPES, 0.0, math.pi, Teeth(gaps), rpm, depth, 240)[0])
    omega, zeta, k = float(m.omega[0]), float(m.damping[0]), float(m.stiffness[0])
    steps = 7200
    dt = 60.0 / rpm / steps
    angle = 2 * math.pi / steps
    turns = 14
    y = np.zeros(steps * (turns + 1))
    y[:steps] = np.random.default_rng(1).normal(size=steps).cumsum() * 1e-3
    rate, size = 0.0, []
    # Tooth 1 stands behind tooth 0 by its gap; each cuts what the one before it left.
    offsets, delays = (0.0, gaps[1]), (round(gaps[0] / angle), round(gaps[1] / angle))
    for i in range(steps, len(y)):
        force = 0.0
        for offset, delay in zip(offsets, delays, strict=True):
            phi = (angle * (i - 0.5) - offset) % (2 * math.pi)
            if phi < math.pi:
                chip = math.sin(phi) * (y[i - 1] - y[i - 1 - delay])
                force += -(SLOPES.tangential * math.cos(phi) + SLOPES.radial * math.sin(phi)) * chip * depth
        rate += dt * (force * omega**2 / k - 2 * zeta * omega * rate - omega**2 * y[i - 1])
        y[i] = y[i - 1] + dt * rate
    size = [float(np.sqrt((y[j * steps : (j + 1) * steps] ** 2).mean())) for j in range(turns + 1)]
    assert (size[-1] / size[4]) ** (1.0 / (turns - 4)) == pytest.approx(told, rel=0.03)


def test_a_helix_of_no_lag_is_none_and_lag_is_felt() -> None:
    args = (plant("xy"), SLOPES, *arc("climb half"))
    straight = multipliers(*args, even_teeth(2), 5000.0, 0.4, 40)[0]
    assert multipliers(*args, even_teeth(2, 1e-9), 5000.0, 0.4, 40)[0] == pytest.approx(straight, rel=1e-6)
    assert abs(multipliers(*args, even_teeth(2, 1.0), 5000.0, 0.4, 40)[0]) != pytest.approx(abs(straight), rel=1e-3)


def test_a_helix_that_goes_round_whole_pitches_leaves_the_mean_only() -> None:
    """With a lag of one pitch the summed direction matrix is constant, as in a cut of its mean."""
    depth, teeth = 0.6, 3
    lag = 2 * math.pi / teeth / depth
    entry, leave = arc("climb half")
    helical = abs(multipliers(plant("xy"), SLOPES, entry, leave, even_teeth(teeth, lag), 5000.0, depth, 60)[0])
    mean = mean_direction_matrix(entry, leave, teeth, SLOPES)
    slot = mean_direction_matrix(0.0, 2 * math.pi, 300, SLOPES)
    assert not np.allclose(mean, slot)
    limit = zeroth_order(plant("xy"), SLOPES, entry, leave, teeth, [5000.0]).depth_mm[0]
    assert (helical > 1.0) == (depth > limit)
    lower = 0.95 * limit
    lag = 2 * math.pi / teeth / lower
    assert abs(multipliers(plant("xy"), SLOPES, entry, leave, even_teeth(teeth, lag), 5000.0, lower, 60)[0]) < 1.0
    above = 1.05 * limit
    lag = 2 * math.pi / teeth / above
    assert abs(multipliers(plant("xy"), SLOPES, entry, leave, even_teeth(teeth, lag), 5000.0, above, 60)[0]) > 1.0


def test_process_damping_steadies_and_more_so_at_low_speed() -> None:
    gain = []
    for rpm in (1200.0, 12000.0):
        c = chatter_cut("y", "slot", 2)
        args = (c.modes, c.slopes, c.entry, c.leave, even_teeth(2), rpm, 0.1, 120)
        free = abs(multipliers(*args)[0])
        assert abs(multipliers(*args, PloughDamping(0.0, 5.0))[0]) == pytest.approx(free, rel=1e-9)
        held = abs(multipliers(*args, PloughDamping(50.0, 5.0))[0])
        assert held < free
        gain.append(-math.log(held / free) * rpm)
    # Per second it falls with the speed.
    assert gain[0] > 3.0 * gain[1]


def test_exponential_is_scipys() -> None:
    m = np.random.default_rng(3).normal(size=(5, 6, 6)) * 3.0
    np.testing.assert_allclose(exponential(m), [scipy.linalg.expm(a) for a in m], rtol=1e-10, atol=1e-10)


def test_map_and_plain_method_at_a_grid() -> None:
    c = chatter_cut("xy", "climb tenth", 2)
    n, a = [4000.0, 9000.0], [0.3, 1.5]
    found = spectral_map(c.modes, c.slopes, c.entry, c.leave, 2, n, a).radius
    for i, rpm in enumerate(n):
        for j, depth in enumerate(a):
            one, two = (
                abs(multipliers(c.modes, c.slopes, c.entry, c.leave, even_teeth(2), rpm, depth, m)[0])
                for m in (60, 120)
            )
            assert found[i, j] == pytest.approx(two + (two - one) / 3.0, rel=2e-3)
