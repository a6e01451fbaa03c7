"""The edge's temperature: the published-note tables, independent computations, balances, limits, and the order."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from core.cut.engagement import engagement
from core.documents.materials import material, resolved
from core.effects.edge_flux import CARBIDE, STEEL, edge_contact_mm, edge_flux, known_work_material
from core.effects.edge_temperature import EdgeTemperature, edge_temperature
from core.setup.setup import ChipFormation, Cut, Cutter, LinearEdge, PowerLaw, Setup, Thermal, Work
from tests.core.effects import heat_reference as slow
from tests.usual_setups import STEEL_LAW, edged

POWER = PowerLaw(2100.0, 0.26, 0.4)
CLIMB = edged()
SETUP_A = "physics note, section 2, table of Setup A (computed there; the models from memory)"
SECTION_3 = "physics note, section 3 (computed there)"


TITANIUM = Thermal(7.0, 4430.0, 530.0)


def made(setup: Setup = CLIMB, **values: object) -> Setup:
    return setup.with_values(**values)


def formed(setup: Setup, **values: object) -> Setup:
    """The setup with figures of ``work.chip`` replaced."""
    return setup.with_keys({"work.chip": replace(setup.work.chip, **values)})  # type: ignore[arg-type]


def declared(setup: Setup, share: float = 0.1) -> Setup:
    return formed(setup, tool_heat_share=share)


def found(setup: Setup) -> EdgeTemperature:
    result = edge_temperature(setup)
    assert result is not None
    return result


def figures(setup: Setup) -> np.ndarray:
    """In the order of the slow computation's figures."""
    r = found(setup)
    return np.array([r.entry, r.peak, r.exit, r.mean, r.tool_share])


def half_digit(printed: float) -> float:
    """Half of the fourth figure that counts."""
    return 0.5 * 10.0 ** (math.floor(math.log10(printed)) - 3)


@pytest.mark.parametrize(
    ("setup", "printed", "at"),
    [
        (CLIMB, (83.27, 499.4, 317.9, 176.0), 127.05),
        (CLIMB.opposite, (87.44, 537.1, 537.1, 185.9), 70.53),
        (declared(CLIMB), (86.51, 519.1, 431.1, 185.5), 148.71),
        (declared(CLIMB.opposite), (87.79, 568.5, 568.5, 185.5), 70.53),
    ],
)
def test_setup_a(setup: Setup, printed: tuple[float, ...], at: float) -> None:
    r = found(setup)
    for ours, theirs in zip((r.entry, r.peak, r.exit, r.mean), printed, strict=True):
        assert ours == pytest.approx(theirs, abs=1.02 * half_digit(theirs)), SETUP_A
    assert math.degrees(r.peak_at) == pytest.approx(at, abs=0.0051), SETUP_A


def test_shares_of_setup_a() -> None:
    assert found(CLIMB).tool_share == pytest.approx(0.0967, abs=5e-5), SETUP_A
    assert found(CLIMB.opposite).tool_share == pytest.approx(0.0997, abs=5e-5), SETUP_A
    for share in (0.1, 0.37):
        assert found(declared(CLIMB, share)).tool_share == pytest.approx(share, rel=1e-12)
    assert found(CLIMB).edge_share == pytest.approx(0.2733, abs=5e-5), SECTION_3
    e = engagement(CLIMB)
    whole = 22.0 * e.arc + 1800.0 * 0.06 * (math.cos(e.entry) - math.cos(e.exit))
    assert found(CLIMB).edge_share == pytest.approx(22.0 * e.arc / whole, rel=1e-9)
    assert found(made(work__force=POWER)).edge_share == 0.0


def test_rubbing_heats_before_there_is_a_chip() -> None:
    rise = found(CLIMB.opposite).at(np.radians([0.0, 0.1, 1.0, 1.719]))
    assert rise == pytest.approx([87.0, 210.0, 241.0, 249.0], abs=0.5), SECTION_3
    r = found(CLIMB.opposite)
    assert (rise[3] - r.entry) / r.swing == pytest.approx(0.36, abs=0.005), SECTION_3


def test_edge_contact_moves_the_declared_peak() -> None:
    # 3 to 30 um moves declared peaks by +1 to -9 %: physics note, section 3.
    for setup in (declared(CLIMB), declared(CLIMB.opposite)):
        change = [found(formed(setup, edge_contact_mm=x)).peak / found(setup).peak - 1.0 for x in (0.003, 0.03)]
        assert 0.0 < change[0] < 0.025 and -0.095 < change[1] < -0.03


def test_a_dull_edge_turns_the_order_over() -> None:
    # kte 60 N/mm: climb 740 K at exit, conventional 662 K: physics note, section 2 (computed there).
    dull = made(work__force=replace(STEEL_LAW, kte=60.0))
    climb, conventional = found(dull), found(dull.opposite)
    assert (climb.peak, conventional.peak) == pytest.approx((740.0, 662.0), abs=0.5)
    assert climb.peak_at == pytest.approx(math.pi, abs=1e-3)
    assert found(CLIMB).peak < found(CLIMB.opposite).peak


