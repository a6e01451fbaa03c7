"""The tooth angles that strips stand on: one common row of degrees, with the ends of arcs put in their place."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array, ascending

DOMAIN_DEG = (-10.0, 190.0)
"""Tooth angles that a strip's axis shows: 9 o'clock to 3 o'clock and a little beyond either."""

STEP_DEG = 1.0
"""Spacing of a strip's samples: a few pixels on a wide screen; corners are samples of their own."""

_GRID_DEG = np.arange(DOMAIN_DEG[0], DOMAIN_DEG[1] + STEP_DEG / 2, STEP_DEG)


def strip_angles(extra_deg: ArrayLike = ()) -> Array:
    """The common angles of a strip, degrees, with extra ones of any shape (the ends of an arc) put in their place."""
    extra = np.asarray(extra_deg, float).reshape(-1)
    inside = extra[(extra > DOMAIN_DEG[0]) & (extra < DOMAIN_DEG[1])]
    return ascending(np.concatenate([_GRID_DEG, inside]))
