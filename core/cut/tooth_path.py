"""The true path of a tooth: a trochoid, because the cutter moves on while it turns.

Seen from the axis at the moment a tooth stands at ``phi``, a tooth that passed ``k`` places earlier
stood at ``psi = phi + d`` when the axis was ``k fz - c d`` further back, ``c = fz z / (2 pi)``.  Its path
crosses the radius at ``phi`` where

    R sin(d) = (k fz - c d) cos(phi),     reach = R cos(d) - (k fz - c d) sin(phi).

Own derivation; Martellotti, An Analysis of the Milling Process, Trans. ASME 63 (1941) 677 gives the
same curve (from memory).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from ..maths.arrays import Array
from ..setup.setup import Setup

_BLOCK = 16_384
"""Values solved together: small enough that all temporaries stay in the processor's cache."""


def feed_per_radian(feed_per_tooth: ArrayLike, teeth: ArrayLike) -> Array:
    """Advance of the axis in mm per rad of rotation, ``fz z / (2 pi)``."""
    return np.asarray(feed_per_tooth, float) * np.asarray(teeth, float) / (2.0 * np.pi)


def tooth_radius(
    tooth: ArrayLike,
    teeth: ArrayLike,
    radius: ArrayLike,
    runout: ArrayLike = 0.0,
    runout_angle: ArrayLike = 0.0,
) -> Array:
    """Radius (mm) of tooth ``j`` of ``z``, runout ``e`` mm at ``lambda`` rad: R + e cos(lambda + 2 pi j/z)."""
    tooth, teeth = np.asarray(tooth, float), np.asarray(teeth, float)
    turn = np.asarray(runout_angle, float) + 2.0 * np.pi * tooth / teeth
    return np.asarray(radius, float) + np.asarray(runout, float) * np.cos(turn)


def _shortfall(phi: Array, radius: Array, back: Array, c: Array) -> Array:
    """Radius less reach of the earlier path, one block: see :func:`path_shortfall`."""
    cos = np.cos(phi)
    drift = c * cos
    start = back * np.abs(cos)
    slope = radius + drift
    with np.errstate(divide="ignore", invalid="ignore"):
        t = start / slope
        # The sine's series turned round gives a first guess from below: one Newton step is enough at usual feeds.
        bend = radius / (6.0 * slope)
        square = t * t
        t = t * (1.0 + square * (bend + square * np.maximum(bend * (3.0 * bend - 0.05), 0.0)))
        reached = slope > 0.0
        for _ in range(200):
            steep = radius * np.cos(t) + drift
            step = (radius * np.sin(t) + drift * t - start) / steep
            t = t - step
            reached = reached & (steep > 0.0) & (t < np.pi)
            # The last step of a quadratic iteration is the square root of what is left.
            if not ((np.abs(step) > 1e-9 * np.abs(t) + 1e-18) & reached).any():
                break
        half = np.sin(0.5 * t)
        short = 2.0 * radius * half * half + (back - c * np.copysign(t, cos)) * np.sin(phi)
        # A crossing on the far side of the axis is not on this radius.
        reached = reached & (t <= np.abs(0.5 * np.pi - phi) + 1e-12)
        # A sum is nan where any of its parts is: what is unknown stays unknown.
        return np.where(reached | np.isnan(start + slope), short, radius)


def path_shortfall(phi: ArrayLike, radius: ArrayLike, back: ArrayLike, feed_per_radian: ArrayLike) -> Array:
    """How far the path of an earlier tooth stays inside its own circle, on the radius at ``phi``, mm.

    phi : tooth angle, rad, (-pi/2, 3 pi/2); radius : of the earlier tooth, mm; back : feed between the
    two passes (``k fz``), mm; feed_per_radian : ``c``, mm/rad; all broadcast.  The path meets the
    radius at ``radius - result`` from the axis.  Where the feed is so great that the path does not meet
    the radius at all, the result is the radius itself: nothing was cut there, down to the axis.

    The left side is concave in ``|d|`` and Newton's method starts left of the root, so it cannot leave
    the branch next to ``phi``; it goes on until the step is below 1e-9 of ``d`` (then squared once more).
    """
    phi, radius, back, c = [np.asarray(v, float) for v in (phi, radius, back, feed_per_radian)]
    if np.broadcast(phi, radius, back, c).size <= _BLOCK:
        return np.asarray(_shortfall(phi, radius, back, c))
    alike = radius.ndim == back.ndim == c.ndim == 0
    if not alike:
        phi, radius, back, c = np.broadcast_arrays(phi, radius, back, c)
    out, angles = np.empty(phi.shape), np.ascontiguousarray(phi).reshape(-1)
    # What is broadcast is written out: blocks are cut from one long row.
    others = [radius, back, c] if alike else [np.ascontiguousarray(a).reshape(-1) for a in (radius, back, c)]
    for i in range(0, phi.size, _BLOCK):
        block = slice(i, i + _BLOCK)
        rest = others if alike else [a[block] for a in others]
        out.reshape(-1)[block] = _shortfall(angles[block], *rest)
    return out


