"""The edge temperature computed slowly and plainly, independent of ``core``: what the fast one is measured against.

Panels of constant flux and contact length over the arc, graded to both ends; each panel's rise integrated over the
square root of the lag; earlier turns one by one and the far ones as an integral; matched flux solved on the panels'
middles.  :func:`converged` takes three mesh widths and extrapolates: the errors go with a power of the width.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.integrate import quad
from scipy.special import erf

from core.setup.setup import Cut, Cutter, LinearEdge, Setup

FIGURES = ("entry", "peak", "exit", "mean", "share")

BARE = Setup(Cutter(12.0, 4), Cut("climb", 4.0, 10.0, 0.06, 4000.0))
"""A setup of which only the default tool matters."""


@dataclass(frozen=True)
class Case:
    """One setup as plain SI numbers (m, s, W, K) and the arc in rad."""

    entry: float
    leave: float
    turn: float
    speed: float
    width: float
    feed_mm: float
    setup: Setup

    @property
    def omega(self) -> float:
        return 2.0 * math.pi / self.turn


def case(setup: Setup) -> Case:
    cut, d = setup.cut, setup.cutter.diameter_mm
    half = 1.0 - 2.0 * cut.radial_engagement_mm / d
    if cut.direction == "conventional":
        entry, leave = 0.0, math.acos(half)
    elif cut.direction == "climb":
        entry, leave = math.acos(-half), math.pi
    else:
        x1, x2 = (cut.centre_offset_mm + side * cut.radial_engagement_mm / 2.0 for side in (-1.0, 1.0))
        entry, leave = math.acos(-2.0 * x1 / d), math.acos(-2.0 * x2 / d)
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    turn = 60.0 / cut.spindle_speed_rpm
    speed = math.pi * d / 1000.0 / turn
    return Case(
        entry, leave, turn, speed, cut.axial_engagement_mm / kappa / 1000.0, cut.feed_per_tooth_mm * kappa, setup
    )


def tool(setup: Setup) -> tuple[float, float, float]:
    m = setup.cutter.material
    assert not isinstance(m, str)
    return (80.0, 14500.0, 220.0) if m is None else (m.conductivity_w_mk, m.density_kg_m3, m.specific_heat_j_kgk)


def work(setup: Setup) -> tuple[float, float, float]:
    m = setup.work.thermal
    return (45.0, 7850.0, 480.0) if m is None else (m.conductivity_w_mk, m.density_kg_m3, m.specific_heat_j_kgk)


def contact_mm(setup: Setup, h: np.ndarray) -> np.ndarray:
    chip = setup.work.chip
    l0 = chip.edge_contact_mm
    if l0 is None:
        radius = setup.cutter.edge_radius_mm
        l0 = 0.008 if radius is None else max(radius, 0.001)
    return chip.contact_ratio * h + l0


def tangential(setup: Setup, h: np.ndarray) -> np.ndarray:
    law = setup.work.force
    if isinstance(law, LinearEdge):
        return law.ktc * h + law.kte
    assert law is not None
    return law.kc11_n_mm2 * h ** (1.0 - law.mc)


def kernel(s: np.ndarray, length: np.ndarray, c: Case) -> np.ndarray:
    k, rho, cp = tool(c.setup)
    a = k / (rho * cp)
    root = np.sqrt(a * s)
    return erf(length / (2.0 * root)) * erf(c.width / (4.0 * root)) / np.sqrt(math.pi * k * rho * cp * s)


def exactly(setup: Setup, phi: float) -> float:
    """Rise, K, of a declared flux at tip angle ``phi`` (rad) in the arc, by adaptive quadrature over the log lag."""
    c, share = case(setup), setup.work.chip.tool_heat_share
    assert share is not None
    since_entry, duration = (phi - c.entry) / c.omega, (c.leave - c.entry) / c.omega

    def source(tau: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        h = c.feed_mm * np.maximum(np.sin(c.entry + c.omega * tau), 0.0)
        length_mm = contact_mm(setup, h)
        return share * tangential(setup, h) * c.speed * 1e6 / length_mm, length_mm / 1000.0

    def part(log_lag: float) -> float:
        s = np.array([math.exp(log_lag)])
        flux, length = source(since_entry - s)
        return float((s * flux * kernel(s, length, c))[0])

    top = math.log(since_entry)
    edges = np.linspace(top - 50.0, top, 13)
    now = sum(quad(part, a, b, epsrel=1e-8, limit=200)[0] for a, b in pairwise(edges))
    x, w = np.polynomial.legendre.leggauss(200)
    tau = duration * (1.0 + x) / 2.0
    flux, length = source(tau)
    lag = since_entry - tau
    before = sum(kernel(lag + n * c.turn, length, c) for n in range(1, 100)) + far_tail(lag, length, c, 100)
    return now + float((flux * before) @ w) * duration / 2.0


_X8, _W8 = np.polynomial.legendre.leggauss(8)
# The far turns are so smooth a sum that 24 places tell as 64 do, to 1e-13.
_X24, _W24 = np.polynomial.legendre.leggauss(24)


def far_tail(s: np.ndarray, length: np.ndarray, c: Case, turns: int) -> np.ndarray:
    """Sum of the kernel over turns ``turns``, ``turns + 1``, … as the integral from half a turn before."""
    k, rho, cp = tool(c.setup)
    root = 2.0 * math.sqrt(k / (rho * cp))
    top = 1.0 / np.sqrt(s + (turns - 0.5) * c.turn)
    total = np.zeros(np.broadcast_shapes(s.shape, length.shape))
    for node, weight in zip(_X24, _W24, strict=True):
        x = top * ((1.0 + node) / 2.0) ** 3
        dx = top * 1.5 * ((1.0 + node) / 2.0) ** 2 * weight
        total += erf(length * x / root) * erf(c.width * x / (2.0 * root)) / (x * x) * dx
    return 2.0 / (c.turn * math.sqrt(math.pi * k * rho * cp)) * total


def matrix(times: np.ndarray, edges: np.ndarray, length: np.ndarray, c: Case, turns: int) -> np.ndarray:
    """Rise at ``times`` for unit flux in each panel between ``edges`` (s), (times, panels)."""
    start, end = edges[:-1][None, :], edges[1:][None, :]
    t = times[:, None]
    out = np.zeros((len(times), len(length)))
    # Panels that have begun by then.
    row, panel = np.nonzero(t > start)
    begun = times[row]
    near, far = np.sqrt(np.maximum(begun - edges[1:][panel], 0.0)), np.sqrt(begun - edges[:-1][panel])
    # In the panel that ends now a short contact shows only in the last of the time: the cube goes there.
    power = np.where(near == 0.0, 3.0, 1.0)
    for x, w in zip(_X8, _W8, strict=True):
        y = (1.0 + x) / 2.0
        u = near + (far - near) * y**power
        du = w * power * y ** (power - 1.0) * (far - near)
        out[row, panel] += du * u * kernel(np.maximum(u * u, 1e-300), length[panel], c)
    middle, span = (start + end) / 2.0, end - start
    for n in range(1, turns):
        out += kernel(t - middle + n * c.turn, length, c) * span
    return out + far_tail(t - middle, length[None, :], c, turns) * span


@dataclass(frozen=True)
class Solved:
    """What one mesh gives: figures (in the order of FIGURES), the peak's angle, temperatures at panel edges."""

    figures: np.ndarray
    peak_deg: float
    edges: np.ndarray
    rise: np.ndarray
    flux: np.ndarray
    length: np.ndarray


