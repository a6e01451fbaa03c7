"""The chip: its thickness along the arc (arc model and true path), mean, thinning, section, volume."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..maths.gauss import gauss_panels
from ..maths.peaks import refined_peaks
from ..setup.setup import Setup
from .engagement import Engagement
from .tooth_path import feed_per_radian, path_shortfall, shortfall_at, thickest_angle, tooth_radius

ChipModel = Literal["arc", "trochoid"]


def arc_thickness(
    phi: ArrayLike,
    feed_per_tooth: ArrayLike,
    cutting_edge_angle: ArrayLike = np.pi / 2,
    *,
    teeth: ArrayLike = 1,
    runout: ArrayLike = 0.0,
    runout_angle: ArrayLike = 0.0,
    tooth: ArrayLike = 0,
) -> Array:
    """Chip thickness of the arc model, mm: ``fz sin(phi) sin(kappa_r)``, never below 0.

    phi, cutting_edge_angle, runout_angle : rad; feed_per_tooth, runout : mm; tooth : which of
    ``teeth`` it is.  All broadcast.  With runout it is the least over ``k = 1..z`` of
    ``k fz sin(phi) + R_j - R_(j-k)``: a tooth may miss, and the next one cuts double.

    >>> round(float(arc_thickness(np.radians(30.0), 0.06)), 12)
    0.03
    """
    phi, feed = np.asarray(phi, float), np.asarray(feed_per_tooth, float)
    advance = feed * np.sin(phi)
    if np.asarray(runout).any():
        z = np.asarray(teeth)
        own = tooth_radius(tooth, z, 0.0, runout, runout_angle)
        thinnest = np.full(np.broadcast_shapes(advance.shape, own.shape), np.inf)
        for k in range(1, int(np.max(z)) + 1):
            other = tooth_radius(np.asarray(tooth) - k, z, 0.0, runout, runout_angle)
            thinnest = np.where(k <= z, np.minimum(thinnest, k * advance + own - other), thinnest)
        advance = thinnest
    return np.maximum(advance, 0.0) * np.sin(np.asarray(cutting_edge_angle, float))


def trochoid_thickness(
    phi: ArrayLike,
    diameter: ArrayLike,
    teeth: ArrayLike,
    feed_per_tooth: ArrayLike,
    cutting_edge_angle: ArrayLike = np.pi / 2,
    *,
    runout: ArrayLike = 0.0,
    runout_angle: ArrayLike = 0.0,
    tooth: ArrayLike = 0,
) -> Array:
    """Chip thickness along the true paths, mm, exact; never below 0.

    phi : tooth angle, rad, (-pi/2, 3 pi/2), angles on the last axis by custom; lengths in mm; all
    broadcast.  Measured along the radius from the tip inward to the outermost earlier path, times
    ``sin(kappa_r)``.  Good to some 1e-15 of the radius.  Where the feed is so great that no earlier path
    meets the radius, the radius itself.

    >>> round(float(trochoid_thickness(np.radians(120.0), 20.0, 2, 0.2)), 7)
    0.1742614
    """
    phi, z, feed = np.asarray(phi, float), np.asarray(teeth), np.asarray(feed_per_tooth, float)
    radius = np.asarray(diameter, float) / 2.0
    c = feed_per_radian(feed, z)
    if not np.asarray(runout).any():
        # Equal teeth: wherever the tip is in the work, the tooth before it left the outermost path.
        thickness = path_shortfall(phi, radius, feed, c)
    else:
        own = tooth_radius(tooth, z, radius, runout, runout_angle)
        thickness = np.full(np.broadcast_shapes(phi.shape, own.shape, feed.shape), np.inf)
        # Below 0 and beyond 180 degrees a path of an earlier turn can be the outermost one.
        turns = 1 if np.all((phi >= 0.0) & (phi <= np.pi)) else 3
        for k in range(1, turns * int(np.max(z)) + 1):
            other = tooth_radius(np.asarray(tooth) - k, z, radius, runout, runout_angle)
            bound = own - other + path_shortfall(phi, other, k * feed, c)
            thickness = np.where(k <= turns * z, np.minimum(thickness, bound), thickness)
    return np.maximum(thickness, 0.0) * np.sin(np.asarray(cutting_edge_angle, float))


def thickness(phi: ArrayLike, setup: Setup, model: ChipModel, tooth: ArrayLike = 0, *, runout: bool = True) -> Array:
    """Chip thickness (mm) at ``phi`` (rad) of this setup, in either model, with or without its runout."""
    cutter, cut = setup.cutter, setup.cut
    kappa = math.radians(cutter.cutting_edge_angle_deg)
    e, at = (cutter.runout_mm, math.radians(cutter.runout_angle_deg)) if runout else (0.0, 0.0)
    if model == "arc":
        return arc_thickness(
            phi, cut.feed_per_tooth_mm, kappa, teeth=cutter.teeth, runout=e, runout_angle=at, tooth=tooth
        )
    return trochoid_thickness(
        phi,
        cutter.diameter_mm,
        cutter.teeth,
        cut.feed_per_tooth_mm,
        kappa,
        runout=e,
        runout_angle=at,
        tooth=tooth,
    )


def true_thickness_at(phi: float, setup: Setup, tooth: int = 0) -> float:
    """Thickness (mm) on the true path at one angle (rad), with the setup's runout, as :func:`thickness` has it."""
    cutter, cut = setup.cutter, setup.cut
    if cutter.runout_mm > 0.0:
        return float(thickness(phi, setup, "trochoid", tooth))
    radius, feed = cutter.diameter_mm / 2.0, cut.feed_per_tooth_mm
    short = shortfall_at(phi, radius, feed, feed * cutter.teeth / (2.0 * math.pi))
    return max(short, 0.0) * math.sin(math.radians(cutter.cutting_edge_angle_deg))


