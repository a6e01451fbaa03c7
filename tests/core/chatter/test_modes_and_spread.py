"""Modes in closed form against scipy, the beam's estimate, directional coefficients, the band, the front."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.linalg
from hypothesis import given
from hypothesis import strategies as st

from core.chatter.beam_mode import Beam, beam_blocks, beam_mode
from core.chatter.directional import cutting_slopes, direction_matrix
from core.chatter.modes import Modes, modes_of
from core.chatter.spread import Draws, border_band, draws_between
from core.chatter.stability import axial_limit, chatter_cut, missing
from core.chatter.tooth_period import seen_and_pushed, tooth_period
from core.force.edge_force import EdgeLaw
from core.setup.setup import Cut, Cutter, LinearEdge, Mode, PowerLaw, Setup, Work
from tests.core.chatter import cuts


@given(omega=st.floats(500.0, 2e4), damping=st.floats(1e-3, 0.95), time=st.floats(-2e-4, 2e-3), k=st.floats(1e2, 1e5))
def test_free_motion_is_the_exponential_of_the_equation(omega: float, damping: float, time: float, k: float) -> None:
    m = Modes(np.array([0]), np.array([omega]), np.array([damping]), np.array([k]))
    matrix = np.array([[0.0, omega], [-omega, -2.0 * damping * omega]])
    found = np.array([part[0] for part in m.free(time)]).reshape(2, 2)
    np.testing.assert_allclose(found, scipy.linalg.expm(matrix * time), rtol=1e-8, atol=1e-8)


def test_impulse_between_times_is_the_free_motion_of_their_differences() -> None:
    m = cuts.plant("xy", 3.0)
    times = np.array([[0.0, 2e-4, 7e-4], [1e-4, 5e-4, 6e-4]])
    apart = times[:, :, None] - times[:, None, :]
    np.testing.assert_allclose(np.moveaxis(m.swing(times).between(), 0, -1), m.free(apart)[1], atol=1e-12)


def test_receptance_is_the_transform_of_the_impulse_response() -> None:
    m = cuts.plant("y")
    t = np.linspace(0.0, 0.4, 400001)
    response = m.free(t)[1][:, 0] / (m.mass[0] * m.omega[0])
    omega = 5500.0
    plain = np.trapezoid(response * np.exp(-1j * omega * t), t)
    assert m.receptance(omega)[1] == pytest.approx(plain, rel=1e-5)
    assert m.receptance(omega)[0] == 0.0


def test_blocks_keep_their_axes_and_figures() -> None:
    m = modes_of([Mode("y", 500.0, 0.03, 4000.0), Mode("x", 700.0, 0.02, 5000.0), Mode("y", 900.0, 0.01, 6000.0)])
    assert m is not None
    assert m.axis.tolist() == [1, 0, 1] and m.axes == (0, 1) and m.count == 3
    np.testing.assert_allclose(m.mass * (2 * np.pi * np.array([500.0, 700.0, 900.0])) ** 2, [4000.0, 5000.0, 6000.0])
    assert modes_of([]) is None


def test_a_uniform_beam_is_the_exact_cantilever() -> None:
    beam = Beam(60.0, 12.0, 580_000.0, 14_500.0)
    found, stiffness = beam_mode(beam)
    d = 0.8 * 12.0
    exact = 1.87510407**2 * math.sqrt(580_000.0 * (d / 4) ** 2 / 14_500e-12) / 60.0**2 / (2 * math.pi)
    assert found == pytest.approx(exact, rel=2e-4)
    assert stiffness == pytest.approx(1.87510407**4 / 4 * 580_000.0 * math.pi * d**4 / 64 / 60.0**3, rel=1e-3)


def test_a_beam_of_two_parts_against_finite_elements() -> None:
    """Forty Euler elements of shank and flutes."""
    beam = Beam(50.0, 8.0, 600_000.0, 14_500.0, flute_length=20.0, shank_diameter=10.0)
    n, k, m = 40, np.zeros((82, 82)), np.zeros((82, 82))
    length = 50.0 / n
    for i in range(n):
        d = 10.0 if (i + 0.5) * length < 30.0 else 6.4
        ei, mass = 600_000.0 * math.pi * d**4 / 64, 14_500e-12 * math.pi / 4 * d**2
        a = length
        at = slice(2 * i, 2 * i + 4)
        k[at, at] += (
            ei / a**3 * np.array([[12, 6 * a, -12, 6 * a], [6 * a, 4 * a * a, -6 * a, 2 * a * a],
                                  [-12, -6 * a, 12, -6 * a], [6 * a, 2 * a * a, -6 * a, 4 * a * a]])
        )  # fmt: skip
        m[at, at] += (
            mass * a / 420 * np.array([[156, 22 * a, 54, -13 * a], [22 * a, 4 * a * a, 13 * a, -3 * a * a],
                                       [54, 13 * a, 156, -22 * a], [-13 * a, -3 * a * a, -22 * a, 4 * a * a]])
        )  # fmt: skip
    exact = math.sqrt(scipy.linalg.eigh(k[2:, 2:], m[2:, 2:], eigvals_only=True)[0]) / (2 * math.pi)
    assert beam_mode(beam)[0] == pytest.approx(exact, rel=1e-3)


def test_a_soft_holder_lowers_frequency_and_stiffness() -> None:
    stiff, soft = (Beam(60.0, 12.0, 580_000.0, 14_500.0, holder_stiffness=k) for k in (1e12, 3000.0))
    assert beam_mode(soft)[0] < 0.8 * beam_mode(stiff)[0]
    # The higher modes give a little of the static compliance too.
    static = 3 * 580_000.0 * math.pi * 9.6**4 / 64 / 60.0**3
    assert 1.0 < beam_mode(soft)[1] * (1 / static + 1 / 3000.0) < 1.25
    x, y = beam_blocks(soft)
    assert (x.axis, y.axis) == ("x", "y") and x.frequency_hz == y.frequency_hz == beam_mode(soft)[0]


@pytest.mark.parametrize(
    "law", [LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0), PowerLaw(2100.0, 0.26, 0.4)], ids=lambda law: law.model
)
def test_direction_matrix_is_the_slope_of_the_projects_own_force(law: LinearEdge | PowerLaw) -> None:
    """A movement of the tip changes the chip; the force of ``edge_force`` on it, by differences."""
    setup = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0), Work(force=law))
    slopes = cutting_slopes(setup)
    assert slopes is not None
    edge = EdgeLaw(0.06, law)
    for phi in (0.3, 1.2, 2.6):
        for axis, move in ((0, (1e-6, 0.0)), (1, (0.0, 1e-6))):
            chip = 0.06 * math.sin(phi) + np.array([1, -1]) * (-math.cos(phi) * move[0] + math.sin(phi) * move[1])
            change = (edge.on_chip(chip[0], phi) - edge.on_chip(chip[1], phi))[:2] / 2e-6
            np.testing.assert_allclose(direction_matrix(phi, slopes)[:, axis], change, rtol=1e-5)


def test_power_law_is_not_steeper_than_at_a_thousandth_of_the_feed() -> None:
    setup = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0), Work(force=PowerLaw(2100.0, 0.26, 0.4)))
    slopes = cutting_slopes(setup)
    assert slopes is not None
    np.testing.assert_allclose(slopes.at(0.0)[0], 2100.0 * 0.74 * 6e-5**-0.26)
    np.testing.assert_allclose(slopes.at(np.array([1e-5, math.pi]))[0], slopes.at(0.0)[0])


@given(start=st.floats(0.0, 2.5), arc=st.floats(0.05, 3.0), teeth=st.integers(1, 12))
def test_the_pieces_of_a_period_hold_the_whole_arc(start: float, arc: float, teeth: int) -> None:
    leave = min(start + arc, math.pi)
    period = tooth_period(start, leave, teeth, cuts.SLOPES)
    in_cut = sum(p.span * p.in_cut for p in period.pieces)
    assert in_cut == pytest.approx(leave - start, abs=1e-7)
    assert sum(p.span for p in period.pieces) + period.free == pytest.approx(2 * math.pi / teeth, abs=1e-7)
    for p in period.pieces:
        turned = np.array([0.01, 0.5, 0.99]) * p.span
        angles = p.angles(turned)
        assert (angles > start - 1e-7).all() and (angles < leave + 1e-7).all()
        seen, pushed = seen_and_pushed(p, turned, cuts.SLOPES, (0, 1))
        summed = direction_matrix(angles, cuts.SLOPES).sum(-3)
        np.testing.assert_allclose(np.einsum("iar,ibr->iab", pushed, seen), summed, atol=1e-9)


def test_a_band_holds_each_draws_own_border() -> None:
    cut = cuts.chatter_cut("xy", "climb tenth", 3)
    rng = np.random.default_rng(7)
    draws = draws_between(rng.random((6, 4)))
    rpm = [4200.0, 9000.0]
    band = border_band(cut, rpm, draws)
    for i in range(6):
        modes = cut.modes.scaled(draws.frequency[i], draws.stiffness[i], draws.damping[i])
        one = cuts.ChatterCut(
            modes, cut.slopes.scaled(float(draws.coefficients[i])), cut.entry, cut.leave, 3, cut.deepest
        )
        np.testing.assert_allclose(band.depth_mm[i], one.border(rpm).depth_mm, rtol=1e-4)
    low, high = band.between()
    assert (low <= np.median(band.depth_mm, 0)).all() and (high >= low).all()
    assert band.stable_draws(0.0).tolist() == [6, 6] and band.stable_draws(1e9).tolist() == [0, 0]


def test_a_band_of_no_spread_is_the_border() -> None:
    cut = cuts.chatter_cut("y", "slot", 2)
    one = np.ones(3)
    band = border_band(cut, [5000.0], Draws(one, one, one, one))
    np.testing.assert_allclose(band.depth_mm, cut.border([5000.0]).depth_mm[0], rtol=1e-6)
    softer = border_band(cut, [5000.0], Draws(one * 2.0, one, one, one)).depth_mm
    np.testing.assert_allclose(softer, cut.border([5000.0]).depth_mm[0] / 2.0, rtol=1e-6)


def test_the_front_gives_the_limit_of_a_setup_and_what_is_missing() -> None:
    setup = cuts.setup_of("climb", 0.5, 2, 5000.0, "y")
    found = axial_limit(setup)
    assert found.outcome == "limit" and found.kind == "hopf"
    assert found.depth_mm == pytest.approx(0.84720, rel=1e-4)
    assert found.chatter_hz is not None and 922.0 < found.chatter_hz < 1000.0
    other = axial_limit(setup.opposite)
    assert other.depth_mm == pytest.approx(0.26028, rel=1e-4)
    flip = axial_limit(cuts.setup_of("climb", 0.5, 2, 9500.0, "y"))
    assert flip.kind == "flip" and flip.chatter_hz is not None
    assert (flip.chatter_hz / (9500.0 * 2 / 60.0) - 0.5) % 1.0 == pytest.approx(0.0, abs=1e-5)
    bare = Setup(setup.cutter, setup.cut)
    assert missing(bare) == axial_limit(bare).outcome == "no modes" and chatter_cut(bare) is None
    unknown = Setup(setup.cutter, setup.cut, dynamics=setup.dynamics)
    assert axial_limit(unknown).outcome == "no coefficients"
    rigid = Setup(
        setup.cutter, setup.cut, setup.work, dynamics=(Mode("x", 922.0, 0.9, 1e9), Mode("y", 922.0, 0.9, 1e9))
    )
    assert axial_limit(rigid).outcome == "no limit" and axial_limit(rigid).depth_mm is None


def test_a_slot_is_the_same_whichever_way_it_is_faced() -> None:
    setup = cuts.setup_of("straddling", 1.0, 3, 7000.0)
    assert axial_limit(setup).depth_mm == pytest.approx(axial_limit(setup.opposite).depth_mm, rel=1e-9)


def test_a_very_low_speed_is_told_as_such() -> None:
    setup = cuts.setup_of("climb", 0.5, 2, 8.0)
    found = axial_limit(setup)
    assert found.slow and found.depth_mm is not None and found.kind is None and found.chatter_hz is None
    slower = axial_limit(setup.with_keys({"cut.spindle_speed_rpm": 2.0}))
    assert slower.depth_mm == pytest.approx(found.depth_mm, rel=1e-9)
    assert not axial_limit(setup.with_keys({"cut.spindle_speed_rpm": 2000.0})).slow
