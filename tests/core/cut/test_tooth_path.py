"""The true path: against high precision, drawn paths, areas of polygons, and where contact truly ends."""

from __future__ import annotations

import itertools
import math

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely.geometry import LineString, Polygon

from core.cut.chip import thickness, trochoid_thickness, true_thickness_at
from core.cut.tooth_path import (
    feed_per_radian,
    overrun,
    path_shortfall,
    shortfall_at,
    thickest_angle,
    tooth_path,
    tooth_radius,
)
from core.effects.arc_results import arc_results
from core.effects.wall_marks import wall_profile
from core.setup.setup import Cut, Cutter, Direction, Setup
from tests.arrays import all_near
from tests.core.cut.true_path_reference import by_drawing, by_root
from tests.strategies import setups

ANGLES = (0.0, 1e-6, 0.01, 0.3, 1.0, np.pi / 2 - 1e-7, np.pi / 2, 1.6, 2.2, 3.0, 3.14, np.pi)
SHAPES = list(itertools.product((1, 2, 4, 12, 40), (1e-6, 0.005, 0.05, 0.3)))


@pytest.mark.parametrize(("teeth", "share"), SHAPES, ids=lambda v: f"{v:g}")
def test_thickness_against_a_root_in_high_precision(teeth: int, share: float) -> None:
    d, feed = 12.0, 12.0 * share
    ours = trochoid_thickness(np.array(ANGLES), d, teeth, feed)
    for phi, h in zip(ANGLES, ours, strict=True):
        assert h == pytest.approx(by_root(phi, d, teeth, feed), abs=1e-12), f"at {phi} rad"


@pytest.mark.parametrize(("teeth", "share"), [(1, 0.3), (2, 0.05), (4, 0.1), (6, 0.01), (12, 0.02)])
def test_thickness_against_drawn_paths(teeth: int, share: float) -> None:
    for phi in (0.05, 0.8, 1.5, 1.7, 2.5, 3.1):
        ours = float(trochoid_thickness(phi, 12.0, teeth, 12.0 * share))
        assert ours == pytest.approx(by_drawing(phi, 12.0, teeth, 12.0 * share), abs=2e-7)


@pytest.mark.parametrize(
    ("teeth", "feed", "runout"), [(2, 0.05, 0.02), (3, 0.1, 0.05), (4, 0.06, 0.1), (5, 0.3, 0.2)]
)
def test_thickness_with_runout_against_drawn_paths(teeth: int, feed: float, runout: float) -> None:
    angles = np.array([0.1, 0.7, 1.4, 1.8, 2.6, 3.05])
    for tooth in range(teeth):
        ours = trochoid_thickness(angles, 12.0, teeth, feed, runout=runout, runout_angle=0.4, tooth=tooth)
        for phi, h in zip(angles, ours, strict=True):
            assert h == pytest.approx(by_drawing(phi, 12.0, teeth, feed, runout, 0.4, tooth), abs=3e-7)


def test_the_edge_angle_thins_the_chip_by_its_sine() -> None:
    full = trochoid_thickness(np.array(ANGLES), 12.0, 3, 0.2)
    assert trochoid_thickness(np.array(ANGLES), 12.0, 3, 0.2, np.radians(30.0)) == pytest.approx(full / 2, rel=1e-14)


def test_a_great_million_is_the_same_as_one_by_one() -> None:
    """Blocks of values solved together do not mix them up, whatever the shapes."""
    phi, feed = np.linspace(0, np.pi, 501), np.linspace(0.01, 3.0, 101)[:, None]
    together = path_shortfall(phi, 6.0, feed, feed_per_radian(feed, 4))
    assert together.shape == (101, 501) and together.size > 2 * 16_384
    rows = np.stack([path_shortfall(phi, 6.0, f[0], feed_per_radian(f[0], 4)) for f in feed])
    assert all_near(together, rows, abs=1e-14)


def cut(direction: Direction, ae: float, feed: float, teeth: int = 4, d: float = 12.0) -> Setup:
    """A plain cut."""
    return Setup(Cutter(d, teeth), Cut(direction, ae, 5.0, feed, 3000.0))


def test_the_path_over_the_work_is_one_curve_moved_by_the_feed() -> None:
    setup, phi = cut("climb", 4.0, 0.3), np.linspace(-1.0, 4.0, 50)
    x, y = tooth_path(phi, setup)
    # The tooth before stands 90 degrees ahead (z = 4): at the same angle it stood a quarter turn earlier.
    before = tooth_path(phi, setup, tooth=-1)
    assert before[0] == pytest.approx(x, abs=1e-14) and before[1] == pytest.approx(y - 0.3, abs=1e-14)
    turn = tooth_path(phi, setup, passes_back=1)
    assert turn[1] == pytest.approx(y - 4 * 0.3, abs=1e-14)
    assert tooth_path(np.pi / 2, setup) == pytest.approx((0.0, 6.0), abs=1e-15)


