"""The force as it is drawn: over the strips' angles and round the loop of one tooth pitch, worked out in one go."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.strip_angles import strip_angles
from ..maths.arrays import Array, frozen
from ..setup.setup import Setup
from .edge_force import cutter_force, edge_law
from .force_turn import INSIDE, corners

LOOP_POINTS = 61
"""Fewest places of a loop."""


@dataclass(frozen=True, slots=True, eq=False)
class ForceLoop:
    """The force in the x-y plane over a tooth pitch, with runout a turn, closed: angle (n,) rad, x and y (n,) N."""

    phi: Array
    fx: Array
    fy: Array


@dataclass(frozen=True, slots=True, eq=False)
class ForceCurves:
    """Force of all teeth (n, 4) N at the strips' angles (n,) degrees, and the loop."""

    strip_deg: Array
    strip: Array
    loop: ForceLoop


@lru_cache(maxsize=16)
def force_curves(setup: Setup) -> ForceCurves | None:
    """The force for strips and loop; None where the coefficients are not known."""
    law = edge_law(setup)
    if law is None:
        return None
    meets = corners(setup)
    # How often the force comes again in a turn.
    times = round(2.0 * math.pi / float(meets[-1]))
    everywhere = np.degrees(meets)[:-1, None] + 360.0 / times * np.arange(-times, times)
    # A straight edge jumps at a corner: a sample on either side of it.
    near = math.degrees(4.0 * INSIDE)
    strip_deg = strip_angles(np.concatenate([everywhere - near, everywhere + near]))
    sides = np.concatenate([meets[:-1] + INSIDE, meets[1:] - INSIDE])
    even = np.linspace(0.0, meets[-1], max(361 // times, LOOP_POINTS))
    loop = np.sort(np.concatenate([even, sides]))
    force = cutter_force(np.concatenate([np.radians(strip_deg), loop]), setup, law)
    strip, round_it = force[: len(strip_deg)], force[len(strip_deg) :]
    return ForceCurves(
        frozen(strip_deg),
        frozen(strip),
        ForceLoop(frozen(loop), frozen(round_it[:, 0].copy()), frozen(round_it[:, 1].copy())),
    )


def force_loop(setup: Setup) -> ForceLoop | None:
    """The envelope that the force runs round once a tooth, at every degree and its corners; None if not known."""
    curves = force_curves(setup)
    return None if curves is None else curves.loop
