"""Forces, power and the wall against published figures; the source stands beside each."""

from __future__ import annotations

import numpy as np
import pytest

from core.documents.setup_examples import EXAMPLES
from core.effects.cutter_bending import cantilever_stiffness
from core.force.edge_force import edge_law, mean_force
from core.force.force_turn import force_turn
from core.report.force_keys import force_keys, wall_keys
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work

REVIEW = "Chin. J. Mech. Eng. 2021, doi 10.1186/s10033-021-00536-9, table 5 (seen); means are closed forms"
TITANIUM = "Ti-6Al-4V: Altintas, Manufacturing Automation (from memory); means are closed forms"
SWEEP = "steel: Franco, Beudaert and others, sweep milling force excitation, data supplement (seen)"
MEASURED = "Univ. Waterloo ME 548 data in repository keshaviyengar/CuttingForcesSim (seen; figures quoted)"

# Source, six coefficients, then Fx, Fy, size of Fz (N) and torque (N m): slot, climb half, conventional half.
# D 12, z 4, ap 2, fz 0.05; a helix has no effect on a mean.  Only the coefficients are published: the forces were
# computed here, not printed.
MEANS = (
    (
        REVIEW,
        (767.01, 168.8, 222.0, 27.7, 26.6, 0.7),
        (-147.238, -84.616, 31.066, 1.251),
        (-112.860, 17.375, 15.533, 0.625),
        (-34.378, -101.992, 15.533, 0.625),
    ),
    (
        REVIEW,
        (951.365, 262.597, 323.33, 11.115, 11.314, 1.105),
        (-123.441, -55.071, 45.588, 0.994),
        (-84.484, 16.900, 22.794, 0.497),
        (-38.956, -71.970, 22.794, 0.497),
    ),
    (
        TITANIUM,
        (1825.0, 770.0, 735.0, 29.7, 55.7, 1.8),
        (-258.130, -218.839, 100.783, 2.107),
        (-224.495, -13.513, 50.392, 1.053),
        (-33.636, -205.326, 50.392, 1.053),
    ),
    (
        SWEEP,
        (1889.2, 806.1, 291.0, 63.12, 113.7, -3.1),
        (-349.654, -370.145, 24.651, 2.958),
        (-345.253, -44.570, 12.326, 1.479),
        (-4.401, -325.574, 12.326, 1.479),
    ),
)


def setup_of(cutter: Cutter, direction: str, ae: float, ap: float, fz: float, n: float, law: object) -> Setup:
    return Setup(cutter, Cut(direction, ae, ap, fz, n), Work(force=law))  # type: ignore[arg-type]


@pytest.mark.parametrize(("source", "k", "slot", "climb", "conventional"), MEANS)
@pytest.mark.parametrize("helix", [0.0, 30.0])
def test_mean_forces_of_published_coefficients(
    source: str,
    k: tuple[float, ...],
    slot: tuple[float, ...],
    climb: tuple[float, ...],
    conventional: tuple[float, ...],
    helix: float,
) -> None:
    rows = (("straddling", 12.0, slot), ("climb", 6.0, climb), ("conventional", 6.0, conventional))
    for direction, ae, printed in rows:
        cutter, law = Cutter(12.0, 4, helix_deg=helix), LinearEdge(*k)  # type: ignore[arg-type]
        found = force_keys(setup_of(cutter, direction, ae, 2.0, 0.05, 1000.0, law))["force"]
        got = (found["fx_n"]["mean"], found["fy_n"]["mean"], abs(found["fz_n"]["mean"]), found["torque_nm"]["mean"])
        assert got == pytest.approx(printed, abs=6e-4), source


