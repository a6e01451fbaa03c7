"""The edge is never below its surroundings, never above the solidus; heat is monotonic where physics says so."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from core.documents.materials import catalogue, resolved
from core.documents.thermal_laws import LAWS, ROOM_C, change_since_20
from core.effects.edge_flux import CUTTER_WORDS, tool_material
from core.effects.edge_temperature import END_SHARE, EdgeTemperature, edge_temperature
from core.effects.hot_work import mean_properties, softened_rise
from core.report.report import report
from core.setup.setup import ChipFormation, Cut, Cutter, LinearEdge, PowerLaw, Setup, Thermal, Work
from core.setup.setup_limits import CHOICES
from core.strips.heat_strip import temperature_strip
from tests.core.effects import heat_reference as slow
from tests.strategies import setups
from tests.usual_setups import edged

CLIMB = edged()
MELTING = tuple(m.name for m in catalogue().materials if m.solidus_c is not None)


def heat(setup: Setup) -> EdgeTemperature:
    found = edge_temperature(setup)
    assert found is not None
    return found


def of(material: str, setup: Setup = CLIMB, **values: Any) -> Setup:
    return resolved(replace(setup, work=replace(setup.work, material=material, thermal=None)).with_values(**values))


def bounds_hold(found: EdgeTemperature) -> None:
    assert found.peak >= max(found.entry, found.exit) * (1.0 - 1e-9)
    assert -1e-9 <= found.peak_at - found.flux.entry <= found.flux.arc + 1e-9
    phi = found.flux.entry + np.linspace(0.0, 2.0 * math.pi, 73)
    for value in (found.entry, found.peak, found.exit, found.mean, *found.in_arc, *found.at(phi)):
        assert 0.0 <= value <= found.flux.solidus_rise
    if not math.isnan(found.tool_share):
        assert -1e-9 <= found.tool_share <= 1.0 + 1e-9


@settings(max_examples=150, deadline=None)
@given(setups())
def test_no_legal_setup_is_below_its_surroundings_or_above_the_solidus(setup: Setup) -> None:
    found = edge_temperature(setup)
    assert found is None or setup.work.force is not None
    if found is not None:
        bounds_hold(found)


@settings(max_examples=80, deadline=None)
@given(setups(everyday=True), st.sampled_from(MELTING))
def test_no_catalogue_material_melts_at_the_edge(setup: Setup, material: str) -> None:
    found = edge_temperature(of(material, setup))
    if found is not None:
        bounds_hold(found)
        assert math.isfinite(found.flux.solidus_rise)


WIDE = Setup(Cutter(85.0, 4), Cut("climb", 30.0, 5.0, 40.0, 20_000.0))


@pytest.mark.parametrize(
    "setup",
    [
        replace(WIDE, work=Work(force=LinearEdge(0.0, 700.0, 0.0, 27.0, 35.0, 0.0))),
        replace(WIDE, work=Work(force=LinearEdge(0.0, 0.0, 0.0, 130.0, 0.0, 0.0))).opposite,
        replace(WIDE, work=Work(force=PowerLaw(2000.0, 0.75, 0.4), chip=ChipFormation(contact_ratio=8.0))).opposite,
    ],
)
def test_a_chip_that_grows_far_beyond_the_hot_edge_takes_out_no_more_than_went_in(setup: Setup) -> None:
    """Feeds of half the diameter and no chip force: the cases that gave negative shares and rises."""
    found = heat(setup)
    bounds_hold(found)
    assert found.peak > 0.0


def test_where_the_balance_is_above_nothing_nothing_is_limited() -> None:
    """The limit is a matter of odd figures: a power-law climb, whose thin chip cools the tool, is as it was."""
    for setup in (CLIMB, CLIMB.with_values(work__force=PowerLaw(2100.0, 0.26, 0.4))):
        wanted = slow.solve(setup, 120, 20).figures
        found = heat(setup)
        assert [found.entry, found.peak, found.exit, found.mean] == pytest.approx(wanted[:4], rel=6e-3)


def test_a_slow_chip_brings_no_more_than_all_its_heat() -> None:
    long = CLIMB.with_values(
        work__force=LinearEdge(1800.0, 0.0, 0.0, 0.0, 0.0, 0.0),
        work__chip=ChipFormation(contact_ratio=10.0, chip_ratio=1.0, edge_contact_mm=0.0005),
        cut__spindle_speed_rpm=20.0,
    )
    sources = heat(long).flux.sources(np.array([0.06]))
    steel = Thermal(45.0, 7850.0, 480.0)
    assert sources.chip_rise(steel) * sources.eased(steel) > sources.sheared
    assert sources.from_chip(steel) == pytest.approx(sources.sheared)


@pytest.mark.parametrize("law", LAWS)
def test_mean_properties_are_the_integral_of_the_law(law: str) -> None:
    base = Thermal(40.0, 7800.0, 470.0)
    for t_c in (21.0, 300.0, 760.0, 1100.0):
        found = mean_properties(base, law, t_c)
        for i, (ours, cold) in enumerate(((found.conductivity_w_mk, 40.0), (found.specific_heat_j_kgk, 470.0))):
            kinks = [t for t in (25.0, 500.0, 600.0, 735.0, 800.0, 900.0) if ROOM_C < t < t_c]
            area = quad(
                lambda t, i=i: float(change_since_20(law, t)[i]), ROOM_C, t_c, points=kinks or None, limit=400
            )
            assert ours == pytest.approx(cold * area[0] / (t_c - ROOM_C), rel=2e-3)
    assert mean_properties(base, law, 15.0) == base and mean_properties(base, None, 900.0) == base


def test_the_sheared_chip_is_the_solution_of_its_own_heating() -> None:
    """``dT/dT0 = 1 - T/theta`` by small steps; far below the solidus nothing changes."""
    theta, rise, steps = 1400.0, 0.0, 20_000
    for _ in range(steps):
        rise += 2000.0 / steps * (1.0 - rise / theta)
    assert float(softened_rise(2000.0, theta)) == pytest.approx(rise, rel=1e-4)
    assert float(softened_rise(1.0, theta)) == pytest.approx(1.0, rel=1e-3)
    assert float(softened_rise(777.0, math.inf)) == 777.0


@pytest.mark.parametrize("material", ["C45E", "X5CrNi18-10", "EN AW-7075-T6", "TiAl6V4"])
def test_the_representative_temperature_is_its_own_answer(material: str) -> None:
    """What the properties are taken up to is the mean of what comes out; scipy finds the same root."""
    setup = of(material)
    found = heat(setup)
    given_work = setup.work.thermal
    assert given_work is not None and given_work.law is not None

    def mean_of(t_c: float) -> float:
        constants = mean_properties(given_work, given_work.law, t_c)
        fixed = replace(constants, solidus_c=given_work.solidus_c)
        return heat(setup.with_values(work__thermal=fixed)).work_c - t_c

    root = brentq(mean_of, ROOM_C, found.flux.solidus_c, xtol=0.01)
    assert found.work_c == pytest.approx(root, abs=0.6)


def softened_reference(setup: Setup, solidus_rise: float) -> np.ndarray:
    """The slow computation with friction that falls with the edge's rise: its own mesh and matrices."""
    c, chip, panels = slow.case(setup), setup.work.chip, 150
    y = np.arange(panels + 1) / panels
    edge = c.entry + (c.leave - c.entry) * y**3 * (10.0 - 15.0 * y + 6.0 * y * y)
    phi = (edge[:-1] + edge[1:]) / 2.0
    h = c.feed_mm * np.maximum(np.sin(phi), 0.0)
    length_mm, force = slow.contact_mm(setup, h), slow.tangential(setup, h)
    kw, rw, cw = slow.work(setup)
    ratio, friction = chip.chip_ratio, chip.friction_share
    q_f = friction * force * c.speed * 1e6 / length_mm
    b = 4.0 / 3.0 * np.sqrt(length_mm / 1000.0 * ratio / (math.pi * kw * rw * cw * c.speed))
    r1 = 1.0 / (1.0 + 1.33 * np.sqrt(kw / (rw * cw) * (ratio + 1.0 / ratio) / (c.speed * h / 1000.0)))
    law = setup.work.force
    assert isinstance(law, LinearEdge)
    th = r1 * (1.0 - friction) * law.ktc * 1e6 / (rw * cw) * chip.contact_ratio * h / length_mm
    th = solidus_rise * (1.0 - np.exp(-th / solidus_rise))
    to_matrix = (edge / c.omega, length_mm / 1000.0, c, 20)
    a = slow.matrix(phi / c.omega, *to_matrix)
    flux = np.linalg.solve(a * (1.0 + b * q_f / solidus_rise)[:, None] + np.diag(b), b * q_f + th)
    rise = slow.matrix(edge / c.omega, *to_matrix) @ flux
    return np.array([rise[0], rise.max(), rise[-1]])


