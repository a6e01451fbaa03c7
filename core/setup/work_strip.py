"""The work strip: the band of work beside the feed line that the cutter goes through."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array

TOUCH = 1e-9
"""Relative slack within which a strip counts as touching the cutter's side: pure rounding."""


def of_direction(direction: ArrayLike, climb: ArrayLike, conventional: ArrayLike, straddling: ArrayLike) -> Array:
    """The value that belongs to the direction: of a single cut just that one, else all broadcast."""
    if isinstance(direction, str) and np.ndim(climb) == np.ndim(conventional) == np.ndim(straddling) == 0:
        one = climb if direction == "climb" else conventional if direction == "conventional" else straddling
        return np.asarray(one)
    direction = np.asarray(direction)
    return np.where(direction == "climb", climb, np.where(direction == "conventional", conventional, straddling))


def strip(
    direction: ArrayLike, diameter: ArrayLike, radial_engagement: ArrayLike, centre_offset: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Left and right edge ``x1, x2`` (mm, seen from the axis) of the strip of work.

    direction : "climb", "conventional" or "straddling", scalar or array of them; lengths in mm;
    all broadcast together.  Conventional starts at -R, climb ends at +R, straddling lies about
    ``centre_offset``.

    >>> [float(x) for x in strip("climb", 12.0, 4.0)]
    [2.0, 6.0]
    """
    radius = np.asarray(diameter, float) / 2.0
    width, offset = np.asarray(radial_engagement, float), np.asarray(centre_offset, float)
    x1 = of_direction(direction, radius - width, -radius, offset - width / 2.0)
    x2 = of_direction(direction, radius, width - radius, offset + width / 2.0)
    return x1, x2
