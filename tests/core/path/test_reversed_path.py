"""A program run backwards: the same line, the other direction."""

from __future__ import annotations

import numpy as np
import pytest

from core.base.places import shared
from core.path.corner import corner
from core.path.fed_length import fed_length
from core.path.moves import Moves
from core.path.open_path import load_path
from core.path.path_totals import path_totals
from core.path.reversed_path import reversed_program
from core.path.samples import WAYS
from core.path.whole_path import path_stages, with_heat
from tests.core.path.test_whole_path import boss


def test_twice_reversed_is_the_program_again() -> None:
    program = load_path(str(shared("programs", "bracket-pocket.nc")))
    twice = reversed_program(reversed_program(program)).moves
    for name in Moves.__dataclass_fields__:
        np.testing.assert_array_equal(getattr(twice, name), getattr(program.moves, name))
    back = reversed_program(program).moves
    assert fed_length(back).length == pytest.approx(program.length_mm)
    # Each move begins where the one before ended.
    np.testing.assert_allclose(back.start_mm[1:], back.end_mm[:-1])


def test_a_corner_that_climbs_cuts_conventional_backwards() -> None:
    setup = boss()
    ahead = corner(setup, 12.0)
    *_, there = path_stages(ahead.program, ahead.stock, setup)
    *_, back = path_stages(reversed_program(ahead.program), ahead.stock, setup)
    climbs, other = path_totals(there), path_totals(back)
    assert climbs.shares[WAYS.index("climb")] > 0.95 and other.shares[WAYS.index("conventional")] > 0.95
    # Straight in and straight out are alike, so are the longest arcs and the time.
    assert other.arc == pytest.approx(climbs.arc, abs=2e-3)
    assert other.minutes == pytest.approx(climbs.minutes)
    cut = setup.cut
    rate = cut.feed_per_tooth_mm * setup.cutter.teeth * cut.spindle_speed_rpm
    assert climbs.minutes == pytest.approx(climbs.length / rate)


def test_work_is_power_by_time_and_heat_that_of_the_steady_cut() -> None:
    setup = boss()
    ahead = corner(setup, 12.0)
    *_, whole = path_stages(ahead.program, ahead.stock, setup)
    found = whole.samples
    rate = setup.cut.feed_per_tooth_mm * setup.cutter.teeth * setup.cut.spindle_speed_rpm / 60.0
    power = np.trapezoid(found.loads.power, found.s) / rate
    assert path_totals(whole).work == pytest.approx(power, rel=5e-3)
    hot = with_heat(whole).heat
    assert hot is not None and (hot.rise[found.way == 0] == 0.0).all()
    # Longer arcs of one feed are hotter, and alike ones alike.
    order = np.argsort(found.engaged.arc)
    assert (np.diff(hot.rise[order]) > -0.01 * hot.rise.max()).all()
