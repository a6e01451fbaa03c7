"""An inside corner: the arc against closed forms, mirrored cuts, the planner's answers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.base.errors import ChiparcError
from core.cut.engagement import engagement
from core.path.corner import corner, corner_arc, smallest_corner_radius, stepover_rows, widest_stepover
from core.path.samples import WAYS
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work

FORCE = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)


def milled(direction: str = "climb", hand: str = "right", width: float = 2.0) -> Setup:
    cutter = Cutter(12.0, 4, hand=hand, helix_deg=30.0, stickout_mm=42.0, youngs_modulus_n_mm2=580000.0)  # type: ignore[arg-type]
    return Setup(cutter, Cut(direction, width, 10.0, 0.06, 4000.0), Work(force=FORCE))  # type: ignore[arg-type]


def concentric(diameter: float, stepover: float, radius: float) -> float:
    """Arc (rad) between the wall and the concentric circle that the pass before left, by the law of cosines."""
    r, bend, before = diameter / 2.0, radius - diameter / 2.0, radius - stepover
    return math.acos((before**2 - bend**2 - r**2) / (2.0 * bend * r))


@given(diameter=st.floats(2.0, 40.0), stepover=st.floats(0.02, 0.45), bend=st.floats(0.05, 3.0))
@settings(max_examples=30, deadline=None)
def test_the_arc_in_a_concentric_corner_is_that_of_two_circles(diameter: float, stepover: float, bend: float) -> None:
    width = stepover * diameter
    radius = diameter / 2.0 + max(bend * diameter, width)
    straight = 2.0 * math.asin(math.sqrt(stepover))
    assert corner_arc(diameter, width, radius) == pytest.approx(
        max(concentric(diameter, width, radius), straight), abs=math.radians(0.02)
    )


def test_a_corner_as_sharp_as_the_cutter_adds_a_quarter_turn() -> None:
    # The straight arc to the wall on the right, and all that stands ahead up to the height of the stepover:
    # the next wall is met head on.  Closed form: from the edge of the old pass ahead round to the wall.
    arc = corner_arc(12.0, 2.0, 6.0)
    straight = 2.0 * math.asin(math.sqrt(2.0 / 12.0))
    assert arc == pytest.approx(straight + math.pi / 2.0, abs=math.radians(0.05))


@pytest.mark.parametrize("hand", ["right", "left"])
def test_climb_and_conventional_are_mirror_images(hand: str) -> None:
    climb, conventional = (corner(milled(way, hand), 8.0) for way in ("climb", "conventional"))
    assert climb.arc == pytest.approx(conventional.arc, abs=1e-6)
    assert climb.samples.h_max == pytest.approx(conventional.samples.h_max, abs=1e-9)
    for found, way in ((climb, "climb"), (conventional, "conventional")):
        assert {WAYS[i] for i in found.samples.way} == {way}


def test_straight_it_is_the_setups_own_cut() -> None:
    setup = milled()
    found = corner(setup, 9.0)
    for i in (0, -1):
        assert found.arc[i] == pytest.approx(engagement(setup).arc, abs=1e-6)
    assert found.arc[found.peak] == pytest.approx(concentric(12.0, 2.0, 9.0), abs=1e-6)
    assert found.samples.loads.resultant[found.peak] > 1.1 * found.samples.loads.resultant[0]


def test_the_held_feed_gives_the_straight_chip_everywhere() -> None:
    found = corner(milled(), 7.0)
    assert (found.held * found.samples.h_max <= found.samples.h_max[0] * (1 + 1e-9)).all()
    assert found.held[0] == 1.0
    assert found.held[found.peak] < 0.8


@pytest.mark.parametrize(("radius", "stepover", "where"), [(5.9, 2.0, "corner radius"), (8.0, 12.0, "radial width")])
def test_what_cannot_be_is_refused(radius: float, stepover: float, where: str) -> None:
    with pytest.raises(ChiparcError, match=where):
        corner_arc(12.0, stepover, radius)


def test_the_smallest_radius_just_keeps_the_arc() -> None:
    arc = math.radians(70.0)
    radius = smallest_corner_radius(12.0, 2.0, arc)
    assert radius is not None
    assert corner_arc(12.0, 2.0, radius) <= arc
    assert corner_arc(12.0, 2.0, radius - 0.01) > arc
    # A straight wall has 48 degrees: no corner can have less.
    assert smallest_corner_radius(12.0, 2.0, math.radians(47.0)) is None
    assert smallest_corner_radius(12.0, 2.0, math.radians(170.0)) == 6.0


def test_the_widest_stepover_just_keeps_the_arc() -> None:
    arc = math.radians(80.0)
    width = widest_stepover(12.0, 8.0, arc)
    assert width is not None
    assert corner_arc(12.0, width, 8.0) <= arc < corner_arc(12.0, width + 0.01, 8.0)


def test_the_planners_rows_grow() -> None:
    rows = stepover_rows(milled(), 8.0)
    for name in ("stepover", "straight", "corner"):
        assert (np.diff([getattr(row, name) for row in rows]) > 0.0).all()
    for row in rows:
        assert row.corner > row.straight
        assert row.straight_chip == pytest.approx(0.06 * math.sin(min(row.straight, math.pi / 2)))
