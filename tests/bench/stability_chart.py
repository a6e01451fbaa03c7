"""The chart of stability against the plain loop of first-order semi-discretisation, processor time of one core.

200 speeds and 100 depths, two modes, two teeth, climb at 5 % of the diameter and a slot.  The border over all speeds
and the full map of spectral radii each stand against the same loop: one chart takes both from it.  The loop's points
all cost the same, so it runs on ``SAMPLE`` of them, spread over the chart, and its time is scaled up.  A process of
its own, with one thread: the linear algebra library would otherwise spin on others.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np

from tests.bench.timing import Timed

SPEEDS, DEPTHS, INTERVALS = 200, 100, 40
SAMPLE = (10, 5)
"""Speeds and depths of the chart that the loop really computes."""

RUNS = 5
OMEGA, ZETA, STIFFNESS = 2 * math.pi * np.array([810.0, 950.0]), np.array([0.02, 0.018]), np.array([9800.0, 11000.0])
KT, KR, TEETH = 796.0, 168.8, 2
CUTS = {"5 %": (math.pi - math.acos(0.9), math.pi, 12.0), "slot": (0.0, math.pi, 3.0)}
"""Entry, exit (rad), deepest depth of the chart (mm)."""


def mean_directions(entry: float, leave: float) -> np.ndarray:
    """Direction matrix of each interval of a tooth period, (intervals, 2, 2): mean of 20 places."""
    found = np.zeros((INTERVALS, 2, 2))
    for i in range(INTERVALS):
        for part in range(20):
            turned = (i + (part + 0.5) / 20) / INTERVALS * 2 * math.pi / TEETH
            for j in range(TEETH):
                phi = (turned + j * 2 * math.pi / TEETH) % (2 * math.pi)
                if entry <= phi <= leave:
                    s, c = math.sin(phi), math.cos(phi)
                    push = np.array([-KT * s + KR * c, -KT * c - KR * s])
                    found[i] += np.outer(push, [-c, s]) / 20
    return found


def plain_radius(rpm: float, depth: float, directions: np.ndarray) -> float:
    """One spectral radius as one would first write it: a matrix exponential and a large product for each interval."""
    from scipy.linalg import expm

    dt = 60.0 / (TEETH * rpm) / INTERVALS
    size = 4 + 2 * INTERVALS
    inverse_mass = OMEGA**2 / STIFFNESS
    product = np.eye(size)
    for i in range(INTERVALS):
        cut = depth * inverse_mass[:, None] * directions[i]
        w = np.zeros((4, 4))
        w[:2, 2:] = np.eye(2)
        w[2:, :2] = cut - np.diag(OMEGA**2)
        w[2:, 2:] = -np.diag(2 * ZETA * OMEGA)
        b = np.zeros((4, 2))
        b[2:] = -cut
        moved = expm(w * dt)
        inverse = np.linalg.inv(w)
        whole = (moved - np.eye(4)) @ inverse
        rising = (inverse @ (moved - np.eye(4)) / dt - np.eye(4)) @ inverse
        step = np.zeros((size, size))
        step[:4, :4] = moved
        step[:4, -2:] = (whole - rising) @ b
        step[:4, -4:-2] = rising @ b
        step[4:6, :2] = np.eye(2)
        step[6:, 4:-2] = np.eye(size - 6)
        product = step @ product
    return float(np.abs(np.linalg.eigvals(product)).max())


def cpu_ms(work: Callable[..., object], *args: object) -> float:
    """Processor time of a call, ms."""
    start = time.process_time()
    work(*args)
    return (time.process_time() - start) * 1e3


def plain_radii(points: list[tuple[float, float]], directions: np.ndarray) -> list[float]:
    """The loop over some points, speed and depth."""
    return [plain_radius(rpm, depth, directions) for rpm, depth in points]


def run() -> dict[str, list[list[float]]]:
    """Times of ours and of the loop for each entry, ms."""
    from core.chatter.directional import CuttingSlopes
    from core.chatter.modes import Modes
    from core.chatter.stability import ChatterCut

    modes = Modes(np.array([0, 1]), OMEGA, ZETA, STIFFNESS)
    found: dict[str, list[list[float]]] = {}
    for name, (entry, leave, deepest) in CUTS.items():
        cut = ChatterCut(modes, CuttingSlopes(KT, KR), entry, leave, TEETH, 120.0)
        directions = mean_directions(entry, leave)
        depths = np.linspace(deepest / DEPTHS, deepest, DEPTHS)
        times: list[list[float]] = [[], [], []]
        for turn in range(RUNS + 1):
            # No speed twice, so that nothing kept from another run helps.
            speeds = np.linspace(4000.0, 16000.0, SPEEDS) * (1.0 + 1e-4 * turn)
            some = [(n, a) for n in speeds[10 :: SPEEDS // SAMPLE[0]] for a in depths[10 :: DEPTHS // SAMPLE[1]]]
            border, chart = cpu_ms(cut.border, speeds), cpu_ms(cut.spectral_map, speeds, depths)
            loop = cpu_ms(plain_radii, some, directions) * SPEEDS * DEPTHS / len(some)
            # The first turn loads and warms up.
            if turn:
                for kept, ms in zip(times, (border, chart, loop), strict=True):
                    kept.append(ms)
        found[f"plain loop border {name}"] = [times[0], times[2]]
        found[f"plain loop map {name}"] = [times[1], times[2]]
    return found


def measure() -> list[Timed]:
    """The four entries, from a process of its own."""
    one = {f"{name}_NUM_THREADS": "1" for name in ("OPENBLAS", "OMP", "MKL")}
    command = [sys.executable, "-m", "tests.bench.stability_chart"]
    done = subprocess.run(command, env=os.environ | one, stdout=subprocess.PIPE, text=True, check=True)
    return [Timed("stability-chart", name, *times) for name, times in json.loads(done.stdout).items()]


if __name__ == "__main__":
    print(json.dumps(run()))
