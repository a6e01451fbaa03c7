"""The piece of a step in which an edge cuts, and the straight force in its place, against plain quadrature."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from core.chatter.chip_contact import contact_piece, step_force

_S = (np.arange(20_000) + 0.5) / 20_000
CHIP = st.floats(-1.0, 1.0)
ENDS = st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)).map(sorted)


@given(CHIP, CHIP, ENDS)
def test_impulse_and_moment_are_those_of_the_piece_in_contact(h0: float, h1: float, ends: list[float]) -> None:
    """Force 3 h + 2 where the chip h is not below 0 and the step lies in the arc, else nothing."""
    low, high = contact_piece(np.array(h0), np.array(h1), np.array(ends[0]), np.array(ends[1]))
    chips = h0 + (h1 - h0) * np.array([low, high])
    begin, end = step_force(low, high, 3.0 * chips[0] + 2.0, 3.0 * chips[1] + 2.0)
    h = h0 + (h1 - h0) * _S
    true = np.where((h >= 0.0) & (ends[0] <= _S) & (ends[1] >= _S), 3.0 * h + 2.0, 0.0)
    straight = begin + (end - begin) * _S
    # A sample more or less at each end of the piece is what the quadrature can be off by.
    assert abs(straight.mean() - true.mean()) < 2.5 * 5.0 / 20_000
    assert abs((straight * _S).mean() - (true * _S).mean()) < 2.5 * 5.0 / 20_000


@given(st.floats(-1.0, 0.0, exclude_max=True), st.floats(-1.0, 0.0, exclude_max=True))
def test_out_of_contact_there_is_no_force(h0: float, h1: float) -> None:
    low, high = contact_piece(np.array(h0), np.array(h1), 0.0, np.array(1.0))
    begin, end = step_force(low, high, np.array(7.0), np.array(5.0))
    assert high <= low and begin == 0.0 and end == 0.0
