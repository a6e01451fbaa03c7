"""Speeds and rates by hand; approach lengths against the circle itself."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.cut.rates import face_approach, rates, side_approach, spindle_speed
from core.setup.setup import Cut, Cutter, Setup


def test_rates_by_hand() -> None:
    r = rates(Setup(Cutter(10.0, 3), Cut("climb", 2.0, 5.0, 0.1, 1000.0)))
    assert r.cutting_speed_m_min == pytest.approx(10 * math.pi)
    assert (r.table_feed_mm_min, r.removal_rate_mm3_min) == pytest.approx((300.0, 3000.0))
    assert (r.volume_per_tooth_mm3, r.turn_ms) == pytest.approx((1.0, 60.0))


def test_spindle_speed_is_the_inverse_of_cutting_speed() -> None:
    n = float(spindle_speed(125.0, 16.0))
    assert rates(Setup(Cutter(16.0, 3), Cut("climb", 2.0, 5.0, 0.1, n))).cutting_speed_m_min == pytest.approx(125.0)


@pytest.mark.parametrize("share", [0.01, 0.2, 0.5, 0.7, 1.0])
def test_side_approach_by_walking_the_cutter_in(share: float) -> None:
    """The work's corner at x = R - ae, its end at y = 0: the axis stands at -A when the circle first touches."""
    d, ae = 40.0, 40.0 * share
    x = np.linspace(20.0 - ae, 20.0, 200_001)
    first = np.sqrt(np.maximum(400.0 - x**2, 0.0)).max()
    assert float(side_approach(d, ae)) == pytest.approx(first, abs=1e-9)


@pytest.mark.parametrize("share", [0.01, 0.5, 0.9, 1.0])
def test_face_approach_by_walking_the_cutter_in(share: float) -> None:
    """The circle's front passes the end of the work at x = 0 first and at the corners last."""
    d, w = 40.0, 40.0 * share
    assert float(face_approach(d, w)) == pytest.approx(20.0 - math.sqrt(max(400.0 - w * w / 4, 0.0)), abs=1e-12)


def test_shapes_and_nan() -> None:
    assert side_approach(np.ones((2, 1)) * 10, np.ones(3)).shape == (2, 3) and face_approach(10.0, 1.0).ndim == 0
    assert np.isnan(face_approach(np.nan, 1.0)) and np.isnan(side_approach(10.0, np.nan))
