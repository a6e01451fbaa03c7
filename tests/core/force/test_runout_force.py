"""Force of the cutter as it runs: against quadrature over each tooth's own chip, and its identities."""

from __future__ import annotations

import math
import warnings
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from core.cut.engagement import engagement
from core.cut.runout_chips import each_tooths_thickness
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.force.edge_force import cutter_force, edge_law, mean_force, tooth_force
from core.force.force_turn import force_turn
from core.force.runout_force import RunoutForce, runout_force
from core.setup.setup import Cut, Cutter, Direction, LinearEdge, PowerLaw, Setup, Work
from tests.arrays import all_near

LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
POWER = PowerLaw(2200.0, 0.26, 0.4)

Case = tuple[float, float, float, LinearEdge | PowerLaw, Direction, float, int, float]

CASES: list[Case] = [
    # helix, kappa, runout, law, direction, width, teeth, depth
    (30.0, 90.0, 0.01, LINEAR, "climb", 4.0, 4, 10.0),
    (30.0, 45.0, 0.02, POWER, "conventional", 4.0, 3, 6.0),
    (0.0, 90.0, 0.005, POWER, "climb", 4.0, 5, 10.0),
    (45.0, 75.0, 0.2, LINEAR, "straddling", 12.0, 4, 3.0),
    (80.0, 90.0, 0.03, POWER, "climb", 7.0, 3, 10.0),
]


def setup_of(case: Case) -> Setup:
    helix, kappa, runout, law, direction, width, teeth, depth = case
    bare = Cutter(12.0, teeth, helix_deg=helix, cutting_edge_angle_deg=kappa)
    cutter = replace(bare, runout_mm=runout, runout_angle_deg=35.0)
    return Setup(cutter, Cut(direction, width, depth, 0.06, 4000.0), Work(force=law))


def of(setup: Setup) -> RunoutForce:
    law = edge_law(setup)
    assert law is not None
    return runout_force(setup, law)


def element(tooth: int, u: float, setup: Setup) -> np.ndarray:
    """Force per mm of edge by the definition: the least over all earlier teeth, nothing where it is negative."""
    c, f, law, e = setup.cutter, setup.cut.feed_per_tooth_mm, setup.work.force, engagement(setup)
    base = (u - e.entry) % (2.0 * math.pi) + e.entry
    if base > e.exit:
        return np.zeros(4)
    z, kappa = c.teeth, math.radians(c.cutting_edge_angle_deg)
    radii = [c.runout_mm * math.cos(math.radians(c.runout_angle_deg) + 2.0 * math.pi * j / z) for j in range(z)]
    h = min(k * f * math.sin(base) + radii[tooth] - radii[(tooth - k) % z] for k in range(1, z + 1)) * math.sin(kappa)
    if h < 0.0:
        return np.zeros(4)
    if isinstance(law, LinearEdge):
        ft, fr, fa = law.ktc * h + law.kte, law.krc * h + law.kre, law.kac * h + law.kae
    else:
        assert law is not None
        ft = law.kc11_n_mm2 * h ** (1.0 - law.mc)
        fr, fa = law.radial_ratio * ft, 0.0
    toward, along = fr * math.sin(kappa) + fa * math.cos(kappa), fa * math.sin(kappa) - fr * math.cos(kappa)
    s, k = math.sin(base), math.cos(base)
    return np.array([toward * k - ft * s, -ft * k - toward * s, along, ft])


@pytest.mark.parametrize("case", CASES)
def test_a_tooth_against_quadrature(case: Case) -> None:
    setup, e = setup_of(case), engagement(setup_of(case))
    found, sine = of(setup), math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    rng = np.random.default_rng(5)
    for tooth in range(setup.cutter.teeth):
        phi = e.entry + float(rng.uniform(0.0, e.arc + min(e.edge_lag, 5.0)))
        got, depth = found.tooth(tooth, phi), setup.cut.axial_engagement_mm
        if e.edge_lag == 0.0:
            assert got == pytest.approx(element(tooth, phi, setup) * depth / sine, rel=1e-9, abs=1e-9)
            continue
        # Places where the element's force is not smooth, as heights.
        ends = np.concatenate([found.breaks(tooth) + 2 * math.pi * n for n in range(-3, 2)])
        heights = np.clip((phi - ends) / e.edge_lag, 0.0, 1.0) * depth
        points = np.unique(heights)
        for c in range(4):

            def along(x: float, tooth: int = tooth, phi: float = phi, c: int = c) -> float:
                trailing = e.edge_lag * x / setup.cut.axial_engagement_mm
                return float(element(tooth, phi - trailing, setup)[c])

            pieces = [(a, b) for a, b in pairwise(points) if b - a > 1e-12]
            want = sum(quad(along, a, b, epsabs=1e-9, limit=200)[0] for a, b in pieces)
            assert got[c] == pytest.approx(want / sine, rel=1e-6, abs=1e-5)


