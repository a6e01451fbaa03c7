"""Chip thickness, its summary, thinning, section: closed forms, quadrature, runout by its definition."""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from core.cut.chip import (
    ChipSummary,
    arc_nodes,
    arc_thickness,
    chip_summary,
    feed_for_thickness,
    section,
    thickness,
    thinning,
    trochoid_thickness,
)
from core.cut.engagement import engagement
from core.setup.setup import Cut, Cutter, Direction, Setup


def cut(direction: Direction, ae: float, feed: float = 0.06, z: int = 4, **cutter: Any) -> Setup:
    """A cutter of 12 mm in a cut of that width."""
    return Setup(Cutter(12.0, z, **cutter), Cut(direction, ae, 10.0, feed, 4000.0))


CUTS = [
    cut("climb", 4.0),
    cut("conventional", 4.0),
    cut("climb", 9.0, 0.5),
    cut("conventional", 1e-4, 1e-3),
    cut("straddling", 12.0, 1.2, 3),
    cut("straddling", 6.0, cutting_edge_angle_deg=45.0),
    cut("climb", 11.9, 2.0, 6),
]
MODELS: tuple[Literal["arc", "trochoid"], ...] = ("arc", "trochoid")


@pytest.mark.parametrize(
    ("phi", "h"), [(0, 0.0), (30, 0.03), (90, 0.06), (150, 0.03), (180, 0.0), (-10, 0.0), (200, 0.0)]
)
def test_arc_thickness_by_hand(phi: float, h: float) -> None:
    assert float(arc_thickness(np.radians(phi), 0.06)) == pytest.approx(h, abs=1e-16)
    assert float(arc_thickness(np.radians(phi), 0.06, np.radians(30.0))) == pytest.approx(h / 2, abs=1e-16)


