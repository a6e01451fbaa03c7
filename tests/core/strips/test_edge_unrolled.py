"""The edge unrolled: thickness as of the chip, lines where edges stand, marks where the wall is made."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cut.chip import thickness
from core.cut.edges_in_arc import helical_edges
from core.cut.engagement import engagement
from core.cut.skin import skin_crossing
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.maths.angles import lag
from core.setup.setup import Setup
from core.strips.edge_unrolled import edge_bands, edge_rows, edges_now, wall_angle_deg
from tests.strategies import shop_setups

SIGHT = (-10.0, 190.0)
ANGLES = st.floats(-400.0, 800.0)


def stands_at(setup: Setup, tooth: int, height: float, angle_deg: float) -> float:
    """Where the edge of a tooth stands at a height (mm), degrees, any turn: straight from the helix."""
    behind = float(lag(height, math.radians(setup.cutter.helix_deg), setup.cutter.diameter_mm))
    return angle_deg - 360.0 * tooth / setup.cutter.teeth - math.degrees(behind)


def off_turn(angle_deg: float) -> float:
    """How far an angle is from a whole turn, degrees."""
    return abs((angle_deg + 180.0) % 360.0 - 180.0)


@settings(max_examples=40)
@given(shop_setups(), ANGLES)
def test_every_line_is_an_edge_in_its_place_and_what_cuts_is_in_the_arc(setup: Setup, angle: float) -> None:
    now, e, depth = edges_now(setup, angle, SIGHT), engagement(setup), setup.cut.axial_engagement_mm
    assert now.missing or len(now.edges) <= 60 + setup.cutter.teeth
    for edge in (*now.edges, *now.cutting):
        for phi, height in (edge.lower, edge.upper):
            assert -1e-9 <= height <= depth * (1.0 + 1e-9)
            assert off_turn(phi - stands_at(setup, edge.tooth, height, angle)) < 1e-6
    for edge in now.cutting:
        assert math.degrees(e.entry) - 1e-9 <= edge.upper[0] <= edge.lower[0] <= math.degrees(e.exit) + 1e-9
    if not now.missing and e.edge_lag > 1e-6:
        # As much edge is in cut as the sums of force and section count.
        low, high, turns = helical_edges(np.array(math.radians(angle)), setup.cutter.teeth, e)
        counted = math.degrees(float((high - low).sum()) + turns * setup.cutter.teeth * e.arc)
        drawn = sum(edge.lower[0] - edge.upper[0] for edge in now.cutting)
        assert drawn == pytest.approx(counted, rel=1e-6, abs=1e-6)


@settings(max_examples=25)
@given(shop_setups())
def test_a_point_has_the_thickness_of_the_chip(setup: Setup) -> None:
    rows = edge_rows(setup)
    uneven = setup.cutter.runout_mm != 0.0 and setup.cutter.teeth > 1
    assert [row.tooth for row in rows] == (list(range(setup.cutter.teeth)) if uneven else [None])
    for row in rows:
        for i in (0, 30, 61, 90):
            phi = math.radians(float(row.phi_deg[i]))
            want = float(thickness(phi, setup, "trochoid", row.tooth or 0, runout=row.tooth is not None))
            assert float(row.h[i]) == pytest.approx(want, rel=1e-9, abs=1e-12 * setup.cut.feed_per_tooth_mm)


@settings(max_examples=25)
@given(shop_setups(), ANGLES)
def test_the_marks_on_the_wall_are_edges_that_stand_there(setup: Setup, angle: float) -> None:
    wall, now = wall_angle_deg(setup), edges_now(setup, angle, SIGHT)
    assert (wall is None) == (setup.cut.direction == "straddling")
    for made in now.at_wall:
        assert wall is not None and 0.0 <= made.height <= setup.cut.axial_engagement_mm
        assert off_turn(wall - stands_at(setup, made.tooth, made.height, angle)) < 1e-6


def test_a_helix_enters_bit_by_bit_and_a_straight_edge_at_once() -> None:
    boss = resolved(example("boss").setup())
    entry = math.degrees(engagement(boss).entry)
    heights = []
    for turn in (-1.0, 2.0, 10.0, 20.0):
        own = [edge for edge in edges_now(boss, entry + turn, SIGHT).cutting if edge.tooth == 0]
        heights.append(own[0].upper[1] - own[0].lower[1] if own else 0.0)
    assert heights[0] == 0.0 < heights[1] < heights[2] < heights[3] < boss.cut.axial_engagement_mm
    straight = boss.with_values(cutter__helix_deg=0.0)
    for turn, cuts in ((-1.0, False), (1.0, True)):
        own = [edge for edge in edges_now(straight, entry + turn, SIGHT).cutting if edge.tooth == 0]
        assert bool(own) == cuts
        assert not own or (own[0].lower[1], own[0].upper[1]) == (0.0, boss.cut.axial_engagement_mm)


def test_many_teeth_hold_the_wall_of_a_deep_cut_with_a_steep_helix() -> None:
    deep = resolved(example("boss").setup()).with_values(cutter__helix_deg=60.0, cut__axial_engagement_mm=24.0)
    now = edges_now(deep, 185.0, SIGHT)
    # The edge trails by 24 tan 60 / 6 rad, 397 degrees: four or five pitches of 90 degrees.
    assert len(now.at_wall) in (4, 5) and now.teeth_in_cut == 4
    heights = sorted(made.height for made in now.at_wall)
    apart = np.diff(heights)
    assert apart == pytest.approx(np.full(len(apart), math.pi / 2.0 * 6.0 / math.tan(math.radians(60.0))), rel=1e-9)


def test_the_skin_is_marked_where_teeth_are_in_it_and_too_many_edges_are_told() -> None:
    plate = resolved(example("flame-cut-plate").setup())
    skin, e = skin_crossing(plate), engagement(plate)
    assert skin is not None
    (band,) = [band for band in edge_bands(plate) if band.kind == "skin"]
    assert (band.from_deg, band.to_deg) == pytest.approx((math.degrees(e.exit - skin.exit), math.degrees(e.exit)))
    assert any(band.kind == "rub" for band in edge_bands(plate))
    wound = plate.with_values(cutter__helix_deg=84.0, cut__axial_engagement_mm=200.0)
    now = edges_now(wound, 90.0, SIGHT)
    assert now.missing and not now.edges and "cannot be told apart" in now.missing
