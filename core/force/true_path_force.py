"""Force over the true chip: on the trochoid that a tooth runs, and with runout on each tooth's own chip.

The same edge laws as :mod:`core.edge_force`, integrated over the true thickness.  A tooth whose chip has come to
nothing does not touch the work and has no edge force.  Arc, lag and torque arm keep the nominal radius.

Method.  The force of an edge element is smooth between the angles at which its chip begins, ends, or is bounded by
another earlier path.  These corners are bracketed on a grid of 193 angles, by a change of which path bounds the chip,
and all are closed in on together by false position (:func:`core.maths.roots.false_position`).  Between corners panels
are halved twelve times toward both ends: a power law starts as ``h^(1 - mc)``, and in a panel that is as long as it
is far from that start the error of 12 Gauss points falls as ``(3 + sqrt 8)^-24``, below rounding; what the points
miss in the first panel, 1/4096 of the piece, is under 1e-6 of the piece's force.  The integral up to each panel's end
is kept, so that the force of a helical edge, a mean over the lag, is a difference of two sums and two partial panels.
Cost: 24 panels of 12 points for each piece once for a setup, then 24 elements for each tooth and angle.  A crossing
and its way back within one step of the grid are not seen.  Own method; the error of Gauss rules on analytic
integrands: Trefethen, Is Gauss Quadrature Better than Clenshaw-Curtis?, SIAM Review 50 (2008) 67 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..cut.edges_in_arc import STRAIGHT
from ..cut.engagement import engagement
from ..cut.runout_chips import tooth_radii
from ..cut.tooth_path import feed_per_radian, path_shortfall
from ..cut.true_chip import true_chip
from ..maths.arrays import Array, frozen
from ..maths.gauss import gauss
from ..maths.roots import false_position
from ..setup.setup import Setup
from .edge_force import EdgeLaw, edge_law, edge_width

MOST_TEETH = 24
"""Teeth beyond which a cutter with runout is not worked out: each tooth's chip is bounded by all the others."""

GRID = 192
"""Places of the arc among which a chip's corners are looked for: where another tooth's path takes over."""

SIDE = 0.35
"""How far (rad) beyond a finished wall a long tooth may still be in contact."""

_NODES, _WEIGHTS = gauss(12)


@dataclass(frozen=True, slots=True, eq=False)
class TrueEdge:
    """One tooth's chip: ends (m + 1,) rad of panels in which its force is smooth, its integral to each (m + 1, 4)."""

    edges: Array
    up_to: Array

    @property
    def entry(self) -> float:
        """Where the panels begin, rad."""
        return float(self.edges[0])

    @property
    def exit(self) -> float:
        """Where the panels end, rad."""
        return float(self.edges[-1])


@dataclass(frozen=True, slots=True, eq=False)
class TrueForce:
    """Force of a cutter over its true chips; one :class:`TrueEdge` for each tooth, or one for all alike."""

    setup: Setup
    law: EdgeLaw
    teeth: tuple[TrueEdge, ...]

    def tooth(self, index: int, phi_tip: ArrayLike) -> Array:
        """Force (..., 4) N of tooth ``index`` with its tip at ``phi_tip`` (rad, any turn); 0 in the air."""
        edge = self.teeth[index % len(self.teeth)]
        phi = np.asarray(phi_tip, float)
        base = (phi - edge.entry) % (2.0 * np.pi) + edge.entry
        e, width = engagement(self.setup), edge_width(self.setup)
        if e.edge_lag < STRAIGHT:
            inside = (base <= edge.exit)[..., None]
            return np.where(inside, width * _element(np.minimum(base, edge.exit), index, self.setup, self.law), 0.0)
        total = np.zeros((*phi.shape, 4))
        cutting = base < edge.exit + e.edge_lag
        tip = base[cutting]
        total[cutting] = self._up_to(edge, index, tip) - self._up_to(edge, index, tip - e.edge_lag)
        return width / e.edge_lag * total

    def _up_to(self, edge: TrueEdge, index: int, x: Array) -> Array:
        """Integral (n, 4) of the force over all the chip that lies below the angles ``x`` (n,), whole turns too."""
        turns = np.floor((x - edge.entry) / (2.0 * np.pi))
        rest = np.clip(x - 2.0 * np.pi * turns, edge.entry, edge.exit)
        i = np.clip(np.searchsorted(edge.edges, rest, side="right") - 1, 0, len(edge.edges) - 2)
        start = edge.edges[i]
        span = rest - start
        u = start[:, None] + span[:, None] * _NODES
        part = np.einsum("nkc,k->nc", _element(u, index, self.setup, self.law), _WEIGHTS) * span[:, None]
        return np.asarray(turns[:, None] * edge.up_to[-1] + edge.up_to[i] + part)

    def cutter(self, phi_tip: ArrayLike) -> Array:
        """Force (..., 4) N of all teeth with tooth 0's tip at ``phi_tip`` (rad)."""
        phi, z = np.asarray(phi_tip, float), self.setup.cutter.teeth
        # Tooth j passes a pitch after tooth j - 1.
        return np.asarray(sum(self.tooth(j, phi - 2.0 * np.pi * j / z) for j in range(z)))

    @property
    def mean(self) -> Array:
        """Mean (4,) N over a turn: a helix does not change it."""
        each = sum(edge.up_to[-1] for edge in self.teeth) * (self.setup.cutter.teeth / len(self.teeth))
        return np.asarray(edge_width(self.setup) / (2.0 * np.pi) * each)


