"""Independent ways to the true-path thickness, for tests: a root in high precision, and drawn paths.

Neither shares a formula with the program: both lay down the earlier tooth's path in the work and look where
it crosses the ray from the axis through the tip.
"""

from __future__ import annotations

import mpmath
import numpy as np


def by_root(phi: float, diameter: float, teeth: int, feed: float) -> float:
    """Thickness (mm) behind equal teeth with 40 digits: distance of tip and crossing; the radius if there is none.

    The earlier tooth stood at psi when the axis stood ``feed - c (psi - phi)`` further back; the crossing is
    where its place has no part across the ray.
    """
    with mpmath.workdps(40):
        at, r, s = mpmath.mpf(phi), mpmath.mpf(diameter) / 2, mpmath.mpf(feed)
        c = s * teeth / (2 * mpmath.pi)
        out = (-mpmath.cos(at), mpmath.sin(at))

        def place(psi: mpmath.mpf) -> tuple[mpmath.mpf, mpmath.mpf]:
            return -r * mpmath.cos(psi), r * mpmath.sin(psi) - (s - c * (psi - at))

        def across(psi: mpmath.mpf) -> mpmath.mpf:
            x, y = place(psi)
            return x * out[1] - y * out[0]

        # The crossing lies toward 12 o'clock.  Beyond the place where the path turns back there is none.
        far = mpmath.pi / 2
        if out[0] > 0 and c * out[0] < r:
            far = at - mpmath.acos(c * out[0] / r)
        low, high = sorted((at, far))
        if across(low) * across(high) > 0 or (out[0] > 0 and c * out[0] >= r):
            return float(r)
        if across(at) == 0:
            crossing = at
        else:
            crossing = mpmath.findroot(across, (low, high), solver="anderson", tol=1e-30, maxsteps=200, verify=False)
        x, y = place(crossing)
        reach = x * out[0] + y * out[1]
        return float(r - reach) if reach > 0 else float(r)


def by_drawing(
    phi: float, diameter: float, teeth: int, feed: float, runout: float = 0.0, at: float = 0.0, tooth: int = 0
) -> float:
    """Thickness (mm) with all earlier teeth's paths of a turn and a half drawn as polylines of 20000 points.

    Good to some 1e-8 of the radius.
    """
    r, c = diameter / 2, feed * teeth / (2 * np.pi)

    def radius(j: int) -> float:
        return r + runout * np.cos(at + 2 * np.pi * j / teeth)

    out = np.array([-np.cos(phi), np.sin(phi)])
    reach = 0.0
    for k in range(1, teeth + teeth // 2 + 1):
        # Up to now: a path that is not cut yet does not count.
        psi = np.linspace(phi - np.pi, min(phi + 2 * np.pi * k / teeth, phi + np.pi), 20_001)
        path = radius(tooth - k) * np.array([-np.cos(psi), np.sin(psi)])
        path[1] -= k * feed - c * (psi - phi)
        across = path[0] * out[1] - path[1] * out[0]
        along = out @ path
        i = np.flatnonzero(across[:-1] * across[1:] <= 0)
        part = across[i] / (across[i] - across[i + 1])
        crossings = along[i] + part * (along[i + 1] - along[i])
        reach = max([reach, *crossings])
    return max(radius(tooth) - reach, 0.0)
