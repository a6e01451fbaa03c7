"""The force law of a setup for each mm of edge: linear-edge and power-law, in the frame of the cutter.

Forces are those of the work on the cutter, N, in the frame of the project: x normal to the feed, y along it,
z along the spindle, above 0 out of the holder.  The coefficients give ``dFt`` against the tooth's motion, ``dFr``
normal to the edge and ``dFa`` along it.  Toward the axis acts ``dFr sin(kappa_r) + dFa cos(kappa_r)``, along the
spindle ``dFa sin(kappa_r) - dFr cos(kappa_r)`` (Engin and Altintas 2001, from memory).  With Fr the part toward the
axis ``dFx = -dFt sin + dFr cos``, ``dFy = -dFt cos - dFr sin``.  Source of the mechanistic form: Y. Altintas,
Manufacturing Automation (from memory); of the power law: Kienzle, in Dietrich and Tschaetsch, Praxis der
Zerspanungstechnik.

The edge's own force grows in proportion to the edge radius over the one that the coefficients were measured with
(Albrecht 1960; Wyen and Wegener 2010; both from memory), and with the flank wear land: see :mod:`.edge_condition`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..maths.sine_powers import sine_power_moments
from ..setup.setup import Cutter, LinearEdge, PowerLaw, Setup, Work
from .edge_condition import EdgeCondition, edge_condition

COMPONENTS = ("fx", "fy", "fz", "tangential")
"""What each last axis of length 4 holds: N; torque is tangential times the nominal radius."""


@dataclass(frozen=True, slots=True)
class EdgeLaw:
    """The force law of one setup: per mm of edge at angle u, and its integral over u, both (..., 4).

    Either law is a few functions of the angle alone, its parts, times coefficients: ``1, sin, cos, sin cos, sin^2``
    where it is linear, ``sin^p, sin^(p+1), sin^p cos`` with ``p = 1 - mc`` where it is a power.

    feed : greatest thickness of a chip, ``fz sin(kappa_r)``, mm; law : coefficients of which the radial ones act
    toward the axis and the axial ones along the spindle, edge radius and wear included.  Of a power law only:
    ``axial_ratio`` of the axial to the tangential force; ``edge`` force added to it at any thickness, N/mm,
    tangential, toward the axis, along the spindle; ``lost`` share of its force that a sharper edge has not, up to
    what it has at the thickness ``lost_below`` (mm).
    """

    feed: float
    law: LinearEdge | PowerLaw
    axial_ratio: float = 0.0
    edge: tuple[float, float, float] = (0.0, 0.0, 0.0)
    lost: float = 0.0
    lost_below: float = 0.0

    def tangential(self, h: ArrayLike) -> Array:
        """Tangential force (...) N/mm on a chip of thickness ``h`` (mm, not below 0)."""
        h, k = np.asarray(h, float), self.law
        if isinstance(k, LinearEdge):
            return np.asarray(k.ktc * h + k.kte)
        return np.asarray(self._powered(h) + self.edge[0])

    @property
    def edge_tangential(self) -> float:
        """The part of :meth:`tangential` that is there at any thickness, N/mm."""
        return self.law.kte if isinstance(self.law, LinearEdge) else self.edge[0]

    @property
    def has_axial(self) -> bool:
        """Whether the force along the spindle is known: not with a power law at 90 degrees, which has none."""
        return isinstance(self.law, LinearEdge) or self.axial_ratio != 0.0

    def _powered(self, h: Array) -> Array:
        """What a power law gives without its added edge force, N/mm."""
        assert isinstance(self.law, PowerLaw)
        power = 1.0 - self.law.mc
        ft = self.law.kc11_n_mm2 * h**power
        if self.lost:
            ft = ft - self.lost * self.law.kc11_n_mm2 * np.minimum(h, self.lost_below) ** power
        return np.asarray(ft)

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
            ft = self._powered(h)
            fr, fa = self.law.radial_ratio * ft + self.edge[1], self.axial_ratio * ft + self.edge[2]
            ft = ft + self.edge[0]
        force = np.empty((*ft.shape, 4))
        force[..., 0], force[..., 1] = fr * c - ft * s, -ft * c - fr * s
        force[..., 2], force[..., 3] = fa, ft
        return force

    def across(self, u: ArrayLike) -> Array:
        """The x part of :meth:`at`, same shape as ``u``."""
        s, c = np.sin(np.asarray(u, float)), np.cos(np.asarray(u, float))
        return self.across_chip(self.feed * np.maximum(s, 0.0), s, c)

    def across_chip(self, h: Array, s: Array, c: Array) -> Array:
        """The x part of :meth:`on_chip`, of angles given by their sine and cosine, all of one shape."""
        if isinstance(self.law, LinearEdge):
            return np.asarray((self.law.krc * h + self.law.kre) * c - (self.law.ktc * h + self.law.kte) * s)
        ft = self._powered(h)
        return np.asarray(ft * (self.law.radial_ratio * c - s) + self.edge[1] * c - self.edge[0] * s)

    @property
    def across_form(self) -> tuple[float | str, ...]:
        """What two laws have alike whose :meth:`across_parts` are the same."""
        if isinstance(self.law, LinearEdge):
            return ("linear",)
        return (self.law.mc, float(any(self.edge[:2])), self.lost_below if self.lost else 0.0)

    def across_parts(self, h: Array, s: Array, c: Array) -> Array:
        """The parts that :meth:`across_chip` is a mix of, by :attr:`across_shares`: (parts, ...)."""
        first, rest = h, [np.ones_like(h)]
        if isinstance(self.law, PowerLaw):
            power = 1.0 - self.law.mc
            first, rest = h**power, rest if any(self.edge[:2]) else []
            if self.lost:
                rest.append(np.minimum(h, self.lost_below) ** power)
        parts = np.empty((2 + 2 * len(rest), *h.shape))
        for i, part in enumerate((first, *rest)):
            np.multiply(part, c, out=parts[2 * i])
            np.multiply(part, s, out=parts[2 * i + 1])
        return parts

    @property
    def across_shares(self) -> tuple[float, ...]:
        """What each of :meth:`across_parts` counts."""
        k = self.law
        if isinstance(k, LinearEdge):
            return (k.krc, -k.ktc, k.kre, -k.kte)
        shares: tuple[float, ...] = (k.kc11_n_mm2 * k.radial_ratio, -k.kc11_n_mm2)
        if any(self.edge[:2]):
            shares += (self.edge[1], -self.edge[0])
        if self.lost:
            shares += (-self.lost * shares[0], -self.lost * shares[1])
        return shares

    def most_across(self, h: Array) -> Array:
        """What :meth:`across_chip` is at most, N/mm of either sign, on chips up to ``h`` (mm) at any angle."""
        k = self.law
        if isinstance(k, LinearEdge):
            return np.hypot(k.ktc * h + k.kte, abs(k.krc) * h + abs(k.kre))
        return np.asarray(self._powered(h) * math.hypot(1.0, k.radial_ratio) + math.hypot(*self.edge[:2]))

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
        parts = [power, power * s, power * c]
        if any(self.edge):
            parts += [np.ones(u.shape), s, c]
        if self.lost:
            least = np.minimum(power, self._lost_sine ** (1.0 - self.law.mc))
            parts += [least, least * s, least * c]
        return np.array(parts)

    def parts_between(self, low: Array, high: Array) -> Array:
        """Each part's integral from ``low`` to ``high`` (rad, 0 to pi, same shapes): (parts, ...).

        The linear ones as products about the middle of the two, which keep the digits of a short piece.
        """
        if isinstance(self.law, LinearEdge):
            return even_parts(low, high)
        ends = np.array([low, high])
        moments = sine_power_moments(ends, 1.0 - self.law.mc)
        parts = moments[:, 1] - moments[:, 0]
        if any(self.edge):
            parts = np.concatenate([parts, even_parts(low, high)[:3]])
        if self.lost:
            parts = np.concatenate([parts, self._lost_between(ends, moments)])
        return np.asarray(parts)

    @property
    def _lost_sine(self) -> float:
        """Sine of the angle up to which the chip is thinner than ``lost_below``."""
        return min(self.lost_below / self.feed, 1.0) if self.feed > 0.0 else 1.0

    def _lost_between(self, ends: Array, moments: Array) -> Array:
        """Integrals (3, ...) of ``min(sin, s0)^p`` times 1, sin, cos: a power at both ends, constant between them.

        ends (2, ...) : from and to, rad; moments (3, 2, ...) : those of the power from 0 to there.
        """
        assert isinstance(self.law, PowerLaw)
        first, power = math.asin(self._lost_sine), 1.0 - self.law.mc
        last = math.pi - first
        # Beyond an end of its own a power has what it has there.
        up_to, from_there = sine_power_moments(np.array([first, last]), power).T
        shape = (3,) + (1,) * ends.ndim
        below = np.where(ends > first, up_to.reshape(shape), moments)
        above = np.where(ends < last, from_there.reshape(shape), moments)
        middle = np.clip(ends, first, last)
        level = self._lost_sine**power * even_parts(middle[0], middle[1])[:3]
        return np.asarray(below[:, 1] - below[:, 0] + above[:, 1] - above[:, 0] + level)

    def mixed(self, parts: Array, scale: float = 1.0) -> Array:
        """Force (..., 4) of the given amounts of each part (parts, ...), times ``scale``."""
        shares, strength = _shares(self)
        mix = scale * strength * shares
        return np.asarray(parts.reshape(len(parts), -1).T @ mix.T).reshape(*parts.shape[1:], 4)


def even_parts(low: Array, high: Array) -> Array:
    """Integrals (5, ...) of ``1, sin, cos, sin cos, sin^2`` from ``low`` to ``high`` (rad, same shapes)."""
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


def _turned(tangential: float, radial: float, axial: float) -> list[list[float]]:
    """What ``1, sin, cos`` of a force of constant size count in x, y, axial, tangential."""
    return [
        [0.0, -tangential, radial],
        [0.0, -radial, -tangential],
        [axial, 0.0, 0.0],
        [tangential, 0.0, 0.0],
    ]


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
        unit = np.array(_turned(1.0, k.radial_ratio, law.axial_ratio))
        powered = k.kc11_n_mm2 * f ** (1.0 - k.mc)
        blocks = [unit]
        if any(law.edge) or law.lost:
            blocks = [powered * unit]
            blocks += [np.array(_turned(*law.edge))] if any(law.edge) else []
            blocks += [-law.lost * powered * unit] if law.lost else []
        else:
            strength = powered
        shares = np.concatenate(blocks, axis=1)
    shares.setflags(write=False)
    return shares, strength


def in_the_frame(radial: float, axial: float, sine: float, cosine: float) -> tuple[float, float]:
    """A force normal to the edge and one along it as parts toward the axis and along the spindle."""
    return radial * sine + axial * cosine, axial * sine - radial * cosine


def law_of(feed: float, kappa: float, law: LinearEdge | PowerLaw, condition: EdgeCondition) -> EdgeLaw:
    """The law of an edge at ``kappa`` (rad) with ``feed`` (mm) per tooth, in the condition that it is in."""
    right = abs(kappa - math.pi / 2.0) < 1e-12
    sine, cosine = (1.0, 0.0) if right else (math.sin(kappa), math.cos(kappa))
    thickest, grown = feed * sine, condition.edge_ratio
    if isinstance(law, LinearEdge):
        kte, kre, kae = law.kte * grown, law.kre * grown, law.kae * grown
        krc, kac = in_the_frame(law.krc, law.kac, sine, cosine)
        kre, kae = in_the_frame(kre + condition.land_normal, kae, sine, cosine)
        return EdgeLaw(thickest, LinearEdge(law.ktc, krc, kac, kte + condition.land_tangential, kre, kae))
    toward, along = in_the_frame(law.radial_ratio, 0.0, sine, cosine)
    # The force at the least chip of the edge that it was measured with stands for the edge's own.
    own = law.kc11_n_mm2 * condition.measured_least_chip ** (1.0 - law.mc) * max(grown - 1.0, 0.0)
    ft, fr = own + condition.land_tangential, own * law.radial_ratio + condition.land_normal
    radial, axial = in_the_frame(fr, 0.0, sine, cosine)
    lost = max(1.0 - grown, 0.0) if condition.measured_least_chip > 0.0 else 0.0
    return EdgeLaw(
        thickest,
        PowerLaw(law.kc11_n_mm2, law.mc, toward),
        axial_ratio=along,
        edge=(ft, radial, axial),
        lost=lost,
        lost_below=condition.measured_least_chip if lost else 0.0,
    )


@lru_cache(maxsize=64)
def edge_law(setup: Setup) -> EdgeLaw | None:
    """The law of a setup whose coefficients are known; None otherwise."""
    return law_of_edge(setup.cutter, setup.work, setup.cut.feed_per_tooth_mm)


@lru_cache(maxsize=64)
def law_of_edge(cutter: Cutter, work: Work, feed: float) -> EdgeLaw | None:
    """The law of a cutter's edge in a work at a feed per tooth (mm): all that it depends on, so that a cut of another
    width or depth meets it again."""
    if work.force is None:
        return None
    return law_of(feed, math.radians(cutter.cutting_edge_angle_deg), work.force, edge_condition(cutter, work))


def edge_width(setup: Setup) -> float:
    """Width (mm) of the engaged edge: depth over the sine of the cutting edge angle, not lengthened by the helix."""
    return setup.cut.axial_engagement_mm / math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
