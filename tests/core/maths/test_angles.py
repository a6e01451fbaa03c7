"""Tooth angle, clock, tip, lag: by hand, and their shapes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.maths.angles import clock, edge_angle, lag, tip


@pytest.mark.parametrize(
    ("phi", "right", "left"),
    [
        (0, "9:00", "3:00"),
        (30, "10:00", "2:00"),
        (45, "10:30", "1:30"),
        (90, "12:00", "12:00"),
        (109.4712206, "12:39", "11:21"),
        (120, "1:00", "11:00"),
        (180, "3:00", "9:00"),
        (270, "6:00", "6:00"),
        (-30, "8:00", "4:00"),
        (89.74, "11:59", "12:01"),
        (89.76, "12:00", "12:00"),
        (119.76, "1:00", "11:00"),
        (360, "9:00", "3:00"),
    ],
)
def test_clock_times_of_both_hands(phi: float, right: str, left: str) -> None:
    """Common practice, no source: hour = 9 + phi/30, mirrored 15 - phi/30; nearest minute, no leading zero."""
    assert (clock(phi), clock(phi, "left")) == (right, left)


@given(st.floats(-1e4, 1e4))
def test_a_clock_time_is_within_half_a_minute_of_its_angle(phi: float) -> None:
    for hand, sign, start in (("right", 1, 9), ("left", -1, 15)):
        hour, minute = map(int, clock(phi, hand).split(":"))
        assert 1 <= hour <= 12 and 0 <= minute < 60
        off = ((hour + minute / 60 - (start + sign * phi / 30)) + 6) % 12 - 6
        assert abs(off) <= 0.5 / 60 + 1e-9


@pytest.mark.parametrize(("phi", "x", "y"), [(0, -6, 0), (90, 0, 6), (180, 6, 0), (30, -3 * math.sqrt(3), 3)])
def test_where_a_tip_stands(phi: float, x: float, y: float) -> None:
    assert tip(math.radians(phi), 6.0) == pytest.approx((x, y), abs=1e-14)


def test_the_edge_trails_its_tip_by_the_helix() -> None:
    # A helix of 45 degrees climbs its own way along the circle: pi D high is one turn.
    assert float(lag(math.pi * 12, math.pi / 4, 12.0)) == pytest.approx(2 * math.pi)
    assert float(edge_angle(2.0, 10.0, math.radians(30), 12.0)) == pytest.approx(2.0 - 2 * 10 / math.sqrt(3) / 12)
    assert float(lag(0.0, 1.0, 12.0)) == float(lag(5.0, 0.0, 12.0)) == 0.0


def test_shapes_and_nan() -> None:
    assert lag(np.ones((3, 1)), np.ones(4), 12.0).shape == (3, 4) and lag(1.0, 1.0, 1.0).ndim == 0
    x, y = tip(np.array([0.1, np.nan]), 6.0)
    assert np.isnan([x[1], y[1]]).all() and np.isfinite([x[0], y[0]]).all()
