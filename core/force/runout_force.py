"""Force of the cutter as it runs: each tooth on its own arc-model chip, exact along a helical edge.

A tooth's chip is ``a + b sin(phi)`` in each of a few pieces of the arc (:mod:`core.cut.runout_pieces`), and 0 where
it does not touch the work: there it has no edge force either.  Within a piece a linear-edge force has a closed
integral.  A power law has ``(a + b sin)^p``, smooth but where the chip comes to nothing at an end of the piece: its
panels shrink by halves toward both ends, so that the singular place is never nearer to a panel than its own length,
and a Chebyshev series of 14 terms holds each to rounding: its error falls by 3 + sqrt(8), nearly 6, for each term.
The series is integrated once; an angle costs 15 products and no power.

Tooth j passes a pitch after tooth j - 1: with tooth 0's tip at ``phi`` tooth j has its own at ``phi - 2 pi j / z``.
Arc, lag and torque arm keep the nominal radius.  Without runout this is the even cutter, for checks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..cut.runout_chips import tooth_radii
from ..cut.runout_pieces import ToothPieces, tooth_pieces
from ..maths.angles import lag
from ..maths.arrays import Array, frozen
from ..maths.gauss import gauss
from ..setup.setup import Cut, Cutter, LinearEdge, Setup
from .edge_law import EdgeLaw, edge_width, even_parts

Indices = NDArray[np.intp]

HALVINGS = 20
"""How often a power law's panels are halved toward the ends of a piece."""

TURN = 2.0 * math.pi
_APART = 10.0
"""Put between the angles of one tooth and the next in one long row: more than a turn."""

_AT_ONCE = 1 << 16
"""Teeth times angles that are worked out in one go."""

TERMS = 14
"""Terms of the series of a power law's force in a panel."""

SHORT = 1e-3
"""Lag over the whole depth (rad) below which a difference of two integrals would cost digits: Gauss points then."""

_TURNS = np.pi * (np.arange(TERMS) + 0.5) / TERMS
_PLACES = 0.5 * (np.cos(_TURNS) + 1.0)


def _integrating() -> Array:
    """From values at a panel's Chebyshev places to its integral's series, for a length of 1: (TERMS + 1, TERMS)."""
    waves = 2.0 / TERMS * np.cos(_TURNS * np.arange(TERMS)[:, None])
    waves[0] /= 2.0
    return np.asarray(0.5 * np.polynomial.chebyshev.chebint(waves, lbnd=-1.0))


_INTEGRATING = _integrating()
_NODES, _WEIGHTS = gauss(12)
_SHARES = np.concatenate(
    [[0.0], 0.5 ** np.arange(HALVINGS, 0.0, -1.0), 1.0 - 0.5 ** np.arange(2.0, HALVINGS + 1.0)],
)


