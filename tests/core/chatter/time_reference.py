"""The delay equation of milling stepped in time (Runge-Kutta of fourth order); the multipliers seen in its motion.

Written from the frame document alone; it shares no code with ``core.chatter``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass
class Cuts:
    """Many cuts at once, each an entry of the arrays (K,): two modes, x and y; angles in rad, mm, N, s."""

    omega: np.ndarray  # (K, 2)
    damping: np.ndarray  # (K, 2)
    stiffness: np.ndarray  # (K, 2)
    kt: np.ndarray
    kr: np.ndarray
    entry: np.ndarray
    leave: np.ndarray
    teeth: np.ndarray
    speed: np.ndarray
    depth: np.ndarray


def _push(c: Cuts, turned: np.ndarray) -> tuple[np.ndarray, ...]:
    """Acceleration x, y of each mode, (..., K) each, for a step of the tip of 1 mm in x (first two) and in y."""
    found = np.zeros((4, *turned.shape))
    for j in range(int(c.teeth.max())):
        phi = (turned + 2 * np.pi * j / c.teeth + 1e-12) % (2 * np.pi)
        cuts = (phi >= c.entry) & (phi < c.leave) & (j < c.teeth)
        s, co = np.sin(phi), np.cos(phi)
        fx, fy = (-c.kt * s + c.kr * co) * c.depth, (-c.kt * co - c.kr * s) * c.depth
        # The chip is -cos phi in x and sin phi in y.
        found += np.where(cuts, np.array([-fx * co, -fy * co, fx * s, fy * s]), 0.0)
    softness = (c.omega**2 / c.stiffness).T
    return tuple(found[i] * softness[i % 2] for i in range(4))


def snapshots(c: Cuts, periods: int, steps: int) -> np.ndarray:
    """Movement over each tooth period and velocity at its end, (periods, K, 2 steps + 2), from a random history.

    Half of the even number of ``steps`` lie before the moment at which a tooth leaves and half after it, and the
    period begins as a tooth enters, so that no step holds a jump of the force.
    """
    rng = np.random.default_rng(3)
    count, half = len(c.speed), steps // 2
    pitch = 2 * np.pi / c.teeth
    rest = (c.leave - c.entry) % pitch
    widths = np.where(np.arange(steps)[:, None] < half, rest / half, (pitch - rest) / half)
    starts = c.entry + np.concatenate([np.zeros((1, count)), np.cumsum(widths, 0)[:-1]])
    old, old_rate = rng.normal(size=(2, steps + 1, count, 2))
    old_rate *= c.omega
    at, rate = old[-1].copy(), old_rate[-1].copy()
    found = np.empty((periods, count, 2 * steps + 2))
    # A little inside the step, where it is plain which teeth are in cut; the same in every period.
    xx, xy, yx, yy = _push(c, starts[:, None] + np.array([1e-9, 0.5, 1.0 - 1e-9])[:, None] * widths[:, None])
    from_x, from_y = np.stack([xx, xy], -1), np.stack([yx, yy], -1)
    damped, sprung = 2 * c.damping * c.omega, c.omega**2

    def acceleration(i: int, within: int, at: np.ndarray, rate: np.ndarray, before: np.ndarray) -> np.ndarray:
        """Acceleration (K, 2) with the tip ``at`` now and ``before`` a tooth period ago."""
        step = at - before
        cut: np.ndarray = from_x[i, within] * step[:, :1] + from_y[i, within] * step[:, 1:]
        return cut - damped * rate - sprung * at

    for p in range(periods):
        new, new_rate = np.empty_like(old), np.empty_like(old)
        new[0], new_rate[0] = at, rate
        for i in range(steps):
            h = (widths[i] / c.speed)[:, None]
            between = (old[i] + old[i + 1]) / 2 + h / 8 * (old_rate[i] - old_rate[i + 1])
            a1 = acceleration(i, 0, at, rate, old[i])
            r2 = rate + h / 2 * a1
            a2 = acceleration(i, 1, at + h / 2 * rate, r2, between)
            r3 = rate + h / 2 * a2
            a3 = acceleration(i, 1, at + h / 2 * r2, r3, between)
            r4 = rate + h * a3
            a4 = acceleration(i, 2, at + h * r3, r4, old[i + 1])
            at = at + h / 6 * (rate + 2 * r2 + 2 * r3 + r4)
            rate = rate + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
            new[i + 1], new_rate[i + 1] = at, rate
        found[p, :, : 2 * steps] = new[1:].transpose(1, 0, 2).reshape(count, -1)
        found[p, :, 2 * steps :] = rate / c.omega
        old, old_rate = new, new_rate
    return found


def radius_seen(motion: np.ndarray, rank: int = 8) -> float:
    """Greatest multiplier in the periods (P, n) of one cut: eigenvalues of the map from each period to the next.

    Dynamic mode decomposition (Schmid 2010, J. Fluid Mech. 656:5, from memory).  Every period is scaled to the same
    size, which is put back.
    """
    size = np.linalg.norm(motion, axis=1)
    trend = np.exp(np.polyfit(np.arange(len(size)), np.log(size), 1)[0])
    level = motion / trend ** np.arange(len(size))[:, None]
    first, second = level[:-1].T, level[1:].T
    u, s, vt = np.linalg.svd(first, full_matrices=False)
    kept = min(rank, int((s > 1e-7 * s[0]).sum()))
    reduced = u[:, :kept].T @ second @ vt[:kept].T / s[:kept]
    return float(trend * np.abs(np.linalg.eigvals(reduced)).max())
