"""Borders of both directions over speeds, coarse first, then finer, then the band and the speeds worth taking."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.limits_for import limits_for
from ..setup.setup import Setup
from .both_ways import Holding, beyond_search, both_ways, slowest_searched
from .estimated_modes import with_modes
from .spread import border_band
from .stability import ChatterCut, chatter_cut
from .usual_draws import usual_draws

FIRST, COARSE, FINE, BAND, AT_ONCE = 17, 33, 161, 41, 3
"""Speeds of the first border, of the first chart, of the refined one, of the band, and of one piece of the band."""

WORTH, MOST_OFFERS = 1.05, 4
"""Least gain of an offered speed, and how many are offered."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A speed (/min) at which nine of ten draws hold ``depth_mm``; ``gain`` of removal rate over what the setup
    holds so surely at its own speed; ``both``: the other direction's border is deeper there too."""

    speed_rpm: float
    depth_mm: float
    gain: float
    both: bool


@dataclass(frozen=True, slots=True, eq=False)
class SpeedDepth:
    """Borders at ``speed_rpm`` (S,): ``own`` and ``other`` (S,) mm, infinite without a limit, ``other`` empty until
    it is there; ``flip`` (S,) where the own border doubles the period; ``plain`` (S,) the zeroth-order limit.  Band,
    once worked out: ``band_rpm``, ``low``, ``high`` (B,).  ``holdings``: of the setup's own speed, once worked out.

    ``missing``: why there is nothing ("" if there is); ``estimated``: modes from the beam; ``done``: nothing follows.
    """

    setup: Setup
    estimated: bool
    missing: str
    speed_rpm: Array
    own: Array
    other: Array
    flip: np.ndarray
    plain: Array
    band_rpm: Array
    low: Array
    high: Array
    holdings: tuple[Holding, Holding] | None = None
    offers: tuple[Offer, ...] = ()
    done: bool = False


_NONE = frozen(np.empty(0))


def _nothing(setup: Setup, estimated: bool, why: str) -> SpeedDepth:
    none = np.empty(0, bool)
    return SpeedDepth(setup, estimated, why, _NONE, _NONE, _NONE, none, _NONE, _NONE, _NONE, _NONE, done=True)


def speed_depth(setup: Setup, slowest: float, fastest: float) -> Iterator[SpeedDepth]:
    """The chart of a resolved setup from one speed to another, /min: each value better than the one before."""
    given, estimated = with_modes(setup)
    cuts = chatter_cut(given), chatter_cut(given.opposite)
    own, other = cuts
    if own is None or other is None:
        yield _nothing(setup, estimated, "no_coefficients" if given.dynamics else "no_modes")
        return
    slowest = max(slowest, *(slowest_searched(cut) for cut in (own, other)))
    if beyond_search(own) or beyond_search(other) or slowest >= fastest:
        yield _nothing(setup, estimated, "beyond")
        return
    here = setup.cut.spindle_speed_rpm
    # While a hand drags, nothing but the own border is waited for: it is there within two frames.
    yield _borders(setup, estimated, own, None, np.linspace(slowest, fastest, FIRST))
    chart = _borders(setup, estimated, own, other, np.linspace(slowest, fastest, COARSE))
    yield chart
    chart = replace(chart, holdings=both_ways(given, estimated=estimated))
    yield chart
    fine = np.union1d(np.linspace(slowest, fastest, FINE), [np.clip(here, slowest, fastest)])
    chart = replace(_borders(setup, estimated, own, other, fine), holdings=chart.holdings)
    yield chart
    band_rpm = np.linspace(slowest, fastest, BAND)
    low, high = np.empty(0), np.empty(0)
    for first in range(0, BAND, AT_ONCE):
        some = band_rpm[first : first + AT_ONCE]
        ends = border_band(own, some, usual_draws(estimated)).between()
        low, high = np.concatenate([low, ends[0]]), np.concatenate([high, ends[1]])
        chart = replace(chart, band_rpm=frozen(band_rpm[: len(low)]), low=frozen(low), high=frozen(high))
        yield chart
    yield replace(chart, offers=offers(chart), done=True)


def _borders(setup: Setup, estimated: bool, own: ChatterCut, other: ChatterCut | None, rpm: Array) -> SpeedDepth:
    mine, plain = own.border(rpm), own.zeroth_order(rpm)
    return SpeedDepth(
        setup,
        estimated,
        "",
        mine.speed_rpm,
        mine.depth_mm,
        _NONE if other is None else other.border(rpm).depth_mm,
        mine.flip,
        plain.depth_mm,
        _NONE,
        _NONE,
        _NONE,
    )


def _rounded_down(value: float) -> float:
    """Two figures, not more than the value."""
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return float(f"{math.floor(value / step + 1e-9) * step:.6g}")


def offers(chart: SpeedDepth) -> tuple[Offer, ...]:
    """The speeds at which the band's lower end has a peak and more is removed than here, nearest first."""
    setup, low = chart.setup, chart.low
    here, depth = setup.cut.spindle_speed_rpm, setup.cut.axial_engagement_mm
    speeds, depths = (limits_for(setup, f"cut.{k}") for k in ("spindle_speed_rpm", "axial_engagement_mm"))
    assert speeds is not None and depths is not None
    deepest = min(10.0 * setup.cutter.diameter_mm, depths.range.high)
    sure_here = min(depth, float(np.interp(here, chart.band_rpm, np.minimum(low, deepest))))
    found = []
    for i in range(1, len(low) - 1):
        rpm = float(f"{chart.band_rpm[i]:.3g}")
        if not (low[i] >= low[i - 1] and low[i] > low[i + 1] and speeds.range.holds(rpm)):
            continue
        # A rounded speed stands a little beside the peak.
        held = _rounded_down(min(float(np.interp(rpm, chart.band_rpm, low)), deepest))
        gain = rpm * held / (here * sure_here)
        if gain >= WORTH:
            other = float(np.interp(rpm, chart.speed_rpm, np.minimum(chart.other, 1e9)))
            found.append(Offer(rpm, held, gain, other > held))
    return tuple(sorted(found, key=lambda o: abs(o.speed_rpm - here))[:MOST_OFFERS])
