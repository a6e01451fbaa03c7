"""What the Arc page shows of one setup: frozen results, made of pure functions of the setup."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .angles import Array
from .chip import ChipSummary, chip_summary, thinning
from .engagement import Engagement, engagement
from .rates import Rates, rates
from .rubbing import rub_arcs
from .setup import Setup
from .tooth_path import feed_per_radian, overrun


@dataclass(frozen=True, slots=True)
class ArcResults:
    """One tooth through the cut; angles in rad, lengths in mm.

    ``true_entry`` and ``true_exit`` are where contact begins and ends on the true path: a little before
    0 where the strip's left side is the cutter's own, a little after 180 on the right.  ``rub_entry`` and
    ``rub_exit`` are the arcs at either end where the chip is thinner than the edge can cut (nan if unknown).
    """

    setup: Setup
    engagement: Engagement
    rates: Rates
    arc: ChipSummary
    trochoid: ChipSummary
    thinning: float
    true_entry: float
    true_exit: float
    rub_entry: float
    rub_exit: float


def frozen(array: Array) -> Array:
    """The array, made read-only: results are shared between views."""
    array.setflags(write=False)
    return array


@lru_cache(maxsize=64)
def arc_results(setup: Setup) -> ArcResults:
    """All figures of one tooth's way through the cut."""
    cutter, cut = setup.cutter, setup.cut
    e = engagement(setup)
    radius, c = cutter.diameter_mm / 2.0, float(feed_per_radian(cut.feed_per_tooth_mm, cutter.teeth))
    before = overrun(radius, cut.feed_per_tooth_mm, c, +1) if e.entry <= 1e-9 else 0.0
    after = overrun(radius, cut.feed_per_tooth_mm, c, -1) if e.exit >= np.pi - 1e-9 else 0.0
    rub_entry, rub_exit = rub_arcs(setup, e)
    return ArcResults(
        setup=setup,
        engagement=e,
        rates=rates(setup),
        arc=chip_summary(setup, e, "arc"),
        trochoid=chip_summary(setup, e, "trochoid"),
        thinning=thinning(setup, e),
        true_entry=e.entry - before,
        true_exit=e.exit + after,
        rub_entry=rub_entry,
        rub_exit=rub_exit,
    )


def paired_angle(phi: float, here: Engagement, there: Engagement) -> float:
    """Angle (rad) in the other cut at the same progress: through the arc, or through the air after it.

    >>> from .setup import Cutter, Cut
    >>> s = Setup(Cutter(10.0, 4), Cut("climb", 5.0, 5.0, 0.1, 3000.0))
    >>> climb, conventional = engagement(s), engagement(s.opposite)
    >>> round(float(np.degrees(paired_angle(np.radians(135.0), climb, conventional))), 6)
    45.0
    """
    turn = 2.0 * np.pi
    along = (phi - here.entry) % turn
    if along <= here.arc:
        return there.entry + there.arc * along / here.arc
    idle = (along - here.arc) / (turn - here.arc)
    return there.exit + idle * (turn - there.arc)
