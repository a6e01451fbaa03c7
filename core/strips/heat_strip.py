"""The strip of the edge's temperature: how it heats through the arc and cools in the air."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..base.words import say
from ..cut.strip_angles import DOMAIN_DEG, strip_angles
from ..effects.arc_results import arc_results
from ..effects.edge_temperature import edge_temperature
from ..maths.arrays import Array, frozen
from ..maths.graded_mesh import arc_mesh
from ..setup.setup import Setup
from .strip_frame import Band, Curve, Limit, StripCurves, cut_band, end_bands

EVERY = 8
"""One in so many places of the mesh's close row is drawn: a hundred in the arc."""

_SINCE = np.geomspace(1e-5, 1.0, 40)[:-1]
"""Shares of the idle turn at which there is a sample: the edge cools fastest at first.  Its end is the next entry."""


@lru_cache(maxsize=16)
def temperature_strip(setup: Setup) -> StripCurves:
    """Rise of the edge over its surroundings, K, through the arc and the air, in its steady rhythm.

    nan where it is so near to the solidus of the work that the model has no figure.
    """
    edge, name = edge_temperature(setup), say("strip", "temperature")
    if edge is None:
        phi_deg = frozen(strip_angles())
        why = say("strip", "no_force" if setup.work.force is None else "no_temperature")
        curve = Curve("none", why, "main", phi_deg, frozen(np.full(phi_deg.shape, np.nan)))
        return StripCurves("temperature", name, "temperature_rise", (curve,), (cut_band(setup),), missing=why)
    e = arc_results(setup).engagement
    # In the arc the mesh's own close row, which shows its steep ends; in the air fewer and fewer, as it cools.
    low, high = DOMAIN_DEG
    entry, leave = math.degrees(e.entry), math.degrees(e.exit)
    after = leave + (360.0 - leave + entry) * _SINCE
    after = np.concatenate([after, after - 360.0, DOMAIN_DEG])
    after = after[(after >= low) & (after <= high) & ((after > leave) | (after < entry))]
    arc = entry + (leave - entry) * arc_mesh().fine[::EVERY]
    phi_deg = np.concatenate([arc, [math.degrees(edge.peak_at)], after])
    rise = np.concatenate(
        [edge.in_arc[::EVERY], [edge.peak], edge.in_air((after - leave) % 360.0 / 360.0 * edge.flux.turn)]
    )
    order = np.argsort(phi_deg, kind="stable")
    phi_deg, rise = phi_deg[order], rise[order]
    bands = [cut_band(setup), *(band for band in end_bands(setup) if band.kind == "rub")]
    limits: tuple[Limit, ...] = ()
    beyond = rise > edge.end_rise
    if beyond.any():
        # No figure where the model has none: a hatched range of angles and the level from which on it has none.
        bands += _ranges(phi_deg, beyond)
        rise = np.where(beyond, np.nan, rise)
        limits = (Limit(say("strip", "heat_end"), edge.end_rise, crossed=True),)
    phi_deg, rise = frozen(phi_deg), frozen(rise)
    return StripCurves(
        id="temperature",
        title=name,
        quantity="temperature_rise",
        curves=(Curve("rise", say("strip", "edge_rise"), "main", phi_deg, rise),),
        # What the temperature gains in the first of them is there before a chip can form.
        bands=tuple(bands),
        limits=limits,
        rough=True,
    )


def _ranges(phi_deg: Array, where: NDArray[np.bool_]) -> list[Band]:
    """Each range of angles over which something holds, as a band of the model's end."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]]).astype(int)))
    return [
        Band("end", float(phi_deg[low]), float(phi_deg[high - 1]))
        for low, high in zip(edges[::2], edges[1::2], strict=True)
    ]
