"""Long arrays compared at once: ``pytest.approx`` takes their figures one by one, thousands of them in a second."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike


def all_near(found: ArrayLike, wanted: ArrayLike, rel: float = 0.0, abs: float = 0.0) -> bool:
    """Whether two arrays of one shape differ nowhere by more than both ``rel`` of what is wanted and ``abs``.

    As ``pytest.approx(wanted, rel, abs)``: the greater of the two holds, and what is no number is near nothing.
    """
    one, other = np.asarray(found), np.asarray(wanted)
    assert one.shape == other.shape, (one.shape, other.shape)
    return bool((np.abs(one - other) <= np.maximum(rel * np.abs(other), abs)).all())
