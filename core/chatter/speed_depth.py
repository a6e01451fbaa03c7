"""Borders of both directions over speeds, coarse first, then finer, then the band and the speeds worth taking."""

from __future__ import annotations

import math
from collections.abc import Generator, Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.limits_for import limits_for
from ..setup.setup import Setup
from .border import Border
from .both_ways import Holding, beyond_search, holding, quick, slowest_searched
from .estimated_modes import with_modes
from .known_borders import CutKey, cut_key
from .spread import Band
from .usual_draws import DRAWS

AT_ONCE_SLOW, BAND_SLOW, DRAWS_SLOW = 4, 13, 8
"""Where a search takes long: speeds of one piece, speeds of the band, draws of one piece.  No piece keeps a person
waiting who leaves the page."""

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
    holdings: tuple[Holding, ...] | None = None
    offers: tuple[Offer, ...] = ()
    done: bool = False


_NONE = frozen(np.empty(0))


def _nothing(setup: Setup, estimated: bool, why: str) -> SpeedDepth:
    none = np.empty(0, bool)
    return SpeedDepth(setup, estimated, why, _NONE, _NONE, _NONE, none, _NONE, _NONE, _NONE, _NONE, done=True)


def speed_depth(setup: Setup, slowest: float, fastest: float) -> Iterator[SpeedDepth]:
    """The chart of a resolved setup from one speed to another, /min: each value better than the one before."""
    given, estimated = with_modes(setup)
    keys = cut_key(given), cut_key(given.opposite)
    own, other = keys
    if own is None or other is None:
        yield _nothing(setup, estimated, "no_coefficients" if given.dynamics else "no_modes")
        return
    slowest = max(slowest, *(slowest_searched(key.cut) for key in (own, other)))
    if beyond_search(own.cut) or beyond_search(other.cut) or slowest >= fastest:
        yield _nothing(setup, estimated, "beyond")
        return
    here = setup.cut.spindle_speed_rpm
    # While a hand drags, nothing but the own border is waited for: it is there within two frames.
    first = own.border(np.array([here])).depth_mm
    slow = not quick(own.cut, slowest, float(np.minimum(first, own.deepest)[0]))
    at_once = AT_ONCE_SLOW if slow else 2 * FINE
    chart = yield from _borders(_nothing(setup, estimated, ""), own, None, _even(slowest, fastest, FIRST), at_once)
    chart = yield from _borders(chart, own, other, _even(slowest, fastest, COARSE), at_once)
    mine = holding(given, estimated=estimated)
    yield chart
    chart = replace(chart, holdings=(mine, holding(given.opposite, estimated=estimated)))
    yield chart
    if not slow:
        fine = np.union1d(_even(slowest, fastest, FINE), [np.clip(here, slowest, fastest)])
        chart = yield from _borders(chart, own, other, fine, at_once)
    chart = yield from _band(chart, own, _even(slowest, fastest, BAND_SLOW if slow else BAND), slow)
    yield replace(chart, offers=offers(chart), done=True)


def _even(slowest: float, fastest: float, count: int) -> Array:
    return np.asarray(np.linspace(slowest, fastest, count))


def _band(chart: SpeedDepth, own: CutKey, rpm: Array, slow: bool) -> Generator[SpeedDepth, None, SpeedDepth]:
    """The band at speeds (B,), some at a time; where it takes long, some draws of one speed at a time."""
    low, high = np.empty(0), np.empty(0)
    for first in range(0, len(rpm), 1 if slow else AT_ONCE):
        some = rpm[first : first + (1 if slow else AT_ONCE)]
        depths: list[Array] = []
        for part in range(0, DRAWS, DRAWS_SLOW if slow else DRAWS):
            if depths:
                # The same once more: whoever waits may give it up here.
                yield chart
            draws = slice(part, part + (DRAWS_SLOW if slow else DRAWS))
            depths.append(own.band(some, chart.estimated, draws))
        ends = Band(some, np.concatenate(depths)).between()
        low, high = np.concatenate([low, ends[0]]), np.concatenate([high, ends[1]])
        chart = replace(chart, band_rpm=frozen(rpm[: len(low)]), low=frozen(low), high=frozen(high))
        yield chart
    return chart


def _borders(
    chart: SpeedDepth, own: CutKey, other: CutKey | None, rpm: Array, at_once: int
) -> Generator[SpeedDepth, None, SpeedDepth]:
    """The chart with its borders at speeds (S,), ``at_once`` of them at a time."""
    borders: list[list[Border]] = []
    for key in [own] if other is None else [own, other]:
        parts: list[Border] = []
        for first in range(0, len(rpm), at_once):
            if (parts or borders) and len(chart.own):
                yield chart
            parts.append(key.border(rpm[first : first + at_once]))
        borders.append(parts)
    depths = [frozen(np.concatenate([part.depth_mm for part in parts])) for parts in borders]
    flip = np.concatenate([part.flip for part in borders[0]])
    chart = replace(
        chart,
        speed_rpm=frozen(rpm),
        own=depths[0],
        other=depths[1] if other is not None else _NONE,
        flip=flip,
        plain=own.cut.zeroth_order(rpm).depth_mm,
        done=False,
    )
    yield chart
    return chart


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
    offered = []
    for i in range(1, len(low) - 1):
        rpm = float(f"{chart.band_rpm[i]:.3g}")
        if not (low[i] >= low[i - 1] and low[i] > low[i + 1] and speeds.range.holds(rpm)):
            continue
        # A rounded speed stands a little beside the peak.
        held = _rounded_down(min(float(np.interp(rpm, chart.band_rpm, low)), deepest))
        gain = rpm * held / (here * sure_here)
        if gain >= WORTH:
            other = float(np.interp(rpm, chart.speed_rpm, np.minimum(chart.other, 1e9)))
            offered.append(Offer(rpm, held, gain, other > held))
    return tuple(sorted(offered, key=lambda o: abs(o.speed_rpm - here))[:MOST_OFFERS])