@pytest.mark.parametrize("z", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("runout", [1e-4, 0.01, 0.2])
def test_arc_thickness_with_runout_by_its_definition(z: int, runout: float) -> None:
    def radius(j: int) -> float:
        return 6.0 + runout * math.cos(0.3 + 2 * math.pi * j / z)

    for j in range(z):
        for phi in (0.0, 0.4, 1.5, 2.9):
            least = min(k * 0.06 * math.sin(phi) + radius(j) - radius(j - k) for k in range(1, z + 1))
            ours = float(arc_thickness(phi, 0.06, teeth=z, runout=runout, runout_angle=0.3, tooth=j))
            assert ours == pytest.approx(max(least, 0.0), abs=1e-14)


def test_one_tooth_has_no_runout_to_speak_of() -> None:
    phi = np.linspace(0, np.pi, 31)
    one = arc_thickness(phi, 0.06, teeth=1, runout=0.05, runout_angle=1.0)
    assert one == pytest.approx(arc_thickness(phi, 0.06), abs=1e-15)


@pytest.mark.parametrize(
    "setup", CUTS, ids=lambda s: f"{s.cut.direction} {s.cut.radial_engagement_mm:g} fz {s.cut.feed_per_tooth_mm:g}"
)
@pytest.mark.parametrize("model", MODELS)
def test_the_summary_against_quadrature_and_a_search(setup: Setup, model: Literal["arc", "trochoid"]) -> None:
    arc = engagement(setup)
    ours = chip_summary(setup, arc, model)

    def h(phi: float) -> float:
        return float(thickness(phi, setup, model))

    assert (ours.h_entry, ours.h_exit) == pytest.approx((h(arc.entry), h(arc.exit)), rel=1e-14)
    mean = quad(h, arc.entry, arc.exit, epsabs=0, epsrel=1e-13, limit=200)[0] / arc.arc
    assert ours.h_mean == pytest.approx(mean, rel=1e-12)
    found = minimize_scalar(
        lambda phi: -h(phi), bounds=(arc.entry, arc.exit), method="bounded", options={"xatol": 1e-12}
    )
    greatest = max(-found.fun, ours.h_entry, ours.h_exit)
    assert ours.h_max == pytest.approx(greatest, rel=1e-12) and ours.h_max >= greatest * (1 - 1e-14)
    assert h(ours.phi_at_max) == pytest.approx(ours.h_max, rel=1e-14)


@pytest.mark.parametrize("model", MODELS)
def test_the_summary_of_a_tooth_with_runout_against_quadrature_between_its_corners(
    model: Literal["arc", "trochoid"],
) -> None:
    setup = cut("climb", 9.0, runout_mm=0.1)
    arc = engagement(setup)
    for tooth in range(4):
        ours = chip_summary(setup, arc, model, tooth)
        phi = np.linspace(arc.entry, arc.exit, 20_001)
        h = thickness(phi, setup, model, tooth)
        assert ours.h_mean == pytest.approx(float(np.trapezoid(h, phi)) / arc.arc, abs=2e-6)
        # The greatest may stand in a corner: the piece about it is looked at again, ten thousand times finer.
        about = phi[h.argmax()] + np.linspace(-1.0, 1.0, 20_001) * (phi[1] - phi[0])
        h = thickness(about[(about >= arc.entry) & (about <= arc.exit)], setup, model, tooth)
        assert ours.h_max == pytest.approx(float(h.max()), abs=1e-9)


@pytest.mark.parametrize("share", [1e-12, 1e-6, 0.01, 0.3, 0.5, 0.99])
@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_area_identity_holds_to_the_last_digits(direction: Direction, share: float) -> None:
    """R times the integral of h is feed times width, exactly, in the arc model; also for the thinnest cut."""
    setup = cut(direction, 12.0 * share, cutting_edge_angle_deg=60.0)
    arc = engagement(setup)
    mean = chip_summary(setup, arc, "arc").h_mean
    area = 0.06 * 12.0 * share * math.sin(math.radians(60.0))
    assert 6.0 * mean * arc.arc == pytest.approx(area, rel=2e-14 if direction == "conventional" else 2e-9)


def test_the_mean_of_a_plain_edge_is_the_closed_form_of_the_frame() -> None:
    for share in (0.1, 0.4, 0.8):
        arc = engagement(cut("conventional", 12 * share))
        assert chip_summary(cut("conventional", 12 * share), arc, "arc").h_mean == pytest.approx(
            0.06 * 2 * share / arc.arc, rel=1e-14
        )


def test_thinning_and_the_feed_that_makes_up_for_it() -> None:
    for setup in CUTS:
        arc = engagement(setup)
        h_max = chip_summary(setup, arc, "arc").h_max
        assert thinning(setup, arc) == pytest.approx(setup.cut.feed_per_tooth_mm / h_max, rel=1e-12)
        more = setup.with_values(cut__feed_per_tooth_mm=float(feed_for_thickness(0.1, setup, arc)))
        assert chip_summary(more, arc, "arc").h_max == pytest.approx(0.1, rel=1e-12)


def test_the_section_times_the_way_is_the_chips_volume() -> None:
    setup = cut("climb", 4.0, cutting_edge_angle_deg=50.0)
    arc = engagement(setup)
    phi, weights = arc_nodes(arc.entry, arc.exit, 8)
    assert 6.0 * float(section(phi, setup) @ weights) == pytest.approx(0.06 * 4.0 * 10.0, rel=1e-12)


def test_quadrature_nodes_are_exact_for_smooth_curves() -> None:
    phi, weights = arc_nodes(0.3, 2.7, 3)
    assert float(weights.sum()) == pytest.approx(2.4, rel=1e-15)
    assert float(np.exp(phi) @ weights) == pytest.approx(math.exp(2.7) - math.exp(0.3), rel=1e-14)


@pytest.mark.parametrize("teeth", [1, 4, 40])
def test_a_vanishing_feed_makes_the_two_models_one(teeth: int) -> None:
    phi = np.linspace(0.05, np.pi - 0.05, 41)
    for feed in (1e-4, 1e-6):
        true, arc = trochoid_thickness(phi, 12.0, teeth, feed), arc_thickness(phi, feed)
        # They differ by feed squared over R, and by the axis' own advance.
        assert np.abs(true - arc).max() < (1 + teeth) * feed**2 / 6.0


def test_the_climb_chip_is_a_little_thicker_than_the_conventional_one_on_average() -> None:
    climb, conventional = (chip_summary(s, engagement(s), "trochoid") for s in (CUTS[0], CUTS[1]))
    assert isinstance(climb, ChipSummary) and climb.h_mean > conventional.h_mean


def test_nan_and_shapes_of_the_arc_model() -> None:
    h = arc_thickness(np.array([0.5, np.nan]), 0.06)
    assert np.isnan(h).tolist() == [False, True] and np.isnan(arc_thickness(0.5, np.nan))
    assert np.isnan(arc_thickness(0.5, 0.06, np.nan)) and np.isnan(arc_thickness(0.5, np.nan, teeth=3, runout=0.1))
    assert np.asarray(arc_thickness(0.5, 0.06)).shape == ()
    assert arc_thickness(np.ones(5), np.ones((3, 1)), np.ones((2, 1, 1))).shape == (2, 3, 5)
    several = arc_thickness(np.ones(5), 0.06, teeth=4, runout=0.01, tooth=np.arange(4)[:, None])
    assert several.shape == (4, 5)
    mixed = arc_thickness(1.0, 0.06, teeth=np.array([2, 5]), runout=0.01, tooth=0)
    for i, z in enumerate((2, 5)):
        assert mixed[i] == float(arc_thickness(1.0, 0.06, teeth=z, runout=0.01, tooth=0))