@pytest.mark.parametrize("model_feed", [0.001, 0.1, 1.0])
def test_thickness_is_the_ray_from_the_tip_to_the_path_before(model_feed: float) -> None:
    """The program's own two descriptions of the path agree: shapely crosses the drawn path with the ray."""
    setup = cut("straddling", 12.0, model_feed)
    c = float(feed_per_radian(model_feed, 4))
    earlier = LineString(np.stack(tooth_path(np.linspace(-0.5, 3.7, 40_001), setup, tooth=-1), -1))
    for phi in (0.2, 1.0, 1.5, 2.0, 2.9):
        tip = np.array([float(v) for v in tooth_path(phi, setup)])
        axis = np.array([0.0, c * (phi - np.pi / 2)])
        crossing = earlier.intersection(LineString([axis, tip]))
        ours = float(trochoid_thickness(phi, 12.0, 4, model_feed))
        assert np.hypot(*(tip - np.array(crossing.coords[0]))) == pytest.approx(ours, abs=1e-7)


@pytest.mark.parametrize("feed", [1e-4, 0.06, 0.5])
@pytest.mark.parametrize(
    ("direction", "ae"), [("climb", 4.0), ("climb", 9.0), ("conventional", 1e-3), ("straddling", 12.0)]
)
def test_between_two_paths_lies_the_area_feed_times_width(direction: Direction, ae: float, feed: float) -> None:
    """One curve moved by the feed, closed by the sides of the strip: the chip before it is cut."""
    setup = cut(direction, ae, feed)
    e = arc_results(setup).engagement
    x, y = tooth_path(np.linspace(e.entry, e.exit, 361), setup)
    chip = Polygon(np.concatenate([np.stack([x, y], -1), np.stack([x, y - feed], -1)[::-1]]))
    assert chip.is_valid and chip.area == pytest.approx(feed * ae, rel=1e-9)


@pytest.mark.parametrize(("teeth", "feed"), [(1, 0.3), (2, 0.06), (4, 0.5), (8, 0.2)])
def test_a_slots_chip_is_the_feed_times_the_width_less_the_marks_that_stay(teeth: int, feed: float) -> None:
    """An area identity of the true path itself, with the thickness along the radius.

    The line from the tip inward sweeps (r + c cos(phi)) dr dphi; over true contact that is what one tooth
    takes: ``fz D`` less the feed marks that it leaves on both walls.  Own derivation.
    """
    setup = cut("straddling", 12.0, feed, teeth)
    r, c = arc_results(setup), float(feed_per_radian(feed, teeth))
    nodes, weights = np.polynomial.legendre.leggauss(200)
    half = (r.true_exit - r.true_entry) / 2
    phi = (r.true_exit + r.true_entry) / 2 + half * nodes
    h = trochoid_thickness(phi, 12.0, teeth, feed)
    swept = half * weights @ (h * (6.0 - h / 2) + c * np.cos(phi) * h)
    along = feed / 2 * nodes
    left = sum(feed / 2 * weights @ wall_profile(along, setup, side) for side in (+1, -1))
    assert swept == pytest.approx(feed * 12.0 - left, rel=1e-10)


@pytest.mark.parametrize(("teeth", "share"), SHAPES, ids=lambda v: f"{v:g}")
@pytest.mark.parametrize("side", [+1, -1])
def test_contact_ends_where_two_paths_cross(teeth: int, share: float, side: int) -> None:
    d, feed = 12.0, 12.0 * share
    c = float(feed_per_radian(feed, teeth))
    u = float(overrun(d / 2, feed, c, side))
    low = 0.0
    if side < 0 and c >= d / 2:
        assert 0.0 <= u <= np.pi / 2
        return
    if side < 0:
        # The path loops at the wall; it turns back at cos(u) = c/R.
        high = float(np.arccos(c / (d / 2)))
        if d / 2 * np.sin(high) - c * high < feed / 2:
            return
    else:
        high = np.pi / 2

    def gap(u: float) -> float:
        """How far along the feed a tip at u past the wall has come, against half the feed."""
        _, y = tooth_path(-u if side > 0 else np.pi + u, Setup(Cutter(d, teeth), Cut("climb", 1, 1, feed, 1e3)))
        wall = tooth_path(0.0 if side > 0 else np.pi, Setup(Cutter(d, teeth), Cut("climb", 1, 1, feed, 1e3)))
        return abs(float(y) - float(wall[1])) - feed / 2

    expected = brentq(lambda u: float(d / 2 * mpmath.sin(u) + side * c * u) - feed / 2, low, high, xtol=1e-15)
    assert u == pytest.approx(expected, abs=1e-12)
    assert gap(u) == pytest.approx(0.0, abs=1e-11)
    outside = -u if side > 0 else np.pi + u
    if share <= 0.05 and teeth <= 12:
        assert float(trochoid_thickness(outside, d, teeth, feed)) == pytest.approx(0.0, abs=1e-12)
        assert float(trochoid_thickness(outside + side * u / 2, d, teeth, feed)) > 0.0


