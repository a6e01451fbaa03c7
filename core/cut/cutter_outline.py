"""The cutter's outline seen along the spindle: its teeth, their hand and gullets, as one polygon.

A picture, not a grinding drawing: relief, gullet depth and web are common proportions (no source) that keep
one tooth and forty teeth readable.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen

WIDEST = 1.9
"""Widest angle (rad) that one tooth with its gullet takes up; a cutter of one tooth has a round back beyond."""


def _bezier(points: list[tuple[float, float]], n: int) -> Array:
    """Quadratic curve through start and end with one control point."""
    t = np.linspace(0.0, 1.0, n)[:, None]
    a, b, c = (np.array(p) for p in points)
    return (1 - t) ** 2 * a + 2 * t * (1 - t) * b + t**2 * c


@lru_cache(maxsize=64)
def cutter_outline(teeth: int, rake_deg: float = 0.0) -> Array:
    """Closed outline (n, 2) of a right-hand cutter of radius 1, the tip of tooth 0 at angle 0: x, y = (-1, 0).

    Tooth ``j`` stands at ``2 pi j / z``.  The rake face looks toward growing angle, as the cutter turns.
    """
    pitch = 2.0 * np.pi / teeth
    wide = min(pitch, WIDEST)
    depth = float(np.clip(0.30 * wide, 0.05, 0.42))
    root = 1.0 - depth
    land, heel = 0.16 * wide, 0.46 * wide
    lean = np.tan(np.radians(np.clip(rake_deg, -20.0, 20.0))) * depth * 0.6
    # Angle ahead of the tip, radius; from the back of the tooth over its tip into the gullet ahead.
    back = np.linspace(-(pitch - 0.56 * wide), -heel, max(2, int((pitch - wide) / 0.06) + 2))
    tooth = [np.stack([back, np.full_like(back, 1.0 - 0.30 * depth)], -1)]
    tooth.append(np.array([[-land, 1.0 - 0.05 * depth], [0.0, 1.0]]))
    foot = (-lean + 0.01 * wide, root + 0.30 * depth)
    tooth.append(_bezier([foot, (0.03 * wide, root - 0.04 * depth), (0.22 * wide, root)], 6))
    heel_ahead = (0.54 * wide, 1.0 - 0.30 * depth)
    tooth.append(_bezier([(0.22 * wide, root), (0.42 * wide, root + 0.02 * depth), heel_ahead], 6)[1:])
    one = np.concatenate(tooth)
    angle = (one[None, :, 0] + pitch * np.arange(teeth)[:, None]).reshape(-1)
    radius = np.broadcast_to(one[:, 1], (teeth, len(one))).reshape(-1)
    return frozen(np.stack([-radius * np.cos(angle), radius * np.sin(angle)], -1))
