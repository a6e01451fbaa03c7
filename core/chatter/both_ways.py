"""How deep a setup may cut in its own direction and in the other, each with the band that its inputs allow."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from ..setup.setup import Direction, Setup
from .spread import border_band
from .stability import AxialLimit, ChatterCut, axial_limit, chatter_cut
from .usual_draws import DRAWS, usual_draws

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

MOST_SEARCHED, MOST_FADING = 400.0, 60.0
"""The same for the limit itself; and how many times by e the modes may fade in a tooth period."""

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
    return _holding(replace(setup, title=""), estimated)


def slowest_searched(cut: ChatterCut) -> float:
    """The slowest speed, /min, at which a limit is searched for: below it waves or fading go beyond all digits."""
    fading = float((cut.modes.omega * cut.modes.damping).max()) * 60.0 / cut.teeth
    return max(SLOWEST, waves_in_arc(cut, 1.0) / MOST_SEARCHED, fading / MOST_FADING)


def searched(cut: ChatterCut, rpm: float) -> bool:
    """Whether the limit at a speed is searched for."""
    return not beyond_search(cut) and slowest_searched(cut) <= rpm <= FASTEST


def _limit(setup: Setup) -> AxialLimit:
    """The limit; ``beyond`` where the search loses all digits."""
    try:
        with np.errstate(over="ignore", invalid="ignore"):
            return axial_limit(setup)
    except np.linalg.LinAlgError:
        return AxialLimit("beyond")


@lru_cache(maxsize=64)
def _holding(setup: Setup, estimated: bool) -> Holding:
    direction, depth, rpm = setup.cut.direction, setup.cut.axial_engagement_mm, setup.cut.spindle_speed_rpm
    cut = chatter_cut(setup)
    if cut is not None and not searched(cut, rpm):
        return Holding(direction, depth, AxialLimit("beyond"))
    limit = _limit(setup)
    if cut is None or limit.outcome == "beyond" or waves_in_arc(cut, rpm) > MOST_WAVES:
        return Holding(direction, depth, limit)
    band = border_band(cut, rpm, usual_draws(estimated))
    low, high = (float(end[0]) for end in band.between(LOW, HIGH))
    return Holding(
        direction,
        depth,
        limit,
        low if np.isfinite(low) else None,
        high if np.isfinite(high) else None,
        int(band.stable_draws(depth)[0]),
    )


def both_ways(setup: Setup, *, estimated: bool = False) -> tuple[Holding, Holding]:
    """The setup's own direction, then the other."""
    return holding(setup, estimated=estimated), holding(setup.opposite, estimated=estimated)