@dataclass(frozen=True, slots=True, eq=False)
class RunoutForce:
    """A cutter's teeth on their own chips under one law.

    ``teeth`` are their pieces.  For all teeth together: ``starts`` (p,) of panels in rad (``row``: those of each
    tooth put apart, so that one search serves all), ``offset`` and ``slope`` of the chip and whether it ``touches``
    there, force per mm of edge integrated ``up_to`` (p, 4) each start; ``first`` and ``last`` (z,) panel of each
    tooth, ``whole`` (z, 4) integral over its arc; ``shares`` (p, 4, 5) of a linear law's parts, or ``series``
    (p, 4, TERMS + 1) of the integral of a power law's force within each panel, of ``lengths`` (p,).
    """

    setup: Setup
    law: EdgeLaw
    teeth: tuple[ToothPieces, ...]
    starts: Array
    row: Array
    offset: Array
    slope: Array
    touches: NDArray[np.bool_]
    up_to: Array
    first: Indices
    last: Indices
    whole: Array
    shares: Array | None
    series: Array | None
    lengths: Array

    def breaks(self, tooth: int) -> Array:
        """Angles (n,), rad, ascending, between which the force of an element of this tooth is smooth."""
        return self.teeth[tooth % len(self.teeth)].ends

    def element(self, tooth: ArrayLike, phi: ArrayLike) -> Array:
        """Force for each mm of edge width (..., 4), N/mm, of ``tooth`` where its edge stands at ``phi`` (rad).

        Both broadcast.  0 outside the arc and where the tooth does not touch; the ends of the arc belong to it.
        """
        e, z = engagement(self.setup), len(self.teeth)
        which, at = np.broadcast_arrays(np.asarray(tooth) % z, np.asarray(phi, float))
        base = (at - e.entry) % TURN + e.entry
        u = np.minimum(base, e.exit)
        i = self._panel(which, u)
        cutting = (base <= e.exit) & self.touches[i]
        h = np.maximum(self.offset[i] + self.slope[i] * np.sin(u), 0.0)
        return np.where(cutting[..., None], self.law.on_chip(h, u), 0.0)

    def per_mm(self, tooth: ArrayLike, height: ArrayLike, phi_tip: ArrayLike) -> Array:
        """Force for each mm of height (..., 4), N/mm, of ``tooth`` at ``height`` (mm) when its tip is at ``phi_tip``.

        All broadcast.  Integrated over the height, 0 to the depth of cut, it is :meth:`tooth`.
        """
        c = self.setup.cutter
        behind = lag(height, math.radians(c.helix_deg), c.diameter_mm)
        force = self.element(tooth, np.asarray(phi_tip, float) - behind)
        return np.asarray(force / math.sin(math.radians(c.cutting_edge_angle_deg)))

    def tooth(self, tooth: ArrayLike, phi_tip: ArrayLike) -> Array:
        """Force (..., 4), N, of ``tooth`` with its own tip at ``phi_tip`` (rad, any turn); 0 in the air.

        Both broadcast.
        """
        e, z, width = engagement(self.setup), len(self.teeth), edge_width(self.setup)
        if e.edge_lag < STRAIGHT:
            return width * self.element(tooth, phi_tip)
        which, phi = np.broadcast_arrays(np.asarray(tooth) % z, np.asarray(phi_tip, float))
        base = (phi - e.entry) % TURN + e.entry
        total = np.zeros((*phi.shape, 4))
        cutting = base < e.exit + e.edge_lag
        tip, j = base[cutting], which[cutting]
        end = tip - e.edge_lag
        turns = np.floor((end - e.entry) / TURN)
        integral = self.between(j, np.clip(end - TURN * turns, e.entry, e.exit), np.minimum(tip, e.exit))
        total[cutting] = integral - turns[:, None] * self.whole[j]
        return np.asarray(width / e.edge_lag * total)

    def cutter(self, phi_tip: ArrayLike) -> Array:
        """Force (..., 4), N, of all teeth with tooth 0's tip at ``phi_tip`` (rad)."""
        phi, z = np.asarray(phi_tip, float), len(self.teeth)
        flat, every = phi.reshape(-1), np.arange(z)[:, None]
        total = np.empty((flat.size, 4))
        step = max(_AT_ONCE // z, 1)
        for k in range(0, flat.size, step):
            tips = flat[k : k + step] - TURN / z * every
            total[k : k + step] = self.tooth(every, tips).sum(axis=0)
        return total.reshape(*phi.shape, 4)

    @property
    def mean(self) -> Array:
        """Mean (4,), N, over a turn: a helix does not change it."""
        return np.asarray(edge_width(self.setup) / TURN * self.whole.sum(axis=0))

    def corners(self, tooth: int) -> Array:
        """Angles (n,), rad, ascending, of this tooth's own tip at which its force has a corner or jumps."""
        ends, e = self.breaks(tooth), engagement(self.setup)
        return np.unique(np.concatenate([ends, ends + e.edge_lag]))

    def _panel(self, tooth: Indices, u: Array) -> Indices:
        """The panel (...) of each tooth in which the angle ``u`` lies."""
        panel = np.searchsorted(self.row, u + _APART * tooth, side="right") - 1
        return np.asarray(np.clip(panel, self.first[tooth], self.last[tooth]))

    def between(self, tooth: Indices, low: Array, high: Array) -> Array:
        """Integral (n, 4) of :meth:`element` over angle, ``low`` to ``high`` (n,) inside the arc."""
        i, k = self._panel(tooth, low), self._panel(tooth, high)
        same = i == k
        # Within one panel straight from one to the other, which keeps the digits of a short piece.
        integral = self._within(k, np.where(same, low, self.starts[k]), high)
        apart = ~same
        if apart.any():
            i, k, low = i[apart], k[apart], low[apart]
            integral[apart] += self.up_to[k] - self.up_to[i] - self._within(i, self.starts[i], low)
        return integral

    def _within(self, panel: Indices, low: Array, high: Array) -> Array:
        """Integral (n, 4) from ``low`` to ``high`` (n,), both in the same panel (n,)."""
        if self.shares is not None:
            parts = even_parts(low, high)
            return np.einsum("nck,kn->nc", self.shares[panel], parts)
        if self.series is not None:
            integral = self._summed(panel, high)
            inner = np.flatnonzero(low > self.starts[panel])
            integral[inner] -= self._summed(panel[inner], low[inner])
            return integral
        integral = np.zeros((len(panel), 4))
        touches = self.touches[panel]
        i, start, span = panel[touches], low[touches], (high - low)[touches]
        u = start[:, None] + span[:, None] * _NODES
        h = np.maximum(self.offset[i, None] + self.slope[i, None] * np.sin(u), 0.0)
        integral[touches] = np.einsum("nkc,k->nc", self.law.on_chip(h, u), _WEIGHTS) * span[:, None]
        return integral

    def _summed(self, panel: Indices, at: Array) -> Array:
        """Integral (n, 4) by its series from the start of each panel (n,) to the angle ``at`` (n,) in it."""
        assert self.series is not None
        span = self.lengths[panel]
        # Two breaks in one place leave a panel without length, which holds nothing.
        x = np.divide(2.0 * (at - self.starts[panel]), span, out=np.zeros(span.shape), where=span > 0.0) - 1.0
        waves = np.empty((TERMS + 1, len(x)))
        waves[0], waves[1] = 1.0, x
        for k in range(2, TERMS + 1):
            np.multiply(waves[k - 1], 2.0 * x, out=waves[k])
            waves[k] -= waves[k - 2]
        return np.einsum("nck,kn->nc", self.series[panel], waves)


def _linear_shares(k: LinearEdge, offset: Array, slope: Array, touches: NDArray[np.bool_]) -> Array:
    """What ``1, sin, cos, sin cos, sin^2`` count in each component on ``offset + slope sin``: (p, 4, 5)."""
    shares = np.zeros((len(offset), 4, 5))
    ft, fr, fa = k.ktc * offset + k.kte, k.krc * offset + k.kre, k.kac * offset + k.kae
    shares[:, 0, 1], shares[:, 0, 2] = -ft, fr
    shares[:, 0, 3], shares[:, 0, 4] = k.krc * slope, -k.ktc * slope
    shares[:, 1, 1], shares[:, 1, 2] = -fr, -ft
    shares[:, 1, 3], shares[:, 1, 4] = -k.ktc * slope, -k.krc * slope
    shares[:, 2, 0], shares[:, 2, 1] = fa, k.kac * slope
    shares[:, 3, 0], shares[:, 3, 1] = ft, k.ktc * slope
    return shares * touches[:, None, None]


@lru_cache(maxsize=32)
def _built(cutter: Cutter, cut: Cut, law: EdgeLaw) -> RunoutForce:
    setup = Setup(cutter, cut)
    e, z = engagement(setup), cutter.teeth
    sine = math.sin(math.radians(cutter.cutting_edge_angle_deg))
    radii, feed = tooth_radii(setup), law.feed / sine
    teeth = tuple(tooth_pieces(radii, j, feed, sine, e.entry, e.exit, law.lost_below) for j in range(z))
    offset, slope = np.concatenate([t.offset for t in teeth]), np.concatenate([t.slope for t in teeth])
    touches = np.concatenate([t.touches for t in teeth])
    low, high = np.concatenate([t.ends[:-1] for t in teeth]), np.concatenate([t.ends[1:] for t in teeth])
    each = np.array([len(t.offset) for t in teeth])
    shares: Array | None = None
    if isinstance(law.law, LinearEdge):
        shares = _linear_shares(law.law, offset, slope, touches)
    else:
        panels = len(_SHARES)
        starts = low[:, None] + (high - low)[:, None] * _SHARES
        high = np.concatenate([starts[:, 1:], high[:, None]], axis=1).reshape(-1)
        low, each = starts.reshape(-1), each * panels
        offset, slope, touches = (np.repeat(v, panels) for v in (offset, slope, touches))
    last = np.cumsum(each) - 1
    first = last - each + 1
    row = frozen(low + np.repeat(_APART * np.arange(z), each))
    bare = RunoutForce(
        setup=setup,
        law=law,
        teeth=teeth,
        starts=frozen(low),
        row=row,
        offset=offset,
        slope=slope,
        touches=touches,
        up_to=np.zeros((len(low), 4)),
        first=first,
        last=last,
        whole=np.zeros((z, 4)),
        shares=shares,
        series=None,
        lengths=high - low,
    )
    parts = bare._within(np.arange(len(low)), low, high)
    up_to, whole = np.zeros((len(low), 4)), np.empty((z, 4))
    for j in range(z):
        sums = np.cumsum(parts[first[j] : last[j] + 1], axis=0)
        up_to[first[j] + 1 : last[j] + 1], whole[j] = sums[:-1], sums[-1]
    series = None if shares is not None or e.edge_lag < SHORT else _power_series(bare)
    return replace(bare, up_to=frozen(up_to), whole=frozen(whole), series=series)


def _power_series(bare: RunoutForce) -> Array:
    """Series (p, 4, TERMS + 1) of the integral of a power law's force from the start of each panel."""
    u = bare.starts[:, None] + bare.lengths[:, None] * _PLACES
    h = np.maximum(bare.offset[:, None] + bare.slope[:, None] * np.sin(u), 0.0)
    force = bare.law.on_chip(h, u) * (bare.touches * bare.lengths)[:, None, None]
    return np.asarray(np.einsum("ntc,kt->nck", force, _INTEGRATING))


def runout_force(setup: Setup, law: EdgeLaw) -> RunoutForce:
    """The force of this setup's teeth with its runout under ``law``; kept by cutter, cut and law alone.

    ``law.feed`` may be another than the setup's: the chips are those of that feed.
    """
    return _built(setup.cutter, setup.cut, law)
