"""Whether a direction chatters, as the ladder asks it: in the world that the setup tells of, and in each draw.

Modes that nobody has measured are estimated from the beam (:mod:`core.chatter.estimated_modes`).  They are the same
along both axes, so they cannot choose a direction; they only tell that a depth may chatter, and a tap test decides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..chatter.both_ways import MOST_WAVES, SURE, limit_of, limits_of_draws, quick, waves_in_arc
from ..chatter.estimated_modes import can_be_estimated, with_modes
from ..chatter.stability import AxialLimit, chatter_cut
from ..chatter.usual_draws import usual_draws
from ..setup.setup import Setup
from .draws import DRAWS, Worlds

CLEARLY = 2.0
"""Where no band is worked out: how many times deeper or shallower than the limit no draw differs."""


@dataclass(frozen=True, slots=True, eq=False)
class Stability:
    """``stable`` (n,) at the setup's depth in every world, None where not known; ``limit_mm`` None where not known
    or where there is none up to 10 D.  ``estimated``: by modes of the beam.  ``missing``: keys that it lacks.
    """

    stable: NDArray[np.bool_] | None = None
    limit_mm: float | None = None
    estimated: bool = False
    missing: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        """Whether anything is known of it."""
        return self.stable is not None

    @property
    def told(self) -> bool | None:
        """Whether it is stable with everything as it is told."""
        return None if self.stable is None else bool(self.stable[0])

    @property
    def sure(self) -> bool:
        """Whether it is known to be stable in nine of ten draws."""
        return self.stable is not None and bool(self.stable[0]) and self.stable[1:].mean() * DRAWS >= SURE


def stability(setup: Setup, worlds: Worlds) -> Stability:
    """Whether this cut is stable in its own direction.

    Without draws modes are not estimated: an estimate chooses no direction, and a search takes longer than a step of
    a slider may.
    """
    n = len(worlds.places)
    if setup.work.force is None:
        return Stability(missing=("work.force",))
    if n == 1 and can_be_estimated(setup):
        return Stability(estimated=True, missing=("dynamics",))
    given, estimated = with_modes(setup)
    missing = ("dynamics",) if estimated or not given.dynamics else ()
    cut = chatter_cut(given)
    if cut is None or (estimated and waves_in_arc(cut, setup.cut.spindle_speed_rpm) > MOST_WAVES):
        return Stability(estimated=estimated, missing=missing)
    limit = limit_of(given)
    if limit.outcome not in ("limit", "no limit"):
        return Stability(estimated=estimated, missing=missing or ("stability.axial_limit_mm",))
    return Stability(_in_every(given, limit, n, estimated), limit.depth_mm, estimated, missing)


def _in_every(given: Setup, limit: AxialLimit, n: int, estimated: bool) -> NDArray[np.bool_] | None:
    """Whether the setup's depth is stable in every world; None where no band is worked out, it is near, and the modes
    are estimated.

    Near a limit of measured modes so many waves lie in the arc where no band is worked out that lobes have all but
    merged.  The limit of a draw then goes with stiffness and damping over the coefficients, as the depth does that is
    stable at every speed (Altintas and Budak 1995, from memory).
    """
    depth, deep = given.cut.axial_engagement_mm, limit.depth_mm
    told = deep is None or depth < deep
    if n == 1:
        return np.array([told])
    cut = chatter_cut(given)
    assert cut is not None
    # Far deeper than the setup no draw changes what is asked.
    reach = min(cut.deepest if deep is None else deep, CLEARLY * depth)
    limits = limits_of_draws(given, estimated=estimated) if quick(cut, given.cut.spindle_speed_rpm, reach) else None
    if limits is not None:
        return np.concatenate([[told], limits > depth])
    if deep is not None and deep / CLEARLY < depth < deep * CLEARLY:
        if estimated:
            return None
        draws = usual_draws()
        return np.concatenate([[told], deep * draws.stiffness * draws.damping / draws.coefficients > depth])
    return np.full(n, told)
