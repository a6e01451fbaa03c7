"""The 64 draws of what is known only roughly about a cutter that may chatter: the same for every setup, so that a
border's band changes gradually along a slider.

Places are those of an additive recurrence (Kronecker's) whose steps are the powers of the root of ``x^5 = x + 1``
(after Roberts 2018, from memory), moved within their order to 64 even places of each input.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from .spread import Draws, draws_between

DRAWS = 64
"""How many draws."""

INPUTS = 4
"""Coefficients, frequency, stiffness, damping ratio."""


@lru_cache(maxsize=1)
def places() -> Array:
    """Places (64, 4), each over 0 and under 1."""
    root = 1.5
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (INPUTS + 1))
    steps = root ** -np.arange(1.0, INPUTS + 1)
    uneven = (0.5 + np.arange(1, DRAWS + 1)[:, None] * steps) % 1.0
    # Only the order of each column is kept, so that each input alone takes even places.
    return frozen((uneven.argsort(0).argsort(0) + 0.5) / DRAWS)


@lru_cache(maxsize=2)
def usual_draws(estimated: bool = False) -> Draws:
    """The draws; ``estimated``: the modes are from the beam, which nobody has measured."""
    return draws_between(places(), estimated)
