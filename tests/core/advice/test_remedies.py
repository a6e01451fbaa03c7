"""The nearest change that lifts what is held against a setup: against trying every figure, and closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.advice.remedies import FARTHEST, QUANTITY_OF, ROUNDER, STEP, Change, changes, nearest_change
from core.base.errors import ChiparcError
from core.base.quantities import QUANTITIES
from core.cut.engagement import engagement
from core.effects.rubbing import layers_for_a_chip, rubbing
from core.effects.wall import wall_error
from core.setup.setup import Machine, Setup
from core.setup.setup_limits import RANGES, check_setup
from tests.strategies import shop_setups
from tests.usual_setups import EDGE, held

KEYS = tuple(key for key in QUANTITY_OF if key.startswith("cut."))
"""Those of the cut, which every setup has."""

WIDTH, FEED, SPEED, DEPTH = KEYS
MOST_CALLS = 60

Test = Callable[[Setup], bool]


def setup_a(direction: Any = "climb", **values: Any) -> Setup:
    """Setup A of the notes."""
    return held(direction, **{**EDGE, **values})


class Counted:
    """A question that counts how often it is asked and keeps what it was asked about."""

    def __init__(self, holds: Test) -> None:
        self.holds, self.asked = holds, 0

    def __call__(self, setup: Setup) -> bool:
        self.asked += 1
        return self.holds(setup)


def legal(setup: Setup) -> bool:
    """Whether the setup may be."""
    try:
        check_setup(setup)
    except ChiparcError:
        return False
    return True


def figures_about(value: float) -> list[float]:
    """Every figure of three digits within FARTHEST of a value, nearest by ratio first: the plain way."""
    low, high = value / FARTHEST, value * FARTHEST
    decades = range(math.floor(math.log10(low)), math.floor(math.log10(high)) + 1)
    every = (float(f"{m}e{d - 2}") for d in decades for m in range(100, 1000))
    return sorted((v for v in every if low <= v <= high and v != value), key=lambda v: abs(math.log(v / value)))


def nearest_by_scan(setup: Setup, key: str, holds: Test) -> float | None:
    """The nearest legal figure that lifts it, by trying all of them."""
    for value in figures_about(setup.value(key)):
        changed = setup.with_keys({key: value})
        if not holds(changed) and legal(changed):
            return value
    return None


def agrees(setup: Setup, key: str, found: float | None, nearest: float | None) -> None:
    """Found is the nearest, or a figure of two digits at most ROUNDER beyond one that is as near as any."""
    if nearest is None or found is None:
        assert found is nearest
        return
    now = setup.value(key)
    size, least = abs(math.log(found / now)), abs(math.log(nearest / now))
    if size > least * (1.0 + 1e-9):
        assert f"{found:.2e}"[3] == "0" and size <= least + math.log(ROUNDER) * (1.0 + 1e-9), (found, nearest)


def bounds(key: str) -> tuple[float, float]:
    """The whole legal range of a key."""
    return RANGES[key].low, RANGES[key].high


@settings(max_examples=30)
@given(shop_setups(), st.sampled_from(KEYS), st.floats(-1.0, 1.0), st.booleans())
def test_one_threshold_is_found_as_by_trying_every_figure(s: Setup, key: str, where: float, above: bool) -> None:
    """Also where the threshold lies out of reach, or beyond what is legal: then nothing lifts it."""
    now = s.value(key)
    limit = now * (1.2 * FARTHEST) ** where
    holds = Counted(lambda t: t.value(key) < limit if above else t.value(key) > limit)
    assume(holds(s))
    holds.asked = 0
    found = nearest_change(s, key, holds, *bounds(key))
    assert holds.asked <= MOST_CALLS
    agrees(s, key, found, nearest_by_scan(s, key, holds.holds))
    if found is not None:
        changed = s.with_keys({key: found})
        check_setup(changed)
        assert not holds(changed) and f"{found:.2e}" == f"{found:.12e}"[:4] + f"{found:.12e}"[14:]


@settings(max_examples=30)
@given(shop_setups(), st.sampled_from(KEYS), st.floats(1.001, 6.0), st.floats(1.001, 6.0))
def test_of_two_windows_the_nearer_is_found(s: Setup, key: str, up: float, down: float) -> None:
    """It is lifted in a window above and in one below, each a little wider than a step, and holds beyond them."""
    now, wide = s.value(key), STEP * 1.03
    holds = Counted(
        lambda t: not (up <= t.value(key) / now <= up * wide or down <= now / t.value(key) <= down * wide)
    )
    found = nearest_change(s, key, holds, *bounds(key))
    assert holds.asked <= MOST_CALLS
    agrees(s, key, found, nearest_by_scan(s, key, holds.holds))


@settings(max_examples=8)
@given(shop_setups(), st.integers(0, 2**32 - 1))
def test_changes_are_legal_lifted_and_the_smallest_first(s: Setup, seed: int) -> None:
    """A question that hangs on all four figures at once, by powers drawn at random."""
    powers = dict(zip(KEYS, np.random.default_rng(seed).uniform(-2.0, 2.0, 4), strict=True))

    def holds(t: Setup) -> bool:
        return math.prod((t.value(k) / s.value(k)) ** p for k, p in powers.items()) < 2.0

    found = changes(s, holds)
    assert [c.size for c in found] == sorted(c.size for c in found)
    assert found == changes(s, holds)
    for change in found:
        check_setup(change.setup)
        assert not holds(change.setup)
        assert change.before == s.value(change.key) and change.after == change.setup.value(change.key)
        assert change.setup == s.with_keys({change.key: change.after})
    told = {c.key: c.after for c in found}
    for key in KEYS:
        agrees(s, key, told.get(key), nearest_by_scan(s, key, holds))


def test_nothing_to_lift_and_nothing_that_lifts() -> None:
    assert changes(setup_a(), lambda s: False) == ()
    always = Counted(lambda s: True)
    assert changes(setup_a(), always) == ()
    assert always.asked <= 1 + MOST_CALLS * len(QUANTITY_OF)


def test_bounds_keep_it_in() -> None:
    s = setup_a()

    def slow(t: Setup) -> bool:
        return t.cut.spindle_speed_rpm < 5000.0

    assert nearest_change(s, SPEED, slow, 0.0, 1e6) == 5000.0
    assert nearest_change(s, SPEED, slow, 0.0, 4990.0) is None
    assert nearest_change(s, SPEED, lambda t: t.cut.spindle_speed_rpm > 3333.0, 3330.0, 1e6) == 3330.0


def test_the_last_legal_figure_is_tried() -> None:
    """Flutes of 11.3, a curve to 4120/min, a diameter of 12: each lies between two steps."""
    curve = Machine(speed_curve=((0.0, 0.0), (4120.0, 5.0)))
    s = setup_a(cutter__flute_length_mm=11.3).with_keys({"machine.": curve})
    for key, most in ((DEPTH, 11.3), (SPEED, 4120.0), (WIDTH, 11.9)):

        def under(t: Setup, key: str = key, most: float = most) -> bool:
            return bool(t.value(key) < most)

        def up_to(t: Setup, key: str = key, most: float = most) -> bool:
            return bool(t.value(key) <= most)

        assert nearest_change(s, key, under, *bounds(key)) == most
        assert nearest_change(s, key, up_to, *bounds(key)) is None


def test_two_digits_where_they_lie_near_and_lift_it_too() -> None:
    s = setup_a()
    assert nearest_change(s, FEED, lambda t: t.cut.feed_per_tooth_mm < 0.0817, 0.0, 1.0) == 0.082
    assert nearest_change(s, FEED, lambda t: not 0.0817 <= t.cut.feed_per_tooth_mm < 0.0819, 0.0, 1.0) is None
    assert nearest_change(s, FEED, lambda t: t.cut.feed_per_tooth_mm < 0.0812, 0.0, 1.0) == 0.082
    # 1.4 % beyond is too far.
    assert nearest_change(s, FEED, lambda t: t.cut.feed_per_tooth_mm < 0.0711, 0.0, 1.0) == 0.0711
    assert nearest_change(s, FEED, lambda t: t.cut.feed_per_tooth_mm > 0.0333, 0.0, 1.0) == 0.033
    assert nearest_change(s, FEED, lambda t: t.cut.feed_per_tooth_mm > 0.0334, 0.0, 1.0) == 0.0334


@pytest.mark.parametrize("key", ["cutter.teeth", "cutter.helix_deg", "cutter.flute_length_mm", "cut.direction"])
def test_what_has_no_ratios_is_refused(key: str) -> None:
    """A whole number, 0, what is not given, a word."""
    with pytest.raises(ValueError, match=key):
        nearest_change(setup_a(cutter__helix_deg=0.0), key, lambda s: True, 0.0, 100.0)


def test_the_feed_that_ends_rubbing_through_the_whole_arc_is_the_closed_form() -> None:
    """All of the arc rubs while fz sin(phi_s) sin(kappa) < k r_e (core/rubbing.py): fz = k r_e / sin(phi_s)."""
    s = setup_a(cut__radial_engagement_mm=0.05, cut__feed_per_tooth_mm=0.02, cutter__edge_radius_mm=0.02)

    def rubs_all(t: Setup) -> bool:
        found = rubbing(t)
        assert found is not None
        return found.arc_share > 1.0 - 1e-9

    found = {c.key: c for c in changes(s, rubs_all)}
    least = 0.3 * 0.02 / math.sin(engagement(s).arc)
    assert found[FEED].after == pytest.approx(least, rel=ROUNDER - 1.0) and found[FEED].after >= least
    # The width at which fz sin(phi_s) is h_min: ae = (1 - cos(arcsin(h_min/fz))) D/2.
    width = 6.0 * (1.0 - math.cos(math.asin(0.3)))
    assert found[WIDTH].after == pytest.approx(width, rel=ROUNDER - 1.0) and found[WIDTH].after >= width
    assert SPEED not in found and DEPTH not in found
    assert layers_for_a_chip(0.02 * math.sin(engagement(s).arc), 0.006, 1.0) == 3


def test_the_wall_of_the_boss_is_brought_within_its_tolerance() -> None:
    def off(t: Setup) -> bool:
        error = wall_error(np.array([0.0]), t)
        assert error is not None
        return abs(float(error[0])) > 0.02

    s = setup_a()
    assert off(s)
    found = changes(s, off)
    assert found and all(isinstance(c, Change) and c.quantity in QUANTITIES for c in found)
    for change in found:
        agrees(s, change.key, change.after, nearest_by_scan(s, change.key, off))
