"""The 64 draws of what is known only roughly about a cutter that may chatter: those of the advice, the same for every
setup, so that a border's band changes gradually along a slider and a verdict counts the same draws as the chart.
"""

from __future__ import annotations

from functools import lru_cache

from ..maths.arrays import Array, frozen
from ..maths.sobol import POINTS, sobol_points
from .spread import Draws, draws_between

DRAWS = POINTS
"""How many draws."""

COLUMNS = (0, 11, 12, 13)
"""Which inputs of the advice's draws these are: tangential force; frequency, stiffness, damping ratio of modes."""


@lru_cache(maxsize=1)
def places() -> Array:
    """Places (64, 4), each over 0 and under 1."""
    return frozen(sobol_points()[:, list(COLUMNS)])


@lru_cache(maxsize=2)
def usual_draws(estimated: bool = False) -> Draws:
    """The draws; ``estimated``: the modes are from the beam, which nobody has measured."""
    return draws_between(places(), estimated)