def _bounding(setup: Setup) -> tuple[Array, Array]:
    """Which earlier paths can bound which tooth's chip: tooth (m,) and how many places before it the other was (m,).

    An earlier tooth that is no longer than one that came after it lies inside that one's cut and is left out.
    """
    z, radii, pairs = setup.cutter.teeth, tooth_radii(setup), []
    for tooth in range(z if setup.cutter.runout_mm > 0.0 else 1):
        longest = -np.inf
        for k in range(1, z + 1 if setup.cutter.runout_mm > 0.0 else 2):
            other = float(radii[(tooth - k) % z])
            if other > longest:
                pairs.append((tooth, k))
            longest = max(longest, other)
    return np.array([t for t, _ in pairs]), np.array([k for _, k in pairs])


def _chip(phi: Array, tooth: Array, k: Array, setup: Setup) -> Array:
    """Unclipped thickness (mm) of ``tooth`` against the path ``k`` places before it; all broadcast."""
    z, feed, radii = setup.cutter.teeth, setup.cut.feed_per_tooth_mm, tooth_radii(setup)
    other = radii[(tooth - k) % z]
    short = path_shortfall(phi, other, k * feed, feed_per_radian(feed, z))
    return np.asarray((radii[tooth % z] - other + short) * np.sin(np.radians(setup.cutter.cutting_edge_angle_deg)))


def _chips(phi: Array, index: int, setup: Setup) -> Array:
    """Unclipped thickness (k, ...) of tooth ``index`` against each path that can bound its chip, mm."""
    tooth, k = _bounding(setup)
    mine = k[tooth == (index % setup.cutter.teeth if setup.cutter.runout_mm > 0.0 else 0)]
    return _chip(phi, np.asarray(index), mine.reshape((-1,) + (1,) * np.ndim(phi)), setup)


def _element(u: Array, index: int, setup: Setup, law: EdgeLaw) -> Array:
    """Force for each mm of edge (..., 4) at angle ``u`` (rad) on the true chip, N/mm; 0 where there is none."""
    h = _chips(u, index, setup).min(axis=0)
    return np.where((h > 0.0)[..., None], law.on_chip(np.maximum(h, 0.0), u), 0.0)


def _corners(setup: Setup, first: float, last: float) -> list[Array]:
    """For each tooth the angles (rad, ascending) where contact begins or ends or another path takes over."""
    tooth, k = _bounding(setup)
    grid = np.linspace(first, last, GRID + 1)
    chips = _chip(grid, tooth[:, None], k[:, None], setup)
    changes = []
    for j in range(setup.cutter.teeth):
        mine, ks = chips[tooth == j], k[tooth == j]
        # 0 stands for no contact, else how many places before this one the bounding tooth was.
        labels = np.where(mine.min(axis=0) > 0.0, ks[mine.argmin(axis=0)], 0)
        i = np.flatnonzero(labels[1:] != labels[:-1])
        changes.append((grid[i], grid[i + 1], labels[i], labels[i + 1], np.full(i.shape, j)))
    # The changes of all teeth are closed in on together.
    low, high, before, after, which = (np.concatenate(each) for each in zip(*changes, strict=True))
    meets = _meeting(low, high, before, after, which, setup)
    return np.split(meets, np.cumsum([len(starts) for starts, *_ in changes])[:-1])


def _meeting(low: Array, high: Array, before: Array, after: Array, tooth: Array, setup: Setup) -> Array:
    """Where (n,) the chips against two paths are equal (0: against nothing), by false position."""
    if not low.size:
        return low
    both = np.stack([before, after])
    k, bounded = np.maximum(both, 1), both > 0

    def apart(phi: Array) -> Array:
        one, two = np.where(bounded, _chip(phi, tooth, k, setup), 0.0)
        return np.asarray(one - two)

    return false_position(apart, low, high)


def _contact(setup: Setup) -> tuple[float, float]:
    """Between which angles (rad) a tooth can be in contact: the strip, and beyond a finished wall the path's own."""
    true, nominal = true_chip(setup), engagement(setup)
    if setup.cutter.runout_mm == 0.0:
        return true.entry, true.exit
    low = true.entry - (SIDE if nominal.entry <= 1e-9 else 0.0)
    return low, true.exit + (SIDE if nominal.exit >= np.pi - 1e-9 else 0.0)


def _edge(index: int, meets: Array, setup: Setup, law: EdgeLaw) -> TrueEdge:
    """The panels of one tooth, from its corners (n,)."""
    low, high = _contact(setup)
    ends = np.concatenate([[low], meets, [high]])
    # A power law begins with h^(1 - mc): panels that shrink toward both ends of each piece.
    shares = np.concatenate([[0.0], 0.5 ** np.arange(12.0, 0.0, -1.0), 1.0 - 0.5 ** np.arange(2.0, 13.0), [1.0]])
    pieces = ends[:-1, None] + np.diff(ends)[:, None] * shares[:-1]
    edges = np.unique(np.concatenate([pieces.reshape(-1), [high]]))
    span = np.diff(edges)
    u = edges[:-1, None] + span[:, None] * _NODES
    parts = np.einsum("nkc,k->nc", _element(u, index, setup, law), _WEIGHTS) * span[:, None]
    return TrueEdge(frozen(edges), frozen(np.concatenate([np.zeros((1, 4)), np.cumsum(parts, axis=0)])))


@lru_cache(maxsize=16)
def true_force(setup: Setup) -> TrueForce | None:
    """The force over the true chips, with the setup's runout; None where the coefficients are not known.

    None also for a cutter with runout of more than :data:`MOST_TEETH` teeth.
    """
    law, teeth = edge_law(setup), setup.cutter.teeth
    if law is None or (setup.cutter.runout_mm > 0.0 and teeth > MOST_TEETH):
        return None
    meets = _corners(setup, *_contact(setup)) if setup.cutter.runout_mm > 0.0 else [np.empty(0)]
    return TrueForce(setup, law, tuple(_edge(j, m, setup, law) for j, m in enumerate(meets)))
