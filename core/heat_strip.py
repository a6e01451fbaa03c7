"""The strip of the edge's temperature: how it heats through the arc and cools in the air."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from .arc_mesh import arc_mesh
from .arc_results import arc_results, frozen
from .edge_temperature import edge_temperature
from .setup import Setup
from .strip_frame import Band, Curve, StripCurves, cut_band, strip_angles
from .words import say

_SOON = 10.0 ** np.arange(-3.0, 0.0, 0.25)
"""Degrees after exit at which there is a sample: the edge cools fastest at first."""


def rubbing_bands(setup: Setup) -> tuple[Band, ...]:
    """The arcs where the chip is thinner than the edge can lift; none where the edge radius is not known.

    What the temperature gains in the first of them is there before a chip can form.
    """
    r = arc_results(setup)
    entry, leave = (float(np.degrees(a)) for a in (r.engagement.entry, r.engagement.exit))
    first, last = (float(np.degrees(a)) for a in (r.rub_entry, r.rub_exit))
    # nan, where nothing is known, is not over 0.
    ends = [(entry, entry + first)] if first > 0.0 else []
    if last > 0.0 and first < leave - entry:
        ends.append((leave - last, leave))
    return tuple(Band("rub", low, high) for low, high in ends)


@lru_cache(maxsize=16)
def temperature_strip(setup: Setup) -> StripCurves:
    """Rise of the edge over its surroundings, K, through the arc and the air, in its steady rhythm."""
    found, name = edge_temperature(setup), say("strip", "temperature")
    if found is None:
        phi_deg = frozen(strip_angles())
        why = say("strip", "no_force" if setup.work.force is None else "no_temperature")
        curve = Curve("none", why, "main", phi_deg, frozen(np.full(phi_deg.shape, np.nan)))
        return StripCurves("temperature", name, "temperature_rise", (curve,), (cut_band(setup),), missing=why)
    e = arc_results(setup).engagement
    # The mesh's own places show the steep ends of the arc.
    arc = np.degrees(e.entry + e.arc * arc_mesh().along)
    phi_deg = frozen(strip_angles(*arc, *(np.degrees(e.exit) + _SOON), np.degrees(found.peak_at)))
    rise = frozen(found.at(np.radians(phi_deg)))
    return StripCurves(
        id="temperature",
        title=name,
        quantity="temperature_rise",
        curves=(Curve("rise", say("strip", "edge_rise"), "main", phi_deg, rise),),
        bands=(cut_band(setup), *rubbing_bands(setup)),
    )
