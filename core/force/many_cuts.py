"""Thousands of cuts in one call: engagement, chip and force of one cutter in arrays, as the single front has them.

For tables and maps over width, depth, feed, diameter and the like.  The figures are those of the single front
(:mod:`core.cut.engagement`, :mod:`core.cut.chip`, :mod:`.force_turn`) to 1e-9; what those look for one cut at a time
is looked for in all of them at once here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import ChiparcError
from ..base.words import say
from ..cut.chip import arc_nodes, trochoid_thickness
from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import entry_exit, teeth_in_cut
from ..maths.angles import lag
from ..maths.arrays import Array
from ..maths.peaks import refined_peaks
from ..setup.setup import LinearEdge, Setup
from .edge_law import EdgeLaw, _shares, edge_law
from .force_turn import INSIDE, NOTHING, force_turn

KEYS = (
    *("cutter.diameter_mm", "cutter.teeth", "cutter.helix_deg"),
    *("cut.radial_engagement_mm", "cut.axial_engagement_mm", "cut.feed_per_tooth_mm"),
    *("cut.spindle_speed_rpm", "cut.centre_offset_mm"),
)
"""What may differ from cut to cut."""

AT_ONCE = 256
"""Cuts that are worked out in one go: as many as their samples fit the processor's cache."""

_COARSE, _FINER = np.linspace(0.0, 1.0, 33), np.linspace(0.0, 1.0, 17)


@dataclass(frozen=True, slots=True, eq=False)
class ManyCuts:
    """Figures (n,) of n cuts: angles in rad, lengths in mm, N, N m, kW; thickness of the cutter without runout.

    ``least``, ``greatest`` and ``mean`` are (n, 4): fx, fy, fz in N, torque in N m; nan without coefficients, and
    fz nan where the law has none.
    """

    entry: Array
    exit: Array
    edge_lag: Array
    teeth_mean: Array
    thickest: Array
    mean_thickness: Array
    true_thickest: Array
    true_mean_thickness: Array
    least: Array
    greatest: Array
    mean: Array
    resultant_max: Array
    power_kw: Array


def many_cuts(setup: Setup, values: Mapping[str, ArrayLike]) -> ManyCuts:
    """The setup with the figures of ``values`` (each (n,), broadcast together) in place of its own.

    values : by keys of :data:`KEYS`, in the document's units.  Raises ChiparcError for another key.  A cutter with
    runout, and an edge that is sharper than a power law's, are worked out one by one.
    """
    for key in values:
        if key not in KEYS:
            raise ChiparcError(key, say("together", "not_varied"), ", ".join(KEYS))
    every = [np.asarray(values.get(key, setup.value(key)), float) for key in KEYS]
    columns = np.stack([np.atleast_1d(v).ravel() for v in np.broadcast_arrays(*every)])
    parts = [_some(setup, columns[:, k : k + AT_ONCE]) for k in range(0, columns.shape[1], AT_ONCE)]
    return ManyCuts(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(ManyCuts)))


def _some(setup: Setup, columns: Array) -> ManyCuts:
    d, z, helix, width, depth, feed, speed, offset = columns
    entry, leave = entry_exit(setup.cut.direction, d, width, offset)
    edge_lag = lag(depth, np.radians(helix), d)
    sine = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    arc, peak = leave - entry, np.clip(math.pi / 2, entry, leave)
    chord = 2.0 * np.sin((entry + leave) / 2.0) * np.sin(arc / 2.0)
    true_thickest, true_mean = _true_chip(entry, leave, d, z, feed, sine)
    law, n = edge_law(setup), len(d)
    least, greatest, mean = np.full((3, n, 4), np.nan)
    resultant = np.full(n, np.nan)
    if law is not None:
        if setup.cutter.runout_mm > 0.0 or law.lost:
            least, greatest, mean, resultant = _one_by_one(setup, columns)
        else:
            least, greatest, mean, resultant = _forces(law, sine, entry, arc, edge_lag, z, feed, depth / sine)
            torque = d / 2000.0
            for each in (least, greatest, mean):
                each[:, 3] *= torque
            if not law.has_axial:
                for each in (least, greatest, mean):
                    each[:, 2] = np.nan
    return ManyCuts(
        entry=np.broadcast_to(entry, n),
        exit=np.broadcast_to(leave, n),
        edge_lag=edge_lag,
        teeth_mean=teeth_in_cut(arc, edge_lag, z)[0],
        thickest=feed * np.sin(peak) * sine,
        mean_thickness=feed * sine * chord / arc,
        true_thickest=true_thickest,
        true_mean_thickness=true_mean,
        least=least,
        greatest=greatest,
        mean=mean,
        resultant_max=resultant,
        power_kw=mean[:, 3] * 2.0 * np.pi * speed / 60_000.0,
    )


