"""Limits told beside a figure are those that a check of the whole setup holds to."""

from __future__ import annotations

import math

import pytest

from core.base.errors import ChiparcError
from core.documents.setup_examples import EXAMPLES
from core.setup.limits_for import limits_for
from core.setup.setup import Machine, Setup
from core.setup.setup_limits import RANGES, check_setup
from tests.usual_setups import boss

BOSS = boss()
HELD = BOSS.with_keys({"cutter.stickout_mm": 42.0, "cutter.flute_length_mm": 24.0, "cutter.runout_mm": 0.01})
SETUPS = {
    "boss": BOSS,
    "held": HELD,
    "slot": BOSS.with_keys({"cut.direction": "straddling", "cut.radial_engagement_mm": 12.0}),
    "straddling": BOSS.with_keys({"cut.direction": "straddling"}),
    "off the middle": BOSS.with_keys({"cut.direction": "straddling", "cut.centre_offset_mm": -1.5}),
    "curve": BOSS.with_keys({"machine": Machine(speed_curve=((100.0, 0.0), (6000.0, 9.0)))}),
} | {example.id: example.setup() for example in EXAMPLES}
KEYS = (
    "cut.radial_engagement_mm",
    "cut.centre_offset_mm",
    "cut.feed_per_tooth_mm",
    "cut.axial_engagement_mm",
    "cut.spindle_speed_rpm",
    "cutter.runout_mm",
    "cutter.stickout_mm",
    "cutter.flute_length_mm",
    "cutter.helix_deg",
)


def taken(setup: Setup, key: str, value: float) -> bool:
    try:
        check_setup(setup.with_keys({key: value}))
    except ChiparcError:
        return False
    return True


@pytest.mark.parametrize("name", SETUPS)
@pytest.mark.parametrize("key", KEYS)
def test_what_is_inside_is_taken_and_what_is_outside_is_not(name: str, key: str) -> None:
    setup = SETUPS[name]
    limits = limits_for(setup, key)
    assert limits is not None
    r = limits.range
    # Further apart than the slack with which a strip touches the cutter.
    step = 1e-6 * max(abs(r.low), abs(r.high), 1.0)
    for end, outward, open_end in ((r.low, -1.0, r.over), (r.high, 1.0, r.under)):
        assert not taken(setup, key, end + outward * step), (end, outward)
        if r.high - r.low > 2.0 * step:
            assert taken(setup, key, end - outward * step), (end, outward)
        assert taken(setup, key, end) is not open_end, end


def test_a_key_without_a_range_has_no_limits() -> None:
    assert limits_for(BOSS, "cutter.hand") is None


def test_no_limit_is_written_with_a_power_of_ten() -> None:
    for limits in RANGES.values():
        assert "e+" not in str(limits) and not math.isnan(limits.low)
    assert str(RANGES["cut.spindle_speed_rpm"]) == "over 0 up to 1,000,000"
