"""The spectral radius and the border against the delay equation stepped in time, at dozens of random points."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.chatter.border import border
from core.chatter.directional import CuttingSlopes
from core.chatter.modes import Modes
from core.chatter.spectral_map import spectral_map
from tests.core.chatter.time_reference import Cuts, radius_seen, snapshots

COUNT = 48
SHARES = np.random.default_rng(5).choice([0.4, 0.8, 0.97, 1.03, 1.2, 1.5], COUNT)
"""Depth of each cut over its border."""


def random_cuts() -> Cuts:
    """Climb, conventional, straddling and slots of one to four teeth, each at a depth about its border."""
    rng = np.random.default_rng(11)
    kind, width = rng.integers(0, 4, COUNT), rng.uniform(0.03, 0.95, COUNT)
    turned = np.arccos(1 - 2 * width)
    entry = np.choose(kind, [0 * turned, np.pi - turned, 0 * turned, 0.3 + 0 * turned])
    leave = np.choose(kind, [turned, np.pi + 0 * turned, np.pi + 0 * turned, 0.3 + 2.5 * width])
    omega = 2 * np.pi * rng.uniform(400, 1200, (COUNT, 2))
    damping, stiffness = rng.uniform(0.01, 0.06, (COUNT, 2)), rng.uniform(3e3, 2e4, (COUNT, 2))
    kt, kr = rng.uniform(500, 2500, COUNT), rng.uniform(100, 1200, COUNT)
    teeth = rng.integers(1, 5, COUNT)
    speed = omega.max(1) / rng.uniform(3, 15, COUNT) * 2 * np.pi / teeth
    depth = np.empty(COUNT)
    for i in range(COUNT):
        modes = Modes(np.array([0, 1]), omega[i], damping[i], stiffness[i])
        limit = border(modes, CuttingSlopes(kt[i], kr[i]), entry[i], leave[i], teeth[i], speed[i] * 30 / np.pi, 100.0)
        assert np.isfinite(limit.depth_mm[0])
        depth[i] = limit.depth_mm[0] * SHARES[i]
    return Cuts(omega, damping, stiffness, kt, kr, entry, leave, teeth, speed, depth)


@pytest.fixture(scope="module")
def seen() -> tuple[Cuts, list[float]]:
    """The cuts and the greatest multiplier in the motion of each."""
    c = random_cuts()
    motion = snapshots(c, periods=34, steps=96)
    return c, [radius_seen(motion[10:, i]) for i in range(COUNT)]


def told(c: Cuts, i: int, axes: tuple[int, int] = (0, 1)) -> float:
    """Our spectral radius of a cut, its two modes on the axes given."""
    modes = Modes(np.array(axes), c.omega[i], c.damping[i], c.stiffness[i])
    args = (modes, CuttingSlopes(c.kt[i], c.kr[i]), c.entry[i], c.leave[i], int(c.teeth[i]))
    return float(spectral_map(*args, [c.speed[i] * 30 / math.pi], [c.depth[i]]).radius[0, 0])


def test_spectral_radius_is_the_growth_seen_in_time(seen: tuple[Cuts, list[float]]) -> None:
    c, radii = seen
    ours = np.array([told(c, i) for i in range(COUNT)])
    np.testing.assert_allclose(ours, radii, rtol=2e-3)
    assert min((ours < 1.0).sum(), (ours > 1.0).sum()) > COUNT // 4


def test_stable_below_the_border_and_unstable_above(seen: tuple[Cuts, list[float]]) -> None:
    """The depths stand 3 % and more off the border that was computed for each."""
    assert all((share < 1.0) == (r < 1.0) for share, r in zip(SHARES, seen[1], strict=True))


def test_the_reference_notices_a_wrong_cut(seen: tuple[Cuts, list[float]]) -> None:
    """With the axes exchanged the same cuts have other radii: the comparison can fail."""
    c, radii = seen
    assert max(abs(told(c, i, (1, 0)) / radii[i] - 1.0) for i in range(6)) > 0.05


@pytest.mark.parametrize("wanted", [0.5, 0.9, 1.3])
def test_radius_seen_is_the_one_put_in(wanted: float) -> None:
    rng = np.random.default_rng(1)
    basis = np.linalg.qr(rng.normal(size=(30, 30)))[0]
    step = basis[:, :4] @ np.diag([1.0, -0.8, 0.6, 0.3]) @ basis[:, :4].T * wanted
    motion = [rng.normal(size=30)]
    for _ in range(20):
        motion.append(step @ motion[-1])
    assert radius_seen(np.array(motion[1:])) == pytest.approx(wanted, rel=1e-6)
