"""Table pull: the figures of the notes, the feed force laid out anew over a turn, roots by scipy, nulls."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from core.cut.engagement import engagement
from core.force.edge_force import EdgeLaw, cutter_force, edge_law
from core.force.force_turn import force_turn
from core.force.table_pull import neutral_angle, pulled_angle, table_pull
from core.report.effect_keys import table_pull_keys
from core.report.effect_rows import table_pull_rows
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import LinearEdge, Machine, PowerLaw, Setup
from tests.usual_setups import STEEL_LAW
from tests.usual_setups import boss as usual

POWER = PowerLaw(2220.0, 0.26, 0.4)


def boss(direction: Any = "climb", law: Any = STEEL_LAW, machine: Machine | None = None, **values: Any) -> Setup:
    """The opening setup on a hand mill with changes by ``group__key``."""
    return replace(usual(direction, law), machine=machine or Machine(250.0, 0.0, 0.1)).with_values(**values)


WIDE: dict[str, Any] = {"cut__radial_engagement_mm": 9.0, "cutter__teeth": 2, "cutter__helix_deg": 0.0}


def feed(setup: Setup) -> dict[str, Any]:
    """The part of the report; the whole of it would also judge both directions in 64 draws."""
    return table_pull_keys(setup)["feed"]


def test_the_opening_setup() -> None:
    """Own figures, recomputed independently: Fy 46.2 to 301.9 N climb, -1040.8 to -424.7 N conventional."""
    climb, conventional = report(boss())["feed"], feed(boss("conventional"))
    assert climb == feed(boss())
    assert climb["pull_share"] == 1.0 and conventional["pull_share"] == 0.0
    assert climb["pull_margin_n"] == pytest.approx(-51.9, abs=0.05)
    assert conventional["pull_margin_n"] == pytest.approx(250.0 + 424.7, abs=0.05)
    assert climb["jump_chip_ratio"] == pytest.approx(2.67, abs=5e-3)
    assert conventional["neutral_deg"] is None


def test_climb_past_the_centre_pushes_first_and_pulls_then() -> None:
    """Own figures: ae 9, z 2, no helix: neutral 121.86 degrees, pulls 32.3 % of the turn."""
    found = feed(boss(**WIDE))
    assert found["neutral_deg"] == pytest.approx(121.86, abs=5e-3)
    assert found["pull_share"] == pytest.approx(0.323, abs=5e-4)
    # Straight teeth, never two of them in cut: two pulls a turn from the neutral angle to the wall.
    assert found["pull_share"] == pytest.approx(2 * (180 - found["neutral_deg"]) / 360, rel=1e-6)


def test_neutral_angle_of_a_power_law() -> None:
    """180 - arctan(1 / radial ratio): 111.80 degrees for 0.4."""
    assert feed(boss(law=POWER))["neutral_deg"] == pytest.approx(111.80, abs=5e-3)
    for ratio in (0.1, 0.4, 1.0, 3.0):
        found = neutral_angle(EdgeLaw(0.06, PowerLaw(2220.0, 0.26, ratio)))
        assert found == pytest.approx(math.pi - math.atan(1.0 / ratio), rel=1e-14)
    assert neutral_angle(EdgeLaw(0.06, PowerLaw(2220.0, 0.26, 0.0))) == pytest.approx(math.pi / 2, rel=1e-14)


@given(
    st.floats(0.0, 3000.0), st.floats(0.0, 3000.0), st.floats(0.0, 60.0), st.floats(0.0, 60.0), st.floats(0.001, 0.5)
)
@settings(max_examples=150)
def test_neutral_angle_of_linear_edge_laws(ktc: float, krc: float, kte: float, kre: float, h: float) -> None:
    """The sign of the written force on a raster of the quarter turn, and its root by scipy."""

    def along(phi: float) -> float:
        thick = h * math.sin(phi)
        return -(ktc * thick + kte) * math.cos(phi) - (krc * thick + kre) * math.sin(phi)

    raster = np.linspace(math.pi / 2 + 1e-4, math.pi - 1e-4, 2001)
    values = -(ktc * h * np.sin(raster) + kte) * np.cos(raster) - (krc * h * np.sin(raster) + kre) * np.sin(raster)
    scale = np.abs(values).max()
    assume(scale > 1e-6)
    found = neutral_angle(EdgeLaw(h, LinearEdge(ktc, krc, 0.0, kte, kre, 0.0)))
    changes = np.flatnonzero((values[:-1] <= 0.0) & (values[1:] > 0.0))
    assert len(changes) <= 1 and not np.any((values[:-1] > 1e-9 * scale) & (values[1:] < -1e-9 * scale))
    if len(changes) == 1:
        root = brentq(along, raster[changes[0]], raster[changes[0] + 1], xtol=1e-14)
        assert found == pytest.approx(root, rel=1e-9)
    elif found is not None:
        # Beyond the raster: next to 90 or next to 180 degrees.
        assert found < raster[1] or found > raster[-2]


def total_force(setup: Setup, phi: np.ndarray) -> np.ndarray:
    """Fy over tip angles, each tooth cut into 800 slices along its edge; formulas of the frame written out."""
    c, cut, law, e = setup.cutter, setup.cut, setup.work.force, engagement(setup)
    # All slices of a straight edge are alike.
    kappa, n = math.radians(c.cutting_edge_angle_deg), 800 if c.helix_deg else 1
    height = (np.arange(n) + 0.5) / n * cut.axial_engagement_mm
    trailing = 2 * height * math.tan(math.radians(c.helix_deg)) / c.diameter_mm
    total = np.zeros(len(phi))
    for j in range(c.teeth):
        every = (phi[:, None] + 2 * math.pi * j / c.teeth - trailing) % (2 * math.pi)
        inside = (every > e.entry) & (every < e.exit)
        u = every[inside]
        h = cut.feed_per_tooth_mm * np.sin(u) * math.sin(kappa)
        if isinstance(law, LinearEdge):
            ft, fa = law.ktc * h + law.kte, law.kac * h + law.kae
            fr = (law.krc * h + law.kre) * math.sin(kappa) + fa * math.cos(kappa)
        else:
            assert law is not None
            ft = law.kc11_n_mm2 * h ** (1 - law.mc)
            fr = law.radial_ratio * ft * math.sin(kappa)
        force = np.zeros(every.shape)
        force[inside] = -ft * np.cos(u) - fr * np.sin(u)
        total += force.sum(axis=1)
    return total * cut.axial_engagement_mm / n / math.sin(kappa)


SHARES = [
    boss(**WIDE),
    boss(law=POWER, **WIDE),
    boss(cut__radial_engagement_mm=9.0, cutter__helix_deg=10.0),
    boss(cut__radial_engagement_mm=9.0, cutter__helix_deg=10.0, law=POWER),
    boss(cut__radial_engagement_mm=7.0, cutter__teeth=3, cutter__helix_deg=20.0, cutter__cutting_edge_angle_deg=60.0),
    boss("straddling", cut__radial_engagement_mm=12.0, cutter__teeth=2, cutter__helix_deg=40.0),
    boss("straddling", cut__radial_engagement_mm=12.0, cutter__teeth=1, cutter__helix_deg=0.0, law=POWER),
    boss("straddling", cut__radial_engagement_mm=5.0, cut__centre_offset_mm=3.0, cutter__teeth=3),
    boss("conventional", cut__radial_engagement_mm=11.8, cutter__teeth=2, cutter__helix_deg=5.0),
    boss(cut__radial_engagement_mm=1.0, cutter__teeth=2, cutter__helix_deg=0.0),
]


@pytest.mark.parametrize("setup", SHARES, ids=range(len(SHARES)))
def test_share_against_a_turn_laid_out_slice_by_slice(setup: Setup) -> None:
    pitch = 2 * math.pi / setup.cutter.teeth
    phi = (np.arange(1500) + 0.5) / 1500 * pitch
    value = total_force(setup, phi)
    found = table_pull(setup)
    assert found is not None
    # A raster of 1500 counts each change of sign to within one step.
    assert found.share == pytest.approx(np.mean(value > 1e-9 * np.abs(value).max()), abs=4 / 1500)
    assert found.margin == pytest.approx(250.0 - value.max(), abs=0.01 * np.abs(value).max() + 1e-9)


@pytest.mark.parametrize("setup", [s for s in SHARES if s.cutter.helix_deg], ids=lambda s: s.cut.direction)
def test_share_between_roots_found_by_scipy(setup: Setup) -> None:
    """Each change of sign of the exact force of one tooth pitch refined by brentq, from a raster of 20000."""
    law, pitch = edge_law(setup), 2 * math.pi / setup.cutter.teeth
    assert law is not None

    def along(phi: Any) -> Any:
        return cutter_force(phi, setup, law)[..., 1]

    phi = np.linspace(0.0, pitch, 20_001)
    value = along(phi)
    e = engagement(setup)
    # The force goes to and from nothing where a tooth's tip or upper end meets or leaves the arc.
    ends = [0.0, pitch, *((x + lag) % pitch for x in (e.entry, e.exit) for lag in (0.0, e.edge_lag))]
    ends += [brentq(along, phi[i], phi[i + 1], xtol=1e-14) for i in np.flatnonzero(value[:-1] * value[1:] < 0)]
    pieces = list(itertools.pairwise(sorted(ends)))
    middles = along(np.array([(a + b) / 2 for a, b in pieces]))
    wanted = sum(b - a for (a, b), m in zip(pieces, middles, strict=True) if m > 1e-9) / pitch
    found = table_pull(setup)
    assert found is not None
    assert found.share == pytest.approx(wanted, rel=1e-6, abs=1e-8)


def test_a_pull_that_lasts_a_moment_is_found() -> None:
    """The level is raised to just under the crest of the pull, where the curve is over it for a ten-thousandth."""
    setup = boss(cut__radial_engagement_mm=9.0, cutter__helix_deg=10.0, cutter__teeth=3)
    law, turn = edge_law(setup), force_turn(setup)
    assert law is not None and turn is not None
    top = turn.fy.greatest
    # A thousandth of a degree and less only near the crest: pieces of a coarse raster that come within a tenth of it.
    raster = np.linspace(0.0, 2 * math.pi / 3, 2001)
    high = cutter_force(raster, setup, law)[:, 1] > 0.9 * top
    pieces = np.flatnonzero(high[:-1] | high[1:])
    width = (raster[1] - raster[0]) / 1000
    phi = (raster[pieces][:, None] + (np.arange(1000) + 0.5) * width).reshape(-1)
    value = cutter_force(phi, setup, law)[:, 1]
    for under in (1e-2, 1e-4, 1e-6):
        level = top * (1 - under)
        wanted = float(np.count_nonzero(value > level)) * width
        assert wanted > 0.0
        assert pulled_angle(setup, law, level) == pytest.approx(wanted, rel=2e-3, abs=4e-6)


def test_friction_and_preload_hold_the_table() -> None:
    loose = feed(boss(machine=Machine(0.0, 0.0, 0.1)))
    held = feed(boss(machine=Machine(200.0, 150.0, 0.1)))
    assert held["pull_margin_n"] - loose["pull_margin_n"] == pytest.approx(350.0, rel=1e-9)
    assert feed(boss(machine=Machine(0.0, 0.0, 0.0)))["jump_chip_ratio"] == 1.0
    unknown = feed(boss(machine=Machine(200.0, None, None)))
    assert unknown["pull_margin_n"] is None and unknown["jump_chip_ratio"] is None


def test_a_neutral_angle_outside_the_arc_is_null() -> None:
    assert feed(boss(cut__radial_engagement_mm=1.0))["neutral_deg"] is None
    assert feed(boss("straddling", cut__radial_engagement_mm=12.0))["neutral_deg"] == pytest.approx(121.857, abs=5e-4)
    assert feed(boss("straddling", cut__radial_engagement_mm=3.0))["neutral_deg"] is None


def test_what_is_not_known_is_null() -> None:
    assert set(feed(boss(law=None)).values()) == {None}
    assert set(feed(boss(law=None))) == set(feed(boss()))
    bare = feed(Setup(boss().cutter, boss().cut, boss().work))
    assert bare["pull_margin_n"] is None and bare["jump_chip_ratio"] is None and bare["pull_share"] == 1.0
    nothing = feed(boss(law=LinearEdge(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)))
    assert nothing == {"pull_share": 0.0, "pull_margin_n": 250.0, "neutral_deg": None, "jump_chip_ratio": 1.6 / 0.6}
    assert neutral_angle(EdgeLaw(0.06, LinearEdge(0.0, 500.0, 0.0, 0.0, 10.0, 0.0))) is None
    assert neutral_angle(EdgeLaw(0.06, LinearEdge(1000.0, 0.0, 0.0, 10.0, 0.0, 0.0))) == math.pi / 2


def test_gaps_without_a_tooth_in_cut_are_no_pull() -> None:
    setup = boss(cut__radial_engagement_mm=1.0, cutter__teeth=2, cutter__helix_deg=0.0)
    found, e = table_pull(setup), engagement(setup)
    assert found is not None and found.share == pytest.approx(2 * e.arc / (2 * math.pi), rel=1e-9)


def test_a_left_hand_cutter_has_the_same_numbers() -> None:
    assert feed(boss(cutter__hand="left", **WIDE)) == feed(boss(**WIDE))


def test_the_text_tells_it() -> None:
    rows = dict(table_pull_rows(boss(), report(boss()), "metric"))
    assert rows["pulls the table"] == "100 % of a turn"
    assert rows["friction, preload less pull"] == "−52 N (−150 to 41)"
    assert rows["the table may jump"] == "0.100 mm; next chip up to 2.67 times as thick"
    assert "the table may jump" not in dict(
        table_pull_rows(boss("conventional"), report(boss("conventional")), "metric")
    )
    text = " ".join(text_report(boss()).split())
    assert "gravity and wear of the screw are left out" in text and "find out its lost motion first" in text
    bare = Setup(boss().cutter, boss().cut, boss().work)
    assert dict(table_pull_rows(bare, report(bare), "inch"))["friction, preload less pull"] == (
        "friction or preload of the table not given"
    )
