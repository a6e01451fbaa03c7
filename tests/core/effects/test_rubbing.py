"""Rubbing: the figures of the notes, scipy quadrature and roots of the written formulas, mirror, limits."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from core.cut.chip import thickness
from core.cut.engagement import engagement
from core.effects.arc_results import arc_results
from core.effects.rubbing import layers_for_a_chip, ratio_by_friction, ratio_by_stagnation, rubbing
from core.report.effect_keys import rubbing_keys
from core.report.effect_rows import rubbing_rows
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import ChipFormation, LinearEdge, PowerLaw, Setup
from tests.strategies import shop_setups
from tests.usual_setups import edged


def figures(setup: Setup) -> dict[str, Any]:
    return report(setup)["rubbing"]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_the_opening_setup(direction: str) -> None:
    """Own figures, recomputed by hand: arcsin(0.0018 / 0.06), times 6 mm, over 0.06 mm."""
    found = figures(edged(direction))
    own, other = ("exit_deg", "entry_deg") if direction == "climb" else ("entry_deg", "exit_deg")
    assert found["h_min_um"] == pytest.approx(1.8, rel=1e-14)
    assert found[own] == pytest.approx(1.7191, abs=5e-5) == found["arc_deg"]
    assert found[other] == 0.0
    assert found["sliding_mm"] == pytest.approx(0.1800, abs=5e-5)
    assert found["passes"] == pytest.approx(3.000, abs=5e-4)
    assert found["work_share"] == pytest.approx(0.00715, abs=5e-6)
    assert found["teeth_per_chip"] == 1
    assert found["published_deg"] == pytest.approx([0.80, 2.46], abs=5e-3)
    assert found["share"] == pytest.approx(1.7191 / 70.5288, abs=1e-6)


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_a_light_pass_that_never_lifts_a_chip_at_once(direction: str) -> None:
    light = edged(direction, cut__radial_engagement_mm=0.05, cut__feed_per_tooth_mm=0.02, cutter__edge_radius_mm=0.02)
    found = figures(light)
    assert found["arc_deg"] == pytest.approx(7.402, abs=5e-4)
    assert found["share"] == pytest.approx(1.0, abs=1e-12) == found["work_share"]
    assert found["passes"] == pytest.approx(38.8, abs=0.05)
    assert found["teeth_per_chip"] == 3
    springy = light.with_keys({"work.chip": ChipFormation(elastic_recovery=0.75)})
    assert figures(springy)["teeth_per_chip"] == 4


@pytest.mark.parametrize(
    ("direction", "side", "start_deg", "end_deg", "arc_deg"),
    [("conventional", 1.0, -0.2847, 1.4455, 1.7301), ("climb", -1.0, None, None, 1.7083)],
)
def test_true_paths_rub_as_long_as_the_arc_model_says(
    direction: str, side: float, start_deg: float | None, end_deg: float | None, arc_deg: float
) -> None:
    """Between true contact and h = h_min on the true path, by root finding; the arc model says 1.7191 both ways."""
    setup = edged(direction)
    wall = 0.0 if side > 0 else math.pi

    def over(u: float, least: float) -> float:
        return float(thickness(wall + side * u, setup, "trochoid")) - least

    end = brentq(over, 0.001, 0.2, args=(0.0018,), xtol=1e-13)
    # Contact begins where two successive paths cross: R sin u +- c u = fz / 2.
    c = side * 0.06 * 4 / (2 * math.pi)
    start = -brentq(lambda u: 6.0 * math.sin(u) + c * u - 0.03, 0.0, 0.1, xtol=1e-15)
    assert math.degrees(end - start) == pytest.approx(arc_deg, abs=5e-5)
    if start_deg is not None and end_deg is not None:
        assert (math.degrees(start), math.degrees(end)) == pytest.approx((start_deg, end_deg), abs=5e-5)
    assert figures(setup)["arc_deg"] == pytest.approx(arc_deg, rel=0.01)


@pytest.mark.parametrize(("friction", "ratio"), [(0.0, 0.2929), (0.3, 0.1977), (0.5, 0.1493)])
def test_published_ratios_by_friction(friction: float, ratio: float) -> None:
    """Son, Lim, Ahn 2005 (from memory)."""
    assert float(ratio_by_friction(friction)) == pytest.approx(ratio, abs=5e-5)


@pytest.mark.parametrize(("angle", "ratio"), [(45.0, 0.2929), (37.6, 0.2077)])
def test_published_ratios_by_stagnation(angle: float, ratio: float) -> None:
    """Malekian, Mostofa, Park, Jun 2012; L'vov 1969, Basuray 1977 (from memory)."""
    assert float(ratio_by_stagnation(math.radians(angle))) == pytest.approx(ratio, abs=5e-5)


