"""The wall over its depth: against scipy quadrature of the force along every edge, limits, words, speed of change."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.cutter_bending import held_cutter, tip_stiffness
from core.effects.wall import wall_error
from core.effects.wall_depth import depth_heights, local_error, wall_profile_over_depth
from core.force.edge_force import EdgeLaw, edge_law
from core.force.force_turn import force_turn
from core.report.report import report
from core.report.sentence import sentence
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work

LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
POWER = PowerLaw(2220.0, 0.14, 0.4)


def setup(direction: Any = "climb", law: Any = LINEAR, **values: Any) -> Setup:
    """Setup A of the notes with a real holder, a neck, and changes by ``group__key``."""
    cutter = Cutter(
        12.0,
        4,
        helix_deg=30.0,
        stickout_mm=42.0,
        youngs_modulus_n_mm2=580_000.0,
        flute_length_mm=26.0,
        shank_diameter_mm=11.0,
        holder_stiffness_n_mm=20_000.0,
    )
    return Setup(cutter, Cut(direction, 4.0, 10.0, 0.06, 4000.0), Work(force=law)).with_values(**values)


def force_per_mm(u: float, s: Setup) -> float:
    """x force for each mm of height at angle u (rad) from the formulas of the frame, written out anew."""
    kappa = math.radians(s.cutter.cutting_edge_angle_deg)
    h = s.cut.feed_per_tooth_mm * math.sin(u) * math.sin(kappa)
    law = s.work.force
    if isinstance(law, LinearEdge):
        ft, fr = law.ktc * h + law.kte, law.krc * h + law.kre
    else:
        assert law is not None
        ft = law.kc11_n_mm2 * max(h, 0.0) ** (1.0 - law.mc)
        fr = law.radial_ratio * ft
    return (-ft * math.sin(u) + fr * math.cos(u)) / math.sin(kappa)


def by_quadrature(z: float, s: Setup, tip_bend: bool) -> float:
    """Error at height z: each tooth's edge cut up where it meets the arc, scipy quad on each piece."""
    cutter, cut = s.cutter, s.cut
    arc = math.acos(1.0 - 2.0 * cut.radial_engagement_mm / cutter.diameter_mm)
    climb = cut.direction == "climb"
    entry, leave = (math.pi - arc, math.pi) if climb else (0.0, arc)
    slope = 2.0 * math.tan(math.radians(cutter.helix_deg)) / cutter.diameter_mm
    held, stiffness, total = held_cutter(s), tip_stiffness(s), 0.0
    assert held is not None and stiffness is not None
    for j in range(cutter.teeth):
        for turn in range(-1, 5):
            tip = (math.pi if climb else 0.0) + slope * z + 2.0 * math.pi * (j / cutter.teeth + turn)
            low = min(max((tip - leave) / slope, 0.0), cut.axial_engagement_mm)
            high = min(max((tip - entry) / slope, 0.0), cut.axial_engagement_mm)

            def part(a: float, tip: float = tip) -> float:
                bend = 1.0 / stiffness if tip_bend else float(held.compliance(z, a))
                return force_per_mm(min(max(tip - slope * a, entry), leave), s) * bend

            if high - low > 1e-12:
                places = [z] if low < z < high else None
                total += quad(part, low, high, points=places, epsabs=0.0, epsrel=1e-10, limit=200)[0]
    return -total if climb else total


CASES = [
    setup(),
    setup("conventional"),
    setup("conventional", cut__radial_engagement_mm=9.0, cut__axial_engagement_mm=24.0),
    setup("climb", cutter__helix_deg=55.0, cut__axial_engagement_mm=26.0, cutter__teeth=3),
    setup("climb", POWER, cutter__cutting_edge_angle_deg=75.0),
    setup("conventional", POWER, cut__radial_engagement_mm=1.0),
]


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
@pytest.mark.parametrize("share", [0.0, 0.37, 0.8, 1.0])
def test_both_curves_against_quadrature(s: Setup, share: float) -> None:
    law, held = edge_law(s), held_cutter(s)
    assert law is not None and held is not None
    z = share * s.cut.axial_engagement_mm
    found = local_error(np.array([z]), s, law, held)
    profile = wall_profile_over_depth(s)
    assert found is not None and profile is not None
    assert float(found[0]) == pytest.approx(by_quadrature(z, s, False), abs=1e-5 * profile.size)
    assert float(wall_error(z, s)) == pytest.approx(by_quadrature(z, s, True), abs=1e-8 * profile.size)  # type: ignore[arg-type]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_a_straight_edge_bends_by_the_whole_depth_at_once(direction: Any) -> None:
    """All heights at one time under an even load p: mean of the influence over the depth, by scipy."""
    s = setup(direction, cutter__helix_deg=0.0)
    law, held = edge_law(s), held_cutter(s)
    assert law is not None and held is not None
    heights = np.array([0.0, 4.0, 10.0])
    found = local_error(heights, s, law, held)
    sign, u = (-1.0, math.pi) if direction == "climb" else (1.0, 0.0)
    p = force_per_mm(u, s)
    for z, error in zip(heights, found, strict=True):  # type: ignore[arg-type]
        mean = quad(lambda a, z=z: float(held.compliance(z, a)), 0.0, 10.0, points=[z], epsrel=1e-11)[0]
        assert error == pytest.approx(sign * p * mean, rel=1e-6)


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_a_rigid_cutter_in_a_soft_holder_makes_both_curves_one(s: Setup) -> None:
    """The holder moves every height alike, so nothing is left of the difference."""
    s = s.with_values(cutter__youngs_modulus_n_mm2=2e6, cutter__holder_stiffness_n_mm=1e-3)
    profile = wall_profile_over_depth(s)
    assert profile is not None and profile.local is not None
    assert profile.local == pytest.approx(profile.error, abs=1e-4 * profile.size)
    assert abs(profile.local_less_tip or 0.0) < 1e-4 * profile.size


