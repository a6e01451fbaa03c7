"""What is known only roughly, and 64 fixed draws of it: the same points for every setup, so that a verdict changes
gradually along a slider.

The points are the first 64 of Sobol's sequence (:mod:`core.maths.sobol`); each input alone takes 64 even places.

Spreads are the project's own unless a source is named: force coefficients 15 % or as the catalogue prints them, the
radial ratio of a power law 0.25 to 0.7, least chip over edge radius 0.14 to 0.43 (Cheng et al. 2018, abstract seen),
edge radius, friction and holder stiffness 30 %, the edge radius that the coefficients were measured with as the
catalogue prints it, diameter of the flutes 5 % (Kops and Vo 1990).  The level of the heat
is within 50 %, the same both ways, so that it changes no order; the order itself and the marks have a spread of
their own, and so have the ends of the band of exit angles, which is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from ..maths.sobol import POINTS, sobol_points

DRAWS = POINTS
ENOUGH = 48
"""Draws of :data:`DRAWS` that must agree; with fewer it is too close to call."""

INPUTS = (
    "tangential",
    "radial",
    "axial",
    "least_chip",
    "edge_radius",
    "friction",
    "holder",
    "flutes",
    "heat_order",
    "exit_band",
    "marks",
    "mode_frequency",
    "mode_stiffness",
    "mode_damping",
    "measured_edge",
)
"""The uncertain inputs, each with its own place in every draw; chatter takes those of a mode and "tangential"."""

EDGE_RADIUS = FRICTION = HOLDER = 0.30
FLUTES, HEAT_ORDER, EXIT_BAND, MARKS = 0.05, 0.10, 0.15, 0.05


@lru_cache(maxsize=1)
def points() -> Array:
    """The draws: (64, inputs), each over 0 and under 1."""
    return frozen(sobol_points()[:, : len(INPUTS)])


@dataclass(frozen=True, slots=True, eq=False)
class Worlds:
    """What may be so: places (n, inputs) in 0 to 1; the first is what the setup says, every place 0.5.

    ``alone``: there is no other world than that.
    """

    places: Array
    alone: bool = False

    def place(self, name: str) -> Array:
        """Places (n,) of one input."""
        return np.asarray(self.places[:, INPUTS.index(name)])

    def between(self, name: str, low: float, usual: float, high: float) -> Array:
        """The input (n,) with ``usual`` in the middle, straight to either end."""
        if self.alone:
            # Asked for hundreds of cuts, a few times each.
            return np.array([usual])
        u = self.place(name)
        return np.where(u < 0.5, low + 2.0 * u * (usual - low), usual + (2.0 * u - 1.0) * (high - usual))

    def factor(self, name: str, spread: float) -> Array:
        """A factor (n,) within ``1 - spread`` to ``1 + spread``."""
        return self.between(name, 1.0 - spread, 1.0, 1.0 + spread)


@lru_cache(maxsize=1)
def as_told() -> Worlds:
    """The one world in which everything is as the setup says."""
    return Worlds(np.full((1, len(INPUTS)), 0.5), alone=True)


@lru_cache(maxsize=1)
def drawn() -> Worlds:
    """What the setup says, and the draws after it."""
    return Worlds(np.concatenate([as_told().places, points()]))
