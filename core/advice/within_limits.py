"""Whether a cut pulls harder, or a wall is off further, than a limit: as told by their bounds where these are clear.

The ladder asks hundreds of cuts as told, and of most of them no more than on which side of a limit they are.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..effects.wall_bounds import least_size, most_size
from ..force.pull_bounds import least_pull, most_pull
from ..maths.arrays import Array
from ..setup.setup import Setup
from .draws import Worlds
from .force_draws import greatest_pull, told_pull, told_wall, wall_sizes
from .kept_by import KEPT, for_pull, for_wall

_most_pull, _least_pull = lru_cache(maxsize=KEPT)(most_pull), lru_cache(maxsize=KEPT)(least_pull)

ROUNDING = 1e-6
"""Part of a pull by which a bound must be beyond what is asked for to count: both are worked out to less."""


def _told_over(setup: Setup, limit: float) -> bool | None:
    """Whether the cut pulls harder than ``limit`` (N, not below 0) as told: by the bounds where these are clear."""
    most = _most_pull(setup)
    if most is None:
        return None
    if most * (1.0 + ROUNDING) <= limit:
        return False
    least = _least_pull(setup)
    if least is not None and least > limit * (1.0 + ROUNDING):
        return True
    told = told_pull(setup)
    return None if told is None else told > limit


def pulls_over(setup: Setup, limits: Array, worlds: Worlds) -> NDArray[np.bool_] | None:
    """Whether the cut pulls the table harder than ``limits`` (n,) N, not below 0, in each world.

    None where the force is not known.
    """
    if len(worlds.places) == 1:
        over = _told_over(for_pull(setup), float(limits[0]))
        return None if over is None else np.array([over])
    pulls = greatest_pull(setup, worlds)
    return None if pulls is None else np.asarray(pulls > limits)


CLEAR = 1.1
"""How many times a tolerance a wall must be off at a few heights to be beyond it without more: the wall over its
depth is found on curves through samples, and may miss a part of what many narrow pieces of edge do."""

_most_size, _least_size = lru_cache(maxsize=KEPT)(most_size), lru_cache(maxsize=KEPT)(least_size)


def _told_kept(setup: Setup, tolerance: float) -> bool | None:
    """Whether the wall keeps a tolerance (mm) as the setup tells: by its bounds where these are clear."""
    most = _most_size(setup)
    if most is None:
        return None
    if most <= tolerance:
        return True
    least = _least_size(setup)
    if least is not None and least > CLEAR * tolerance:
        return False
    told = told_wall(setup)
    return None if told is None else told <= tolerance


def wall_kept(setup: Setup, tolerance: float, worlds: Worlds) -> NDArray[np.bool_] | None:
    """Whether the wall keeps a tolerance (mm) over its depth in each world, (n,); None where it is not known."""
    if len(worlds.places) == 1:
        kept = _told_kept(for_wall(setup), tolerance)
        return None if kept is None else np.array([kept])
    sizes = wall_sizes(setup, worlds)
    return None if sizes is None else sizes <= tolerance
