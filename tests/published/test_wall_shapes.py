"""The wall's shape against closed forms and against what others found: each with its source.

Kline, DeVor, Shareef, The prediction of surface accuracy in end milling, J. Eng. Ind. 104 (1982) 272, measured and
computed walls over their depth (from memory, shapes only, no figure): climb (down) leaves stock at every height and
most near the free end; conventional (up) may undercut; the error varies along the axis because a helical edge makes
each height at a time of its own, and a constant force makes a constant error but for the bend itself.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from core.effects.wall import tip_movement, wall_error
from core.effects.wall_depth import wall_profile_over_depth
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work

AL_7075 = LinearEdge(767.01, 168.8, 222.0, 27.7, 26.6, 0.7)
"""Chin. J. Mech. Eng. 2021, doi 10.1186/s10033-021-00536-9, table 5 (seen)."""

TITANIUM = LinearEdge(1825.0, 770.0, 735.0, 29.7, 55.7, 1.8)
"""Ti-6Al-4V: Altintas, Manufacturing Automation (from memory)."""

LENGTH, MODULUS, DIAMETER = 60.0, 207_000.0, 20.0
EI = MODULUS * math.pi * (0.8 * DIAMETER) ** 4 / 64.0


def setup(direction: Any, law: LinearEdge = AL_7075, **values: Any) -> Setup:
    """A long end mill of high-speed steel on a uniform bar of 0.8 D (Kops and Vo 1990)."""
    cutter = Cutter(DIAMETER, 4, helix_deg=30.0, stickout_mm=LENGTH, youngs_modulus_n_mm2=MODULUS)
    return Setup(cutter, Cut(direction, 3.0, 25.0, 0.1, 1000.0), Work(force=law)).with_values(**values)


def even_load(y: float, depth: float) -> float:
    """Movement at height y for each N/mm of an even load over the last ``depth`` mm, times E I.

    Strength-of-materials tables (from memory), load from the free end to ``c = L - depth`` from the wall: beyond c
    the moment is ``w (L - x)^2 / 2``; up to c the beam carries the force ``w depth`` and the moment of it.  Twice
    integrated from the clamped end.
    """
    c, x = LENGTH - depth, LENGTH - y
    force, moment = depth, depth * (c + 0.5 * depth)

    def before(x: float) -> tuple[float, float]:
        return moment * x**2 / 2.0 - force * x**3 / 6.0, moment * x - force * x**2 / 2.0

    if x <= c:
        return before(x)[0]
    bent, slope = before(c)
    t, b = x - c, depth
    # M = (b - t)^2 / 2, integrated twice from t = 0.
    return bent + slope * t + (b**2 * t**2 / 2.0 - b * t**3 / 3.0 + t**4 / 12.0) / 2.0


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("law", [AL_7075, TITANIUM])
def test_a_straight_edge_in_closed_form(direction: Any, law: LinearEdge) -> None:
    """Zero helix: at phi = 0 and 180 the chip is nothing, so an even load kre pushes off either wall alike."""
    for depth in (5.0, 25.0):
        s = setup(direction, law, cutter__helix_deg=0.0, cut__axial_engagement_mm=depth)
        for y in (0.0, 0.4 * depth, depth):
            error = wall_error(y, s)
            assert error is not None
            assert float(error) == pytest.approx(law.kre * even_load(y, depth) / EI, rel=1e-7)
        profile = wall_profile_over_depth(s)
        assert profile is not None
        assert profile.greatest == pytest.approx(law.kre * even_load(0.0, depth) / EI, rel=1e-7)


def test_the_greatest_movement_of_a_straight_edge_in_closed_form() -> None:
    """One tooth, climb from 12 o'clock: at phi = 90 all of ``ktc h + kte`` acts across, to the left."""
    s = setup("climb", cutter__helix_deg=0.0, cutter__teeth=1, cut__radial_engagement_mm=10.0)
    moved = tip_movement(s)
    assert moved is not None
    phi = np.linspace(np.pi / 2.0, np.pi, 200_001)
    h = 0.1 * np.sin(phi)
    fx = -(767.01 * h + 27.7) * np.sin(phi) + (168.8 * h + 26.6) * np.cos(phi)
    assert moved == pytest.approx((fx.min() * even_load(0.0, 25.0) / EI, 0.0), rel=1e-8)