@pytest.mark.parametrize(
    ("cutter", "cut", "kc11", "mc", "ft", "power"),
    [
        (Cutter(80.0, 8), ("straddling", 60.0, 3.0, 0.2, 600.0), 2220.0, 0.14, 3239.48, 8.14169),
        (
            Cutter(80.0, 8, cutting_edge_angle_deg=45.0),
            ("straddling", 60.0, 3.0, 0.2, 600.0),
            2220.0,
            0.14,
            3400.53,
            8.54647,
        ),
        (Cutter(16.0, 4, helix_deg=30.0), ("climb", 4.0, 10.0, 0.08, 3000.0), 2500.0, 0.26, 1434.71, 3.60581),
        (Cutter(63.0, 5), ("conventional", 31.5, 2.0, 0.15, 900.0), 2100.0, 0.26, 895.121, 2.65744),
        (Cutter(100.0, 6), ("straddling", 100.0, 1.0, 0.2, 400.0), 1160.0, 0.26, 734.102, 1.53750),
    ],
)
def test_power_law_rows(
    cutter: Cutter, cut: tuple[str, float, float, float, float], kc11: float, mc: float, ft: float, power: float
) -> None:
    """Constants: Dietrich and Tschaetsch (from memory); mean tangential force and power by quadrature.

    Computed here, not printed.
    """
    found = force_turn(setup_of(cutter, *cut, PowerLaw(kc11, mc, 0.4)))
    assert found is not None and (found.fz is None) == (cutter.cutting_edge_angle_deg == 90.0)
    assert found.power_kw == pytest.approx(power, abs=6e-6)
    assert found.torque.mean * 2000.0 / cutter.diameter_mm == pytest.approx(ft, abs=6e-3)


@pytest.mark.parametrize(
    ("source", "d", "z", "ae", "ap", "fz", "n", "ktc", "power", "tolerance"),
    [
        (
            "El-Hofy, Fundamentals of Machining Processes, 2nd ed., p. 189 (seen)",
            30,
            8,
            30,
            4,
            0.1,
            150,
            1000,
            0.24,
            5e-3,
        ),
        ("Stephenson and Agapiou, ex. 2.4 (inputs seen)", 75, 4, 5, 80, 0.40089, 424.41, 4800, 21.8, 0.05),
        ("Indian production-engineering textbook (inputs seen)", 50, 20, 3.2, 100, 0.25, 100, 6000, 16.0, 5e-3),
        ("Kalpakjian and Schmid, ch. 24 problem (question seen)", 150, 8, 112.5, 3, 0.125, 300, 5000, 8.44, 0.01),
        ("Kalpakjian example 24.1 (from memory)", 50, 20, 3, 100, 0.25, 100, 3000, 7.5, 5e-3),
        ("Kalpakjian example 24.2 (from memory)", 150, 10, 60, 3, 0.6, 100, 1100, 1.98, 5e-3),
    ],
)
def test_textbook_power(
    source: str,
    d: float,
    z: int,
    ae: float,
    ap: float,
    fz: float,
    n: float,
    ktc: float,
    power: float,
    tolerance: float,
) -> None:
    """A specific energy of u J/mm3 is ktc = 1000 u: power = u ap ae vf / 60e3."""
    law = LinearEdge(float(ktc), 0.0, 0.0, 0.0, 0.0, 0.0)
    direction = "straddling" if ae > d / 3 else "conventional"
    found = force_turn(setup_of(Cutter(float(d), z), direction, float(ae), float(ap), fz, float(n), law))
    assert found is not None
    assert found.power_kw == pytest.approx(power, abs=tolerance), source


@pytest.mark.parametrize(
    ("ae", "mean_x", "max_x", "mean_y", "resultant"),
    [
        (6.35, 248.5, 1219.0, 151.8, 1399.0),
        (12.7, 545.1, 1531.0, 112.6, 1593.0),
        (19.05, 742.8, 1531.0, -49.8, 1821.0),
        (25.4, 801.5, 1531.0, -348.2, 1791.0),
    ],
)
def test_measured_end_milling(ae: float, mean_x: float, max_x: float, mean_y: float, resultant: float) -> None:
    """Al 6061, HSS, D 25.4, z 2, helix 30, ap 4, fz 0.5, climb (the last a slot); nothing is fitted.

    Tolerances: -Fx mean 12 %, peak 10 %, resultant 12 %, Fy mean 25 N + 5 %.  Peak Fy is not compared: the
    model is a quarter low in every cut, unexplained (probably the rig's dynamics).
    """
    law = LinearEdge(709.36, 305.70, 166.01, 23.66, 5.57, 0.0)
    direction = "straddling" if ae == 25.4 else "climb"
    found = force_turn(setup_of(Cutter(25.4, 2, helix_deg=30.0), direction, ae, 4.0, 0.5, 1200.0, law))
    assert found is not None
    assert -found.fx.mean == pytest.approx(mean_x, rel=0.12), MEASURED
    assert -found.fx.least == pytest.approx(max_x, rel=0.10), MEASURED
    assert found.resultant_max == pytest.approx(resultant, rel=0.12), MEASURED
    assert found.fy.mean == pytest.approx(mean_y, abs=25.0 + 0.05 * abs(mean_y)), MEASURED
    if ae == 12.7:
        # Computed here, not printed: the closed form of the model.
        means = (found.fx.mean, found.fy.mean, found.torque.mean)
        assert means == pytest.approx((-489.204, 95.979, 6.33619), abs=1e-3)