def _true_chip(entry: Array, leave: Array, d: Array, z: Array, feed: Array, sine: float) -> tuple[Array, Array]:
    """Greatest and mean thickness (n,) of the true path: a look at the arc's Gauss places, then closer ones."""
    places, weights = arc_nodes(0.0, 1.0, 8)
    arc = (leave - entry)[:, None]
    kappa = math.asin(min(sine, 1.0))

    def h(phi: Array) -> Array:
        return trochoid_thickness(phi, d[:, None], z[:, None], feed[:, None], kappa)

    shares = np.concatenate([[0.0], places, [1.0]])
    value = h(entry[:, None] + arc * shares)
    _, top = refined_peaks(lambda share: h(entry[:, None] + arc * share), shares, value, 3, len(_FINER))
    return top, value[:, 1:-1] @ weights


def _forces(
    law: EdgeLaw, sine: float, entry: Array, arc: Array, edge_lag: Array, teeth: Array, feed: Array, width: Array
) -> tuple[Array, Array, Array, Array]:
    """Least, greatest, mean (n, 4) N of x, y, axial, tangential, and the greatest resultant (n,)."""
    n = len(entry)
    least, greatest, mean, resultant = np.empty((n, 4)), np.empty((n, 4)), np.empty((n, 4)), np.empty(n)
    straight = edge_lag < STRAIGHT
    for group in (straight, ~straight):
        if group.any():
            cuts = _Cuts(law, sine, *(v[group] for v in (entry, arc, edge_lag, teeth, feed, width)))
            low, high, mean[group] = cuts.extremes()
            least[group], greatest[group], resultant[group] = low[:, :4], high[:, :4], high[:, 4]
    level = NOTHING * resultant[:, None]
    for each in (least, greatest):
        each[np.abs(each) <= level] = 0.0
    return least, greatest, mean, resultant


