"""The greatest feed and width that keep the wall: against a plain look at many values, and at the ends found."""

from __future__ import annotations

import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.effects.wall import wall_error
from core.effects.within_tolerance import WithinTolerance, feed_within_tolerance, width_within_tolerance
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import Cut, Cutter, LinearEdge, PowerLaw, Setup, Work
from core.setup.setup_limits import FEED_SHARE, RANGES, check_setup
from tests.strategies import shop_setups

FEED, WIDTH = "cut.feed_per_tooth_mm", "cut.radial_engagement_mm"
SHARP = LinearEdge(1800.0, 700.0, 300.0, 0.0, 0.0, 0.0)
LINEAR = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
POWER = PowerLaw(2220.0, 0.14, 0.4)


def setup(direction: Any, law: Any, tolerance: float | None, **values: Any) -> Setup:
    """Setup A of the notes with a tolerance, and changes by ``group__key``."""
    cutter = Cutter(12.0, 4, helix_deg=30.0, stickout_mm=42.0, youngs_modulus_n_mm2=580_000.0)
    cut = Cut(direction, 4.0, 10.0, 0.06, 4000.0, wall_tolerance_mm=tolerance)
    return Setup(cutter, cut, Work(force=law)).with_values(**values)


def size(s: Setup, key: str, value: float) -> float:
    """Size of the error over the depth at another value of the key, at 4001 heights: the plain way."""
    found = wall_error(np.linspace(0.0, s.cut.axial_engagement_mm, 4001), s.with_keys({key: value}))
    return float(np.abs(found).max())  # type: ignore[arg-type]


CASES = [
    setup("climb", SHARP, 0.03),
    setup("climb", POWER, 0.02),
    setup("conventional", LINEAR, 0.03),
    setup("conventional", POWER, 0.01),
    setup("conventional", SHARP, 0.02, cutter__teeth=2, cut__axial_engagement_mm=24.0),
    setup("climb", LINEAR, 0.05, cutter__helix_deg=0.0),
    setup("conventional", LINEAR, 0.06, cutter__helix_deg=0.0, cutter__teeth=12),
    setup("climb", POWER, 0.03, cutter__helix_deg=55.0, cut__axial_engagement_mm=20.0),
]


def ends_hold(s: Setup, key: str, found: WithinTolerance, low: float, high: float) -> None:
    """The band keeps the tolerance inside and at its ends, and loses it a little beyond, up to the legal ends."""
    tolerance = s.cut.wall_tolerance_mm
    assert tolerance is not None
    if found.band is None:
        assert found.greatest is None
        return
    first, last = found.band
    for value in np.linspace(first, last, 9):
        assert size(s, key, float(value)) <= tolerance * (1.0 + 2e-5)
    if last < high * (1.0 - 1e-9):
        assert size(s, key, last * 1.001) > tolerance
    if first > low:
        assert size(s, key, first * 0.999) > tolerance


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_feed_against_a_plain_look(s: Setup) -> None:
    found = feed_within_tolerance(s)
    assert found is not None and found.key == FEED
    top = FEED_SHARE * s.cutter.diameter_mm
    ends_hold(s, FEED, found, RANGES[FEED].least, top)
    feeds = np.geomspace(1e-6, top, 300)
    keeps = np.array([size(s, FEED, float(f)) <= found.tolerance for f in feeds])
    if found.band is None:
        assert not keeps.any()
    else:
        away = np.abs(feeds / np.array(found.band)[:, None] - 1.0).min(axis=0) > 1e-4
        assert np.array_equal(keeps[away], ((feeds >= found.band[0]) & (feeds <= found.band[1]))[away])
        assert found.greatest == (found.band[1] if keeps[0] else None)


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_width_against_a_plain_look(s: Setup) -> None:
    found = width_within_tolerance(s)
    assert found is not None and found.key == WIDTH
    top = float(np.nextafter(s.cutter.diameter_mm, 0.0))
    ends_hold(s, WIDTH, found, RANGES[WIDTH].least, top)
    widths = np.unique(np.concatenate([np.geomspace(1e-5, top, 150), np.linspace(0.01, top, 400)]))
    keeps = np.array([size(s, WIDTH, float(w)) <= found.tolerance for w in widths])
    if found.band is None:
        assert not keeps.any()
        return
    assert found.greatest is not None or not keeps[0]
    if found.greatest is not None:
        assert keeps[widths <= found.greatest * 0.9999].all()
        beyond = widths[(widths > found.greatest) & ~keeps]
        # The first width that fails is the next one of the look.
        assert not len(beyond) or beyond[0] == widths[widths > found.greatest * 1.0001][0]
    assert not keeps[widths > found.band[1] * 1.0001].any()
    assert keeps[(widths > found.band[0] * 1.0001) & (widths < found.band[1] * 0.9999)].all()