def solve(setup: Setup, panels: int = 200, turns: int = 30) -> Solved:
    c, chip = case(setup), setup.work.chip
    arc = c.leave - c.entry

    def angle(y: np.ndarray) -> np.ndarray:
        return c.entry + arc * y**3 * (10.0 - 15.0 * y + 6.0 * y * y)

    edge = angle(np.arange(panels + 1) / panels)
    phi = (edge[:-1] + edge[1:]) / 2.0
    h = c.feed_mm * np.maximum(np.sin(phi), 0.0)
    length_mm = contact_mm(setup, h)
    length, force = length_mm / 1000.0, tangential(setup, h)
    to_matrix = (edge / c.omega, length, c, turns)
    if chip.tool_heat_share is not None:
        flux = chip.tool_heat_share * force * c.speed * 1e6 / length_mm
    else:
        kw, rw, cw = work(setup)
        lam, f = chip.chip_ratio, chip.friction_share
        q_f = f * force * c.speed * 1e6 / length_mm
        b = 4.0 / 3.0 * np.sqrt(length * lam / (math.pi * kw * rw * cw * c.speed))
        g = lam + 1.0 / lam
        r1 = 1.0 / (1.0 + 1.33 * np.sqrt(kw / (rw * cw) * g / (c.speed * np.maximum(h, 1e-300) / 1000.0)))
        law = setup.work.force
        assert law is not None
        kc = law.ktc if isinstance(law, LinearEdge) else law.kc11_n_mm2 * np.maximum(h, 1e-300) ** -law.mc
        th = r1 * (1.0 - f) * kc * 1e6 / (rw * cw) * chip.contact_ratio * h / length_mm
        a = matrix(phi / c.omega, *to_matrix)
        flux = np.linalg.solve(a + np.diag(b), b * q_f + th)
    rise = matrix(edge / c.omega, *to_matrix) @ flux
    i = int(np.argmax(rise))
    peak, at = rise[i], edge[i]
    if 0 < i < panels:
        # The parabola through three edges that are not evenly spaced.
        p = np.polyfit(edge[i - 1 : i + 2] - edge[i], rise[i - 1 : i + 2], 2)
        shift = -p[1] / (2.0 * p[0])
        peak, at = np.polyval(p, shift), edge[i] + shift
    k = tool(setup)[0]
    w = c.width
    lasting = 2.0 / (math.pi * k) * (length * np.arcsinh(w / (2 * length)) + w / 2 * np.arcsinh(2 * length / w))
    span = np.diff(edge)
    mean = float(span @ (flux * lasting)) / (2.0 * math.pi)
    share = float(span @ (flux * length)) / float(span @ (force * c.speed * 1e3))
    return Solved(np.array([rise[0], peak, rise[-1], mean, share]), math.degrees(at), edge, rise, flux, length)


def converged(setup: Setup, panels: int = 100, turns: int = 30) -> tuple[np.ndarray, np.ndarray, float]:
    """Figures extrapolated from three meshes, how far the last extrapolation moved them, and the peak's angle."""
    one, two, four = (solve(setup, panels * n, turns) for n in (1, 2, 4))
    first, last = two.figures - one.figures, four.figures - two.figures
    ratio = np.where(np.abs(last) > 0.0, first / np.where(last == 0.0, 1.0, last), 4.0)
    # Where the differences shrink regularly their ratio tells the order; else the finest mesh is the answer.
    step = np.where((ratio > 1.8) & (ratio < 10.0), last / (np.clip(ratio, 1.8, 10.0) - 1.0), 0.0)
    return four.figures + step, np.abs(step), four.peak_deg
