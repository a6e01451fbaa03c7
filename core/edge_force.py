"""Cutting force of the edge: linear-edge and power-law, arc-model chip, exact along a helical edge.

Forces are those of the work on the cutter, N, in the frame of the project: x normal to the feed, y along it,
z along the spindle.  Tangential against the tooth's motion, radial toward the axis:
``dFx = -dFt sin + dFr cos``, ``dFy = -dFt cos - dFr sin``.  Source of the mechanistic form: Y. Altintas,
Manufacturing Automation (from memory); of the power law: Kienzle, in Dietrich and Tschaetsch, Praxis der
Zerspanungstechnik.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array
from .engagement import engagement
from .setup import LinearEdge, PowerLaw, Setup
from .sine_powers import sine_power_integral

STRAIGHT = 1e-9
"""Lag over the whole depth (rad) below which the edge counts as straight."""

COMPONENTS = ("fx", "fy", "fz", "tangential")
"""What each last axis of length 4 holds: N; torque is tangential times the nominal radius."""


@dataclass(frozen=True, slots=True)
class EdgeLaw:
    """The force law of one setup: per mm of edge at angle u, and its integral over u, both (..., 4)."""

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
        return np.stack([-ft * s + fr * c, -ft * c - fr * s, fa, ft], -1)

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
        """Integral of :meth:`at` over angle from 0 to ``u`` (rad, 0 to pi): closed, or exact quadrature."""
        u = np.asarray(u, float)
        s, c = np.sin(u), np.cos(u)
        if isinstance(self.law, LinearEdge):
            k, f = self.law, self.feed
            ss, sc = 0.5 * (u - s * c), 0.5 * s * s
            one_c = 1.0 - c
            x = -k.ktc * f * ss - k.kte * one_c + k.krc * f * sc + k.kre * s
            y = -k.ktc * f * sc - k.kte * s - k.krc * f * ss - k.kre * one_c
            out = np.empty((*u.shape, 4))
            out[..., 0], out[..., 1] = x, y
            out[..., 2] = k.kac * f * one_c + k.kae * u
            out[..., 3] = k.ktc * f * one_c + k.kte * u
            return out
        p = 1.0 - self.law.mc
        scale = self.law.kc11_n_mm2 * self.feed**p
        along = sine_power_integral(u, p)
        square = sine_power_integral(u, p + 1.0)
        cross = np.maximum(s, 0.0) ** (p + 1.0) / (p + 1.0)
        r = self.law.radial_ratio
        x, y = -square + r * cross, -cross - r * square
        return scale * np.stack([x, y, np.zeros_like(u), along], -1)


def edge_law(setup: Setup) -> EdgeLaw | None:
    """The law of a setup whose coefficients are known; None otherwise."""
    if setup.work.force is None:
        return None
    kappa = np.radians(setup.cutter.cutting_edge_angle_deg)
    return EdgeLaw(setup.cut.feed_per_tooth_mm * float(np.sin(kappa)), setup.work.force)


def edge_width(setup: Setup) -> float:
    """Width (mm) of the engaged edge: depth over the sine of the cutting edge angle, not lengthened by the helix."""
    return setup.cut.axial_engagement_mm / float(np.sin(np.radians(setup.cutter.cutting_edge_angle_deg)))


@lru_cache(maxsize=64)
def _arc_integral(setup: Setup, law: EdgeLaw) -> tuple[Array, Array]:
    """Integral of the law up to entry, and over the whole arc, (4,) each."""
    e = engagement(setup)
    ends = law.integral(np.array([e.entry, e.exit]))
    return ends[0], ends[1] - ends[0]


def tooth_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of one tooth with its tip at ``phi_tip`` (rad, any turn): (..., 4), N; 0 in the air.

    The edge in the arc reaches from ``tip - lag`` to ``tip``; its width for each rad of lag is ``b / lag``.
    """
    e = engagement(setup)
    phi = np.asarray(phi_tip, float)
    base = (phi - e.entry) % (2.0 * np.pi) + e.entry
    if e.edge_lag < STRAIGHT:
        inside = ((base >= e.entry) & (base <= e.exit))[..., None]
        return np.where(inside, edge_width(setup) * law.at(np.clip(base, e.entry, e.exit)), 0.0)
    total = np.zeros((*phi.shape, 4))
    # Most teeth are in the air most of the time: only those in cut are computed.
    cutting = base < e.exit + e.edge_lag
    tip = base[cutting]
    start, arc = _arc_integral(setup, law)

    def up_to(x: Array) -> Array:
        """Force of all that lies in the arc below the angle ``x``, whole turns included."""
        turns = np.floor((x - e.entry) / (2.0 * np.pi))
        rest = np.minimum(x - 2.0 * np.pi * turns, e.exit)
        return turns[..., None] * arc + law.integral(np.maximum(rest, e.entry)) - start

    ends = up_to(np.stack([tip, tip - e.edge_lag]))
    total[cutting] = ends[0] - ends[1]
    return edge_width(setup) / e.edge_lag * total


def cutter_force(phi_tip: ArrayLike, setup: Setup, law: EdgeLaw) -> Array:
    """Force of all teeth with tooth 0's tip at ``phi_tip`` (rad): (..., 4), N."""
    phi, teeth = np.asarray(phi_tip, float), setup.cutter.teeth
    each = phi + (2.0 * np.pi / teeth) * np.arange(teeth).reshape((-1,) + (1,) * phi.ndim)
    return np.asarray(tooth_force(each, setup, law).sum(axis=0))


def mean_force(setup: Setup, law: EdgeLaw) -> Array:
    """Mean over a turn, (4,), N: closed over the arc; a helix does not change a mean."""
    arc = _arc_integral(setup, law)[1]
    return np.asarray(setup.cutter.teeth * edge_width(setup) / (2.0 * np.pi) * arc)