def test_the_two_forms_disagree_about_friction() -> None:
    assert np.all(np.diff(ratio_by_friction(np.linspace(0.0, 1.0, 9))) < 0.0)
    assert np.all(np.diff(ratio_by_stagnation(np.linspace(0.1, 1.0, 9))) > 0.0)


def by_adding_layers(h_max: float, least: float, recovery: float) -> int | None:
    """The recursion as it is written, a thousand layers deep."""
    layer = h_max
    for k in range(1, 1001):
        if layer >= least:
            return k
        layer = h_max + recovery * layer
    return None


@given(st.floats(0.01, 20.0) | st.integers(1, 20).map(float), st.sampled_from((0.0, 0.25, 0.5, 0.75, 0.9, 1.0)))
@settings(max_examples=300)
def test_layers_add_up_as_the_recursion_does(ratio: float, recovery: float) -> None:
    counts = {by_adding_layers(1.0, ratio * (1.0 + tiny), recovery) for tiny in (-1e-7, 0.0, 1e-7)}
    assert layers_for_a_chip(1.0, ratio, recovery) in counts


def test_layers_at_the_edge() -> None:
    assert layers_for_a_chip(0.1, 0.3, 1.0) == 3  # 0.3 / 0.1 is a little over 3 in floats, or under
    assert layers_for_a_chip(1.0, 2.0, 0.5) is None  # 2 is the limit and is never reached
    assert layers_for_a_chip(1.0, 1.0, 0.0) == 1 and layers_for_a_chip(1.0, 1.01, 0.0) is None
    assert layers_for_a_chip(0.0, 1.0, 1.0) is None
    assert layers_for_a_chip(1.0, 10.0, 0.9) is None  # as far as floats tell
    assert layers_for_a_chip(1e-6, 10.0, 1.0) == 10_000_000


def rub_reference(setup: Setup) -> dict[str, float]:
    """Ends by scipy roots of h - h_min on either half, the work by scipy quadrature with h written out."""
    c, cut, law = setup.cutter, setup.cut, setup.work.force
    e, kappa = engagement(setup), math.radians(c.cutting_edge_angle_deg)
    assert c.edge_radius_mm is not None
    least = setup.work.chip.min_chip_ratio * c.edge_radius_mm

    def h(phi: float) -> float:
        return cut.feed_per_tooth_mm * math.sin(phi) * math.sin(kappa)

    def force(phi: float) -> float:
        if isinstance(law, LinearEdge):
            return law.ktc * h(phi) + law.kte
        assert law is not None
        return law.kc11_n_mm2 * max(h(phi), 0.0) ** (1.0 - law.mc)

    top = min(max(math.pi / 2, e.entry), e.exit)
    first = last = 0.0
    if h(top) < least:
        first = top - e.entry
        last = e.exit - top
    else:
        if h(e.entry) < least:
            first = brentq(lambda p: h(p) - least, e.entry, top, xtol=1e-15) - e.entry
        if h(e.exit) < least:
            last = e.exit - brentq(lambda p: h(p) - least, top, e.exit, xtol=1e-15)

    def work(a: float, b: float) -> float:
        return quad(force, a, b, epsabs=0.0, epsrel=1e-12, limit=500)[0] if b > a else 0.0

    whole = work(e.entry, top) + work(top, e.exit)
    rubs = work(e.entry, e.entry + first) + work(e.exit - last, e.exit)
    return {"first": first, "last": last, "work": rubs / whole}


CASES = [
    edged(),
    edged("conventional"),
    edged("conventional", cut__radial_engagement_mm=11.9),
    edged("climb", cut__radial_engagement_mm=11.5, cutter__edge_radius_mm=0.05),
    edged("straddling", cut__radial_engagement_mm=12.0),
    edged("straddling", cut__radial_engagement_mm=11.0, cut__centre_offset_mm=0.3, cutter__edge_radius_mm=0.15),
    edged("conventional", cutter__cutting_edge_angle_deg=45.0, cut__feed_per_tooth_mm=0.01),
    edged("climb", PowerLaw(2220.0, 0.26, 0.4), cut__radial_engagement_mm=9.0),
    edged("conventional", PowerLaw(2220.0, 0.14, 0.4), cutter__edge_radius_mm=0.3),
    edged("straddling", PowerLaw(1780.0, 0.17, 0.4), cut__radial_engagement_mm=12.0),
]


