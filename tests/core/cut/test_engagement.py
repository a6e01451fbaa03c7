"""Strip, entry and exit, teeth in cut: closed forms, high precision near the ends, a count over a turn."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.cut.engagement import angle_at, engagement, entry_exit, teeth_in_cut
from core.setup.setup import Cut, Cutter, Setup
from core.setup.work_strip import strip
from tests.strategies import setups


@pytest.mark.parametrize(
    ("direction", "offset", "x1", "x2"),
    [
        ("climb", 0.0, 2.0, 6.0),
        ("conventional", 0.0, -6.0, -2.0),
        ("straddling", 0.0, -2.0, 2.0),
        ("straddling", 1.0, -1.0, 3.0),
    ],
)
def test_where_the_strip_lies(direction: str, offset: float, x1: float, x2: float) -> None:
    assert [float(x) for x in strip(direction, 12.0, 4.0, offset)] == [x1, x2]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_entry_and_exit_keep_their_digits_from_the_thinnest_cut_to_the_slot(direction: str) -> None:
    """arccos(1 - 2 ae/D) with 40 digits: a plain arccos loses half of them in a thin cut."""
    with mpmath.workdps(40):
        for share in (1e-12, 1e-9, 1e-6, 1e-3, 0.1, 1 / 3, 0.5, 0.9, 1 - 1e-6, 1 - 1e-12):
            exact = float(mpmath.acos(1 - 2 * mpmath.mpf(share * 12.0) / 12))
            entry, leave = (float(a) for a in entry_exit(direction, 12.0, share * 12.0))
            arc = leave - entry
            assert arc == pytest.approx(exact, rel=1e-14, abs=0.0 if direction == "conventional" else 5e-16)
            assert (entry == 0.0) if direction == "conventional" else (leave == np.pi)


def test_a_centred_strip_is_symmetric_and_a_shifted_one_is_not() -> None:
    entry, leave = (float(a) for a in entry_exit("straddling", 150.0, 112.5))
    assert entry + leave == pytest.approx(np.pi, abs=1e-15)
    assert np.degrees([entry, leave]) == pytest.approx([41.40962, 138.59038], abs=5e-6)
    shifted = [float(a) for a in entry_exit("straddling", 150.0, 112.5, 10.0)]
    assert np.cos(shifted) == pytest.approx([46.25 / 75, -66.25 / 75])


def test_outside_the_circle_the_nearer_end() -> None:
    assert angle_at([-7.0, 0.0, 7.0], 12.0) == pytest.approx([0.0, np.pi / 2, np.pi])
    assert np.isnan(angle_at(np.nan, 12.0))


def counted(entry: float, leave: float, trailing: float, teeth: int) -> tuple[float, int, int]:
    """Teeth that touch, by looking at 20000 places of a turn; never at an instant of entry or exit itself."""
    turn = 2 * np.pi
    tips = (np.arange(20_000)[:, None] + np.pi / 10) / 20_000 * turn + turn * np.arange(teeth) / teeth
    # An edge touches from the tip's entry until its upper end has left: it may wrap round the turn.
    touching = ((tips - entry) % turn < leave - entry + trailing).sum(axis=1)
    return float(touching.mean()), int(touching.min()), int(touching.max())


@given(st.floats(0.0, 3.0), st.floats(0.001, 3.1), st.floats(0.0, 8.0), st.integers(1, 12))
@settings(max_examples=60)
def test_teeth_in_cut_against_a_count_over_a_turn(entry: float, arc: float, trailing: float, teeth: int) -> None:
    mean, least, most = (float(v) for v in teeth_in_cut(arc, trailing, teeth))
    # A count of steps cannot tell an overlap shorter than a step from none.
    assume(abs(mean - round(mean)) > teeth / 10_000)
    counted_mean, counted_least, counted_most = counted(entry, entry + arc, trailing, teeth)
    assert mean == pytest.approx(counted_mean, abs=teeth / 10_000)
    assert (least, most) == (counted_least, counted_most)


@pytest.mark.parametrize(
    ("arc", "teeth", "count"), [(np.pi / 2, 4, 1), (np.pi, 4, 2), (np.pi, 2, 1), (2 * np.pi / 3, 3, 1)]
)
def test_two_teeth_that_meet_for_an_instant_only_do_not_meet(arc: float, teeth: int, count: int) -> None:
    assert [float(v) for v in teeth_in_cut(arc, 0.0, teeth)] == [count, count, count]
    assert float(teeth_in_cut(arc + 1e-6, 0.0, teeth)[2]) == count + 1
    assert float(teeth_in_cut(arc - 1e-6, 0.0, teeth)[1]) == count - 1


def test_a_steep_helix_keeps_every_tooth_in_the_cut_and_no_more() -> None:
    assert [float(v) for v in teeth_in_cut(1.0, 100.0, 5)] == [5.0, 5.0, 5.0]


@given(setups())
@settings(max_examples=100)
def test_over_all_legal_setups(setup: Setup) -> None:
    e = engagement(setup)
    assert 0.0 <= e.entry <= e.exit <= np.pi and e.arc > 0.0
    assert 0 <= e.teeth_least <= e.teeth_mean + 1e-9 <= e.teeth_most + 2e-9 and e.teeth_most <= setup.cutter.teeth
    assert e.x2 - e.x1 == pytest.approx(
        setup.cut.radial_engagement_mm, rel=1e-9, abs=1e-13 * setup.cutter.diameter_mm
    )
    assert e.arc_length == pytest.approx(e.arc * setup.cutter.diameter_mm / 2)
    assert e.contact_time_ms == pytest.approx(e.arc / (2 * np.pi) * 60_000 / setup.cut.spindle_speed_rpm)


def test_shapes() -> None:
    entry, leave = entry_exit(np.array(["climb", "conventional"])[:, None], 12.0, np.array([1.0, 2.0, 3.0]))
    assert entry.shape == leave.shape == (2, 3)
    one = entry_exit("climb", 12.0, 3.0)
    assert one[0].ndim == 0 and float(one[0]) == entry[0, 2]
    assert np.isnan(entry_exit("climb", np.nan, 3.0)[0])
    assert teeth_in_cut(np.ones((2, 1)), np.ones(3), 4)[0].shape == (2, 3)


def test_a_thinner_cut_is_shorter_to_nothing() -> None:
    def arc(ae: float) -> float:
        return engagement(Setup(Cutter(12.0, 4), Cut("climb", ae, 5.0, 0.05, 3000.0))).arc

    widths = [12 * 10.0**-k for k in range(1, 12)]
    arcs = [arc(w) for w in widths]
    assert arcs == sorted(arcs, reverse=True)
    # Thin cuts: phi_s goes as 2 sqrt(ae/D).
    assert arcs[-1] == pytest.approx(2 * np.sqrt(widths[-1] / 12), rel=1e-9)
