"""The chip on the true path of equal teeth, worked out once for all that tells or draws it.

Figures, the plan's band and the strip want it at different angles of one arc; asked for together they cost little
more than one of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.setup import Setup
from .chip import ChipSummary, true_summary
from .engagement import engagement
from .strip_angles import strip_angles
from .tooth_path import feed_per_radian, overrun

BAND = 72
"""Pieces of the chip along its arc, as the plan draws it."""

_ALONG = np.linspace(0.0, 1.0, BAND + 1)


@dataclass(frozen=True, slots=True, eq=False)
class TrueChip:
    """The true chip without runout; angles in rad but for the strip's, thickness in mm.

    ``entry`` and ``exit`` are where contact begins and ends on the true path, ``summary`` its figures on the nominal
    arc.  ``band_phi``, ``band_h`` : even along the contact, its ends included.  ``strip_deg``, ``strip_h`` : at the
    strip's angles (degrees) with the ends of either arc among them, nan in the air.
    """

    entry: float
    exit: float
    summary: ChipSummary
    band_phi: Array
    band_h: Array
    strip_deg: Array
    strip_h: Array


@lru_cache(maxsize=64)
def true_chip(setup: Setup) -> TrueChip:
    """The chip of one tooth on its true path."""
    e, cut = engagement(setup), setup.cut
    radius, c = setup.cutter.diameter_mm / 2.0, float(feed_per_radian(cut.feed_per_tooth_mm, setup.cutter.teeth))
    before = overrun(radius, cut.feed_per_tooth_mm, c, +1) if e.entry <= 1e-9 else 0.0
    after = overrun(radius, cut.feed_per_tooth_mm, c, -1) if e.exit >= math.pi - 1e-9 else 0.0
    entry, leave = e.entry - before, e.exit + after
    band = entry + (leave - entry) * _ALONG
    first, last = math.degrees(entry), math.degrees(leave)
    strip_deg = strip_angles([first, math.degrees(e.entry), math.degrees(e.exit), last])
    # The ends themselves belong to the arc, whatever rounding does to them.
    cutting = slice(strip_deg.searchsorted(first), strip_deg.searchsorted(last, "right"))
    summary, h = true_summary(setup, e, np.concatenate([band, np.radians(strip_deg[cutting])]))
    strip_h = np.full(strip_deg.shape, np.nan)
    strip_h[cutting] = h[BAND + 1 :]
    return TrueChip(
        entry=entry,
        exit=leave,
        summary=summary,
        band_phi=frozen(band),
        band_h=frozen(h[: BAND + 1]),
        strip_deg=frozen(strip_deg),
        strip_h=frozen(strip_h),
    )
