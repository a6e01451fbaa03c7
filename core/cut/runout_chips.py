"""Runout: each tooth's own chip, which teeth miss the work, and which cut double after them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from ..maths.peaks import refined_peaks
from ..setup.setup import Cutter, Setup
from .chip import ChipModel, ChipSummary, arc_nodes
from .engagement import engagement
from .tooth_path import feed_per_radian, path_shortfall, tooth_radius


@dataclass(frozen=True, slots=True)
class ToothChip:
    """One tooth of a cutter with runout: its radius (mm) and its chip in both models.

    ``misses``: it never touches the work within the nominal arc.  ``cuts_double``: it cuts, and the tooth
    just before it misses, so that it takes at least that one's feed as well.  Both by the true path.
    """

    tooth: int
    radius: float
    arc: ChipSummary
    trochoid: ChipSummary
    misses: bool
    cuts_double: bool


@lru_cache(maxsize=64)
def radii_of(cutter: Cutter) -> Array:
    """Radius (mm) of each tooth, shape (z,), read-only."""
    at = np.radians(cutter.runout_angle_deg)
    radii = tooth_radius(np.arange(cutter.teeth), cutter.teeth, cutter.diameter_mm / 2, cutter.runout_mm, at)
    radii.setflags(write=False)
    return radii


def tooth_radii(setup: Setup) -> Array:
    """Radius (mm) of each tooth, shape (z,), read-only: the same for every cut of one cutter."""
    return radii_of(setup.cutter)


def each_tooths_thickness(phi: Array, setup: Setup, model: ChipModel) -> Array:
    """Chip thickness (mm) of every tooth with the setup's runout, within the nominal half turn.

    phi : (n,) or (z, n), rad, in [0, pi].  Returns (z, n).  The same figures as
    :func:`core.chip.thickness` for one tooth after another, many times faster for many teeth: an earlier
    tooth that is no longer than one that came after it lies inside that one's cut and is left out.
    """
    cutter = setup.cutter
    z, feed = cutter.teeth, setup.cut.feed_per_tooth_mm
    radii, c = tooth_radii(setup), feed_per_radian(feed, z)
    phi = np.broadcast_to(np.asarray(phi, float), (z, np.shape(phi)[-1]))
    # Where the axis outruns the tips the paths loop and none surely lies inside another.
    loops = model == "trochoid" and float(c) >= radii.min()
    advance = feed * np.sin(phi) if model == "arc" else phi
    found = np.full(phi.shape, np.inf)
    longest = np.full(z, -np.inf)
    for k in range(1, z + 1):
        earlier = np.roll(radii, k)
        rows = np.flatnonzero((earlier > longest) | loops)
        longest = np.maximum(longest, earlier)
        if not rows.size:
            continue
        other = earlier[rows, None]
        if model == "arc":
            behind = k * advance[rows]
        else:
            behind = path_shortfall(phi[rows], other, k * feed, c)
        found[rows] = np.minimum(found[rows], radii[rows, None] - other + behind)
    return np.maximum(found, 0.0) * np.sin(np.radians(cutter.cutting_edge_angle_deg))


def _panels(teeth: int) -> int:
    """Panels of 16 nodes over the arc: many, because runout bends the curve sharply; fewer for many teeth."""
    return int(np.clip(256 // teeth, 4, 64))


def _summaries(setup: Setup, model: ChipModel) -> list[ChipSummary]:
    """Each tooth's chip in one model: ends, peak, mean over the arc by quadrature."""
    e, z = engagement(setup), setup.cutter.teeth
    nodes, weights = arc_nodes(e.entry, e.exit, _panels(z))
    angles = np.concatenate([[e.entry], nodes, [e.exit]])
    values = each_tooths_thickness(angles, setup, model)
    at, top = refined_peaks(lambda phi: each_tooths_thickness(phi, setup, model), angles, values, 4)
    mean = values[:, 1:-1] @ weights / e.arc
    return [
        ChipSummary(float(values[j, 0]), float(values[j, -1]), float(top[j]), float(mean[j]), float(at[j]))
        for j in range(z)
    ]


BAND = 72
"""Pieces of a chip along its arc, as it is drawn."""


@lru_cache(maxsize=16)
def runout_band(setup: Setup) -> tuple[Array, Array]:
    """Every tooth's chip on its true path along the nominal arc, to be drawn: rad (n,) and mm (z, n), read-only."""
    e = engagement(setup)
    phi = e.entry + e.arc * np.linspace(0.0, 1.0, BAND + 1)
    return frozen(phi), frozen(each_tooths_thickness(phi, setup, "trochoid"))


@lru_cache(maxsize=16)
def runout_chips(setup: Setup) -> tuple[ToothChip, ...]:
    """Every tooth's own chip, tooth 0 first, with the setup's runout."""
    radii, arc, true = tooth_radii(setup), _summaries(setup, "arc"), _summaries(setup, "trochoid")
    misses = [chip.h_max == 0.0 for chip in true]
    return tuple(
        ToothChip(j, float(radii[j]), arc[j], true[j], misses[j], not misses[j] and misses[j - 1])
        for j in range(setup.cutter.teeth)
    )