def test_a_sharp_edge_bends_in_proportion_so_the_feed_is_a_quotient() -> None:
    """No edge force: error = a fz, greatest feed = tolerance / a, exactly."""
    s = setup("climb", SHARP, 0.03)
    found = feed_within_tolerance(s)
    assert found is not None
    assert found.greatest == pytest.approx(0.03 / size(s, FEED, 1.0), rel=2e-6)
    kienzle = setup("climb", POWER, 0.02)
    power = feed_within_tolerance(kienzle)
    assert power is not None
    assert power.greatest == pytest.approx((0.02 / size(kienzle, FEED, 1.0)) ** (1.0 / 0.86), rel=2e-6)


def test_dull_edges_that_a_thicker_chip_pulls_back_have_a_band_and_no_greatest() -> None:
    dull = setup("conventional", LinearEdge(1800.0, 300.0, 0.0, 20.0, 40.0, 0.0), 0.02)
    found = feed_within_tolerance(dull)
    assert found is not None and found.greatest is None and found.band is not None
    low, high = found.band
    assert 0.0 < low < high
    assert size(dull, FEED, low * 0.99) > 0.02 > size(dull, FEED, low * 1.01)
    text = " ".join(text_report(dull).split())
    assert f"feeds that keep it, up to {low:.4f} mm/tooth to {high:.4f} mm/tooth" in text
    assert report(dull)["wall"]["feed_within_tolerance_mm"] is None
    assert report(dull)["wall"]["feed_band_mm"] == [low, high]


def test_an_edge_force_alone_over_the_tolerance_leaves_nothing() -> None:
    blunt = setup("climb", LinearEdge(1800.0, 700.0, 0.0, 22.0, 500.0, 0.0), 0.001)
    found = feed_within_tolerance(blunt)
    assert found == WithinTolerance(FEED, 0.001, None, None)
    assert "feeds that keep it, up to none" in " ".join(text_report(blunt).split())
    # A straight edge meets the wall with its whole depth at any width.
    straight = width_within_tolerance(blunt.with_values(cutter__helix_deg=0.0))
    assert straight == WithinTolerance(WIDTH, 0.001, None, None)


def test_a_tolerance_that_nothing_reaches_leaves_the_whole_legal_range() -> None:
    s = setup("climb", SHARP, 100.0)
    feed, width = feed_within_tolerance(s), width_within_tolerance(s)
    assert feed is not None and width is not None
    assert feed.greatest == 6.0 and width.greatest == np.nextafter(12.0, 0.0)
    for found in (feed, width):
        assert found.greatest is not None
        check_setup(s.with_keys({found.key: found.greatest}))


def test_without_tolerance_force_or_stiffness_or_wall_there_is_no_answer() -> None:
    for s in (
        setup("climb", LINEAR, None),
        setup("climb", None, 0.03),
        setup("climb", LINEAR, 0.03, cutter__stickout_mm=None),
        setup("straddling", LINEAR, 0.03),
    ):
        assert feed_within_tolerance(s) is None is width_within_tolerance(s)


def test_a_wider_tolerance_never_narrows() -> None:
    for s in CASES:
        wide = [width_within_tolerance(s.with_values(cut__wall_tolerance_mm=t)) for t in (0.01, 0.02, 0.05, 0.2)]
        feed = [feed_within_tolerance(s.with_values(cut__wall_tolerance_mm=t)) for t in (0.01, 0.02, 0.05, 0.2)]
        for found in (wide, feed):
            values = [f.greatest or 0.0 for f in found if f is not None]
            assert values == sorted(values) and len(values) == 4


@given(shop_setups(), st.floats(0.002, 0.2), st.sampled_from((LINEAR, POWER, SHARP)))
@settings(max_examples=40)
def test_what_is_found_is_legal_and_keeps_the_tolerance(s: Setup, tolerance: float, law: Any) -> None:
    out = s.cutter.stickout_mm or max(4.0 * s.cutter.diameter_mm, s.cutter.flute_length_mm or 0.0)
    s = s.with_values(cutter__youngs_modulus_n_mm2=580_000.0, cutter__stickout_mm=out)
    s = s.with_values(work__force=law, cut__wall_tolerance_mm=tolerance)
    found = [feed_within_tolerance(s), width_within_tolerance(s)]
    if s.cut.direction == "straddling":
        assert found == [None, None]
        return
    for each in found:
        assert each is not None
        for value in {each.greatest, *(each.band or ())} - {None}:
            assert value is not None
            changed = s.with_keys({each.key: value})
            check_setup(changed)
            assert size(s, each.key, value) <= tolerance * (1.0 + 1e-4)


def test_it_is_quick() -> None:
    """Under 30 ms each, with room for a slow machine."""
    s, best = CASES[1], [1.0, 1.0]
    for _ in range(7):
        for i, find in enumerate((feed_within_tolerance, width_within_tolerance)):
            find.cache_clear()
            start = time.perf_counter()
            find(s)
            best[i] = min(best[i], time.perf_counter() - start)
    assert max(best) < 0.06
