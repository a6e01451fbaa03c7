"""Speed of the model itself, against a plain scalar computation."""

from __future__ import annotations

import math
import time

import numpy as np

from core.cut.chip import chip_summary, trochoid_thickness
from core.cut.engagement import engagement
from core.force.edge_force import cutter_force, edge_law
from core.force.force_turn import force_turn
from core.force.many_cuts import many_cuts
from core.report.report import report
from core.setup.setup import Cut, Cutter, LinearEdge, Setup, Work
from tests.bench.timing import Timed

SAMPLE = 2_000
"""Values that the plain peer computes; its time is scaled up to a million."""


def plain_thickness(phi: float, radius: float, feed: float, c: float) -> float:
    """One thickness by bisection, as one would first write it."""
    low, high = -math.pi / 2, math.pi / 2
    for _ in range(60):
        d = (low + high) / 2
        if radius * math.sin(d) - (feed - c * d) * math.cos(phi) < 0:
            low = d
        else:
            high = d
    return radius * (1 - math.cos(d)) + (feed - c * d) * math.sin(phi)


def trochoid_million() -> list[Timed]:
    """A million true-path thicknesses on one core."""
    phi = np.random.default_rng(1).uniform(0.0, np.pi, 1_000_000)
    c = 0.06 * 4 / (2 * np.pi)
    ours, peer = [], []
    for _ in range(5):
        start = time.perf_counter()
        trochoid_thickness(phi, 12.0, 4, 0.06)
        ours.append((time.perf_counter() - start) * 1e3)
        start = time.perf_counter()
        for value in phi[:SAMPLE]:
            plain_thickness(float(value), 6.0, 0.06, c)
        peer.append((time.perf_counter() - start) * 1e3 * len(phi) / SAMPLE)
    return [Timed("trochoid-1e6", "scalar bisection, scaled from 2000 values", ours, peer)]


def report_hundred() -> list[Timed]:
    """A hundred different setups reported; the peer only computes their chips, point by point."""
    ours, peer = [], []
    for turn in range(3):
        setups = [
            Setup(Cutter(12.0, 4, helix_deg=30.0), Cut("climb", 1.0 + 0.1 * i + 0.001 * turn, 10.0, 0.06, 4000.0))
            for i in range(100)
        ]
        start = time.perf_counter()
        for setup in setups:
            report(setup)
        ours.append((time.perf_counter() - start) * 1e3)
        start = time.perf_counter()
        c = 0.06 * 4 / (2 * np.pi)
        for setup in setups:
            entry = math.acos(2 * setup.cut.radial_engagement_mm / 12.0 - 1)
            for i in range(181):
                plain_thickness(entry + (math.pi - entry) * i / 180, 6.0, 0.06, c)
        peer.append((time.perf_counter() - start) * 1e3)
    return [Timed("report-100", "scalar bisection of 181 thicknesses a setup", ours, peer)]


def disc_force(setup: Setup, phi: float, discs: int = 60) -> tuple[float, float]:
    """Force in x and y by a stack of discs, as one would first write it."""
    cutter, cut, k = setup.cutter, setup.cut, setup.work.force
    assert isinstance(k, LinearEdge)
    entry, step, x, y = math.acos(2 * cut.radial_engagement_mm / cutter.diameter_mm - 1), 2 * math.pi, 0.0, 0.0
    thick = cut.axial_engagement_mm / discs
    for tooth in range(cutter.teeth):
        for i in range(discs):
            lag = 2 * (i + 0.5) * thick * math.tan(math.radians(cutter.helix_deg)) / cutter.diameter_mm
            u = (phi + step * tooth / cutter.teeth - lag) % step
            if entry <= u <= math.pi:
                h = cut.feed_per_tooth_mm * math.sin(u)
                ft, fr = (k.ktc * h + k.kte) * thick, (k.krc * h + k.kre) * thick
                x += -ft * math.sin(u) + fr * math.cos(u)
                y += -ft * math.cos(u) - fr * math.sin(u)
    return x, y


def many_cuts_thousand() -> list[Timed]:
    """A thousand widths and feeds of one cutter in arrays; the peer asks for each by itself."""
    law = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
    base = Setup(Cutter(12.0, 4, helix_deg=30.0), Cut("climb", 4.0, 10.0, 0.06, 4000.0), Work(force=law))
    ours, peer = [], []
    for round_ in range(5):
        widths = np.linspace(0.1, 11.0, 1000) + 1e-4 * round_
        feeds = np.linspace(0.02, 0.2, 1000)
        start = time.perf_counter()
        many_cuts(base, {"cut.radial_engagement_mm": widths, "cut.feed_per_tooth_mm": feeds})
        ours.append((time.perf_counter() - start) * 1e3)
        start = time.perf_counter()
        for width, feed in zip(widths[::10].tolist(), feeds[::10].tolist(), strict=True):
            setup = base.with_keys({"cut.radial_engagement_mm": width, "cut.feed_per_tooth_mm": feed})
            e = engagement(setup)
            chip_summary(setup, e, "arc")
            chip_summary(setup, e, "trochoid")
            force_turn(setup)
        peer.append((time.perf_counter() - start) * 1e3 * 10.0)
    return [Timed("many-cuts-1000", "the single front, scaled from 100 of 1000 cuts", ours, peer)]


def force_turn_six() -> list[Timed]:
    """The force over a turn of a helical cutter of six teeth, at every degree; the peer stacks sixty discs."""
    law = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
    phi, ours, peer = np.radians(np.arange(360.0)), [], []
    for i in range(20):
        cut = Cut("climb", 4.0 + 0.01 * i, 10.0, 0.06, 4000.0)
        setup = Setup(Cutter(12.0, 6, helix_deg=30.0), cut, Work(force=law))
        found = edge_law(setup)
        assert found is not None
        start = time.perf_counter()
        cutter_force(phi, setup, found)
        ours.append((time.perf_counter() - start) * 1e3)
        start = time.perf_counter()
        for angle in phi[:36]:
            disc_force(setup, float(angle))
        peer.append((time.perf_counter() - start) * 1e3 * 10.0)
    return [Timed("force-turn-6", "a stack of 60 discs, scaled from 36 of 360 angles", ours, peer)]
