"""The greatest feed, width and stick-out that keep the wall: against a plain look, and at the ends found."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.effects.wall import wall_error, wall_maker
from core.effects.wall_range import wall_range
from core.effects.within_tolerance import (
    WithinTolerance,
    feed_within_tolerance,
    stickout_within_tolerance,
    usable_feed,
    usable_width,
    width_within_tolerance,
)
from core.report.report import report
from core.report.text_report import text_report
from core.setup.setup import LinearEdge, PowerLaw, Setup
from core.setup.setup_limits import FEED_SHARE, check_setup
from tests.strategies import shop_setups
from tests.usual_setups import STEEL_LAW, held

FEED, WIDTH, REACH = "cut.feed_per_tooth_mm", "cut.radial_engagement_mm", "cutter.stickout_mm"
SHARP = LinearEdge(1800.0, 700.0, 300.0, 0.0, 0.0, 0.0)
POWER = PowerLaw(2220.0, 0.14, 0.4)


def setup(direction: Any, law: Any, tolerance: float | None, **values: Any) -> Setup:
    """Setup A of the notes with a tolerance, and changes by ``group__key``."""
    return held(direction, law, cut__wall_tolerance_mm=tolerance, **values)


def size(s: Setup, key: str, value: float, heights: int = 401) -> float:
    """Size of the error over the depth at another value of the key, at many heights: the plain way."""
    found = wall_error(np.linspace(0.0, s.cut.axial_engagement_mm, heights), s.with_keys({key: value}))
    return float(np.abs(found).max())  # type: ignore[arg-type]


def within(s: Setup, key: str, value: float, heights: int = 401) -> bool:
    """Whether the wall keeps its tolerance there; where a few of the heights break it the others need no look."""
    tolerance = s.cut.wall_tolerance_mm
    assert tolerance is not None
    some = (heights - 1) // 16 + 1
    return size(s, key, value, some) <= tolerance and size(s, key, value, heights) <= tolerance


CASES = [
    setup("climb", SHARP, 0.03),
    setup("climb", POWER, 0.02),
    setup("conventional", STEEL_LAW, 0.03),
    setup("conventional", POWER, 0.01),
    setup("conventional", SHARP, 0.02, cutter__teeth=2, cut__axial_engagement_mm=24.0),
    setup("climb", STEEL_LAW, 0.05, cutter__helix_deg=0.0),
    setup("conventional", STEEL_LAW, 0.06, cutter__helix_deg=0.0, cutter__teeth=12),
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
        assert not within(s, key, last * 1.001, 8001)
    if first > low:
        assert not within(s, key, first * 0.999, 8001)


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_feed_against_a_plain_look(s: Setup) -> None:
    found = feed_within_tolerance(s)
    assert found is not None and found.key == FEED
    top = FEED_SHARE * s.cutter.diameter_mm
    ends_hold(s, FEED, found, usable_feed(s), top)
    feeds = np.geomspace(usable_feed(s), top, 150)
    keeps = np.array([within(s, FEED, float(f)) for f in feeds])
    if found.band is None:
        assert not keeps.any()
    else:
        away = np.abs(feeds / np.array(found.band)[:, None] - 1.0).min(axis=0) > 1e-3
        assert np.array_equal(keeps[away], ((feeds >= found.band[0]) & (feeds <= found.band[1]))[away])
        assert found.greatest == (found.band[1] if keeps[0] else None)


@pytest.mark.parametrize("s", CASES, ids=range(len(CASES)))
def test_width_against_a_plain_look(s: Setup) -> None:
    found = width_within_tolerance(s)
    assert found is not None and found.key == WIDTH
    top = float(np.nextafter(s.cutter.diameter_mm, 0.0))
    ends_hold(s, WIDTH, found, usable_width(s), top)
    widths = np.unique(np.concatenate([np.geomspace(usable_width(s), top, 60), np.linspace(0.01, top, 150)]))
    keeps = np.array([within(s, WIDTH, float(w)) for w in widths])
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


@pytest.mark.parametrize("s", CASES[:4], ids=range(4))
def test_stickout_against_a_plain_look(s: Setup) -> None:
    found = stickout_within_tolerance(s)
    assert found is not None and found.key == REACH
    ends_hold(s, REACH, found, s.cut.axial_engagement_mm, 15.0 * s.cutter.diameter_mm)
    reaches = np.linspace(s.cut.axial_engagement_mm, 180.0, 120)
    keeps = np.array([within(s, REACH, float(r)) for r in reaches])
    assert found.greatest is not None
    assert keeps[reaches < 0.999 * found.greatest].all() and not keeps[reaches > 1.001 * found.greatest].any()


@pytest.mark.parametrize("s", CASES[:4], ids=range(4))
def test_a_sure_value_keeps_the_tolerance_over_the_whole_range_and_little_more_does_not(s: Setup) -> None:
    for find in (feed_within_tolerance, width_within_tolerance, stickout_within_tolerance):
        found = find(s)
        assert found is not None and found.band is not None and found.sure is not None
        assert found.band[0] <= found.sure < found.band[1]
        at, beyond = (wall_range(s.with_keys({found.key: found.sure * more})) for more in (1.0, 1.02))
        assert at is not None and beyond is not None
        assert at.size <= found.tolerance < beyond.size


def test_nothing_is_offered_that_forms_no_chip() -> None:
    """Not under the least chip thickness, and never a figure that nobody can set."""
    blunt = setup("climb", SHARP, 1e-4, cutter__edge_radius_mm=0.05)
    assert usable_feed(blunt) * np.sin(np.arccos(2 * 4.0 / 12.0 - 1.0)) == pytest.approx(0.015, rel=1e-5)
    found = feed_within_tolerance(blunt)
    assert found == WithinTolerance(FEED, 1e-4, None, None)
    w = usable_width(blunt)
    assert 0.06 * 2.0 * np.sqrt(w / 12.0 * (1.0 - w / 12.0)) == pytest.approx(0.015, rel=1e-5)
    # No width forms a chip at a feed under the least chip.
    never = setup("climb", SHARP, 1.0, cutter__edge_radius_mm=0.3)
    assert width_within_tolerance(never) == WithinTolerance(WIDTH, 1.0, None, None)
    for s in CASES:
        for find, least in ((feed_within_tolerance, 1e-3), (width_within_tolerance, 1e-2)):
            known = find(s)
            assert known is not None and (known.band is None or known.band[0] >= least)


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_with_runout_what_is_found_keeps_the_tolerance_and_more_does_not(direction: Any) -> None:
    s = setup(direction, POWER, 0.03, cutter__runout_mm=0.005, cutter__runout_angle_deg=30.0)
    for find in (feed_within_tolerance, width_within_tolerance, stickout_within_tolerance):
        found = find(s)
        assert found is not None and found.band is not None
        assert size(s, found.key, found.band[1]) <= 0.03 * (1.0 + 1e-5)
        assert size(s, found.key, found.band[1] * 1.002) > 0.03


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
    dull = setup("conventional", LinearEdge(1800.0, 300.0, 0.0, 20.0, 60.0, 0.0), 0.02)
    dull = dull.with_values(cut__radial_engagement_mm=2.5, cut__axial_engagement_mm=6.0)
    found = feed_within_tolerance(dull)
    assert found is not None and found.greatest is None and found.band is not None
    low, high = found.band
    assert 0.0 < low < high
    assert size(dull, FEED, low * 0.99) > 0.02 > size(dull, FEED, low * 1.01)
    text = " ".join(text_report(dull).split())
    sure = f"{found.sure:.4f} mm/tooth over its whole range"
    assert f"feeds that keep it, up to {low:.4f} mm/tooth to {high:.4f} mm/tooth; {sure}" in text
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
        setup("climb", STEEL_LAW, None),
        setup("climb", None, 0.03),
        setup("climb", STEEL_LAW, 0.03, cutter__stickout_mm=None),
        setup("straddling", STEEL_LAW, 0.03),
    ):
        assert feed_within_tolerance(s) is None is width_within_tolerance(s)


def test_a_wider_tolerance_never_narrows() -> None:
    for s in CASES[1:5]:
        wide = [width_within_tolerance(s.with_values(cut__wall_tolerance_mm=t)) for t in (0.01, 0.03, 0.2)]
        feed = [feed_within_tolerance(s.with_values(cut__wall_tolerance_mm=t)) for t in (0.01, 0.03, 0.2)]
        for found in (wide, feed):
            values = [f.greatest or 0.0 for f in found if f is not None]
            assert values == sorted(values) and len(values) == 3


@given(shop_setups(), st.floats(0.002, 0.2), st.sampled_from((STEEL_LAW, POWER, SHARP)))
@settings(max_examples=12)
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
            maker = wall_maker(changed)
            assert maker is not None
            error = maker.errors(np.linspace(0.0, s.cut.axial_engagement_mm, 65)).min(axis=0)
            # With runout of many teeth the kinks are not looked for one by one.
            assert np.abs(error).max() <= tolerance * (1.0 + (1e-4 if len(maker.loads.wall_teeth) <= 4 else 2e-2))