def test_matched_rise_grows_about_as_the_root_of_the_speed() -> None:
    # 243, 499, 979 K climb at 1000, 4000, 16000/min: physics note, section 2 (computed there).
    peaks = [found(made(cut__spindle_speed_rpm=n)).peak for n in (1000.0, 4000.0, 16000.0)]
    assert peaks == pytest.approx([243.0, 499.0, 979.0], abs=0.5)


ONE_CHANGED = {
    "contact 1": formed(CLIMB, contact_ratio=1.0),
    "contact 4": formed(CLIMB, contact_ratio=4.0),
    "friction 0.2": formed(CLIMB, friction_share=0.2),
    "friction 0.4": formed(CLIMB, friction_share=0.4),
    "edge contact 3 um": formed(CLIMB, edge_contact_mm=0.003),
    "edge contact 50 um": formed(CLIMB, edge_contact_mm=0.05),
    "ae 0.2": made(cut__radial_engagement_mm=0.2),
    "ae 6": made(cut__radial_engagement_mm=6.0),
    "500/min": made(cut__spindle_speed_rpm=500.0),
    "16000/min": made(cut__spindle_speed_rpm=16000.0),
    "titanium": made(work__thermal=TITANIUM),
    "aluminium": made(work__thermal=Thermal(170.0, 2700.0, 900.0)),
}


@pytest.mark.parametrize("name", ONE_CHANGED)
def test_with_one_figure_changed_climb_peaks_early_and_conventional_at_exit(name: str) -> None:
    # Climb at 19-39 % of its arc, conventional at exit and 5-10 % hotter: physics note, section 2.
    setup = ONE_CHANGED[name]
    climb, conventional = found(setup), found(setup.opposite)
    assert 0.185 < (climb.peak_at - climb.flux.entry) / climb.flux.arc < 0.395
    assert conventional.peak_at == pytest.approx(engagement(setup.opposite).exit, abs=1e-3)
    assert 1.05 < conventional.peak / climb.peak < 1.105


def test_with_several_figures_changed_the_order_may_turn_over() -> None:
    """A thin, fast cut in titanium with a long contact: climb is hottest at its thin end, and hotter."""
    fast = made(cut__radial_engagement_mm=0.2, cut__spindle_speed_rpm=16000.0, work__thermal=TITANIUM)
    climb = formed(fast, contact_ratio=4.0)
    assert found(climb).peak_at == pytest.approx(math.pi, abs=1e-3)
    ratio = found(climb.opposite).peak / found(climb).peak
    plain = [slow.solve(s, 150, 20).figures[1] for s in (climb.opposite, climb)]
    assert ratio == pytest.approx(plain[0] / plain[1], rel=1e-3) and ratio < 0.9


SHOP = {
    "boss": CLIMB,
    "power law": made(work__force=POWER),
    "steep power law": made(work__force=PowerLaw(1500.0, 0.4, 0.4), cut__feed_per_tooth_mm=0.3),
    "thin": made(cut__radial_engagement_mm=0.05, cut__feed_per_tooth_mm=0.02),
    "nearly D": made(cut__radial_engagement_mm=11.99, work__force=POWER),
    "one tooth, slow": made(cutter__teeth=1, cut__spindle_speed_rpm=60.0),
    "fast": made(cut__spindle_speed_rpm=60000.0, work__force=POWER),
    "sharp": made(work__force=POWER, work__chip=ChipFormation(edge_contact_mm=0.0005)),
    "face mill": Setup(
        Cutter(100.0, 6, cutting_edge_angle_deg=45.0),
        Cut("climb", 70.0, 3.0, 0.25, 600.0),
        Work(force=POWER, chip=ChipFormation(edge_contact_mm=0.001)),
    ),
    "high-speed steel in titanium": made(cutter__material=Thermal(24.0, 8100.0, 460.0), work__thermal=TITANIUM),
    "shallow": made(cut__axial_engagement_mm=0.05),
}
SLOT = made(cut__direction="straddling", cut__radial_engagement_mm=12.0, work__force=POWER)
BOTH_WAYS = {f"{name}, {s.cut.direction}": s for name, one in SHOP.items() for s in (one, one.opposite)}
ALL = {**BOTH_WAYS, "slot": SLOT}


@pytest.mark.parametrize("name", ALL)
def test_declared_against_adaptive_quadrature(name: str) -> None:
    setup = declared(ALL[name])
    r = found(setup)
    for phi, ours in ((r.peak_at, r.peak), (engagement(setup).exit, r.exit)):
        assert ours == pytest.approx(slow.exactly(setup, phi), rel=5e-4)


