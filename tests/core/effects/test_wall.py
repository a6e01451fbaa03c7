"""The wall against scipy quadrature of every edge, runout, limits, words, and the turn's greatest movement."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.effects.cutter_bending import held_cutter, inertia
from core.effects.wall import no_chip_forms, tip_movement, wall_error, wall_maker, wall_pieces
from core.effects.wall_depth import error_at_tip, wall_profile_over_depth
from core.force.edge_law import edge_law
from core.force.force_turn import force_turn
from core.report.force_keys import force_keys, wall_keys
from core.report.force_rows import force_rows
from core.report.machine_keys import wall_depth_keys
from core.report.report import joined, report
from core.report.sentence import sentence
from core.report.wall_rows import wall_rows
from core.setup.setup import LinearEdge, PowerLaw, Setup
from tests.arrays import all_near
from tests.usual_setups import STEEL_LAW, held

POWER = PowerLaw(2220.0, 0.14, 0.4)


HOLDING = {
    "cutter__flute_length_mm": 26.0,
    "cutter__shank_diameter_mm": 11.0,
    "cutter__neck_diameter_mm": 9.0,
    "cutter__neck_length_mm": 6.0,
    "cutter__holder_stiffness_n_mm": 20_000.0,
}


def setup(direction: Any = "climb", law: Any = STEEL_LAW, **values: Any) -> Setup:
    """Setup A of the notes with a real holder, a neck, and changes by ``group__key``."""
    return held(direction, law, **{**HOLDING, **values})


def moved_by_unit(z: float, a: float, s: Setup) -> float:
    """Movement at height z under 1 N at a (mm above the tip): virtual work by scipy over flutes, neck and shank."""
    c = s.cutter
    assert c.stickout_mm is not None and c.youngs_modulus_n_mm2 is not None
    flutes = c.stickout_mm if c.flute_length_mm is None else c.flute_length_mm
    parts = [(0.0, flutes, 0.8 * c.diameter_mm)]
    if c.flute_length_mm is not None:
        if c.neck_diameter_mm is not None and c.neck_length_mm is not None:
            parts.append((flutes, min(flutes + c.neck_length_mm, c.stickout_mm), c.neck_diameter_mm))
        parts.append((parts[-1][1], c.stickout_mm, c.shank_diameter_mm or c.diameter_mm))
    bent = 0.0
    for low, high, diameter in parts:
        low = max(low, z, a)
        if high > low:
            ei = c.youngs_modulus_n_mm2 * math.pi * diameter**4 / 64.0
            # A cubic: Simpson's rule is exact.
            f = [(t - a) * (t - z) for t in (low, 0.5 * (low + high), high)]
            bent += (high - low) * (f[0] + 4.0 * f[1] + f[2]) / 6.0 / ei
    return bent + (1.0 / c.holder_stiffness_n_mm if c.holder_stiffness_n_mm else 0.0)


def by_quadrature(z: float, s: Setup) -> float:
    """Error at height z: each tooth's edge cut up where its load has a corner, scipy quad on each piece.

    Written out anew from the conventions: chip of each tooth with runout, lead angle, the tooth that reaches
    furthest.
    """
    cutter, cut, law = s.cutter, s.cut, s.work.force
    teeth, radius = cutter.teeth, cutter.diameter_mm / 2.0
    kappa = math.radians(cutter.cutting_edge_angle_deg)
    arc = math.acos(1.0 - cut.radial_engagement_mm / radius)
    climb = cut.direction == "climb"
    entry, leave = (math.pi - arc, math.pi) if climb else (0.0, arc)
    slope = math.tan(math.radians(cutter.helix_deg)) / radius
    reach = [
        cutter.runout_mm * math.cos(math.radians(cutter.runout_angle_deg) + 2 * math.pi * j / teeth)
        for j in range(teeth)
    ]

    def chip(j: int, u: float) -> float:
        f = cut.feed_per_tooth_mm * math.sin(u)
        return min(k * f + reach[j] - reach[(j - k) % teeth] for k in range(1, teeth + 1)) * math.sin(kappa)

    def across(j: int, u: float) -> float:
        h = chip(j, u)
        if h < 0.0 or not entry <= u <= leave:
            return 0.0
        if isinstance(law, LinearEdge):
            ft, normal, along = law.ktc * h + law.kte, law.krc * h + law.kre, law.kac * h + law.kae
        else:
            assert law is not None
            ft = law.kc11_n_mm2 * h ** (1.0 - law.mc)
            normal, along = law.radial_ratio * ft, 0.0
        toward = normal * math.sin(kappa) + along * math.cos(kappa)
        return (-ft * math.sin(u) + toward * math.cos(u)) / math.sin(kappa)

    # Angles between which a tooth's chip may have a corner: where two of its bounds are equal, or one is nothing.
    corners = {entry, leave}
    for j in range(teeth):
        lines = [(k * cut.feed_per_tooth_mm, reach[j] - reach[(j - k) % teeth]) for k in range(1, teeth + 1)]
        sines = [-d / f for f, d in lines] + [
            (d2 - d1) / (f1 - f2) for (f1, d1), (f2, d2) in itertools.combinations(lines, 2)
        ]
        corners |= {u for sine in sines if 0.0 < sine < 1.0 for u in (math.asin(sine), math.pi - math.asin(sine))}
    found = []
    for maker in range(teeth if cutter.runout_mm else 1):
        total = 0.0
        for j in range(teeth):
            for turn in range(-1, 5):
                tip = (math.pi if climb else 0.0) + slope * z + 2.0 * math.pi * ((maker - j) / teeth + turn)
                at = {(tip - u) / slope for u in corners} | {z, cutter.flute_length_mm or 0.0}
                ends = sorted({0.0, cut.axial_engagement_mm} | {a for a in at if 0.0 < a < cut.axial_engagement_mm})
                for low, high in itertools.pairwise(ends):
                    middle = tip - slope * 0.5 * (low + high)
                    if high - low > 1e-12 and entry < middle < leave:
                        total += quad(
                            lambda a, j=j, tip=tip: (
                                across(j, min(max(tip - slope * a, entry), leave)) * moved_by_unit(z, a, s)
                            ),
                            low,
                            high,
                            epsabs=0.0,
                            epsrel=1e-9,
                        )[0]
        found.append((-total if climb else total) - reach[maker])
    return min(found)


CASES = [
    setup(),
    setup("conventional"),
    setup("conventional", cut__radial_engagement_mm=9.0, cut__axial_engagement_mm=24.0),
    setup("climb", cutter__helix_deg=55.0, cut__axial_engagement_mm=26.0, cutter__teeth=3),
    setup("climb", POWER, cutter__cutting_edge_angle_deg=75.0),
    setup("conventional", POWER, cut__radial_engagement_mm=1.0),
    setup("climb", cutter__cutting_edge_angle_deg=45.0, cut__axial_engagement_mm=4.0),
    setup("climb", cutter__runout_mm=0.01, cutter__runout_angle_deg=20.0),
    setup("conventional", cutter__runout_mm=0.08, cutter__runout_angle_deg=250.0),
    setup("conventional", POWER, cutter__runout_mm=0.02, cutter__teeth=3),
    setup("climb", cutter__neck_length_mm=30.0, cut__radial_engagement_mm=0.3),
    setup("climb", cut__axial_engagement_mm=26.0, cutter__stickout_mm=60.0, cutter__teeth=2),
]


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
@pytest.mark.parametrize("share", [0.0, 0.37, 1.0])
def test_the_wall_against_quadrature(s: Setup, share: float) -> None:
    z = share * s.cut.axial_engagement_mm
    profile = wall_profile_over_depth(s)
    assert profile is not None
    error = wall_error(z, s)
    assert error is not None
    assert float(error) == pytest.approx(by_quadrature(z, s), abs=2e-6 * profile.size)


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_a_straight_edge_bends_by_the_whole_depth_at_once(direction: Any) -> None:
    """All heights at one time under an even load p: mean of the influence over the depth, by scipy."""
    s = setup(direction, cutter__helix_deg=0.0)
    heights = np.array([0.0, 4.0, 10.0])
    found = wall_error(heights, s)
    assert found is not None
    # At phi = 0 and 180 the chip is nothing: the radial edge force alone, which pushes off either wall.
    for z, error in zip(heights, found, strict=True):
        whole = quad(lambda a, z=z: moved_by_unit(z, a, s), 0.0, 10.0, points=[z], epsrel=1e-11)[0]
        assert error == pytest.approx(STEEL_LAW.kre * whole, rel=1e-6)


def test_the_plain_cantilever_in_closed_form() -> None:
    """A zero-helix edge on a uniform bar: tip error p (L^4 - c^4 (4 L - c) ...) by the load's own formula.

    An even load p over the last b mm of a cantilever of length L (strength-of-materials tables, from memory):
    the end moves by ``p / (24 E I) (3 L^4 - 4 c^3 L + c^4)`` with ``c = L - b``.
    """
    s = setup("conventional", cutter__helix_deg=0.0)
    s = s.with_values(cutter__flute_length_mm=None, cutter__holder_stiffness_n_mm=None)
    length, c, ei = 42.0, 32.0, 580_000.0 * inertia(9.6)
    closed = STEEL_LAW.kre / (24.0 * ei) * (3.0 * length**4 - 4.0 * c**3 * length + c**4)
    assert error_at_tip(s) == pytest.approx(closed, rel=1e-6)


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_extremes_against_many_heights(s: Setup) -> None:
    profile = wall_profile_over_depth(s)
    maker = wall_maker(s)
    assert profile is not None and maker is not None
    heights = np.union1d(np.linspace(0.0, s.cut.axial_engagement_mm, 4_001), wall_pieces(maker))
    fine = wall_error(heights, s)
    assert fine is not None
    assert profile.greatest == pytest.approx(float(fine.max()), abs=1e-6 * profile.size)
    assert profile.least == pytest.approx(float(fine.min()), abs=1e-6 * profile.size)
    assert profile.size == max(abs(profile.least), abs(profile.greatest))
    assert float(wall_error(profile.least_at, s)) == pytest.approx(profile.least, abs=1e-6 * profile.size)  # type: ignore[arg-type]
    # Drawn between the heights by straight lines, within a hundredth of its size.
    drawn = np.interp(heights, profile.heights, profile.error)
    assert all_near(drawn, fine, abs=0.02 * profile.size)


@pytest.mark.parametrize("s", [*CASES, setup(cutter__helix_deg=0.0)], ids=range(len(CASES) + 1))
def test_the_turns_greatest_movement_against_many_angles(s: Setup) -> None:
    found, maker = tip_movement(s), wall_maker(s)
    assert found is not None and maker is not None
    pitch = 2.0 * np.pi / s.cutter.teeth
    meets = (maker.meets() + pitch * np.arange(s.cutter.teeth)[:, None]).reshape(-1)
    angles = np.union1d(np.linspace(0.0, 2.0 * np.pi, 2_001), np.concatenate([meets - 1e-11, meets + 1e-11]))
    moved = maker.tip_movement(angles)
    # Both summits again, a hundred times finer.
    about = angles[[moved.argmin(), moved.argmax()]][:, None] + np.linspace(-4e-3, 4e-3, 257)
    moved = np.concatenate([moved, maker.tip_movement(about.reshape(-1))])
    assert found == pytest.approx((moved.min(), moved.max()), abs=2e-6 * np.abs(moved).max())


def test_a_soft_holder_moves_every_height_by_the_whole_force() -> None:
    """With a cutter that hardly bends the movement is force over stiffness: the whole force, wherever it acts."""
    s = setup(cutter__youngs_modulus_n_mm2=2e6, cutter__holder_stiffness_n_mm=1e-3)
    turn, moved = force_turn(s), tip_movement(s)
    assert turn is not None and moved is not None
    assert moved == pytest.approx((turn.fx.least / 1e-3, turn.fx.greatest / 1e-3), rel=1e-5)


def test_a_rigid_cutter_with_runout_cuts_as_deep_as_its_longest_tooth() -> None:
    for direction in ("climb", "conventional"):
        s = setup(direction, cutter__runout_mm=0.01, cutter__runout_angle_deg=0.0)
        s = s.with_values(cutter__youngs_modulus_n_mm2=2e6, cutter__holder_stiffness_n_mm=1e12)
        s = s.with_values(work__force=LinearEdge(1.0, 1.0, 0.0, 0.0, 0.0, 0.0))
        profile = wall_profile_over_depth(s)
        assert profile is not None
        assert (profile.least, profile.greatest) == pytest.approx((-0.01, -0.01), abs=2e-5)


def test_runout_that_comes_to_nothing_changes_nothing() -> None:
    for s in CASES[:6]:
        one, other = (wall_profile_over_depth(t) for t in (s, s.with_values(cutter__runout_mm=1e-9)))
        assert one is not None and other is not None
        ends = (one.least, one.greatest)
        assert (other.least, other.greatest) == pytest.approx(ends, abs=1e-4 * one.size)


@given(
    st.floats(0.02, 11.9),
    st.floats(0.5, 30.0),
    st.sampled_from((0.0, 20.0, 30.0, 45.0)),
    st.integers(1, 6),
    st.floats(0.01, 0.3),
    st.sampled_from((STEEL_LAW, POWER)),
)
@settings(max_examples=60)
def test_climb_always_pushes_off_the_wall(ae: float, ap: float, helix: float, z: int, fz: float, law: Any) -> None:
    """Up to half the diameter; beyond it, too, at the wall itself as long as no edge in cut stands before 12 o'clock
    with ``tan(phi) < Fr / Ft``: there the radial part pushes toward the wall."""
    s = setup("climb", law, cut__radial_engagement_mm=ae, cut__axial_engagement_mm=ap, cut__feed_per_tooth_mm=fz)
    s = s.with_values(cutter__helix_deg=helix, cutter__teeth=z, cutter__flute_length_mm=None)
    maker, profile = wall_maker(s), wall_profile_over_depth(s)
    assert maker is not None and profile is not None
    u = np.linspace(maker.entry, maker.leave, 400)
    if maker.loads.law.across(u).max() <= 0.0:
        assert profile.least >= 0.0
    if ae <= 6.0:
        assert maker.loads.law.across(u).max() <= 1e-9 and profile.least >= 0.0


@given(
    st.floats(0.02, 6.0),
    st.floats(0.5, 30.0),
    st.sampled_from((15.0, 30.0, 45.0)),
    st.integers(1, 6),
    st.floats(0.01, 0.3),
    st.sampled_from((STEEL_LAW, POWER)),
)
@settings(max_examples=60)
def test_conventional_pulls_in_only_where_tan_phi_is_over_fr_by_ft(
    ae: float, ap: float, helix: float, z: int, fz: float, law: Any
) -> None:
    """Where no edge of the arc has ``tan(phi) > Fr/Ft`` stock is left at every height."""
    s = setup("conventional", law, cut__radial_engagement_mm=ae, cut__axial_engagement_mm=ap)
    s = s.with_values(cutter__helix_deg=helix, cutter__teeth=z, cutter__flute_length_mm=None)
    s = s.with_values(cut__feed_per_tooth_mm=fz)
    maker, profile = wall_maker(s), wall_profile_over_depth(s)
    assert maker is not None and profile is not None
    u = np.linspace(1e-6, maker.leave, 2000)
    force = maker.loads.law.at(u)
    ft = force[:, 3]
    fr = (force[:, 0] + ft * np.sin(u)) / np.cos(u)
    pulls = np.tan(u) > fr / ft
    assert np.array_equal(pulls, force[:, 0] < 0.0)
    if not pulls.any():
        assert profile.least >= 0.0
    if profile.least < 0.0:
        assert pulls.any()


def test_a_thin_cut_with_strong_edge_forces_leaves_stock_and_a_deep_one_is_pulled_in() -> None:
    thin = setup("conventional", LinearEdge(1800.0, 700.0, 0.0, 10.0, 80.0, 0.0), cut__radial_engagement_mm=0.3)
    deep = setup("conventional", LinearEdge(1800.0, 300.0, 0.0, 10.0, 10.0, 0.0), cut__radial_engagement_mm=5.0)
    left = wall_profile_over_depth(thin)
    assert left is not None and left.side == "leaves stock" and left.greatest > 0.0 == left.least
    assert error_at_tip(deep) is not None and error_at_tip(deep) < 0.0  # type: ignore[operator]


def test_the_tip_is_less_than_the_whole_force_at_the_tip() -> None:
    """Putting the whole force at the tip overstates the tip's movement: what the told figure no longer does."""
    s = setup().with_values(cutter__flute_length_mm=None, cutter__holder_stiffness_n_mm=None)
    turn, moved, held = force_turn(s), tip_movement(s), held_cutter(s)
    assert turn is not None and moved is not None and held is not None
    assert 0.5 * turn.fx.least / held.tip_stiffness > moved[0] > turn.fx.least / held.tip_stiffness