@dataclass(frozen=True, slots=True)
class ChipSummary:
    """Thickness of one tooth's chip, mm, at entry and exit, greatest and mean over the arc; rad."""

    h_entry: float
    h_exit: float
    h_max: float
    h_mean: float
    phi_at_max: float


def arc_nodes(entry: float, leave: float, panels: int) -> tuple[Array, Array]:
    """Gauss-Legendre angles and weights (rad) over the arc, 16 to a panel: exact for smooth curves."""
    places, weights = gauss_panels(16, panels)
    return entry + (leave - entry) * places, (leave - entry) * weights


def chip_summary(setup: Setup, arc: Engagement, model: ChipModel, tooth: int | None = None) -> ChipSummary:
    """Chip thickness at the ends of the nominal arc, its peak and its mean over the arc by angle.

    ``tooth`` None describes the cutter without runout, a number that tooth of it with runout.  The
    mean of the arc model without runout is closed, ``fz sin(kappa) (cos en - cos ex) / arc``; every
    other one by quadrature; the peak is refined to the precision of the thickness itself.
    """
    if tooth is None:
        return _arc_summary(setup, arc) if model == "arc" else true_summary(setup, arc)[0]

    def h(phi: ArrayLike) -> Array:
        return thickness(phi, setup, model, tooth)

    phi, weights = arc_nodes(arc.entry, arc.exit, 64)
    angles = np.concatenate([[arc.entry], phi, [arc.exit]])
    values = h(angles)
    at_max, h_max = _peak(h, angles, values)
    mean = float(values[1:-1] @ weights / arc.arc)
    return ChipSummary(float(values[0]), float(values[-1]), h_max, mean, at_max)


def _arc_summary(setup: Setup, arc: Engagement) -> ChipSummary:
    """The arc model without runout, closed."""
    at_max = min(max(math.pi / 2, arc.entry), arc.exit)
    kappa, feed = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg)), setup.cut.feed_per_tooth_mm
    h_entry, h_exit, h_max = [max(feed * math.sin(phi), 0.0) * kappa for phi in (arc.entry, arc.exit, at_max)]
    # Product form of cos(entry) - cos(exit): no digits lost in a thin cut.
    width = 2.0 * math.sin((arc.entry + arc.exit) / 2.0) * math.sin(arc.arc / 2.0)
    mean = feed * kappa * width / arc.arc
    return ChipSummary(h_entry, h_exit, h_max, mean, at_max)


def true_summary(setup: Setup, arc: Engagement, also: ArrayLike = ()) -> tuple[ChipSummary, Array]:
    """The true path without runout, and in the same go its thickness (n,) mm at the angles ``also`` (n,) rad."""

    def h(phi: ArrayLike) -> Array:
        return thickness(phi, setup, "trochoid", runout=False)

    phi, weights = arc_nodes(arc.entry, arc.exit, 8)
    feed, radius = setup.cut.feed_per_tooth_mm, setup.cutter.diameter_mm / 2.0
    top = thickest_angle(radius, feed, float(feed_per_radian(feed, setup.cutter.teeth)))
    # One stationary point: the peak is there, or at the end of the arc that is nearer to it.
    at = (arc.entry, arc.exit, arc.entry if math.isnan(top) else min(max(top, arc.entry), arc.exit))
    found = h(np.concatenate([at, phi, also]))
    ends, values, rest = found[:3].tolist(), found[3 : 3 + len(phi)], found[3 + len(phi) :]
    if math.isnan(top):
        angles = np.concatenate([at[:1], phi, at[1:2]])
        at_max, h_max = _peak(h, angles, np.concatenate([ends[:1], values, ends[1:2]]))
    else:
        h_max = max(ends)
        at_max = at[2] if ends[2] == h_max else at[ends.index(h_max)]
    return ChipSummary(ends[0], ends[1], h_max, float(values @ weights / arc.arc), at_max), rest


def _peak(h: Callable[[Array], Array], phi: Array, values: Array) -> tuple[float, float]:
    """Place (rad) and height (mm) of the greatest thickness, from samples ``values`` at ``phi``, (n,) each."""
    at, top = refined_peaks(h, phi, values[None, :], 6)
    return float(at[0]), float(top[0])


def thinning(setup: Setup, arc: Engagement) -> float:
    """Feed per tooth over the greatest arc-model thickness, ``fz / h_max``; 1 if the arc holds 90 degrees."""
    at_max = min(max(math.pi / 2, arc.entry), arc.exit)
    return 1.0 / (math.sin(at_max) * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg)))


def feed_for_thickness(h_max: ArrayLike, setup: Setup, arc: Engagement) -> Array:
    """Feed per tooth (mm) that gives the wanted greatest thickness ``h_max`` (mm) at this engagement."""
    return np.asarray(h_max, float) * thinning(setup, arc)


def section(phi: ArrayLike, setup: Setup, model: ChipModel = "arc") -> Array:
    """Cross-section of the chip (mm2) with the whole edge at ``phi`` (no helix): ``h ap / sin(kappa)``."""
    edge = setup.cut.axial_engagement_mm / np.sin(np.radians(setup.cutter.cutting_edge_angle_deg))
    return thickness(phi, setup, model, runout=False) * edge
