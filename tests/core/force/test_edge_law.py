"""The law of the edge: lead angle by vectors, edge radius and wear land in it, its integrals against scipy."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from core.effects.edge_temperature import edge_temperature
from core.force.edge_force import cutter_force, edge_law
from core.force.edge_law import EdgeLaw
from core.force.force_turn import force_turn
from core.setup.setup import LinearEdge, PowerLaw, Setup, Work
from tests.usual_setups import STEEL_LAW, boss

POWER = PowerLaw(2200.0, 0.26, 0.4)
BASE = boss(law=STEEL_LAW)


def law_of(setup: Setup) -> EdgeLaw:
    found = edge_law(setup)
    assert found is not None
    return found


@pytest.mark.parametrize("law", [STEEL_LAW, POWER])
@pytest.mark.parametrize("kappa", [90.0, 75.0, 45.0, 12.0])
def test_the_lead_angle_turns_the_force_with_the_edge(law: LinearEdge | PowerLaw, kappa: float) -> None:
    """Basis of the edge as vectors: tangent of the motion, inward normal of the edge, along the edge and upward."""
    setup = replace(BASE, work=Work(force=law)).with_keys({"cutter.cutting_edge_angle_deg": kappa})
    k, phi = math.radians(kappa), math.radians(130.0)
    h = 0.06 * math.sin(phi) * math.sin(k)
    if isinstance(law, LinearEdge):
        ft, fr, fa = law.ktc * h + law.kte, law.krc * h + law.kre, law.kac * h + law.kae
    else:
        ft = law.kc11_n_mm2 * h ** (1.0 - law.mc)
        fr, fa = law.radial_ratio * ft, 0.0
    outward = np.array([-math.cos(phi), math.sin(phi), 0.0])
    motion, up = np.array([math.sin(phi), math.cos(phi), 0.0]), np.array([0.0, 0.0, 1.0])
    # At kappa_r 90 the edge is along the spindle and its normal points to the axis; the flatter the edge, the more
    # it is pushed up into the spindle, which is below 0 here.
    normal = -outward * math.sin(k) - up * math.cos(k)
    along = -outward * math.cos(k) + up * math.sin(k)
    assert float(normal @ along) == pytest.approx(0.0, abs=1e-15)
    want = -ft * motion + fr * normal + fa * along
    assert law_of(setup).at(phi)[:3] == pytest.approx(want, rel=1e-12, abs=1e-9)


def test_a_power_law_has_a_push_along_the_spindle_only_beside_90_degrees() -> None:
    right = force_turn(replace(BASE, work=Work(force=POWER)))
    flat = force_turn(replace(BASE, work=Work(force=POWER)).with_keys({"cutter.cutting_edge_angle_deg": 45.0}))
    assert right is not None and right.fz is None
    assert flat is not None and flat.fz is not None and flat.fz.greatest <= 0.0 > flat.fz.least


CONDITIONS = {
    "blunter": (0.012, 0.006, None),
    "sharper": (0.004, 0.01, None),
    "worn": (None, None, 0.2),
    "sharper and worn": (0.002, 0.03, 0.1),
}


@pytest.mark.parametrize("law", [STEEL_LAW, POWER])
@pytest.mark.parametrize("kappa", [90.0, 60.0])
@pytest.mark.parametrize("name", CONDITIONS)
def test_integrals_in_any_condition(law: LinearEdge | PowerLaw, kappa: float, name: str) -> None:
    radius, measured, land = CONDITIONS[name]
    setup = replace(BASE, work=Work(force=replace(law, edge_radius_mm=measured))).with_keys(
        {"cutter.edge_radius_mm": radius, "cutter.wear_land_mm": land, "cutter.cutting_edge_angle_deg": kappa}
    )
    found = law_of(setup)
    for u in (0.02, 0.7, 1.9, math.pi):
        for c in range(4):
            want = quad(lambda x: found.at(x)[c], 0.0, u, epsabs=1e-11, limit=400, points=[0.01, 0.1, u / 2])[0]  # noqa: B023
            assert found.integral(u)[c] == pytest.approx(want, rel=2e-6, abs=1e-7)
    row = np.linspace(0.0, np.pi, 40)
    assert found.mixed(found.parts_at(row)) == pytest.approx(found.at(row), rel=1e-10, abs=1e-9)
    assert found.across(row) == pytest.approx(found.at(row)[:, 0], rel=1e-12, abs=1e-12)
    # The cutter with a breath of runout goes another way through the same law.
    phi = np.linspace(0.0, 6.0, 60)
    uneven = cutter_force(phi, setup.with_keys({"cutter.runout_mm": 1e-9}), found)
    even = cutter_force(phi, setup, found)
    assert uneven == pytest.approx(even, abs=2e-4 * np.abs(even).max())


def test_the_edge_force_is_in_proportion_to_the_edge_radius() -> None:
    setup = replace(BASE, work=Work(force=replace(STEEL_LAW, edge_radius_mm=0.006)))
    blunt, sharp = (law_of(setup.with_keys({"cutter.edge_radius_mm": r})).at(math.pi) for r in (0.018, 0.006))
    # At 180 degrees only the edge force is left.
    assert blunt == pytest.approx(3.0 * sharp)
    assert sharp == pytest.approx(law_of(BASE).at(math.pi))
    # Without the radius of the coefficients, or of the cutter, they hold as they are.
    assert law_of(BASE.with_keys({"cutter.edge_radius_mm": 0.03})) == law_of(BASE)
    assert law_of(setup) == law_of(BASE)


def test_a_power_laws_edge_force_is_that_at_the_least_chip_of_the_edge_it_was_measured_with() -> None:
    power = replace(BASE, work=Work(force=replace(POWER, edge_radius_mm=0.006)))
    h_min = 0.3 * 0.006
    own = 2200.0 * h_min**0.74
    for radius in (0.003, 0.006, 0.012, 0.03):
        law = law_of(power.with_keys({"cutter.edge_radius_mm": radius}))
        for h in (h_min, 0.01, 0.06):
            assert law.tangential(h) == pytest.approx(2200.0 * h**0.74 + own * (radius / 0.006 - 1.0), rel=1e-12)
        # Thinner than that even a sharper edge is never pulled along.
        assert law.tangential(h_min / 50.0) > 0.0


@settings(max_examples=25, deadline=None)
@given(
    law=st.sampled_from([STEEL_LAW, POWER]),
    radii=st.lists(st.floats(1e-4, 0.05), min_size=2, max_size=2),
    lands=st.lists(st.floats(0.0, 0.5), min_size=2, max_size=2),
    runout=st.sampled_from([0.0, 0.01]),
    kappa=st.sampled_from([90.0, 60.0]),
)
def test_blunter_or_more_worn_is_never_less_force_and_power(
    law: LinearEdge | PowerLaw, radii: list[float], lands: list[float], runout: float, kappa: float
) -> None:
    base = replace(BASE, work=Work(force=replace(law, edge_radius_mm=0.008))).with_keys(
        {"cutter.runout_mm": runout, "cutter.cutting_edge_angle_deg": kappa}
    )
    one, other = (
        force_turn(base.with_keys({"cutter.edge_radius_mm": r, "cutter.wear_land_mm": w}))
        for r, w in zip(sorted(radii), sorted(lands), strict=True)
    )
    assert one is not None and other is not None
    assert other.power_kw >= one.power_kw * (1 - 1e-9)
    assert other.torque.greatest >= one.torque.greatest * (1 - 1e-9)
    assert other.resultant_max >= one.resultant_max * (1 - 1e-9)


@pytest.mark.parametrize("law", [STEEL_LAW, POWER])
def test_a_blunter_edge_is_hotter(law: LinearEdge | PowerLaw) -> None:
    base = replace(BASE, work=Work(force=replace(law, edge_radius_mm=0.006)))
    peaks = []
    for radius in (0.006, 0.012, 0.024):
        found = edge_temperature(base.with_keys({"cutter.edge_radius_mm": radius}))
        assert found is not None
        peaks.append((found.peak, found.mean))
    assert peaks == sorted(peaks)
