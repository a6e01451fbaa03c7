"""What the Arc page shows of one setup: frozen results, made of pure functions of the setup."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..cut.chip import ChipSummary, chip_summary, thinning
from ..cut.engagement import Engagement, engagement
from ..cut.rates import Rates, rates
from ..cut.true_chip import true_chip
from ..setup.setup import Setup
from .rubbing import rub_arcs


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


@lru_cache(maxsize=64)
def arc_results(setup: Setup) -> ArcResults:
    """All figures of one tooth's way through the cut."""
    e, true = engagement(setup), true_chip(setup)
    rub_entry, rub_exit = rub_arcs(setup, e)
    return ArcResults(
        setup=setup,
        engagement=e,
        rates=rates(setup),
        arc=chip_summary(setup, e, "arc"),
        trochoid=true.summary,
        thinning=thinning(setup, e),
        true_entry=true.entry,
        true_exit=true.exit,
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
