"""The finished wall near the tip: the true feed marks that equal teeth leave, up and down.

Near the wall a tip runs on ``x = R cos u`` out, ``y = R sin u + c u`` along (conventional; ``- c u`` climb),
``c = fz z / (2 pi)``; the next tooth runs the same path one feed further.  Own derivation; Martellotti 1941 and
1945 (from memory) gives the height within 0.2 %.
"""

from __future__ import annotations

import math

import numpy as np

from ..cut.tooth_path import feed_per_radian, overrun
from ..maths.arrays import Array
from ..setup.setup import Setup


def feed_mark(setup: Setup, side: int) -> float:
    """Height of a feed mark, mm, equal teeth; ``side`` +1 conventional wall (phi 0), -1 climb wall (phi 180)."""
    cut, cutter = setup.cut, setup.cutter
    radius = cutter.diameter_mm / 2.0
    c = float(feed_per_radian(cut.feed_per_tooth_mm, cutter.teeth))
    u = overrun(radius, cut.feed_per_tooth_mm, c, side)
    return 2.0 * radius * math.sin(u / 2.0) ** 2


def wall_profile(along: Array, setup: Setup, side: int) -> Array:
    """Height of the wall's waves, mm, at places ``along`` the feed (mm): 0 at the deepest cut.

    A tip is deepest where ``along`` is a whole number of feeds.
    """
    cut, cutter = setup.cut, setup.cutter
    radius, feed = cutter.diameter_mm / 2.0, cut.feed_per_tooth_mm
    c = side * float(feed_per_radian(feed, cutter.teeth))
    off = np.abs((np.asarray(along, float) + feed / 2.0) % feed - feed / 2.0)
    u = off / max(radius + c, 1e-9)
    for _ in range(4):
        u = u - (radius * np.sin(u) + c * u - off) / np.maximum(radius * np.cos(u) + c, 1e-9)
    return 2.0 * radius * np.sin(u / 2.0) ** 2