MATCHED = ("boss, climb", "power law, climb", "thin, conventional", "nearly D, climb", "face mill, climb", "slot")


@pytest.mark.parametrize("name", MATCHED)
def test_matched_against_the_slow_computation(name: str) -> None:
    wanted, unsure, _ = slow.converged(ALL[name], panels=60, turns=20)
    # The slow one is itself sure to less than this.
    assert np.all(unsure < 1e-3 * np.abs(wanted))
    assert figures(ALL[name]) == pytest.approx(wanted, rel=1.5e-3)


def test_the_slow_computation_is_the_table_too() -> None:
    assert slow.converged(CLIMB)[0] == pytest.approx([83.27, 499.4, 317.9, 176.0, 0.0967], rel=6e-4), SETUP_A


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("share", [None, 0.1])
def test_mean_over_the_turn_is_what_lasting_heat_would_give(name: str, share: float | None) -> None:
    """The mean comes from the closed form of lasting heat, the curve from all the turns one after another."""
    r = found(formed(ALL[name], tool_heat_share=share))
    x, w = np.polynomial.legendre.leggauss(60)
    # The curve is steep at both ends of each part.
    y = (1.0 + x) / 2.0
    step, slope = y**4 * (35.0 - 84.0 * y + 70.0 * y**2 - 20.0 * y**3), 70.0 * (y * (1.0 - y)) ** 3 * w
    air = 2.0 * math.pi - r.flux.arc
    inside = r.at(r.flux.entry + r.flux.arc * step) @ slope * r.flux.arc
    outside = r.at(r.flux.entry + r.flux.arc + air * step) @ slope * air
    assert (inside + outside) / (2.0 * math.pi) == pytest.approx(r.mean, rel=3e-4)


@pytest.mark.parametrize("name", ALL)
def test_chip_and_tool_agree_and_share_all_of_the_friction(name: str) -> None:
    """At any moment: what the tool does not get heats the chip's side to the tool's temperature."""
    setup = ALL[name]
    r, chip = found(setup), setup.work.chip
    c = slow.case(setup)
    along = np.array([0.03, 0.2, 0.5, 0.8, 0.97])
    phi = c.entry + (c.leave - c.entry) * along
    h = c.feed_mm * np.sin(phi)
    rise, length_mm, force = r.at(phi), slow.contact_mm(setup, h), slow.tangential(setup, h)
    kw, rw, cw = slow.work(setup)
    friction = chip.friction_share * force * c.speed * 1e6 / length_mm
    unopposed, eased = r.flux.matched(h)
    into_tool = unopposed - rise * eased
    # B and Th as printed (Loewen and Shaw 1954, from memory).
    b = 4.0 / 3.0 * np.sqrt(length_mm / 1000.0 * chip.chip_ratio / (math.pi * kw * rw * cw * c.speed))
    g = chip.chip_ratio + 1.0 / chip.chip_ratio
    r1 = 1.0 / (1.0 + 1.33 * np.sqrt(kw / (rw * cw) * g / (c.speed * h / 1000.0)))
    law = setup.work.force
    kc = law.ktc if isinstance(law, LinearEdge) else law.kc11_n_mm2 * h**-law.mc  # type: ignore[union-attr]
    th = r1 * (1.0 - chip.friction_share) * kc * 1e6 / (rw * cw) * chip.contact_ratio * h / length_mm
    assert b * (friction - into_tool) + th == pytest.approx(rise, rel=1e-9)


@pytest.mark.parametrize("name", SHOP)
def test_declared_means_are_equal_both_ways(name: str) -> None:
    climb, conventional = found(declared(SHOP[name])), found(declared(SHOP[name].opposite))
    assert climb.mean == pytest.approx(conventional.mean, rel=1e-9)
    assert climb.peak != pytest.approx(conventional.peak, rel=1e-5)


@pytest.mark.parametrize("width", [0.001, 0.37, 4.0, 11.3])
def test_both_ways_have_the_same_time_in_the_arc_to_the_last_digit(width: float) -> None:
    """What the earlier turns leave is worked out once for both, found by that time."""
    climb, conventional = (
        edge_flux(edged(way, cut__radial_engagement_mm=width)) for way in ("climb", "conventional")
    )
    assert climb is not None and conventional is not None
    assert climb.contact_time == conventional.contact_time > 0.0
    e = engagement(edged("climb", cut__radial_engagement_mm=width))
    assert climb.arc == pytest.approx(e.exit - e.entry, rel=1e-12)


def test_declared_rise_is_proportional_to_the_share() -> None:
    one, three = (figures(declared(CLIMB, share)) for share in (0.1, 0.3))
    assert three == pytest.approx(3.0 * one, rel=1e-12)


