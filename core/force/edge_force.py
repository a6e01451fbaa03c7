"""Cutting force of the edge: linear-edge and power-law, arc-model chip, exact along a helical edge.

Forces are those of the work on the cutter, N, in the frame of the project: x normal to the feed, y along it,
z along the spindle.  Tangential against the tooth's motion, radial toward the axis:
``dFx = -dFt sin + dFr cos``, ``dFy = -dFt cos - dFr sin``.  Source of the mechanistic form: Y. Altintas,
Manufacturing Automation (from memory); of the power law: Kienzle, in Dietrich and Tschaetsch, Praxis der
Zerspanungstechnik.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..cut.edges_in_arc import STRAIGHT, helical_edges, straight_edges
from ..cut.engagement import engagement
from ..maths.arrays import Array
from ..maths.sine_powers import sine_power_moments
from ..setup.setup import LinearEdge, PowerLaw, Setup

COMPONENTS = ("fx", "fy", "fz", "tangential")
"""What each last axis of length 4 holds: N; torque is tangential times the nominal radius."""


@dataclass(frozen=True, slots=True)
class EdgeLaw:
    """The force law of one setup: per mm of edge at angle u, and its integral over u, both (..., 4).

    Either law is a few functions of the angle alone, its parts, times coefficients: ``1, sin, cos, sin cos, sin^2``
    where it is linear, ``sin^p, sin^(p+1), sin^p cos`` with ``p = 1 - mc`` where it is a power.
    """

    feed: float
    law: LinearEdge | PowerLaw

    def at(self, u: ArrayLike) -> Array:
        """Force for each mm of edge width at angle ``u`` (rad): x, y, axial, tangential, N/mm."""
        u = np.asarray(u, float)
        return self.on_chip(self.feed * np.maximum(np.sin(u), 0.0), u)

    def on_chip(self, h: ArrayLike, u: ArrayLike) -> Array:
        """As :meth:`at`, on a chip of thickness ``h`` (mm, not below 0) at angle ``u`` (rad), both (...)."""
        h, u = np.asarray(h, float), np.asarray(u, float)
        s, c = np.sin(u), np.cos(u)
        if isinstance(self.law, LinearEdge):
            k = self.law
            ft, fr, fa = k.ktc * h + k.kte, k.krc * h + k.kre, k.kac * h + k.kae
        else:
            ft = self.law.kc11_n_mm2 * h ** (1.0 - self.law.mc)
            fr, fa = self.law.radial_ratio * ft, np.zeros_like(ft)
        force = np.empty((*ft.shape, 4))
        force[..., 0], force[..., 1] = fr * c - ft * s, -ft * c - fr * s
        force[..., 2], force[..., 3] = fa, ft
        return force

    def across(self, u: ArrayLike) -> Array:
        """The x part of :meth:`at`, same shape as ``u``."""
        u = np.asarray(u, float)
        s, c = np.sin(u), np.cos(u)
        h = self.feed * np.maximum(s, 0.0)
        if isinstance(self.law, LinearEdge):
            return np.asarray((self.law.krc * h + self.law.kre) * c - (self.law.ktc * h + self.law.kte) * s)
        ft = self.law.kc11_n_mm2 * h ** (1.0 - self.law.mc)
        return np.asarray(ft * (self.law.radial_ratio * c - s))

    def integral(self, u: ArrayLike) -> Array:
        """Integral of :meth:`at` over angle from 0 to ``u`` (rad, 0 to pi): closed, or a series exact to rounding."""
        u = np.asarray(u, float)
        return self.mixed(self.parts_between(np.zeros(u.shape), u))

    def parts_at(self, u: Array) -> Array:
        """Each part at the angles ``u`` (rad, 0 to pi): (parts, ...)."""
        s, c = np.sin(u), np.cos(u)
        if isinstance(self.law, LinearEdge):
            return np.array([np.ones(u.shape), s, c, s * c, s * s])
        power = np.maximum(s, 0.0) ** (1.0 - self.law.mc)
        return np.array([power, power * s, power * c])

    def parts_between(self, low: Array, high: Array) -> Array:
        """Each part's integral from ``low`` to ``high`` (rad, 0 to pi, same shapes): (parts, ...).

        The linear ones as products about the middle of the two, which keep the digits of a short piece.
        """
        if not isinstance(self.law, LinearEdge):
            ends = sine_power_moments(np.array([low, high]), 1.0 - self.law.mc)
            return np.asarray(ends[:, 1] - ends[:, 0])
        parts = np.empty((5, low.size))
        span, sine, cosine, product, square = parts
        np.subtract(high.reshape(-1), low.reshape(-1), out=span)
        half = 0.5 * span
        middle = low.reshape(-1) + half
        s, c, s_half, c_half = np.sin(middle), np.cos(middle), np.sin(half), np.cos(half)
        chord = 2.0 * s_half
        np.multiply(chord, s, out=sine)
        np.multiply(chord, c, out=cosine)
        np.multiply(sine, c * c_half, out=product)
        np.subtract(half, s_half * c_half * (c * c - s * s), out=square)
        return parts.reshape(5, *low.shape)

    def mixed(self, parts: Array, scale: float = 1.0) -> Array:
        """Force (..., 4) of the given amounts of each part (parts, ...), times ``scale``."""
        shares, strength = _shares(self)
        mix = scale * strength * shares
        return np.asarray(parts.reshape(len(parts), -1).T @ mix.T).reshape(*parts.shape[1:], 4)


@lru_cache(maxsize=64)
def _shares(law: EdgeLaw) -> tuple[Array, float]:
    """What each part of the law counts in each component, (4, parts), times the second, N/mm."""
    k, f, strength = law.law, law.feed, 1.0
    if isinstance(k, LinearEdge):
        shares = np.array(
            [
                [0.0, -k.kte, k.kre, k.krc * f, -k.ktc * f],
                [0.0, -k.kre, -k.kte, -k.ktc * f, -k.krc * f],
                [k.kae, k.kac * f, 0.0, 0.0, 0.0],
                [k.kte, k.ktc * f, 0.0, 0.0, 0.0],
            ]
        )
    else:
        r, strength = k.radial_ratio, k.kc11_n_mm2 * f ** (1.0 - k.mc)
        shares = np.array([[0.0, -1.0, r], [0.0, -r, -1.0], [0.0, 0.0, 0.0], [1.0, 0.0, 0.0]])
    shares.setflags(write=False)
    return shares, strength


@lru_cache(maxsize=64)
def edge_law(setup: Setup) -> EdgeLaw | None:
    """The law of a setup whose coefficients are known; None otherwise."""
    if setup.work.force is None:
        return None
    kappa = math.radians(setup.cutter.cutting_edge_angle_deg)
    return EdgeLaw(setup.cut.feed_per_tooth_mm * math.sin(kappa), setup.work.force)


def edge_width(setup: Setup) -> float:
    """Width (mm) of the engaged edge: depth over the sine of the cutting edge angle, not lengthened by the helix."""
    return setup.cut.axial_engagement_mm / math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))


def _teeth_force(phi: Array, teeth: int, setup: Setup, law: EdgeLaw) -> Array:
    """Force (..., 4), N, of ``teeth`` even ones of which one has its tip at ``phi`` (rad, any turn).

    A helical edge has the width ``b / lag`` for each rad of lag.  The parts of the law are added up over the teeth
    before they are mixed: a few sums instead of a force for each tooth.
    """
    e, width = engagement(setup), edge_width(setup)
    if e.edge_lag < STRAIGHT:
        tips, inside = straight_edges(phi, teeth, e)
        at = law.parts_at(tips[inside])
        parts = np.zeros((len(at), *tips.shape))
        parts[:, inside] = at
        return law.mixed(np.add.reduce(parts, 1), width)
    low, high, turns = helical_edges(phi, teeth, e)
    parts = np.add.reduce(law.parts_between(low, high), 1)
    if turns:
        whole = law.parts_between(np.array(e.entry), np.array(e.exit))
        parts += turns * teeth * whole.reshape((-1,) + (1,) * phi.ndim)
    return law.mixed(parts, width / e.edge_lag)


def tooth_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of one tooth with its tip at ``phi_tip`` (rad, any turn): (..., 4), N; 0 in the air."""
    return _teeth_force(np.asarray(phi_tip, float), 1, setup, law)


def cutter_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of all teeth with tooth 0's tip at ``phi_tip`` (rad): (..., 4), N."""
    return _teeth_force(np.asarray(phi_tip, float), setup.cutter.teeth, setup, law)


def mean_force(setup: Setup, law: EdgeLaw) -> Array:
    """Mean over a turn, (4,), N: closed over the arc; a helix does not change a mean."""
    e = engagement(setup)
    parts = law.parts_between(np.array(e.entry), np.array(e.exit))
    return law.mixed(parts, setup.cutter.teeth * edge_width(setup) / (2.0 * np.pi))