@pytest.mark.parametrize("case", CASES)
def test_per_mm_of_height_adds_up(case: Case) -> None:
    setup, e = setup_of(case), engagement(setup_of(case))
    found, depth = of(setup), setup.cut.axial_engagement_mm
    heights = (np.arange(20000) + 0.5) / 20000 * depth
    phi = e.entry + 0.6 * e.arc
    added = found.per_mm(1, heights, phi).sum(axis=0) * depth / 20000
    assert added == pytest.approx(found.tooth(1, phi), rel=1e-3, abs=0.5)


@pytest.mark.parametrize("case", CASES)
def test_the_mean_is_that_of_a_turn(case: Case) -> None:
    setup = setup_of(case)
    found = of(setup)
    phi = 2 * np.pi * (np.arange(40000) + 0.5) / 40000
    assert found.cutter(phi).mean(axis=0) == pytest.approx(found.mean, rel=1e-3, abs=0.5)
    assert cutter_force(phi[:50], setup, found.law) == pytest.approx(found.cutter(phi[:50]), rel=1e-12)
    assert tooth_force(phi[:50], setup, found.law) == pytest.approx(found.tooth(0, phi[:50]), rel=1e-12)
    assert mean_force(setup, found.law) == pytest.approx(found.mean)


@pytest.mark.parametrize("law", [LINEAR, POWER])
@pytest.mark.parametrize("kappa", [90.0, 45.0])
def test_without_runout_it_is_the_even_cutter(law: LinearEdge | PowerLaw, kappa: float) -> None:
    setup = setup_of((30.0, kappa, 0.0, law, "climb", 4.0, 4, 10.0))
    found, phi = of(setup), np.linspace(0.0, 7.0, 300)
    assert found.cutter(phi) == pytest.approx(cutter_force(phi, setup, found.law), rel=1e-10, abs=1e-9)
    assert found.mean == pytest.approx(mean_force(setup, found.law), rel=1e-11, abs=1e-9)


@given(
    teeth=st.integers(1, 12),
    runout=st.floats(1e-4, 0.3),
    turned=st.floats(-180.0, 180.0),
    feed=st.floats(0.005, 0.3),
    kappa=st.floats(20.0, 90.0),
)
def test_the_pieces_are_each_tooths_chip(teeth: int, runout: float, turned: float, feed: float, kappa: float) -> None:
    cutter = Cutter(12.0, teeth, cutting_edge_angle_deg=kappa, runout_mm=runout, runout_angle_deg=turned)
    setup = Setup(cutter, Cut("straddling", 12.0, 1.0, feed, 1000.0), Work(force=LINEAR))
    phi = np.linspace(1e-6, np.pi - 1e-6, 181)
    want, found = each_tooths_thickness(phi, setup, "arc"), of(setup)
    for j, pieces in enumerate(found.teeth):
        assert all_near(pieces.thickness(phi), want[j], abs=1e-12)


def test_the_chip_volume_of_a_turn_does_not_change() -> None:
    """In a slot every earlier path is followed, so that the teeth together take the feed of a turn where all cut."""
    setup = setup_of((0.0, 90.0, 0.004, LinearEdge(1000.0, 0.0, 0.0, 0.0, 0.0, 0.0), "straddling", 8.0, 4, 10.0))
    even = setup_of((0.0, 90.0, 0.0, LinearEdge(1000.0, 0.0, 0.0, 0.0, 0.0, 0.0), "straddling", 8.0, 4, 10.0))
    assert of(setup).mean[3] == pytest.approx(of(even).mean[3], rel=1e-12)


def test_two_breaks_in_one_place_leave_a_force() -> None:
    """A panel without length holds nothing: it must not spoil the whole turn."""
    cut = resolved(example("long-reach").setup()).facing("conventional")
    found = [force_turn(cut.with_keys({"cutter.runout_mm": e})) for e in (0.0449, 0.045000000000000005, 0.0451)]
    peaks = [turn.resultant_max for turn in found if turn is not None]
    assert len(peaks) == 3 and peaks[1] == pytest.approx(0.5 * (peaks[0] + peaks[2]), rel=1e-3)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert force_turn(cut.with_keys({"cutter.runout_mm": 0.045000000000000005, "title": "anew"})) is not None