def shortfall_at(phi: float, radius: float, back: float, feed_per_radian: float) -> float:
    """As :func:`path_shortfall` at one angle, in plain numbers, at a thirtieth of the cost.

    A picture of the tooth asks for it at every step of a drag.
    """
    cos = math.cos(phi)
    drift = feed_per_radian * cos
    start, slope = back * abs(cos), radius + drift
    if math.isnan(start + slope + phi):
        return math.nan
    if not slope > 0.0:
        return radius
    t = start / slope
    bend = radius / (6.0 * slope)
    square = t * t
    t *= 1.0 + square * (bend + square * max(bend * (3.0 * bend - 0.05), 0.0))
    for _ in range(200):
        steep = radius * math.cos(t) + drift
        if not steep > 0.0:
            return radius
        step = (radius * math.sin(t) + drift * t - start) / steep
        t -= step
        if not t < math.pi:
            return radius
        if abs(step) <= 1e-9 * abs(t) + 1e-18:
            break
    if t > abs(0.5 * math.pi - phi) + 1e-12:
        return radius
    half = math.sin(0.5 * t)
    return 2.0 * radius * half * half + (back - feed_per_radian * math.copysign(t, cos)) * math.sin(phi)


def thickest_angle(radius: float, feed_per_tooth: float, feed_per_radian: float) -> float:
    """Angle (rad) at which the true-path thickness of equal teeth is greatest; nan where it grows all the way.

    The derivative of the thickness vanishes where the earlier tooth stood at ``psi`` with
    ``cos(psi) = -c / R``: there its path has its front-most point.  Own derivation.
    """
    r, s, c = radius, feed_per_tooth, feed_per_radian
    if c >= r:
        return math.nan
    psi = math.acos(-c / r)
    d = 0.0
    for _ in range(50):
        short = r * math.sin(d) - (s - c * d) * math.cos(psi - d)
        steep = r * math.cos(d) + c * math.cos(psi - d) - (s - c * d) * math.sin(psi - d)
        if steep == 0.0:
            return math.nan
        step = short / steep
        d -= step
        if abs(step) < 1e-14:
            return psi - d
    return math.nan


def overrun(radius: float, feed_per_tooth: float, feed_per_radian: float, side: int) -> float:
    """Angle ``u`` (rad) by which true contact passes the nominal 0 (``side = +1``) or 180 (``side = -1``).

    Two successive paths cross there: R sin u + side c u = fz/2 (equal teeth).  It is also half a feed
    mark, ``R (1 - cos u)`` high: the conventional side (+1) is the flatter (Martellotti 1941, 1945).
    """
    c = side * feed_per_radian
    return angle_beside(0.5 * feed_per_tooth, radius, c, math.pi / 2.0) if radius + c > 0.0 else math.pi / 2.0


def angle_beside(off: float, radius: float, c: float, most: float) -> float:
    """Angle ``u`` (rad, up to ``most``) past the wall at which a tip has come ``off`` mm along the feed.

    There R sin u + c u = off; ``c`` (mm/rad, over -R) is the axis' advance, below 0 where it runs against the tip.
    The left side is concave: Newton's method from below climbs to the root and never passes it.  Where no angle comes
    so far, the search ends at the steepest one.
    """
    u = off / (radius + c)
    for _ in range(60):
        steep = radius * math.cos(u) + c
        step = (off - radius * math.sin(u) - c * u) / steep if steep > 0.0 else 0.0
        u = min(u + step, most)
        if abs(step) <= 1e-9 * u:
            break
    return u


def tooth_path(phi: ArrayLike, setup: Setup, tooth: int = 0, passes_back: int = 0) -> tuple[Array, Array]:
    """Path of a tip over the work, mm: the axis is at the origin when tooth 0 stands at 90 degrees.

    phi : angles of that tooth, rad; tooth : its place behind tooth 0 (negative: before it);
    passes_back : earlier turns.  Returns x, y in the frame of the work.
    """
    cutter = setup.cutter
    c = feed_per_radian(setup.cut.feed_per_tooth_mm, cutter.teeth)
    radius = tooth_radius(
        tooth, cutter.teeth, cutter.diameter_mm / 2, cutter.runout_mm, np.radians(cutter.runout_angle_deg)
    )
    phi = np.asarray(phi, float)
    axis_angle = phi - np.pi / 2 + 2.0 * np.pi * (tooth / cutter.teeth - passes_back)
    return -radius * np.cos(phi), radius * np.sin(phi) + c * axis_angle
