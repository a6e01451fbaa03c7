"""Forces over the whole legal range: quadrature along the edge, energy, mirror, extremes, the singular ends."""

from __future__ import annotations

import itertools

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from core.cut.engagement import engagement
from core.force.edge_force import cutter_force, edge_law, mean_force, tooth_force
from core.force.force_turn import corners, force_turn
from core.maths.sine_powers import sine_power_moments
from core.report.force_keys import force_keys, wall_keys
from core.setup.setup import Cut, Cutter, Direction, LinearEdge, PowerLaw, Setup, Work

size = st.floats(0.0, 2500.0)
DIRECTIONS: tuple[Direction, ...] = ("climb", "conventional", "straddling")
LAWS = st.one_of(
    st.builds(LinearEdge, size, size, size, st.floats(0, 60), st.floats(0, 60), st.floats(-5, 60)),
    st.builds(PowerLaw, st.floats(100.0, 4000.0), st.floats(0.0, 0.6), st.floats(0.0, 1.0)),
)


@st.composite
def cuts(draw: st.DrawFn) -> Setup:
    d = draw(st.floats(1.0, 100.0))
    direction = draw(st.sampled_from(DIRECTIONS))
    share = draw(st.floats(0.02, 0.98))
    cutter = Cutter(
        d,
        draw(st.integers(1, 12)),
        helix_deg=draw(st.sampled_from((0.0, 5.0, 30.0, 45.0, 60.0))),
        cutting_edge_angle_deg=draw(st.sampled_from((90.0, 45.0))),
    )
    cut = Cut(direction, share * d, draw(st.floats(0.05, 2.0)) * d, draw(st.floats(5e-4, 0.02)) * d, 1000.0)
    return Setup(cutter, cut, Work(force=draw(LAWS)))


def by_quadrature(tip: float, setup: Setup) -> np.ndarray:
    """Force of one tooth by scipy along the edge."""
    e, k = engagement(setup), setup.work.force
    kappa = np.radians(setup.cutter.cutting_edge_angle_deg)
    depth = setup.cut.axial_engagement_mm

    def element(height: float, i: int) -> float:
        u = (tip - e.edge_lag * height / depth) % (2 * np.pi)
        if not e.entry <= u <= e.exit:
            return 0.0
        h = setup.cut.feed_per_tooth_mm * np.sin(u) * np.sin(kappa)
        if isinstance(k, LinearEdge):
            ft, fr, fa = k.ktc * h + k.kte, k.krc * h + k.kre, k.kac * h + k.kae
        else:
            assert k is not None
            ft = k.kc11_n_mm2 * max(h, 0.0) ** (1 - k.mc)
            fr, fa = k.radial_ratio * ft, 0.0
        fr, fa = fr * np.sin(kappa) + fa * np.cos(kappa), fa * np.sin(kappa) - fr * np.cos(kappa)
        return (-ft * np.sin(u) + fr * np.cos(u), -ft * np.cos(u) - fr * np.sin(u), fa, ft)[i] / np.sin(kappa)

    # Pieces between the heights at which the edge meets or leaves the arc.
    ends = {0.0, depth}
    if e.edge_lag > 0:
        for limit, turn in itertools.product((e.entry, e.exit), range(-2, 3)):
            height = (tip - limit - 2 * np.pi * turn) / e.edge_lag * depth
            # A piece of no length holds nothing, and scipy would warn of it.
            if 1e-12 * depth < height < depth:
                ends.add(height)
    return np.array(
        [
            sum(
                quad(element, a, b, args=(i,), epsabs=1e-10, limit=200)[0]
                for a, b in itertools.pairwise(sorted(ends))
            )
            for i in range(4)
        ]
    )