def test_measured_slots_at_five_feeds() -> None:
    """Repository leekunhwee/ForceCalculation (seen; figures quoted): lines to 1e-4, measured means to 8 N."""
    law = LinearEdge(958.860, 250.863, 146.361, 15.758, 19.434, 18.208)
    feeds = np.array([0.025, 0.050, 0.075, 0.100, 0.125])
    measured = np.array(
        [
            (63.02, -39.80, 55.72),
            (107.14, -60.05, 70.91),
            (137.67, -71.60, 82.57),
            (171.27, -76.75, 85.23),
            (210.74, -78.49, 83.50),
        ]
    )
    means = []
    for feed in feeds:
        setup = setup_of(Cutter(25.0, 2, helix_deg=45.0), "straddling", 25.0, 3.0, float(feed), 6000.0, law)
        one = edge_law(setup)
        assert one is not None
        means.append(mean_force(setup, one)[:3] * [-1.0, 1.0, 1.0])
    slope, intercept = np.polyfit(feeds, np.array(means), 1)
    assert slope == pytest.approx([1438.290, -376.295, 279.530], rel=1e-4)
    assert intercept == pytest.approx([30.0955, -37.1156, 54.6224], rel=1e-4)
    assert np.abs(np.array(means) - measured).max() < 8.0


def test_deflection_of_a_cantilever() -> None:
    """0.8 D: Kops and Vo, CIRP Annals 39 (1990) 93; F 3920, L 200, E 400 000, D 75: 0.041 mm (inputs seen)."""
    assert 3920.0 / cantilever_stiffness(75.0, 200.0, 400_000.0) == pytest.approx(0.041, abs=5e-4)
    assert cantilever_stiffness(12.0, 42.0, 580_000.0) == pytest.approx(9791.66, abs=5e-3)


def test_feed_force_of_the_opening_setup() -> None:
    """Own figures, recomputed independently: Fy 46.2 to 301.9 N climb, -1040.8 to -424.7 N conventional."""
    setup = EXAMPLES[0].setup()
    climb, conventional = force_keys(setup)["force"]["fy_n"], force_keys(setup.opposite)["force"]["fy_n"]
    assert (climb["min"], climb["max"]) == pytest.approx((46.2, 301.9), abs=0.05)
    assert (conventional["min"], conventional["max"]) == pytest.approx((-1040.8, -424.7), abs=0.05)


def test_which_way_the_wall_errs_follows_the_force_and_no_rule() -> None:
    """Climb to D/2 leaves stock (common practice; Kline, DeVor, Shareef 1982, from memory); conventional depends."""
    base = EXAMPLES[0].setup()
    for ae in (0.1, 1.0, 3.0, 6.0):
        assert wall_keys(base.with_keys({"cut.radial_engagement_mm": ae}))["wall"]["error_mm"] > 0.0
    blunt = base.with_keys({"work.force": LinearEdge(1800.0, 700.0, 300.0, 22.0, 200.0, 3.0)}).opposite
    # A straight edge: of a helical one nothing is in the work yet as the tip makes the wall.
    thin = wall_keys(blunt.with_keys({"cut.radial_engagement_mm": 0.05, "cutter.helix_deg": 0.0}))["wall"]["error_mm"]
    helical = wall_keys(blunt.with_keys({"cut.radial_engagement_mm": 0.05}))["wall"]["error_mm"]
    assert helical == 0.0
    wide = wall_keys(base.opposite.with_keys({"cut.radial_engagement_mm": 5.0}))["wall"]["error_mm"]
    assert thin > 0.0 > wide
