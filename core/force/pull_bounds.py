"""Between which ends the greatest pull on the table lies: enough, mostly, to tell whether the table is held.

Both are far cheaper than the force over a turn (:mod:`.force_turn`).  The pull is no less than it is at a few angles.
And it is no more than if all the edge that can be in the arc at once were where it pulls hardest.
"""

from __future__ import annotations

import math

import numpy as np

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..setup.setup import LinearEdge, Setup
from .edge_force import EdgeLaw, cutter_force, edge_law, edge_width
from .force_turn import angles_between_corners

PLACES, MOST_PLACES = 5, 600
"""Angles of each smooth piece of a turn at which the pull is looked at, and about how many of all pieces."""

CLEAR = 1e-4
"""Part of the greatest force in the plane that a pull must be over, to be one: far over what counts as none."""

_CELLS = np.linspace(0.0, 1.0, 33)


def least_pull(setup: Setup) -> float | None:
    """A pull (N) that the greatest of a turn is not under, 0 where none is found; None without coefficients."""
    law = edge_law(setup)
    if law is None:
        return None
    force = cutter_force(angles_between_corners(setup, PLACES, MOST_PLACES, 2), setup, law)
    pull = float(force[:, 1].max())
    return pull if pull > CLEAR * float(np.abs(force[:, :2]).max()) else 0.0


def most_pull(setup: Setup) -> float | None:
    """A pull (N) that none of a turn is over, 0 where no element pulls; infinite where no bound is known.

    None without coefficients.  An edge passes a place of the arc with every pitch and takes its lag to pass, so that
    only so many are there at once.
    """
    law = edge_law(setup)
    if law is None:
        return None
    if not _grows_with_chip(law):
        return math.inf
    e, pitch = engagement(setup), 2.0 * math.pi / setup.cutter.teeth
    if e.exit <= math.pi / 2.0:
        # The tangential force is against the feed up to 90 degrees, the radial one everywhere.
        return 0.0
    if setup.cutter.runout_mm > 0.0:
        return math.inf
    pull, widths = _most_of_elements(law, e.entry, e.exit)
    greatest, width = float(pull.max()), edge_width(setup)
    if e.edge_lag < STRAIGHT:
        return width * (int(e.arc / pitch) + 1) * greatest
    at_a_place, in_arc = int(e.edge_lag / pitch) + 1, int((e.arc + e.edge_lag) / pitch) + 1
    every_place = at_a_place * float(pull @ widths)
    at_the_best = min(at_a_place * e.arc, in_arc * min(e.arc, e.edge_lag)) * greatest
    return width / e.edge_lag * min(every_place, at_the_best)


def _grows_with_chip(law: EdgeLaw) -> bool:
    """Whether tangential and radial force are both not below 0 and grow with the chip."""
    k = law.law
    if isinstance(k, LinearEdge):
        return min(k.ktc, k.kte, k.krc, k.kre) >= 0.0
    return min(k.kc11_n_mm2, k.radial_ratio, 1.0 - k.mc, 1.0 - law.lost, *law.edge[:2]) >= 0.0


def _most_of_elements(law: EdgeLaw, entry: float, leave: float) -> tuple[Array, Array]:
    """The most that an element pulls in cells of the arc (n,), N/mm, not below 0, and their width (n,) rad.

    Within a cell, which ends at 90 degrees where that is in the arc, the chip grows or falls steadily, and so do both
    forces: what they are at most they are at its ends.
    """
    u = np.sort(np.append(entry + (leave - entry) * _CELLS, math.pi / 2.0))
    u = np.minimum(np.maximum(u, entry), leave)
    s, c = np.maximum(np.sin(u), 0.0), np.cos(u)
    none, one = np.zeros_like(s), np.ones_like(s)
    radial, tangential = law.across_chip(law.feed * s, none, one), -law.across_chip(law.feed * s, one, none)
    push = radial * s
    ends = -np.array(
        [tangential[1:] * c[1:], tangential[1:] * c[:-1], tangential[:-1] * c[1:], tangential[:-1] * c[:-1]]
    )
    return np.maximum(ends.max(axis=0) - np.minimum(push[1:], push[:-1]), 0.0), np.diff(u)