@settings(max_examples=25)
@given(cuts(), st.floats(0.0, 6.28))
def test_one_tooth_is_the_integral_along_its_edge(setup: Setup, tip: float) -> None:
    law = edge_law(setup)
    assert law is not None
    got, wanted = tooth_force(tip, setup, law), by_quadrature(tip, setup)
    # At the very entry nothing is left but the rounding of what the edge's two ends take from each other.
    scale = max(np.abs(wanted).max(), 1e-3)
    assert np.abs(got - wanted).max() / scale < 1e-6


@settings(max_examples=25)
@given(cuts())
def test_mean_energy_and_extremes(setup: Setup) -> None:
    law, found = edge_law(setup), force_turn(setup)
    assert law is not None and found is not None
    meets = corners(setup)
    nodes, weights = np.polynomial.legendre.leggauss(40)
    # Nodes drawn to both ends, where the force of a power law rises as a root does.
    t = (nodes + 1) / 2
    along, weights = t * t * (3 - 2 * t), 3 * t * (1 - t) * weights
    total = np.zeros(4)
    for a, b in itertools.pairwise(meets):
        phi = a + (b - a) * along
        force = cutter_force(phi, setup, law)
        total += weights @ force * (b - a)
        # No sample anywhere is outside the extremes.
        for spread, column in ((found.fx, 0), (found.fy, 1)):
            room = 1e-7 * np.abs(force).max() + 1e-9
            assert spread.least - room <= force[:, column].min()
            assert force[:, column].max() <= spread.greatest + room
    mean = total * setup.cutter.teeth / (2 * np.pi)
    assert mean == pytest.approx(mean_force(setup, law), rel=1e-5, abs=1e-6)
    turns = setup.cut.spindle_speed_rpm / 60
    assert found.power_kw * 1000 == pytest.approx(found.torque.mean * 2 * np.pi * turns, rel=1e-12, abs=1e-12)
    assert found.chip_energy_j * turns * setup.cutter.teeth == pytest.approx(
        found.power_kw * 1000, rel=1e-12, abs=1e-12
    )


@settings(max_examples=40)
@given(cuts())
def test_climb_and_conventional_mirror(setup: Setup) -> None:
    """Torque and axial means are the same both ways; for a slot the halves add up."""
    if setup.cut.direction == "straddling":
        return
    a, b = force_keys(setup)["force"], force_keys(setup.opposite)["force"]
    assert a["torque_nm"]["mean"] == pytest.approx(b["torque_nm"]["mean"], rel=1e-9, abs=1e-12)
    assert a["power_kw"] == pytest.approx(b["power_kw"], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("q", [0.05, 0.4, 0.74, 0.9, 1.0, 1.74])
@pytest.mark.parametrize("u", [1e-9, 1e-3, 0.5, 1.5, np.pi / 2, 2.0, 3.1, np.pi])
def test_sine_powers_against_high_precision(q: float, u: float) -> None:
    with mpmath.workdps(30):
        wanted = mpmath.betainc((q + 1) / 2, 0.5, 0, mpmath.sin(u) ** 2) / 2
        if u > np.pi / 2:
            wanted = mpmath.beta((q + 1) / 2, mpmath.mpf(1) / 2) - wanted
    assert float(sine_power_moments(u, q)[0]) == pytest.approx(float(wanted), rel=1e-11, abs=1e-300)


def test_what_is_not_known_is_null() -> None:
    bare = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
    assert set(force_keys(bare)["force"].values()) == {None}
    assert wall_keys(bare)["wall"]["error_mm"] is None
    straddling = bare.with_keys(
        {
            "cut.direction": "straddling",
            "work": Work(force=PowerLaw(2000.0, 0.2, 0.4)),
            "cutter.stickout_mm": 40.0,
            "cutter.youngs_modulus_n_mm2": 580_000.0,
        }
    )
    assert wall_keys(straddling)["wall"]["error_mm"] is None
    assert wall_keys(straddling)["wall"]["deflection_mm"] is not None
    assert force_keys(straddling)["force"]["fz_n"] is None
