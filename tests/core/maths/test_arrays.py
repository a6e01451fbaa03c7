"""What is done with arrays everywhere, against numpy's own."""

from __future__ import annotations

import hypothesis.strategies as st
import numpy as np
from hypothesis import given

from core.maths.arrays import ascending, each_once


@given(st.lists(st.sampled_from([-2.5, -0.0, 0.0, 0.1, 3.0, 3.0000000000000004, 1e300])))
def test_each_once_is_numpys_unique(values: list[float]) -> None:
    given = np.array(values, float)
    found, which = each_once(given)
    wanted, places = np.unique(given, return_inverse=True)
    assert np.array_equal(found, wanted)
    assert np.array_equal(which, places)
    assert np.array_equal(found[which], given)
    assert np.array_equal(ascending(given), wanted)
