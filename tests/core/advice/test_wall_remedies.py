"""Compensation and spring pass as remedies: what is offered keeps the tolerance with its margin, whatever the cut."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice.wall_remedies import keeping_compensation, keeping_spring_pass
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.effects.rubbing import forms_no_chip
from core.effects.wall import one_sided, runout_reach, wall_error
from core.effects.wall_range import error_ranges
from core.report.report import report
from core.report.sentence import sentence
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work

LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)


def setup(direction: Any = "climb", **values: Any) -> Setup:
    """Setup A of the notes with a tolerance, and changes by ``group__key``."""
    cutter = Cutter(12.0, 4, helix_deg=30.0, edge_radius_mm=0.006, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0)
    made = Setup(cutter, Cut(direction, 4.0, 10.0, 0.06, 4000.0, wall_tolerance_mm=0.02), Work(force=LINEAR))
    return made.with_values(**values)


def ends(of: Setup) -> tuple[float, float]:
    """Lowest and highest error of the wall over the depth that the spreads allow."""
    maker = one_sided(of)
    assert maker is not None
    low, high = error_ranges(maker, np.linspace(0.0, of.cut.axial_engagement_mm, 60))
    return float(low.min()), float(high.max())


@settings(max_examples=25)
@given(
    st.sampled_from(["climb", "conventional"]),
    st.floats(0.5, 8.0),
    st.floats(0.02, 0.12),
    st.floats(0.005, 0.08),
    st.floats(25.0, 60.0),
)
def test_what_is_offered_keeps_the_tolerance_over_its_whole_range(
    direction: str, width: float, feed: float, tolerance: float, reach: float
) -> None:
    cut = setup(
        direction,
        cut__radial_engagement_mm=width,
        cut__feed_per_tooth_mm=feed,
        cut__wall_tolerance_mm=tolerance,
        cutter__stickout_mm=reach,
    )
    moved, again = keeping_compensation(cut), keeping_spring_pass(cut)
    if moved is not None:
        low, high = ends(cut.with_values(cut__radial_engagement_mm=width + moved.offset))
        assert max(high - moved.offset, moved.offset - low) <= tolerance * 1.02
    if again is not None:
        second = cut.with_values(cut__radial_engagement_mm=again.width)
        assert not forms_no_chip(second)
        low, high = ends(second)
        assert max(high, -low) <= tolerance * 1.02


def test_they_are_offered_where_they_help_and_not_where_the_edge_is_not_known() -> None:
    stout = setup(cut__wall_tolerance_mm=0.05)
    assert keeping_compensation(stout) is not None
    assert keeping_spring_pass(stout) is not None
    assert keeping_spring_pass(stout.with_values(cutter__edge_radius_mm=None)) is None
    assert keeping_compensation(stout.with_values(cut__wall_tolerance_mm=None)) is None
    assert keeping_compensation(stout.with_values(cut__wall_tolerance_mm=0.0005)) is None


def test_the_runouts_reach_is_in_the_error_and_told_apart() -> None:
    """A cutter that hardly bends leaves a wall too deep by what its longest tooth reaches."""
    runs_out = setup(cutter__runout_mm=0.01)
    stiff = runs_out.with_values(cutter__youngs_modulus_n_mm2=2e6, cutter__stickout_mm=10.5)
    error, reach = wall_error(0.0, stiff), runout_reach(stiff)
    assert error is not None and reach is not None and reach == pytest.approx(0.01)
    assert abs(float(error) + reach) < 1e-3
    collet = resolved(example("runout-two-teeth").setup())
    wall, even = (report(each)["wall"] for each in (collet, collet.with_values(cutter__runout_mm=0.0)))
    assert wall["runout_reach_mm"] == pytest.approx(0.012 * math.cos(math.radians(30.0)), rel=1e-3)
    assert "The runout's reach of 0.0104 mm is in the error at the tip" in sentence(collet)
    # What is left is the deflection of a tooth that cuts more than its share.
    assert 1.0 < (wall["error_mm"] + wall["runout_reach_mm"]) / even["error_mm"] < 3.0
    assert even["runout_reach_mm"] == 0.0 and "reach" not in sentence(setup())