@pytest.mark.parametrize("setup", [CLIMB, CLIMB.opposite], ids=["climb", "conventional"])
def test_softening_against_the_slow_computation(setup: Setup) -> None:
    soft = setup.with_values(work__thermal=Thermal(45.0, 7850.0, 480.0, solidus_c=820.0))
    found = heat(soft)
    assert [found.entry, found.peak, found.exit] == pytest.approx(softened_reference(soft, 800.0), rel=3e-3)
    assert found.peak < 0.8 * heat(setup).peak


def test_given_figures_hold_at_any_temperature() -> None:
    plain = Thermal(45.0, 7850.0, 480.0)
    found = heat(CLIMB.with_values(work__thermal=plain, work__material="C45E"))
    assert found.peak == pytest.approx(499.4, abs=0.06) and not found.at_end and math.isinf(found.end_rise)
    assert heat(of("C45E")).flux.work_law == "carbon steel"


def test_the_end_of_the_model_is_said_instead_of_a_figure() -> None:
    law = LinearEdge(7200.0, 700.0, 300.0, 88.0, 35.0, 3.0)
    hot = of("42CrMo4", cut__spindle_speed_rpm=100_000.0, cutter__material="high-speed steel", work__force=law)
    found, told = heat(hot), report(hot)["heat"]
    assert found.at_end and told["end"] == "at the model's end"
    assert told["peak_rise_k"] is None and told["swing_k"] is None
    assert told["end_rise_k"] == pytest.approx(END_SHARE * told["solidus_c"] - ROOM_C)
    assert told["exit_rise_k"] is None or told["exit_rise_k"] <= told["end_rise_k"]
    strip = temperature_strip(hot)
    curve = strip.curves[0]
    bands = [band for band in strip.bands if band.kind == "end"]
    gap = np.isnan(curve.values)
    assert gap.any() and np.nanmax(curve.values) <= found.end_rise and len(strip.limits) == 1
    assert all(any(b.from_deg <= phi <= b.to_deg for b in bands) for phi in curve.phi_deg[gap])
    cool = report(of("42CrMo4"))["heat"]
    assert cool["end"] is None and cool["peak_rise_k"] > 0.0 and not temperature_strip(of("42CrMo4")).limits