def test_the_cutter_bends_less_higher_up() -> None:
    profile = wall_profile_over_depth(setup())
    assert profile is not None and profile.local is not None and profile.local_less_tip is not None
    assert np.all(profile.error > 0.0) and np.all(profile.local < profile.error) and np.all(profile.local > 0.0)
    assert profile.local_less_tip == float((profile.local - profile.error).min())


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_extremes_against_a_hundred_thousand_heights(s: Setup) -> None:
    profile = wall_profile_over_depth(s)
    fine = wall_error(np.linspace(0.0, s.cut.axial_engagement_mm, 100_001), s)
    assert profile is not None and fine is not None
    assert profile.greatest == pytest.approx(float(fine.max()), abs=1e-5 * profile.size)
    assert profile.least == pytest.approx(float(fine.min()), abs=1e-5 * profile.size)
    assert profile.size == max(abs(profile.least), abs(profile.greatest))


def test_taper_is_top_less_tip() -> None:
    s = setup()
    profile = wall_profile_over_depth(s)
    ends = wall_error(np.array([0.0, 10.0]), s)
    assert profile is not None and ends is not None
    assert profile.taper_um_mm == pytest.approx((ends[1] - ends[0]) / 10.0 * 1000.0, rel=1e-12)
    assert math.tan(math.radians(profile.taper_deg)) * 1000.0 == pytest.approx(profile.taper_um_mm, rel=1e-12)
    straight = wall_profile_over_depth(setup(cutter__helix_deg=0.0))
    assert straight is not None and straight.taper_um_mm == 0.0


def test_words_and_the_heights_where_the_sign_changes() -> None:
    assert wall_profile_over_depth(setup()).side == "leaves stock"  # type: ignore[union-attr]
    pulled = setup("conventional", POWER, cut__radial_engagement_mm=9.0, cut__axial_engagement_mm=26.0)
    profile = wall_profile_over_depth(pulled)
    assert profile is not None
    assert profile.side in ("undercuts", "both") and profile.least < 0.0
    crooked = setup("conventional", LINEAR, cut__radial_engagement_mm=3.0, cut__axial_engagement_mm=20.0)
    both = wall_profile_over_depth(crooked)
    assert both is not None and both.side == "both" and both.changes
    for height in both.changes:
        assert abs(float(wall_error(height, crooked))) < 0.01 * both.size  # type: ignore[arg-type]
    signs = np.sign(wall_error(np.linspace(0.0, 20.0, 20_001), crooked))  # type: ignore[arg-type]
    assert len(both.changes) == np.count_nonzero(np.diff(signs))
    nothing = wall_profile_over_depth(setup(law=LinearEdge(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)))
    assert nothing is not None and nothing.side == "true" and nothing.changes == ()


def test_what_is_not_known_or_not_defined_has_no_profile() -> None:
    assert wall_profile_over_depth(setup(cutter__stickout_mm=None, cutter__flute_length_mm=None)) is None
    assert wall_profile_over_depth(Setup(setup().cutter, setup().cut)) is None
    assert wall_profile_over_depth(setup("straddling")) is None


def test_an_edge_that_winds_a_hundred_times_keeps_the_first_curve_only() -> None:
    wound = setup(cutter__helix_deg=85.0, cutter__diameter_mm=0.5, cutter__teeth=8, cut__radial_engagement_mm=0.2)
    wound = wound.with_values(cut__feed_per_tooth_mm=0.01, cut__axial_engagement_mm=26.0)
    profile = wall_profile_over_depth(wound)
    assert profile is not None and profile.local is None and profile.local_less_tip is None
    assert len(depth_heights(wound)) < 200 and np.all(np.isfinite(profile.error))


def test_the_x_part_of_the_law_is_that_of_the_whole_law() -> None:
    u = np.linspace(0.0, np.pi, 31)
    for law in (LINEAR, POWER):
        assert EdgeLaw(0.06, law).across(u) == pytest.approx(EdgeLaw(0.06, law).at(u)[:, 0], rel=1e-14, abs=1e-13)


@pytest.mark.parametrize(
    "example", [e for e in EXAMPLES if e.setup().cut.direction != "straddling"], ids=lambda e: e.id
)
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_rounding_is_not_told_as_a_force_or_a_wall(example: Any, way: str) -> None:
    """An edge that has only just touched leaves 1e-20 N of rounding, which is nothing."""
    setup = resolved(example.setup()).with_keys({"cut.direction": way})
    found = report(setup)
    turn = force_turn(setup)
    assert turn is not None
    scale = turn.resultant_max
    for name in ("fx_n", "fy_n", "torque_nm"):
        for part in ("min", "max"):
            value = abs(found["force"][name][part])
            least = 1e-8 * scale * (setup.cutter.diameter_mm / 2000.0 if name == "torque_nm" else 1.0)
            assert value == 0.0 or value > least, (name, part, value)
    error = found["wall"]["error_mm"]
    assert error is None or error == 0.0 or abs(error) > 1e-12
    assert "e\N{MINUS SIGN}" not in text_report(setup)
    if error == 0.0:
        assert "0.0000 mm, no force as the tip makes it" in text_report(setup)
        assert "none acts as the tip makes the wall" in sentence(setup)
