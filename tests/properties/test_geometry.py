"""What must hold for the geometry of every legal setup."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.cut.rates import rates
from core.effects.arc_results import arc_results, paired_angle
from core.effects.rubbing import rub_arcs
from core.setup.setup import Setup
from tests.strategies import setups, shop_setups

MANY = settings(max_examples=60)
"""Most examples hold for hundreds of angles each, and to draw a setup costs more than to look at it."""


def plain(setup: Setup) -> Setup:
    """The setup without runout, whose figures are another matter."""
    return setup.with_values(cutter__runout_mm=0.0)


@given(setups(), st.floats(0.0, 1.0))
@MANY
def test_climb_and_conventional_are_mirror_images_in_the_arc_model(setup: Setup, part: float) -> None:
    here, there = plain(setup), plain(setup).opposite
    a, b = arc_results(here), arc_results(there)
    assert a.engagement.entry == pytest.approx(math.pi - b.engagement.exit, abs=1e-12)
    assert a.engagement.exit == pytest.approx(math.pi - b.engagement.entry, abs=1e-12)
    feed = setup.cut.feed_per_tooth_mm
    assert a.arc.h_entry == pytest.approx(b.arc.h_exit, abs=1e-12 * feed)
    assert (a.arc.h_max, a.arc.h_mean) == pytest.approx((b.arc.h_max, b.arc.h_mean), rel=1e-9)
    phi = a.engagement.entry + part * a.engagement.arc
    assert float(thickness(phi, here, "arc")) == pytest.approx(
        float(thickness(math.pi - phi, there, "arc")), abs=1e-12 * feed
    )
    assert (a.rub_entry, a.rub_exit) == pytest.approx((b.rub_exit, b.rub_entry), abs=1e-9, nan_ok=True)


@given(setups())
@MANY
def test_thickness_is_never_negative_and_contact_is_in_order(setup: Setup) -> None:
    r = arc_results(plain(setup))
    e = r.engagement
    assert r.true_entry <= e.entry <= e.exit <= r.true_exit
    assert r.true_entry >= -math.pi / 2 and r.true_exit <= 1.5 * math.pi
    phi = np.linspace(e.entry, e.exit, 101)
    for model, summary in (("arc", r.arc), ("trochoid", r.trochoid)):
        h = thickness(phi, plain(setup), model)  # type: ignore[arg-type]
        assert np.isfinite(h).all() and (h >= 0.0).all()
        assert h.max() <= summary.h_max * (1 + 1e-9) + 1e-300
        assert 0.0 <= summary.h_mean <= summary.h_max * (1 + 1e-9)


@given(shop_setups())
@MANY
def test_thickness_has_no_jumps(setup: Setup) -> None:
    """Between looks a hundredth of a degree apart it changes by no more than the feed of a turn allows."""
    r = arc_results(setup)
    phi = np.linspace(r.true_entry, r.true_exit, 1 + int(np.degrees(r.true_exit - r.true_entry) * 100))
    steepest = 2.0 * setup.cutter.teeth * setup.cut.feed_per_tooth_mm
    for model in ("arc", "trochoid"):
        h = thickness(phi, setup, model)
        assert np.abs(np.diff(h)).max() <= steepest * (phi[1] - phi[0]) + 1e-15


@given(setups())
@MANY
def test_what_all_teeth_take_in_a_turn_is_depth_times_width_times_feed(setup: Setup) -> None:
    """z chips by the thickness, over the edge and along the arc, are ap ae f; and so is the removal rate."""
    cutter, cut = setup.cutter, setup.cut
    r = arc_results(plain(setup))
    edge = cut.axial_engagement_mm / math.sin(math.radians(cutter.cutting_edge_angle_deg))
    taken = cutter.teeth * r.arc.h_mean * r.engagement.arc * cutter.diameter_mm / 2 * edge
    turn = cut.axial_engagement_mm * cut.radial_engagement_mm * cut.feed_per_tooth_mm * cutter.teeth
    # The arc of a thin climb cut is the small difference of two angles near 180 degrees.
    assert taken == pytest.approx(turn, rel=1e-11 + 1e-15 / r.engagement.arc**2)
    assert rates(setup).removal_rate_mm3_min == pytest.approx(turn * cut.spindle_speed_rpm, rel=1e-12)


@given(shop_setups(), st.floats(0.01, 100.0))
@MANY
def test_twice_as_large_is_the_same_picture(setup: Setup, scale: float) -> None:
    """All lengths scaled together: the same angles, thickness scaled alike."""
    keys = ("cutter.diameter_mm", "cut.radial_engagement_mm", "cut.feed_per_tooth_mm", "cut.centre_offset_mm")
    larger = plain(setup).with_keys({key: setup.value(key) * scale for key in keys})
    a, b = arc_results(plain(setup)), arc_results(larger)
    assert (b.engagement.entry, b.engagement.exit) == pytest.approx((a.engagement.entry, a.engagement.exit), abs=1e-9)
    for name in ("h_max", "h_mean"):
        assert getattr(b.trochoid, name) == pytest.approx(scale * getattr(a.trochoid, name), rel=1e-9)


@given(shop_setups())
@MANY
def test_the_ends_of_the_range_of_widths(setup: Setup) -> None:
    """ae toward nothing: the arc and the thickest chip of the arc model vanish; ae = D: half a turn, h_max = fz."""
    if setup.cut.direction == "straddling":
        return
    d = setup.cutter.diameter_mm
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    thin = arc_results(plain(setup).with_values(cut__radial_engagement_mm=1e-9 * d))
    assert thin.engagement.arc == pytest.approx(2 * math.sqrt(1e-9), rel=1e-6)
    assert thin.arc.h_max == pytest.approx(setup.cut.feed_per_tooth_mm * kappa * 2 * math.sqrt(1e-9), rel=1e-6)
    wide = arc_results(plain(setup).with_values(cut__radial_engagement_mm=d * (1 - 1e-12)))
    slot = plain(setup).with_values(cut__direction="straddling", cut__radial_engagement_mm=d)
    full = arc_results(slot)
    assert full.engagement.arc == pytest.approx(math.pi, abs=1e-15)
    assert full.arc.h_max == pytest.approx(setup.cut.feed_per_tooth_mm * kappa, rel=1e-15)
    assert full.arc.h_mean == pytest.approx(setup.cut.feed_per_tooth_mm * kappa * 2 / math.pi, rel=1e-14)
    assert wide.engagement.arc == pytest.approx(math.pi, abs=3e-6)
    assert wide.trochoid.h_mean == pytest.approx(full.trochoid.h_mean, rel=1e-5)


@given(setups())
@MANY
def test_rubbing_arcs_are_where_the_chip_is_under_the_least(setup: Setup) -> None:
    # Runout gives each tooth a chip of its own: tests/core/effects/test_cutting_tooth.py.
    setup = plain(setup)
    e = engagement(setup)
    first, last = rub_arcs(setup, e)
    radius = setup.cutter.edge_radius_mm
    if radius is None:
        assert math.isnan(first) and math.isnan(last)
        return
    least = setup.work.chip.min_chip_ratio * radius
    assert 0.0 <= first <= e.arc and 0.0 <= last <= e.arc
    phi = e.entry + e.arc * (np.arange(400) + 0.5) / 400
    under = thickness(phi, setup, "arc") < least
    told = (phi < e.entry + first) | (phi > e.exit - last)
    near = (np.abs(phi - e.entry - first) < 1e-6) | (np.abs(phi - e.exit + last) < 1e-6)
    assert (under == told)[~near].all()


@given(shop_setups(), st.floats(-1.0, 7.0))
@MANY
def test_pair_keeps_the_same_progress(setup: Setup, phi: float) -> None:
    """There and back again is where it was, in the cut and in the air."""
    here, there = engagement(setup), engagement(setup.opposite)
    mirrored = paired_angle(phi, here, there)
    back = paired_angle(mirrored, there, here)
    assert math.remainder(back - phi, 2 * math.pi) == pytest.approx(0.0, abs=1e-6)
    inside = here.entry + 1e-6 < phi < here.exit - 1e-6
    if inside:
        assert (mirrored - there.entry) / there.arc == pytest.approx((phi - here.entry) / here.arc, abs=1e-9)
