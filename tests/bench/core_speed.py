"""Speed of the model itself, against a plain scalar computation."""

from __future__ import annotations

import math
import time

import numpy as np

from core.chip import trochoid_thickness
from core.report import report
from core.setup import Cut, Cutter, Setup
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
