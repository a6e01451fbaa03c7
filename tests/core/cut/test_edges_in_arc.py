"""Edges in the arc: their pieces against a count along the edges, and the laws' integrals over them."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.cut.edges_in_arc import STRAIGHT, helical_edges, straight_edges
from core.cut.engagement import engagement
from core.force.edge_force import EdgeLaw, cutter_force, edge_law, tooth_force
from core.maths.arrays import ascending
from core.maths.sine_powers import sine_power_moments
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work
from tests.arrays import all_near

LAWS = (LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0), PowerLaw(1700.0, 0.26, 0.4))


def cut(
    helix: float, depth: float, teeth: int = 4, width: float = 4.0, law: LinearEdge | PowerLaw = LAWS[0]
) -> Setup:
    return Setup(Cutter(12.0, teeth, helix_deg=helix), Cut("climb", width, depth, 0.06, 4000.0), Work(force=law))


@settings(max_examples=60)
@given(st.floats(1.0, 80.0), st.floats(0.1, 60.0), st.integers(1, 9), st.floats(0.1, 11.9), st.floats(-7.0, 7.0))
@example(80.0, 60.0, 3, 11.0, 0.4)
def test_pieces_have_the_length_that_a_count_along_the_edges_finds(
    helix: float, depth: float, teeth: int, width: float, phi: float
) -> None:
    e = engagement(cut(helix, depth, teeth, width))
    low, high, turns = helical_edges(np.array(phi), teeth, e)
    assert np.all((e.entry <= low) & (low <= high) & (high <= e.exit))
    found = float((high - low).sum()) + turns * teeth * e.arc
    # 20000 places along each edge, from its tip back.
    back = (np.arange(20_000) + 0.5) / 20_000 * e.edge_lag
    places = phi + 2 * np.pi * np.arange(teeth)[:, None] / teeth - back
    inside = (places - e.entry) % (2 * np.pi) < e.arc
    assert found == pytest.approx(inside.mean() * teeth * e.edge_lag, abs=2e-4 * teeth * e.edge_lag)


def test_straight_edges_are_in_cut_from_entry_to_exit() -> None:
    e = engagement(cut(0.0, 5.0, 4))
    tips, inside = straight_edges(np.array([e.entry, e.exit, e.entry - 1e-9, e.exit + 1e-9]), 4, e)
    assert e.edge_lag < STRAIGHT and tips.shape == inside.shape == (4, 4)
    assert inside[0].tolist() == [True, True, False, False]


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.model)
@pytest.mark.parametrize(("helix", "depth"), [(0.0, 5.0), (30.0, 10.0), (75.0, 60.0)])
def test_the_teeth_add_up_and_an_edge_in_the_air_has_none(
    helix: float, depth: float, law: LinearEdge | PowerLaw
) -> None:
    setup = cut(helix, depth, 5, law=law)
    found = edge_law(setup)
    assert found is not None
    phi = np.linspace(-4.0, 9.0, 211).reshape(1, 211)
    each = tooth_force(phi + 2 * np.pi / 5 * np.arange(5)[:, None], setup, found)
    whole = cutter_force(phi, setup, found)
    assert whole.shape == (1, 211, 4)
    assert all_near(whole[0], each.sum(axis=0), rel=1e-12, abs=1e-12 * float(np.abs(whole).max()))
    if depth < 60.0:
        air = tooth_force(engagement(setup).entry - np.linspace(1e-6, 1.0, 50), setup, found)
        assert not air.any()


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.model)
def test_the_integral_between_two_angles(law: LinearEdge | PowerLaw) -> None:
    one = EdgeLaw(0.06, law)
    low, high = np.array([0.0, 0.4, 1.2, 0.7, 2.0]), np.array([3.1, 0.9, 2.9, 0.7, 2.0 + 1e-3])
    nodes, weights = np.polynomial.legendre.leggauss(400)
    # Places by their cube: that keeps the power law's steep beginning smooth.
    share = (0.5 + 0.5 * nodes) ** 3
    u = low[:, None] + (high - low)[:, None] * share
    force = one.at(u) * (1.5 * (0.5 + 0.5 * nodes) ** 2 * weights)[:, None]
    wanted = force.sum(axis=1) * (high - low)[:, None]
    got = one.mixed(one.parts_between(low, high))
    assert got == pytest.approx(wanted, rel=1e-9, abs=1e-12)
    assert got == pytest.approx(one.integral(high) - one.integral(low), rel=1e-9, abs=1e-12)
    assert all_near(one.mixed(one.parts_at(u)), one.at(u), rel=1e-12, abs=1e-12)


def test_a_short_piece_of_a_linear_law_keeps_its_digits() -> None:
    one = EdgeLaw(0.06, LinearEdge(1800.0, 0.0, 0.0, 0.0, 0.0, 0.0))
    low, high = 1.0, 1.0 + 1e-7
    with mpmath.workdps(40):
        wanted = float(1800 * mpmath.mpf(0.06) * (mpmath.cos(low) - mpmath.cos(high)))
    got = float(one.mixed(one.parts_between(np.array(low), np.array(high)))[3])
    assert got == pytest.approx(wanted, rel=1e-14)


@pytest.mark.parametrize("q", [0.05, 0.74, 1.0])
def test_moments_of_a_power_of_the_sine(q: float) -> None:
    u = np.concatenate([np.linspace(0.0, np.pi, 101), [0.5, 0.5]])
    found = sine_power_moments(u, q)
    assert found.shape == (3, 103)
    for row, power in ((0, q), (1, q + 1.0)):
        assert found[row] == pytest.approx(sine_power_moments(u, power)[0], rel=1e-13, abs=1e-15)
    assert found[2] == pytest.approx(np.maximum(np.sin(u), 0.0) ** (q + 1) / (q + 1), rel=1e-12, abs=1e-15)
    # One angle gives one figure wherever it stands: what has no length has no force.
    assert np.array_equal(found[:, -1], sine_power_moments(0.5, q)) and np.array_equal(found[:, -1], found[:, -2])


def test_ascending_takes_each_value_once() -> None:
    assert ascending([3.0, 1.0, 2.0, 1.0, 3.0]).tolist() == [1.0, 2.0, 3.0]
    assert ascending([]).size == 0