def test_both_directions_with_helix_against_a_sum_of_slices() -> None:
    """Ten thousand slices of each edge, each a point load by the formula of the tables, climb and conventional."""
    for direction in ("climb", "conventional"):
        s = setup(direction, TITANIUM)
        arc, slope = math.acos(1.0 - 2.0 * 3.0 / DIAMETER), 2.0 * math.tan(math.radians(30.0)) / DIAMETER
        zeta = (np.arange(10_000) + 0.5) * 25.0 / 10_000
        for y in (0.0, 7.0, 25.0):
            at = (math.pi if direction == "climb" else 0.0) + slope * y
            x, a = LENGTH - y, LENGTH - zeta
            low, high = np.minimum(x, a), np.maximum(x, a)
            bent = low**2 * (3.0 * high - low) / (6.0 * EI)
            moved = 0.0
            for j in range(4):
                u = (at + j * math.pi / 2.0 - slope * zeta) % (2.0 * math.pi)
                inside = (u >= math.pi - arc) & (u <= math.pi) if direction == "climb" else u <= arc
                h = 0.1 * np.sin(u)
                ft, fr = 1825.0 * h + 29.7, 770.0 * h + 55.7
                moved += float((np.where(inside, -ft * np.sin(u) + fr * np.cos(u), 0.0) * bent).sum()) * 25.0 / 10_000
            error = wall_error(y, s)
            assert error is not None
            expected = -moved if direction == "climb" else moved
            assert float(error) == pytest.approx(expected, abs=2e-3 * abs(expected) + 1e-6)


def test_climb_leaves_stock_over_the_whole_depth_and_most_near_the_free_end() -> None:
    """Kline, DeVor, Shareef 1982 (from memory): down milling leaves material everywhere; the wall leans."""
    for law in (AL_7075, TITANIUM):
        for width in (0.5, 1.5, 3.0, 6.0):
            profile = wall_profile_over_depth(setup("climb", law, cut__radial_engagement_mm=width))
            assert profile is not None and profile.least >= 0.0 and profile.greatest_at < 0.2 * 25.0


def test_conventional_undercuts_as_the_cut_widens_and_both_grow_with_the_feed() -> None:
    """The same source: up milling overcuts where the tangential force pulls in, and a thin cut leaves stock."""
    narrow = wall_profile_over_depth(setup("conventional", cut__radial_engagement_mm=0.05, cutter__helix_deg=10.0))
    wide = wall_profile_over_depth(setup("conventional", cut__radial_engagement_mm=8.0))
    assert narrow is not None and narrow.least >= 0.0
    assert wide is not None and wide.least < -wide.greatest
    for direction in ("climb", "conventional"):
        sizes = [
            wall_profile_over_depth(setup(direction, cut__radial_engagement_mm=8.0, cut__feed_per_tooth_mm=f))
            for f in (0.05, 0.1, 0.2)
        ]
        found = [p.size for p in sizes if p is not None]
        assert found == sorted(found) and len(found) == 3


def test_a_force_without_pulsation_makes_a_wall_that_only_the_bend_shapes() -> None:
    """``ap = pi D / (z tan beta)``: the whole cutter's force is constant over a turn (Martellotti, from memory), so
    that on a holder alone, which does not tilt, the wall is straight."""
    depth = math.pi * DIAMETER / (4.0 * math.tan(math.radians(30.0)))
    s = setup("climb", cut__axial_engagement_mm=depth, cutter__youngs_modulus_n_mm2=2e6)
    s = s.with_values(cutter__holder_stiffness_n_mm=1.0)
    profile = wall_profile_over_depth(s)
    assert profile is not None
    assert profile.greatest - profile.least < 2e-3 * profile.greatest
    pulsing = wall_profile_over_depth(s.with_values(cut__axial_engagement_mm=0.5 * depth))
    assert pulsing is not None and pulsing.greatest - pulsing.least > 0.2 * pulsing.greatest
