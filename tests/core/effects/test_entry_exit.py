"""Entry and exit: the figures of the notes, sections by scipy along the edge, first touch by a drawn face, mirror."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from core.cut.chip_load import tooth_section
from core.cut.engagement import engagement
from core.effects.entry_exit import first_contact, growing_section, last_contact, shrinking_section
from core.report.effect_rows import entry_exit_rows
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import PowerLaw, Setup
from tests.strategies import shop_setups
from tests.usual_setups import edged

DEGREE = math.radians(1.0)


def test_entry_of_the_opening_setup() -> None:
    """Own figures, recomputed by hand: 6/tan 30 * 0.06 * a difference of cosines; 108 to 1."""
    climb, conventional = report(edged())["entry"], report(edged("conventional"))["entry"]
    assert climb["area_1deg_mm2"] == pytest.approx(0.010228, abs=5e-7)
    assert conventional["area_1deg_mm2"] == pytest.approx(0.00009497, abs=5e-9)
    assert climb["area_1deg_mm2"] / conventional["area_1deg_mm2"] == pytest.approx(108.0, abs=0.5)
    assert climb["attitude_deg"] == pytest.approx(-19.47, abs=5e-3) and climb["contact"] == "edge first"
    wide = report(edged(cut__radial_engagement_mm=9.0))["entry"]
    assert wide["attitude_deg"] == pytest.approx(30.0, abs=1e-9) and wide["contact"] == "face first"
    assert conventional["contact"] == "slides in"


def test_exit_of_the_opening_setup() -> None:
    """Own figures: (1800 * 0.0565685 + 22) * 10 N; a climb ends with its edge force only."""
    conventional, climb = report(edged("conventional")), report(edged())
    assert conventional["engagement"]["exit_deg"] == pytest.approx(70.53, abs=5e-3)
    assert conventional["chip"]["arc"]["h_exit_mm"] == pytest.approx(0.0566, abs=5e-5)
    assert conventional["exit"]["drop_n"] == pytest.approx(1238.0, abs=0.5)
    assert conventional["exit"]["wedge_deg"] == pytest.approx(109.5, abs=0.05)
    assert climb["exit"]["drop_n"] == pytest.approx(220.0, rel=1e-9)
    assert climb["exit"]["wedge_deg"] == 0.0


def along_the_edge(tip: float, setup: Setup) -> float:
    """Section of one tooth by scipy over the heights of its edge that lie in the arc, h written out."""
    e, c, cut = engagement(setup), setup.cutter, setup.cut
    slope, kappa = 2 * math.tan(math.radians(c.helix_deg)) / c.diameter_mm, math.radians(c.cutting_edge_angle_deg)

    def element(height: float) -> float:
        phi = tip - slope * height
        h = cut.feed_per_tooth_mm * math.sin(phi) * math.sin(kappa)
        return h / math.sin(kappa) if e.entry <= phi <= e.exit else 0.0

    depth = cut.axial_engagement_mm
    ends = sorted({0.0, depth, *(min(max((tip - p) / slope, 0.0), depth) for p in (e.entry, e.exit) if slope)})
    return sum(quad(element, a, b, epsabs=0.0, epsrel=1e-12)[0] for a, b in itertools.pairwise(ends))


CASES = [
    edged(),
    edged("conventional"),
    edged(cutter__helix_deg=0.0),
    edged("conventional", cutter__helix_deg=0.0, cutter__cutting_edge_angle_deg=60.0),
    edged(cutter__helix_deg=45.0, cut__axial_engagement_mm=0.05),
    edged("conventional", cutter__helix_deg=10.0, cut__axial_engagement_mm=0.2, cutter__cutting_edge_angle_deg=45.0),
    edged("straddling", cut__radial_engagement_mm=9.0, cut__centre_offset_mm=1.0),
    edged("straddling", cut__radial_engagement_mm=12.0),
    edged(cut__radial_engagement_mm=0.0004),
]


@pytest.mark.parametrize("setup", CASES, ids=range(len(CASES)))
@pytest.mark.parametrize("degrees", [0.1, 1.0, 4.0])
def test_sections_against_quadrature_along_the_edge(setup: Setup, degrees: float) -> None:
    e = engagement(setup)
    d = min(math.radians(degrees), e.arc)
    inside = 1.0 - 1e-12  # a straight edge at the very end of the arc
    wanted = along_the_edge(e.entry + d * inside, setup)
    assert growing_section(d, setup) == pytest.approx(wanted, rel=1e-6)
    wanted = along_the_edge(e.exit + e.edge_lag - d * inside, setup)
    assert shrinking_section(d, setup) == pytest.approx(wanted, rel=1e-6)
    if degrees == 1.0:
        assert first_contact(setup).area_1deg == growing_section(d, setup)
        assert last_contact(setup).area_1deg == shrinking_section(d, setup)


@given(shop_setups())
@settings(max_examples=80)
def test_entry_is_the_exit_of_the_other_direction(setup: Setup) -> None:
    here, there = setup, setup.opposite
    assert first_contact(here).area_1deg == pytest.approx(last_contact(there).area_1deg, rel=1e-7)
    assert last_contact(here).area_1deg == pytest.approx(first_contact(there).area_1deg, rel=1e-7)
    e = engagement(setup)
    d = min(DEGREE, e.arc)
    # The strip of sections knows the same tooth: its tip a degree after entry.
    if 1e-9 < e.edge_lag < 1.0 and d < e.arc:
        assert first_contact(here).area_1deg == pytest.approx(float(tooth_section(e.entry + d, setup)), rel=1e-6)


def first_to_touch(entry_rad: float, rake_deg: float, length: float = 1e-3) -> float:
    """Which end of a flat face of ``length`` (radii) is further into the work at entry: > 0 the inner one.

    The face is laid out as points: from the tip toward the axis, leant back by the rake against the motion; the
    work lies beyond the line x = x of the tip.
    """
    tip = np.array([-math.cos(entry_rad), math.sin(entry_rad)])
    motion = np.array([math.sin(entry_rad), math.cos(entry_rad)])
    # A positive rake lets the inner end of the face trail the tip.
    face = tip + length * (-tip - math.tan(math.radians(rake_deg)) * motion)
    return float(face[0] - tip[0])


@pytest.mark.parametrize("rake", [-20.0, -7.0, 0.0, 6.0, 25.0])
@pytest.mark.parametrize("width", [1.0, 3.0, 5.9, 6.5, 8.0, 11.0])
def test_what_touches_first_against_a_drawn_face(rake: float, width: float) -> None:
    setup = edged(cut__radial_engagement_mm=width, cutter__radial_rake_deg=rake, cutter__edge_radius_mm=0.0)
    found = first_contact(setup)
    ahead = first_to_touch(engagement(setup).entry, rake)
    assert found.contact in ("face first", "edge first")
    assert (ahead > 0) == (found.contact == "face first")
    # zeta cos(phi_en + rake) / cos(rake), of the same sign as the attitude.
    phi = engagement(setup).entry
    wanted = 1e-3 * math.cos(phi + math.radians(rake)) / math.cos(math.radians(rake))
    assert ahead == pytest.approx(wanted, abs=1e-12)


def test_the_words_at_their_borders() -> None:
    half = {"cut.radial_engagement_mm": 6.0}
    for rake, contact in ((0.0, "whole face"), (0.5, "whole face"), (-0.5, "whole face"), (0.51, "edge first")):
        assert first_contact(edged(cutter__radial_rake_deg=rake).with_keys(half)).contact == contact
    assert first_contact(edged(cutter__radial_rake_deg=-0.51).with_keys(half)).contact == "face first"
    # h at entry is 0.0566 mm: a blunter edge than 0.1886 mm slides in whatever its face does.
    assert first_contact(edged(cutter__edge_radius_mm=0.19)).contact == "slides in"
    assert first_contact(edged(cutter__edge_radius_mm=0.188)).contact == "edge first"
    assert first_contact(edged("straddling", cut__radial_engagement_mm=12.0)).contact == "slides in"


def test_drop_by_the_power_law_and_at_a_wall_where_it_is_nothing() -> None:
    law = PowerLaw(2220.0, 0.26, 0.4)
    conventional = last_contact(edged("conventional", law, cutter__cutting_edge_angle_deg=60.0)).drop
    h = 0.06 * math.sqrt(8 / 9) * math.sin(math.radians(60.0))
    assert conventional == pytest.approx(2220.0 * h**0.74 * 10.0 / math.sin(math.radians(60.0)), rel=1e-12)
    for mc in (0.26, 0.99):
        # sin(180 degrees) is 1e-16 in floats, which a power of a hundredth would make a force of.
        assert last_contact(edged("climb", PowerLaw(2220.0, mc, 0.4))).drop == 0.0


def test_an_arc_under_a_degree_is_told_at_its_end() -> None:
    thin = edged("conventional", cut__radial_engagement_mm=0.0004, cutter__helix_deg=0.0)
    e = engagement(thin)
    assert e.arc < DEGREE
    assert first_contact(thin).area_1deg == pytest.approx(0.06 * 10.0 * math.sin(e.arc), rel=1e-9)
    assert last_contact(thin).area_1deg == pytest.approx(0.0, abs=1e-15)


@given(st.floats(1e-9, 1e-3))
@settings(max_examples=30)
def test_a_nearly_straight_edge_is_a_straight_one(helix: float) -> None:
    bent, straight = edged(cutter__helix_deg=helix), edged(cutter__helix_deg=0.0)
    assert first_contact(bent).area_1deg == pytest.approx(first_contact(straight).area_1deg, rel=1e-4)
    assert last_contact(bent).area_1deg == pytest.approx(last_contact(straight).area_1deg, rel=1e-2)


def test_what_is_not_known_is_null() -> None:
    found = report(edged(law=None, cutter__edge_radius_mm=None))
    assert found["exit"]["drop_n"] is None and found["entry"]["contact"] is None
    assert found["entry"]["attitude_deg"] == pytest.approx(-19.4712, abs=1e-4)


def test_a_left_hand_cutter_has_the_same_numbers() -> None:
    left, right = report(edged(cutter__hand="left")), report(edged())
    assert left["entry"] == right["entry"] and left["exit"] == right["exit"]


def test_the_text_tells_it() -> None:
    rows = dict(entry_exit_rows(edged(), report(edged()), "metric"))
    assert rows["face to the work at entry"] == "−19.5°, the edge strikes first"
    assert (
        rows["section 1° after entry"] == "0.0102 mm²"
        and rows["force of the edge at exit"] == "220 N, lost over 55.1° by the helix"
    )
    assert rows["section 1° before exit"] == "0.000095 mm²"
    text = " ".join(text_report(edged("conventional")).split())
    assert "it slides in thin" in text and "109.47°" in text and "size of the burr are left out" in text
    bare = edged(law=None, cutter__edge_radius_mm=None)
    told = dict(entry_exit_rows(bare, report(bare), "inch"))
    assert "edge radius not given" in told["face to the work at entry"] and len(told) == 5