def test_a_word_for_the_cutter_is_its_figures() -> None:
    assert set(CUTTER_WORDS) == set(CHOICES["cutter.material"])
    for entry in catalogue().cutter_materials:
        if entry.name in CUTTER_WORDS:
            assert CUTTER_WORDS[entry.name] == entry.thermal
    assert tool_material(CLIMB.with_values(cutter__material="hss")) == CUTTER_WORDS["high-speed steel"]
    assert heat(CLIMB.with_values(cutter__material="hss")).peak > heat(CLIMB).peak
    assert set(CHOICES["work.thermal.law"]) == set(LAWS)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(MELTING), st.floats(0.5, 8.0), st.floats(0.02, 0.2), st.sampled_from(["climb", "conventional"])
)
def test_faster_is_hotter(material: str, ae: float, feed: float, direction: str) -> None:
    base = of(material, CLIMB.facing(direction), cut__radial_engagement_mm=ae, cut__feed_per_tooth_mm=feed)  # type: ignore[arg-type]
    found = [heat(base.with_values(cut__spindle_speed_rpm=n)) for n in (500.0, 1500.0, 4500.0, 13_500.0)]
    for slower, faster in pairwise(found):
        assert faster.peak >= slower.peak * (1.0 - 1e-4) and faster.mean >= slower.mean * (1.0 - 1e-4)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(200.0, 4000.0),
    st.floats(5.0, 80.0),
    st.floats(0.5, 11.0),
    st.floats(0.02, 0.3),
    st.sampled_from(["climb", "conventional"]),
)
def test_blunter_is_hotter(ktc: float, kte: float, ae: float, feed: float, direction: str) -> None:
    """With the edge force in proportion to the radius peak and mean never fall.

    For edges that press at least as hard as their chip, c kte / r0 over ktc: with less the longer contact of a
    rounder edge spreads the chip's heat, and the model may be cooler.
    """
    law = LinearEdge(min(ktc, 1.8 * kte / 0.006), 300.0, 0.0, kte, kte, 0.0, edge_radius_mm=0.006)
    base = CLIMB.facing(direction).with_values(  # type: ignore[arg-type]
        work__force=law, cut__radial_engagement_mm=ae, cut__feed_per_tooth_mm=feed
    )
    found = [heat(base.with_values(cutter__edge_radius_mm=r)) for r in (0.003, 0.006, 0.012, 0.024, 0.048)]
    for sharper, blunter in pairwise(found):
        assert blunter.peak >= sharper.peak * (1.0 - 1e-6) and blunter.mean >= sharper.mean * (1.0 - 1e-6)


def test_harder_work_is_hotter() -> None:
    for soft in (LinearEdge(900.0, 700.0, 300.0, 11.0, 35.0, 3.0), PowerLaw(750.0, 0.25, 0.4)):
        names = ("ktc", "kte") if isinstance(soft, LinearEdge) else ("kc11_n_mm2",)
        harder = [replace(soft, **{name: n * getattr(soft, name) for name in names}) for n in (1.0, 2.0, 4.0, 8.0)]
        found = [heat(of("C45E", CLIMB.with_values(work__force=law))) for law in harder]
        assert all(b.peak > a.peak and b.mean > a.mean for a, b in pairwise(found))
