"""What the chart of speed against depth shows: its curves and its axes, which keep still in a drag."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.kit.readable_ranges import AxisRange, kept_range, readable_step
from core.base.quantities import QUANTITIES, Units
from core.chatter.speed_depth import SpeedDepth
from core.maths.arrays import Array
from core.setup.setup import Setup

PARTS = 1.4
"""Factor between the two limits from which their parting is marked."""


def speed_range(kept: AxisRange | None, rpm: float, *, settled: bool) -> AxisRange:
    """From about half the speed to half as much again; kept while the speed is well inside it."""
    if kept is not None:
        edge = 0.12 * (kept.high - kept.low)
        if kept.low + edge <= rpm <= kept.high - edge or (not settled and kept.low <= rpm <= kept.high):
            return kept
    step = readable_step(rpm, 6)
    low = max(math.floor(0.55 * rpm / step + 1e-9) * step, 0.5 * step)
    return AxisRange(low, math.ceil(1.5 * rpm / step - 1e-9) * step, step)


def depth_range(
    kept: AxisRange | None, chart: SpeedDepth | None, setup: Setup, units: Units, settled: bool
) -> AxisRange:
    """Depths as shown in ``units``, from 0 to over the cut and what holds at any speed."""
    top = 1.4 * setup.cut.axial_engagement_mm
    if chart is not None and len(chart.own):
        both = np.concatenate([chart.own, chart.other])
        finite = both[np.isfinite(both)]
        if len(finite):
            top = max(top, min(4.0 * float(finite.min()), 1.15 * float(finite.max())))
    return kept_range(kept, 0.0, QUANTITIES["depth"].shown(top, units), 5, settled=settled)


@dataclass(frozen=True, slots=True)
class ChatterScene:
    """The chart now; ``chart`` may still be that of the setup before while the new one is worked out."""

    setup: Setup
    chart: SpeedDepth | None
    across: AxisRange
    up: AxisRange
    units: Units

    @property
    def names(self) -> tuple[str, str]:
        """The own direction, then the other, as the chart names them."""
        own = self.setup.cut.direction
        return (own, self.setup.opposite.cut.direction if own != "straddling" else "mirrored")

    def shown(self, depth: Array | float) -> Array:
        """Depths as the axis has them."""
        return np.asarray(QUANTITIES["depth"].shown(1.0, self.units) * np.asarray(depth, float))

    def parting(self) -> int | None:
        """Where the zeroth-order limit is furthest from the border, if they part; an index of the speeds."""
        if self.chart is None or not len(self.chart.own):
            return None
        own, plain = self.chart.own, self.chart.plain
        top = self.up.high / float(self.shown(1.0))
        with np.errstate(invalid="ignore", divide="ignore"):
            ratio = np.abs(np.log(np.minimum(own, top) / np.minimum(plain, top)))
        ratio[own >= top] = 0.0
        at = int(np.argmax(np.nan_to_num(ratio)))
        return at if ratio[at] > math.log(PARTS) else None