class _Cuts:
    """Cuts that are all straight or all helical, (n,) each."""

    def __init__(
        self,
        law: EdgeLaw,
        sine: float,
        entry: Array,
        arc: Array,
        edge_lag: Array,
        teeth: Array,
        feed: Array,
        width: Array,
    ) -> None:
        self.law, self.entry, self.arc, self.lag, self.teeth = law, entry, arc, edge_lag, teeth
        self.sine, self.feed, self.pitch = sine, feed, 2.0 * np.pi / teeth
        self.straight = bool(edge_lag[0] < STRAIGHT)
        self.turns = np.floor(edge_lag / (2.0 * np.pi))
        self.rest = edge_lag - 2.0 * np.pi * self.turns
        # Coefficients are linear in the feed, or in its power, beside what the edge alone has.
        none, one = (np.multiply(*_shares(replace(law, feed=f))) for f in (0.0, 1.0))
        grown = feed * sine if isinstance(law.law, LinearEdge) else (feed * sine) ** (1.0 - law.law.mc)
        if isinstance(law.law, LinearEdge):
            shares = none + grown[:, None, None] * (one - none)
        else:
            shares = np.repeat(one[None], len(feed), axis=0)
            shares[:, :, :3] *= grown[:, None, None]
        self.width = width
        self.shares = shares * (width if self.straight else width / edge_lag)[:, None, None]

    def _only(self, which: NDArray[np.bool_]) -> _Cuts:
        """Those of the cuts that ``which`` (n,) names."""
        one = self.law, self.sine, self.entry, self.arc, self.lag, self.teeth, self.feed, self.width
        return _Cuts(*one[:2], *(v[which] for v in one[2:]))

    def force(self, phi: Array) -> Array:
        """Force (5, n, m), the last the resultant, of all teeth with one at ``phi`` (n, m)."""
        entry, arc, pitch = (v[:, None] for v in (self.entry, self.arc, self.pitch))
        base = (phi - entry) % pitch
        reach = self.arc if self.straight else self.arc + self.rest
        total: Array | None = None
        for row in range(
            max(math.ceil(float((reach / self.pitch).max()) + (1e-12 if self.straight else 0.0)), 1) + 1
        ):
            tip = base + row * pitch
            if self.straight:
                cutting, high = (tip <= arc) & (row < self.teeth[:, None]), tip + entry
            else:
                low = np.maximum(tip - self.rest[:, None], 0.0)
                high = np.minimum(tip, arc)
                cutting = high > low
                low, high = low + entry, high + entry
            if not cutting.any():
                continue
            # Most of the teeth are in the air: only what is in the arc is worked out.
            ends = high[cutting]
            parts = self.law.parts_at(ends) if self.straight else self.law.parts_between(low[cutting], ends)
            if total is None:
                total = np.zeros((len(parts), *phi.shape))
            total[:, cutting] += parts
        if total is None:
            total = np.zeros((self.shares.shape[2], *phi.shape))
        if not self.straight and self.turns.any():
            whole = self.law.parts_between(self.entry, self.entry + self.arc)
            total = total + (whole * self.turns * self.teeth)[:, :, None]
        force = np.empty((5, *phi.shape))
        force[:4] = np.einsum("ncp,pnm->cnm", self.shares, total, optimize=True)
        np.hypot(force[0], force[1], out=force[4])
        return force

    def extremes(self) -> tuple[Array, Array, Array]:
        """Least and greatest (n, 5), and the mean (n, 4)."""
        e, leave, pitch = self.entry, self.entry + self.arc, self.pitch
        meets = np.stack([np.zeros(len(e)), *(p % pitch for p in (e, leave, e + self.lag, leave + self.lag)), pitch])
        meets.sort(axis=0)
        low, high = meets[:-1].T + INSIDE, np.maximum(meets[1:].T - INSIDE, meets[:-1].T + INSIDE)
        phi = low[..., None] + (high - low)[..., None] * _COARSE
        n, pieces, m = phi.shape
        value = self.force(phi.reshape(n, -1)).reshape(5, n, pieces, m)
        # What lies within the limits of two corners that are one has no one-sided value.
        value[:, high - low < 2.0 * INSIDE] = np.nan
        both = np.concatenate([-value, value])
        at = np.nan_to_num(both, nan=-np.inf).argmax(axis=3)
        inner = np.clip(at, 1, m - 2)
        a, b, c, peak = (np.take_along_axis(both, i[..., None], 3)[..., 0] for i in (inner - 1, inner, inner + 1, at))
        bend = a - 2.0 * b + c
        shift = np.where(bend < 0.0, 0.5 * (a - c) / np.where(bend < 0.0, bend, 1.0), np.inf)
        crown = np.where(np.abs(shift) <= 1.5, b - 0.25 * (a - c) * np.where(np.isfinite(shift), shift, 0.0), peak)
        hoped = np.nan_to_num(np.maximum(peak, crown), nan=-np.inf)
        best = np.nan_to_num(peak, nan=-np.inf).max(axis=2)
        tops, piece, sampled = best, hoped.argmax(axis=2), np.nan_to_num(peak, nan=-np.inf).argmax(axis=2)
        tops = np.maximum(tops, self._looked_at(phi, at, piece))
        # A crown may promise more than it holds: where the best sample lies in another piece, that one too.
        other = (piece != sampled).any(axis=0)
        if other.any():
            beside = self._only(other)._looked_at(phi[other], at[:, other], sampled[:, other])
            tops[:, other] = np.maximum(tops[:, other], beside)
        return -tops[:5].T, tops[5:].T, self.mean()

    def _looked_at(self, phi: Array, at: NDArray[np.intp], piece: NDArray[np.intp]) -> Array:
        """Best (10, n) of a closer look about the sample ``at`` (10, n, pieces) of one ``piece`` (10, n) each."""
        n, _, m = phi.shape
        i = np.take_along_axis(at, piece[..., None], 2)[..., 0]
        rows = np.arange(n)
        left, right = phi[rows, piece, np.maximum(i - 1, 0)], phi[rows, piece, np.minimum(i + 1, m - 1)]
        fine = left[..., None] + (right - left)[..., None] * _FINER
        looked = self.force(fine.transpose(1, 0, 2).reshape(n, -1)).reshape(5, n, 10, len(_FINER))
        five = np.arange(5)
        close = np.concatenate([-looked[five, :, five], looked[five, :, five + 5]])
        k = close.argmax(axis=2)
        middle = np.clip(k, 1, len(_FINER) - 2)
        a, b, c, top = (
            np.take_along_axis(close, j[..., None], 2)[..., 0] for j in (middle - 1, middle, middle + 1, k)
        )
        bend = a - 2.0 * b + c
        shift = np.where(bend < 0.0, 0.5 * (a - c) / np.where(bend < 0.0, bend, 1.0), np.inf)
        crown = np.where(np.abs(shift) <= 1.0, b - 0.25 * (a - c) * np.where(np.isfinite(shift), shift, 0.0), top)
        return np.asarray(np.maximum(top, crown))

    def mean(self) -> Array:
        """Mean over a turn (n, 4)."""
        parts = self.law.parts_between(self.entry, self.entry + self.arc)
        shares = self.shares / (self.width if self.straight else self.width / self.lag)[:, None, None]
        scale = self.teeth * self.width / (2.0 * np.pi)
        return np.asarray(np.einsum("ncp,pn->nc", shares, parts) * scale[:, None])


def _one_by_one(setup: Setup, columns: Array) -> tuple[Array, Array, Array, Array]:
    """Least, greatest, mean (n, 4), torque in N m, and the resultant (n,), each cut by the single front."""
    least, greatest, mean = np.full((3, columns.shape[1], 4), np.nan)
    resultant = np.full(columns.shape[1], np.nan)
    for i, column in enumerate(columns.T.tolist()):
        figures = dict(zip(KEYS, column, strict=True))
        turn = force_turn(setup.with_keys(figures | {"cutter.teeth": int(figures["cutter.teeth"])}))
        assert turn is not None
        for c, spread in enumerate((turn.fx, turn.fy, turn.fz, turn.torque)):
            if spread is not None:
                least[i, c], greatest[i, c], mean[i, c] = spread.least, spread.greatest, spread.mean
        resultant[i] = turn.resultant_max
    return least, greatest, mean, resultant