@pytest.mark.parametrize("setup", CASES, ids=range(len(CASES)))
def test_ends_and_work_against_scipy(setup: Setup) -> None:
    found, wanted = rubbing(setup), rub_reference(setup)
    assert found is not None
    assert (found.entry, found.exit) == pytest.approx((wanted["first"], wanted["last"]), rel=1e-6, abs=1e-14)
    assert found.work_share == pytest.approx(wanted["work"], rel=1e-6)
    assert found.arc_share == pytest.approx((wanted["first"] + wanted["last"]) / engagement(setup).arc, rel=1e-6)
    assert found.sliding == pytest.approx(setup.cutter.diameter_mm / 2 * found.arc, rel=1e-14)


@given(shop_setups())
@settings(max_examples=60)
def test_climb_and_conventional_rub_alike(setup: Setup) -> None:
    """Length, passes and work are the same in the mirror, only the end differs."""
    here, there = rubbing(setup), rubbing(setup.opposite)
    if here is None or there is None:
        assert here is there is setup.cutter.edge_radius_mm
        return
    assert (here.entry, here.exit) == pytest.approx((there.exit, there.entry), rel=1e-9, abs=1e-12)
    pairs = ((here.sliding, there.sliding), (here.passes, there.passes), (here.work_share, there.work_share))
    for a, b in pairs:
        assert (a is None) == (b is None)
        assert a is None or b is None or a == pytest.approx(b, rel=1e-6, abs=1e-12)
    assert here.teeth_per_chip == there.teeth_per_chip


def test_a_very_thin_slide_out_keeps_its_digits() -> None:
    sharp = edged("climb", cutter__edge_radius_mm=1e-10)
    found = rubbing(sharp)
    assert found is not None
    assert found.exit == pytest.approx(math.asin(0.3e-10 / 0.06), rel=1e-12)


def test_limits() -> None:
    sharp, blunt = rubbing(edged(cutter__edge_radius_mm=0.0)), rubbing(edged(cutter__edge_radius_mm=10.0))
    assert sharp is not None and blunt is not None
    assert (sharp.arc, sharp.sliding, sharp.work_share, sharp.teeth_per_chip) == (0.0, 0.0, 0.0, 1)
    assert blunt.arc == pytest.approx(engagement(edged()).arc, rel=1e-14)
    assert blunt.arc_share == pytest.approx(1.0, rel=1e-14) and blunt.work_share == pytest.approx(1.0, rel=1e-12)
    middle = rubbing(edged("straddling", cut__radial_engagement_mm=4.0))
    assert middle is not None and middle.arc == 0.0 and middle.passes is None


def test_a_slot_rubs_at_both_ends() -> None:
    found = figures(edged("straddling", cut__radial_engagement_mm=12.0))
    assert (found["entry_deg"], found["exit_deg"]) == pytest.approx((1.719131, 1.719131), abs=1e-6)
    assert found["passes"] is None and found["sliding_mm"] == pytest.approx(0.360054, abs=1e-6)


def test_what_is_not_known_is_null() -> None:
    assert set(figures(edged(cutter__edge_radius_mm=None)).values()) == {None}
    assert set(rubbing_keys(edged(cutter__edge_radius_mm=None))["rubbing"]) == set(figures(edged()))
    assert figures(edged(law=None))["work_share"] is None and figures(edged(law=None))["passes"] > 2.9
    assert figures(edged(law=LinearEdge(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)))["work_share"] is None


def test_a_left_hand_cutter_rubs_alike() -> None:
    assert figures(edged(cutter__hand="left")) == figures(edged())


def test_the_text_tells_it() -> None:
    setup = edged("conventional")
    rows = dict(rubbing_rows(setup, report(setup), "metric"))
    assert rows["rubs after entry"] == "1.72°" and rows["rubs before exit"] == "0.00°"
    assert rows["slides in a turn"] == "0.180 mm, 3.0 teeth over one place"
    assert rows["least chip h min"] == "1.80 µm, 0.30 of the edge radius"
    assert rows["part of the work"] == "0.72 %" and rows["a chip forms"] == "with every tooth"
    assert rows["both, at 0.14 to 0.43 rβ"] == "0.80° to 2.46°"
    assert "wear and built-up edge are left out" in " ".join(text_report(setup).split())
    unknown = edged(cutter__edge_radius_mm=None)
    assert rubbing_rows(unknown, report(unknown), "metric") == []


@settings(max_examples=60)
@given(shop_setups())
def test_the_feed_for_a_chip_just_reaches_the_least_chip(setup: Setup) -> None:
    setup = setup.with_keys({"cutter.runout_mm": 0.0})
    found = rubbing(setup)
    if found is None or not found.h_min > 0.0:
        return
    fed = setup.with_keys({"cut.feed_per_tooth_mm": found.feed_for_chip})
    assert arc_results(fed).arc.h_max == pytest.approx(found.h_min, rel=1e-9)