@pytest.mark.parametrize(("teeth", "feed"), [(1, 0.5), (4, 0.06), (4, 1.0), (12, 0.3)])
def test_the_thickest_angle_is_the_greatest_of_many(teeth: int, feed: float) -> None:
    top = thickest_angle(6.0, feed, float(feed_per_radian(feed, teeth)))
    phi = np.linspace(0.0, np.pi, 200_001)
    h = trochoid_thickness(phi, 12.0, teeth, feed)
    assert float(trochoid_thickness(top, 12.0, teeth, feed)) >= h.max() - 1e-15
    assert top == pytest.approx(phi[h.argmax()], abs=2e-3)


def test_radii_with_runout() -> None:
    assert tooth_radius(np.arange(4), 4, 6.0, 0.1, 0.0) == pytest.approx([6.1, 6.0, 5.9, 6.0])
    assert tooth_radius(1, 4, 6.0, 0.1, np.pi / 2) == pytest.approx(5.9)
    assert tooth_radius(5, 4, 6.0, 0.1, 0.3) == pytest.approx(float(tooth_radius(1, 4, 6.0, 0.1, 0.3)))


def test_nan_and_shapes() -> None:
    h = trochoid_thickness(np.array([0.5, np.nan, 2.0]), 12.0, 4, 0.06)
    assert np.isnan(h).tolist() == [False, True, False]
    assert np.isnan(trochoid_thickness(0.5, np.nan, 4, 0.06)) and np.isnan(trochoid_thickness(0.5, 12.0, 4, np.nan))
    one = trochoid_thickness(1.0, 12.0, 4, 0.06)
    assert one.ndim == 0 and one.shape == ()
    many = trochoid_thickness(np.linspace(0, 3, 5), np.array([10.0, 12.0])[:, None], 4, np.ones((3, 1, 1)) * 0.05)
    assert many.shape == (3, 2, 5)
    assert many[1, 1, 3] == trochoid_thickness(np.linspace(0, 3, 5)[3], 12.0, 4, 0.05)
    with_runout = trochoid_thickness(np.linspace(0, 3, 5), 12.0, 4, 0.05, runout=0.01, tooth=np.arange(4)[:, None])
    assert with_runout.shape == (4, 5)


@given(
    phi=st.floats(-0.5 * math.pi, 1.5 * math.pi, exclude_min=True, exclude_max=True),
    radius=st.floats(0.05, 500.0),
    share=st.floats(1e-7, 20.0),
    teeth=st.integers(1, 100),
)
def test_one_angle_is_worked_out_as_many_are(phi: float, radius: float, share: float, teeth: int) -> None:
    feed = share * radius
    c = feed * teeth / (2.0 * math.pi)
    many = float(path_shortfall(phi, radius, feed, c))
    assert shortfall_at(phi, radius, feed, c) == pytest.approx(many, rel=1e-12, abs=1e-14 * radius)


def test_one_angle_that_is_not_known_stays_unknown() -> None:
    assert math.isnan(shortfall_at(math.nan, 6.0, 0.06, 0.04)) and math.isnan(shortfall_at(1.0, 6.0, math.nan, 0.04))


@given(setup=setups(), share=st.floats(0.0, 1.0))
def test_the_true_thickness_of_a_setup_at_one_angle_is_that_at_many(setup: Setup, share: float) -> None:
    r = arc_results(setup).engagement
    phi, tooth = r.entry + share * r.arc, setup.cutter.teeth - 1
    many = thickness(np.array([phi]), setup, "trochoid", tooth).item()
    assert true_thickness_at(phi, setup, tooth) == pytest.approx(many, rel=1e-9, abs=1e-12 * setup.cutter.diameter_mm)