def test_taper_is_top_less_tip() -> None:
    s = setup()
    profile = wall_profile_over_depth(s)
    ends = wall_error(np.array([0.0, 10.0]), s)
    assert profile is not None and ends is not None
    assert profile.taper_um_mm == pytest.approx((ends[1] - ends[0]) / 10.0 * 1000.0, rel=1e-9)
    assert math.tan(math.radians(profile.taper_deg)) * 1000.0 == pytest.approx(profile.taper_um_mm, rel=1e-12)


def test_words_and_the_heights_where_the_sign_changes() -> None:
    assert wall_profile_over_depth(setup()).side == "leaves stock"  # type: ignore[union-attr]
    crooked = setup("conventional", STEEL_LAW, cut__radial_engagement_mm=3.0, cut__axial_engagement_mm=20.0)
    both = wall_profile_over_depth(crooked)
    assert both is not None and both.side == "both" and both.changes
    for height in both.changes:
        assert abs(float(wall_error(height, crooked))) < 0.01 * both.size  # type: ignore[arg-type]
    signs = np.sign(wall_error(np.linspace(0.0, 20.0, 2_001), crooked))  # type: ignore[arg-type]
    assert len(both.changes) == np.count_nonzero(np.diff(signs))
    nothing = wall_profile_over_depth(setup(law=LinearEdge(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)))
    assert nothing is not None and nothing.side == "true" and nothing.changes == ()