def test_without_edge_force_and_edge_contact_the_way_hardly_matters() -> None:
    # l in proportion to h: the flux is the same all along the arc; what is left is the patch's size.
    law = replace(STEEL_LAW, kte=0.0)
    setup = formed(declared(made(work__force=law)), edge_contact_mm=0.0005)
    flux = found(setup).flux
    inner = flux.sources(flux.thickness(np.linspace(0.05, 0.9, 9))).rubbed
    assert inner == pytest.approx(inner[0], rel=0.03)


def test_slowly_turned_every_moment_is_lasting_heat() -> None:
    # A small patch: what the turn takes is long against the way of heat across it.
    small = formed(made(cut__spindle_speed_rpm=0.1, cut__axial_engagement_mm=0.05), edge_contact_mm=0.1)
    setup = declared(small)
    r, c = found(setup), slow.case(setup)
    phi = c.entry + (c.leave - c.entry) * np.array([0.2, 0.5, 0.8])
    h = c.feed_mm * np.sin(phi)
    length_mm = slow.contact_mm(setup, h)
    flux = 0.1 * slow.tangential(setup, h) * c.speed * 1e6 / length_mm
    half, k = c.width / 2.0, 80.0
    length = length_mm / 1000.0
    lasting = 2.0 / (math.pi * k) * (length * np.arcsinh(half / length) + half * np.arcsinh(length / half))
    assert r.at(phi) == pytest.approx(flux * lasting, rel=2e-3)
    assert r.entry < 2e-3 * r.peak


def test_a_tool_that_spreads_heat_at_once_keeps_one_temperature() -> None:
    quick = Thermal(3000.0, 500.0, 50.0)
    swings = []
    for speed in (1000.0, 30_000.0, 1_000_000.0):
        r = found(declared(made(cutter__material=quick, cut__spindle_speed_rpm=speed)))
        swings.append(r.swing / r.mean)
    assert swings[0] > swings[1] > swings[2]
    slower = found(declared(made(cut__spindle_speed_rpm=1_000_000.0)))
    usual = found(declared(made(cut__spindle_speed_rpm=1_000.0)))
    assert slower.swing / slower.mean < 0.2 * usual.swing / usual.mean


def test_shorter_idle_leaves_a_hotter_entry() -> None:
    entries = [found(made(cut__radial_engagement_mm=ae)) for ae in (1.0, 4.0, 8.0, 11.5)]
    assert all(a.entry / a.peak < b.entry / b.peak for a, b in pairwise(entries))


@pytest.mark.parametrize("name", ALL)
def test_the_curve_is_periodic_continuous_and_cools_in_the_air(name: str) -> None:
    r = found(ALL[name])
    turn = 2.0 * math.pi
    leave = r.flux.entry + r.flux.arc
    assert float(r.at(r.flux.entry)) == pytest.approx(r.entry, rel=1e-12)
    assert r.at(np.array([r.peak_at, leave])) == pytest.approx([r.peak, r.exit], rel=3e-4)
    # The far end of the air is the next entry.
    assert float(r.at(r.flux.entry + turn - 1e-9)) == pytest.approx(r.entry, rel=2e-4)
    assert float(r.at(leave + 1e-12)) == pytest.approx(r.exit, rel=5e-3)
    air = r.at(np.linspace(leave + 0.1, r.flux.entry + turn, 40, endpoint=False))
    assert np.all(np.diff(air) < 0.0) and np.all(air < r.peak)
    phi = np.linspace(-3.0, 3.0, 31)
    assert r.at(phi + turn) == pytest.approx(r.at(phi), rel=1e-6)


def test_what_is_not_given() -> None:
    assert edge_temperature(replace(CLIMB, work=Work())) is None
    flux = edge_flux(CLIMB)
    assert flux is not None and flux.tool == CARBIDE and flux.work == STEEL
    assert edge_contact_mm(CLIMB) == 0.006
    assert edge_contact_mm(made(cutter__edge_radius_mm=None)) == 0.008
    assert edge_contact_mm(made(cutter__edge_radius_mm=0.0002)) == 0.001
    assert edge_contact_mm(made(work__chip=ChipFormation(edge_contact_mm=0.0007))) == 0.0007
    # The named material's own figures as they were filled in; a given one wins.
    named = resolved(made(work__material="C45E"))
    assert known_work_material(named) == material("C45E").thermal != STEEL
    assert known_work_material(made(named, work__thermal=STEEL)) == STEEL
    assert known_work_material(made(work__material="a material of one's own")) is None


def test_no_force_at_all_is_no_heat_and_no_share() -> None:
    r = found(made(work__force=LinearEdge(0.0, 700.0, 0.0, 0.0, 35.0, 0.0)))
    assert (r.entry, r.peak, r.exit, r.mean) == (0.0, 0.0, 0.0, 0.0)
    assert math.isnan(r.tool_share) and math.isnan(r.edge_share)
