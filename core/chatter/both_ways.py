"""How deep a setup may cut in its own direction and in the other, each with the band that its inputs allow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array, frozen
from ..setup.setup import Direction, Setup
from .border import MOST_SLOWEST_PHASE
from .known_borders import CutKey, cut_key
from .spread import Band
from .stability import AxialLimit, ChatterCut, axial_limit, limit_at
from .usual_draws import DRAWS

MOST_WAVES = 60.0
"""Radians of the fastest mode in the arc up to which a band is worked out: beyond, 64 searches take seconds."""

LOW, HIGH = 0.1, 0.9
"""Shares of the draws whose limit lies under the band's ends."""

USUAL_HZ, USUAL_DAMPING, USUAL_STIFFNESS = (5.0, 5e4), (5e-4, 0.5), (1.0, 1e8)
USUAL_SLOPE, LEAST_ARC, MOST_MODES = (1.0, 1e5), 0.005, 12
"""What the search is made for, far wider than cutters are: Hz, damping ratio, N/mm, N/mm2, rad, modes.  The legal
range of a setup is wider still, and there a search may take minutes or lose all digits."""

SLOWEST, FASTEST = 1.0, 2e5
"""Speeds that are searched at, /min."""

MOST_WAVES_EVER = 2000.0
"""Radians of the fastest mode in the arc up to which it is searched through beside a mode whose lobes are wide."""

MOST_SEARCHED = 400.0
"""Radians in the arc up to which the chart is drawn; slower, the limit is that at the slowest speed (``slow``)."""

QUICK_GROWTH = 25.0
"""Growth of a wave in the arc, in powers of e, up to which a band is worked out in passing."""

_NO_SPEED = frozen(np.empty(1))

SURE = 58
"""Draws of 64 that must be stable for a cut to count as holding: nine of ten."""


@dataclass(frozen=True, slots=True)
class Holding:
    """How deep one direction holds: its limit, the ends of the band (mm; None without one or where an end has no
    limit), and in how many of the 64 draws the setup's own depth is stable (None without a band)."""

    direction: Direction
    depth_mm: float
    limit: AxialLimit
    low_mm: float | None = None
    high_mm: float | None = None
    stable_draws: int | None = None

    @property
    def stable(self) -> bool | None:
        """Whether the setup's depth is under the limit; None where that is not known.  Nothing of the band."""
        if self.limit.depth_mm is not None:
            return self.depth_mm < self.limit.depth_mm
        return True if self.limit.outcome == "no limit" else None

    @property
    def sure(self) -> bool | None:
        """The same where nine of ten draws agree; None where they do not, or there is no band."""
        if self.stable_draws is None:
            return None
        return True if self.stable_draws >= SURE else False if self.stable_draws <= DRAWS - SURE else None


def waves_in_arc(cut: ChatterCut, rpm: float) -> float:
    """Radians that the fastest mode swings while a tooth is in the arc at a speed, /min."""
    return float(cut.modes.omega.max() * (cut.leave - cut.entry) * 60.0 / (2.0 * np.pi * rpm))


def quick(cut: ChatterCut, rpm: float, depth: float) -> bool:
    """Whether a band about a limit of ``depth`` (mm) takes well under a second: waves must not grow too far within
    the arc, or the limits of the draws are searched for by the slower form of the polynomial."""
    arc = (cut.leave - cut.entry) * 60.0 / (2.0 * np.pi * rpm)
    strength = float(np.hypot(*cut.slopes.at(np.linspace(cut.entry, cut.leave, 9))).max())
    teeth = max(1.0, (cut.leave - cut.entry) * cut.teeth / (2.0 * np.pi))
    return arc * np.sqrt(depth * strength * teeth * float((1.0 / cut.modes.mass).max())) <= QUICK_GROWTH


def beyond_search(cut: ChatterCut) -> bool:
    """Whether a cut is so far from any real one that its limit is not searched for."""
    modes, slopes = cut.modes, cut.slopes
    strength = max(slopes.tangential, abs(slopes.radial))
    return not (
        modes.count <= MOST_MODES
        and cut.leave - cut.entry >= LEAST_ARC
        and (strength == 0.0 or USUAL_SLOPE[0] <= strength <= USUAL_SLOPE[1])
        and all(2.0 * np.pi * USUAL_HZ[0] <= w <= 2.0 * np.pi * USUAL_HZ[1] for w in modes.omega)
        and all(USUAL_DAMPING[0] <= z <= USUAL_DAMPING[1] for z in modes.damping)
        and all(USUAL_STIFFNESS[0] <= k <= USUAL_STIFFNESS[1] for k in modes.stiffness)
    )


def holding(setup: Setup, *, estimated: bool = False) -> Holding:
    """How deep a resolved setup holds in its own direction; ``estimated``: its modes are from the beam."""
    direction, depth = setup.cut.direction, setup.cut.axial_engagement_mm
    limit = limit_of(setup)
    limits = limits_of_draws(setup, estimated=estimated)
    if limits is None:
        return Holding(direction, depth, limit)
    low, high = (float(end[0]) for end in Band(_NO_SPEED, limits[:, None]).between(LOW, HIGH))
    return Holding(
        direction,
        depth,
        limit,
        low if np.isfinite(low) else None,
        high if np.isfinite(high) else None,
        int((limits > depth).sum()),
    )


def slowest_searched(cut: ChatterCut) -> float:
    """The slowest speed, /min, at which the chart is drawn: below it so many waves lie in the arc that the limit is
    not worked out for each speed."""
    return max(SLOWEST, waves_in_arc(cut, 1.0) / MOST_SEARCHED)


def searched(cut: ChatterCut, rpm: float) -> bool:
    """Whether the limit at a speed is searched for."""
    ratio = float(cut.modes.omega.min() / cut.modes.omega.max())
    waves = waves_in_arc(cut, rpm)
    # Of more waves than that only those of a fast mode beside a slow one are searched through.
    many = waves > MOST_WAVES_EVER and waves * ratio < MOST_SLOWEST_PHASE
    return not beyond_search(cut) and not many and SLOWEST <= rpm <= FASTEST


def limit_of(setup: Setup) -> AxialLimit:
    """The axial limit of a resolved setup; kept by what it depends on, so that another depth costs nothing."""
    key = cut_key(setup)
    return axial_limit(setup) if key is None else _limit(key, setup.cut.spindle_speed_rpm)


def limits_of_draws(setup: Setup, *, estimated: bool = False) -> Array | None:
    """The limit in each of the 64 draws, (64,) mm, infinite without one; None where no band is worked out."""
    key = cut_key(setup)
    return None if key is None else _limits(key, setup.cut.spindle_speed_rpm, estimated)


@lru_cache(maxsize=256)
def _limit(key: CutKey, rpm: float) -> AxialLimit:
    cut = key.cut
    return limit_at(cut, rpm) if searched(cut, rpm) else AxialLimit("beyond")


def _limits(key: CutKey, rpm: float, estimated: bool) -> Array | None:
    cut = key.cut
    if not searched(cut, rpm) or waves_in_arc(cut, rpm) > MOST_WAVES:
        return None
    return key.band(np.array([rpm]), estimated)[:, 0]


def both_ways(setup: Setup, *, estimated: bool = False) -> tuple[Holding, Holding]:
    """The setup's own direction, then the other."""
    return holding(setup, estimated=estimated), holding(setup.opposite, estimated=estimated)
