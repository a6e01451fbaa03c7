"""The chip load along helical edges: against quadrature, its mean, and the straight edge as its limit."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.integrate import quad

from core.cut.chip_load import all_teeth_section, tooth_section
from core.cut.engagement import engagement
from core.setup.setup import Cut, Cutter, Setup

CUTS = [
    Setup(Cutter(12.0, z, helix_deg=helix), Cut(direction, ae, ap, 0.06, 4000.0))  # type: ignore[arg-type]
    for z, helix in ((1, 30.0), (4, 30.0), (6, 45.0), (3, 0.0), (2, 60.0))
    for direction, ae in (("climb", 4.0), ("conventional", 9.0), ("straddling", 12.0))
    for ap in (2.0, 40.0)
]


@pytest.mark.parametrize("setup", CUTS, ids=lambda s: f"{s.cutter.teeth}-{s.cutter.helix_deg:g}-{s.cut.direction}")
def test_one_tooth_against_quadrature_along_the_edge(setup: Setup) -> None:
    e, cut = engagement(setup), setup.cut
    for tip in np.radians([5.0, 75.0, 130.0, 179.0, 200.0, 260.0, 355.0, 430.0]):

        def h(height: float, tip: float = float(tip)) -> float:
            u = (tip - e.edge_lag * height / cut.axial_engagement_mm) % (2 * np.pi)
            return cut.feed_per_tooth_mm * np.sin(u) if e.entry <= u <= e.exit else 0.0

        heights = np.linspace(0.0, cut.axial_engagement_mm, 33)
        wanted = sum(quad(h, a, b, limit=200)[0] for a, b in itertools.pairwise(heights))
        assert float(tooth_section(tip, setup)) == pytest.approx(wanted, abs=2e-5)


@pytest.mark.parametrize("setup", CUTS, ids=lambda s: f"{s.cutter.teeth}-{s.cutter.helix_deg:g}-{s.cut.direction}")
def test_mean_over_a_turn_is_the_removal_rate_over_the_cutting_speed(setup: Setup) -> None:
    phi = (np.arange(36_000) + 0.5) * 2 * np.pi / 36_000
    cut, cutter = setup.cut, setup.cutter
    wanted = (
        cut.radial_engagement_mm
        * cut.axial_engagement_mm
        * cut.feed_per_tooth_mm
        * cutter.teeth
        / (np.pi * cutter.diameter_mm)
    )
    assert float(np.mean(all_teeth_section(phi, setup))) == pytest.approx(wanted, rel=1e-4)


def test_the_straight_edge_is_the_limit() -> None:
    phi = np.radians(np.linspace(112.0, 178.0, 50))
    straight = tooth_section(phi, Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0)))
    slight = tooth_section(phi, Setup(Cutter(12.0, 4, helix_deg=1e-4), Cut("climb", 4.0, 10.0, 0.06, 4000.0)))
    assert slight == pytest.approx(straight, rel=1e-4)
