"""Bends as sums of parts: against scipy's quadrature, and against the bends of the laws and bars themselves."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from core.effects.edge_bend import bend, bend_parts, bends, counts
from core.effects.wall import WallMaker, wall_maker
from core.setup.setup import LinearEdge, PowerLaw, Setup
from tests.usual_setups import STEEL_LAW, held

WORN = {"cutter__wear_land_mm": 0.1, "cutter__edge_radius_mm": 0.004}
SHARP = PowerLaw(2220.0, 0.14, 0.4, edge_radius_mm=0.01)


def maker_of(setup: Setup) -> WallMaker:
    maker = wall_maker(setup)
    assert maker is not None
    return maker


@pytest.mark.parametrize("helix", [3.0, 30.0, 31.0, 60.0])
def test_a_linear_law_bends_as_by_quadrature(helix: float) -> None:
    """30 degrees wind 0.96 rad over the depth, 31 degrees a little more than 1: both sides of the shorter rule."""
    s = held(cutter__helix_deg=helix, cut__radial_engagement_mm=11.0, cutter__flute_length_mm=7.0)
    maker = maker_of(s)
    slope = math.tan(math.radians(helix)) / 6.0
    heights, tips = np.array([0.0, 4.0, 10.0]), np.array([0.6, 1.9, 3.0])
    wanted = []
    for y, tip in zip(heights.tolist(), tips.tolist(), strict=True):
        moved = 0.0
        for turn in range(-8, 9):
            t = tip + math.pi / 2.0 * turn
            low, high = (min(max((t - a) / slope, 0.0), 10.0) for a in (maker.leave, maker.entry))
            joints = sorted({low, high, *[z for z in (y, 7.0) if low < z < high]})
            for a, b in pairwise(joints):
                moved += quad(
                    lambda z, t=t, y=y: float(maker.loads.law.across(t - slope * z) * maker.held.compliance(y, z)),
                    a,
                    b,
                    epsabs=1e-17,
                    epsrel=1e-13,
                )[0]
        wanted.append(moved)
    found = bend(heights, tips, maker.entry, maker.leave, s, maker.loads, maker.held)
    np.testing.assert_allclose(found, wanted, rtol=1e-11, atol=1e-12 * max(map(abs, wanted)))


@pytest.mark.parametrize("law", [STEEL_LAW, PowerLaw(2220.0, 0.14, 0.4), SHARP])
@pytest.mark.parametrize("runout", [0.0, 0.01])
@pytest.mark.parametrize(
    "bar",
    [
        {},
        {"cutter__flute_length_mm": 7.0, "cutter__shank_diameter_mm": 10.0},
        {
            "cutter__flute_length_mm": 15.0,
            "cutter__neck_diameter_mm": 9.0,
            "cutter__neck_length_mm": 9.0,
            "cutter__holder_stiffness_n_mm": 2e4,
        },
    ],
)
def test_parts_that_count_otherwise_are_the_bend_of_another_law_and_bar(
    law: LinearEdge | PowerLaw, runout: float, bar: dict[str, Any]
) -> None:
    s = held("conventional", law, cutter__runout_mm=runout, **bar, **WORN)
    maker = maker_of(s)
    size = "kc11_n_mm2" if isinstance(law, PowerLaw) else "krc"
    other = maker_of(s.with_values(work__force=replace(law, **{size: 1.3 * getattr(law, size)})))
    stiff = replace(maker.held, flutes_ei=1.2 * maker.held.flutes_ei, holder=0.8 * maker.held.holder)
    assert other.loads.law.across_form == maker.loads.law.across_form
    heights, tips = np.linspace(0.0, 10.0, 12), np.linspace(0.1, 5.0, 12)
    edges = (maker.entry, maker.leave, s, maker.loads)
    parts = bend_parts(heights, tips, *edges, maker.held)
    assert parts is not None
    ways = [(maker.loads.law, maker.held), (other.loads.law, maker.held), (other.loads.law, stiff)]
    together = bends(heights, tips, *edges, ways)
    for (one, held_in), moved in zip(ways, together, strict=True):
        close = {"rtol": 1e-12, "atol": 1e-14 * np.abs(moved).max()}
        np.testing.assert_allclose(np.array(counts(maker.loads, one, held_in)) @ parts, moved, **close)
        alone = bend(heights, tips, maker.entry, maker.leave, s, maker.loads.under(one), held_in)
        np.testing.assert_allclose(alone, moved, **close)


@pytest.mark.parametrize("law", [STEEL_LAW, PowerLaw(2220.0, 0.14, 0.4), SHARP])
def test_the_force_across_is_its_parts_by_their_shares(law: LinearEdge | PowerLaw) -> None:
    own = maker_of(held(law=law, **WORN)).loads.law
    u, h = np.linspace(0.1, 3.0, 40), np.linspace(0.0, 0.08, 40)
    s, c = np.sin(u), np.cos(u)
    mixed = np.array(own.across_shares) @ own.across_parts(h, s, c)
    np.testing.assert_allclose(mixed, own.on_chip(h, u)[:, 0], rtol=1e-12, atol=1e-12)