def test_what_is_not_known_or_not_defined_has_no_profile() -> None:
    assert wall_profile_over_depth(setup(cutter__stickout_mm=None, cutter__flute_length_mm=None)) is None
    assert wall_profile_over_depth(Setup(setup().cutter, setup().cut)) is None
    assert wall_profile_over_depth(setup("straddling")) is None


def test_where_no_chip_forms_there_is_no_wall_and_the_sentence_says_so() -> None:
    blunt = setup(cutter__edge_radius_mm=0.5)
    assert no_chip_forms(blunt) and wall_profile_over_depth(blunt) is None and wall_error(0.0, blunt) is None
    found = report(blunt)["wall"]
    assert found["error_mm"] is None and found["error_top_mm"] is None and found["no_chip_forms"] is True
    assert found["deflection_mm"] is not None
    assert "where no chip forms the wall is not told" in sentence(blunt)
    # Runout lets one tooth cut what all the others leave.
    assert not no_chip_forms(blunt.with_values(cutter__edge_radius_mm=0.25, cutter__runout_mm=0.05))


def test_an_edge_that_winds_a_hundred_times_has_the_wall_of_its_mean_load() -> None:
    wound = setup(cutter__helix_deg=85.0, cutter__diameter_mm=0.5, cutter__teeth=8, cut__radial_engagement_mm=0.2)
    wound = wound.with_values(cut__feed_per_tooth_mm=0.01, cut__axial_engagement_mm=26.0)
    profile, turn = wall_profile_over_depth(wound), force_turn(wound)
    assert profile is not None and turn is not None
    even = turn.fx.mean / 26.0
    whole = quad(lambda a: moved_by_unit(0.0, a, wound), 0.0, 26.0, epsrel=1e-10)[0]
    assert profile.error[0] == pytest.approx(-even * whole, rel=1e-6)
    # Many, but not too many to be added up one by one: both ways agree.
    fewer = wound.with_values(cutter__teeth=2)
    one_by_one, mean = wall_profile_over_depth(fewer), force_turn(fewer)
    assert one_by_one is not None and mean is not None
    assert one_by_one.error[0] == pytest.approx(-mean.fx.mean / 26.0 * whole, rel=2e-3)


def test_the_x_part_of_the_law_is_that_of_the_whole_law() -> None:
    u = np.linspace(0.0, np.pi, 31)
    for s in (setup(), setup(law=POWER)):
        law = edge_law(s)
        assert law is not None
        assert law.across(u) == pytest.approx(law.at(u)[:, 0], rel=1e-14, abs=1e-13)


@pytest.mark.parametrize(
    "example", [e for e in EXAMPLES if e.setup().cut.direction != "straddling"], ids=lambda e: e.id
)
@pytest.mark.parametrize("way", ["climb", "conventional"])
def test_rounding_is_not_told_as_a_force_or_a_wall(example: Any, way: str) -> None:
    """An edge that has only just touched leaves 1e-20 N of rounding, which is nothing."""
    setup = resolved(example.setup()).with_keys({"cut.direction": way})
    found = joined(setup, (force_keys, wall_keys, wall_depth_keys))
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
    rows = [*force_rows(setup, found, "metric"), *wall_rows(setup, found, "metric")]
    assert not any("e\N{MINUS SIGN}" in text for _, text in rows)
    if error == 0.0:
        assert any("0.0000 mm, no force as the tip makes it" in text for _, text in rows)
        assert "nothing at the moment when the tip makes the wall" in sentence(setup)
