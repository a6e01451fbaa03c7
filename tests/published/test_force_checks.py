"""Forces against what others printed, or what must hold whatever the program: each test names which it is."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from core.documents.materials import material
from core.effects.entry_exit import first_contact
from core.force.edge_force import cutter_force, edge_law
from core.force.force_turn import force_turn
from core.force.runout_force import runout_force
from core.force.table_pull import table_pull
from core.report.force_keys import each_tooths_peak
from core.report.report import report
from core.setup.setup import Cut, Cutter, Direction, LinearEdge, PowerLaw, Setup, Work

LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)

LAWS = [LINEAR, PowerLaw(2220.0, 0.14, 0.4), PowerLaw(2500.0, 0.26, 0.3)]


def force(setup: Setup, phi: float) -> np.ndarray:
    law = edge_law(setup)
    assert law is not None
    return cutter_force(phi, setup, law)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("times", [1, 2, 3])
@pytest.mark.parametrize(("teeth", "helix", "ae"), [(4, 30.0, 4.0), (3, 45.0, 1.0), (2, 40.0, 9.0)])
def test_no_pulsation_where_the_depth_is_whole_axial_pitches(
    law: LinearEdge | PowerLaw, times: int, teeth: int, helix: float, ae: float
) -> None:
    """At ap = k pi D / (z tan beta) the edge in the arc is always the same: slab milling practice, and geometry."""
    depth = times * math.pi * 12.0 / (teeth * math.tan(math.radians(helix)))
    setup = Setup(Cutter(12.0, teeth, helix_deg=helix), Cut("climb", ae, depth, 0.06, 4000.0), Work(force=law))
    turn = force_turn(setup)
    assert turn is not None
    for spread in (turn.fx, turn.fy, turn.torque):
        assert spread.greatest - spread.least < 1e-6 * turn.resultant_max
    other = force_turn(setup.with_keys({"cut.axial_engagement_mm": 0.5 * depth / times}))
    assert other is not None and other.fx.greatest - other.fx.least > 0.05 * other.resultant_max


@pytest.mark.parametrize(("direction", "ae"), [("climb", 4.0), ("conventional", 7.5), ("straddling", 12.0)])
def test_the_closed_form_of_a_helical_flute(direction: Direction, ae: float) -> None:
    """Altintas, Manufacturing Automation, ch. 2 (from memory): limits of the edge put into the integral of a flute.

    Written out with its own antiderivatives; its x is our y and its y our -x.  One flute, D 12, helix 35, ap 7.
    """
    d, beta, ap, f = 12.0, math.radians(35.0), 7.0, 0.08
    start = {"climb": math.acos(2.0 * ae / d - 1.0), "conventional": 0.0, "straddling": 0.0}[direction]
    end = {"climb": math.pi, "conventional": math.acos(1.0 - 2.0 * ae / d), "straddling": math.pi}[direction]
    setup = Setup(Cutter(d, 1, helix_deg=35.0), Cut(direction, ae, ap, f, 4000.0), Work(force=LINEAR))
    k, ratio = LINEAR, math.tan(beta) * 2.0 / d

    def book_x(u: float) -> float:
        chip = f * (k.ktc * -math.cos(2.0 * u) / 4.0 + k.krc * (u / 2.0 - math.sin(2.0 * u) / 4.0))
        return -(chip + k.kte * math.sin(u) - k.kre * math.cos(u))

    def book_y(u: float) -> float:
        chip = f * (k.ktc * (u / 2.0 - math.sin(2.0 * u) / 4.0) + k.krc * math.cos(2.0 * u) / 4.0)
        return chip - k.kte * math.cos(u) - k.kre * math.sin(u)

    for tip in np.linspace(start + 0.05, end + ap * ratio - 0.05, 13).tolist():
        high, low = min(tip, end), max(tip - ap * ratio, start)
        want_x = (book_x(high) - book_x(low)) / ratio
        want_y = (book_y(high) - book_y(low)) / ratio
        got = force(setup, tip)
        assert got[1] == pytest.approx(want_x, rel=1e-9, abs=1e-8)
        assert -got[0] == pytest.approx(want_y, rel=1e-9, abs=1e-8)


@pytest.mark.parametrize("phi_deg", [35.0, 80.0, 130.0, 170.0])
def test_the_radial_force_of_the_textbook_example(phi_deg: float) -> None:
    """Stephenson and Agapiou, ex. 2.4 (inputs seen): Fc 13 067 N and Fr = 0.3 Fc = 3920 N, toward the axis.

    A specific energy without size effect is a power law with mc 0.  A force toward the axis has a positive part
    along (cos phi, -sin phi), since the tip stands at (-R cos phi, R sin phi).
    """
    phi = math.radians(phi_deg)
    setup = Setup(Cutter(75.0, 1), Cut("straddling", 75.0, 80.0, 0.4, 424.0), Work(force=PowerLaw(4800.0, 0.0, 0.3)))
    x, y, _, tangential = force(setup, phi)
    toward = x * math.cos(phi) - y * math.sin(phi)
    against = -(x * math.sin(phi) + y * math.cos(phi))
    assert against == pytest.approx(tangential) and against == pytest.approx(4800.0 * 0.4 * math.sin(phi) * 80.0)
    assert toward * 13067.0 / against == pytest.approx(3920.0, abs=1.0)


@pytest.mark.parametrize(
    ("e", "long", "short"), [(0.01, 0.12, 0.08), (0.03, 0.16, 0.04), (0.05, 0.2, 0.0), (0.08, 0.2, 0.0)]
)
def test_the_chip_load_of_two_teeth_with_runout(e: float, long: float, short: float) -> None:
    """Kline and DeVor 1983 (from memory): of two teeth one has fz + 2 e, the other fz - 2 e, until one cuts for both.

    The figures are computed here from that, not printed: at 90 degrees, fz 0.1; the force is ktc h ap.
    """
    cutter = Cutter(20.0, 2, runout_mm=e)
    law = LinearEdge(1000.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    setup = Setup(cutter, Cut("straddling", 20.0, 2.0, 0.1, 1000.0), Work(force=law))
    found = edge_law(setup)
    assert found is not None
    teeth = runout_force(setup, found)
    each = [float(teeth.tooth(j, math.pi / 2.0)[3]) for j in (0, 1)]
    assert each == pytest.approx([1000.0 * long * 2.0, 1000.0 * short * 2.0], abs=1e-9)
    peaks = each_tooths_peak(setup)
    assert peaks is not None
    assert [p["torque_max_nm"] for p in peaks] == pytest.approx([v * 0.01 for v in each], rel=1e-7, abs=1e-9)
    assert report(setup)["force"]["torque_nm"]["max"] == pytest.approx(each[0] * 0.01, rel=1e-9)


def test_a_tooth_that_is_too_short_has_no_edge_force() -> None:
    """Mechanics: what does not touch does not push.  One of two teeth is 0.16 mm short at a feed of 0.1."""
    cutter = Cutter(20.0, 2, runout_mm=0.08)
    base = Setup(
        cutter, Cut("straddling", 20.0, 2.0, 0.1, 1000.0), Work(force=LinearEdge(0.0, 0.0, 0.0, 30.0, 0.0, 0.0))
    )
    turn, alone = force_turn(base), force_turn(base.with_keys({"cutter.teeth": 1, "cutter.runout_mm": 0.0}))
    assert turn is not None and alone is not None
    assert turn.torque.mean == pytest.approx(alone.torque.mean, rel=1e-9)


SECOND_PRINTS = [("S275JR", 1780.0, 0.167), ("C45E", 2190.0, 0.139), ("C60E", 2120.0, 0.173), ("E335", 2110.0, 0.155)]


@pytest.mark.parametrize(("name", "kc11", "mc"), SECOND_PRINTS)
def test_second_prints_of_kienzle_pairs(name: str, kc11: float, mc: float) -> None:
    """Dutch course notes (seen).  Editions differ by 5 %: the same power within 6 % at chips of 0.1 to 0.4 mm."""
    entry = material(name).power_law
    assert entry is not None
    base = Setup(Cutter(50.0, 4), Cut("straddling", 50.0, 3.0, 0.2, 600.0))
    for feed in (0.1, 0.2, 0.4):
        powers = []
        for law in (entry, PowerLaw(kc11, mc, 0.4)):
            turn = force_turn(replace(base, work=Work(force=law)).with_keys({"cut.feed_per_tooth_mm": feed}))
            assert turn is not None
            powers.append(turn.power_kw)
        assert powers[0] == pytest.approx(powers[1], rel=0.06)


UNIT_POWERS = [
    # kW for each cm3/s: Machinery's Handbook, 31st ed., p. 1147, table 1b, sharp tools, about 0.3 mm (seen).
    ("S235JR", 1.88),
    ("C45E", 2.24),
    ("C60E", 2.43),
    ("42CrMo4", 2.18),
]


@pytest.mark.parametrize(("name", "printed"), UNIT_POWERS)
def test_unit_powers_of_the_handbook(name: str, printed: float) -> None:
    """Two families of data, a third apart: within a factor of 1.6 of each other, no closer (published-checks 8)."""
    law = material(name).power_law
    assert law is not None
    cut = Cut("straddling", 50.0, 3.0, 0.3 * math.pi / 2.0, 600.0)
    turn = force_turn(Setup(Cutter(50.0, 4), cut, Work(force=law)))
    assert turn is not None
    removed = 50.0 * 3.0 * cut.feed_per_tooth_mm * 4 * 600.0 / 60_000.0
    assert 1.0 / 1.6 < turn.power_kw / removed / printed < 1.6


@pytest.mark.parametrize("kappa", [30.0, 45.0, 60.0, 75.0])
def test_a_flat_lead_angle_sends_the_thrust_into_the_spindle(kappa: float) -> None:
    """Shop practice: the flatter the edge, the more of its thrust goes along the spindle, as its cosine."""
    law = LinearEdge(1889.2, 806.1, 0.0, 63.12, 113.7, 0.0)
    cut = Cut("straddling", 60.0, 2.0, 0.1, 600.0)
    found = report(Setup(Cutter(80.0, 6, cutting_edge_angle_deg=kappa), cut, Work(force=law)))["force"]
    assert found["axial"] == "pushes" and found["fz_n"]["max"] < 0.0
    # The two parts of one thrust: its size is that of a force of krc and kre alone, on all of the edge.
    k, e = math.radians(kappa), (math.acos(0.75), math.acos(-0.75))
    per_mm = 806.1 * 0.1 * math.sin(k) * (math.cos(e[0]) - math.cos(e[1])) + 113.7 * (e[1] - e[0])
    thrust = per_mm * 2.0 / math.sin(k) * 6 / (2.0 * math.pi)
    assert found["fz_n"]["mean"] == pytest.approx(-thrust * math.cos(k), rel=1e-9)


@pytest.mark.parametrize(("ktc", "krc", "kte", "kre"), [(767.01, 168.8, 27.7, 26.6), (1889.2, 806.1, 63.12, 113.7)])
def test_a_tooth_that_climbs_pulls_the_table_only_past_a_neutral_angle(
    ktc: float, krc: float, kte: float, kre: float
) -> None:
    """Mechanics, with printed coefficients (review table, Chin. J. Mech. Eng. 2021; sweep milling data; both seen).

    Two vectors of the published frame, against the motion and toward the axis, added here anew; in the first half of
    the turn the tooth pushes the table back, whatever the coefficients.
    """
    law = LinearEdge(ktc, krc, 0.0, kte, kre, 0.0)
    setup = Setup(Cutter(12.0, 2), Cut("climb", 9.0, 2.0, 0.06, 1000.0), Work(force=law))
    pull = table_pull(setup)
    assert pull is not None and pull.neutral is not None

    def along_the_feed(phi: float) -> float:
        h = 0.06 * math.sin(phi)
        motion = np.array([math.sin(phi), math.cos(phi)])
        outward = np.array([-math.cos(phi), math.sin(phi)])
        return float((-(ktc * h + kte) * motion - (krc * h + kre) * outward)[1])

    assert along_the_feed(pull.neutral) == pytest.approx(0.0, abs=1e-6)
    assert along_the_feed(pull.neutral - 0.05) < 0.0 < along_the_feed(pull.neutral + 0.05)
    assert pull.neutral > math.pi / 2.0


@pytest.mark.parametrize("ratio", [0.25, 0.4, 0.7])
def test_a_power_law_turns_the_pull_where_its_two_forces_balance_along_the_feed(ratio: float) -> None:
    """Mechanics: against the motion 1, toward the axis ``ratio``, whatever the thickness; no table is needed."""
    pull = table_pull(
        Setup(Cutter(12.0, 2), Cut("climb", 9.0, 2.0, 0.06, 1000.0), Work(force=PowerLaw(1700.0, 0.25, ratio)))
    )
    assert pull is not None and pull.neutral is not None
    motion = np.array([math.sin(pull.neutral), math.cos(pull.neutral)])
    outward = np.array([-math.cos(pull.neutral), math.sin(pull.neutral)])
    assert float((-motion - ratio * outward)[1]) == pytest.approx(0.0, abs=1e-9)
    assert math.pi / 2.0 < pull.neutral < math.pi


@pytest.mark.parametrize(("rake", "contact"), [(-7.0, "face first"), (7.0, "edge first"), (0.0, "whole face")])
def test_a_negative_rake_takes_the_shock_away_from_the_edge(rake: float, contact: str) -> None:
    """Shop practice (no source): with the axis over the work's edge a negative rake strikes with its face, a positive
    one with its edge.  Kronenberg 1946 and Opitz and Beckhaus 1970 (from memory) draw the same."""
    cutter = Cutter(100.0, 6, radial_rake_deg=rake, edge_radius_mm=0.02)
    setup = Setup(cutter, Cut("climb", 50.0, 2.0, 0.2, 400.0))
    assert first_contact(setup).contact == contact
