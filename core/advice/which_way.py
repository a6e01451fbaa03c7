"""The evidence under the rungs: each reason is a figure for climb and for conventional, and which way it points.

Which of them decides is the ladder's to say (:mod:`.ladder`): there is no score and no count here.  Some reasons are
only told: what strikes first, how hard a thin wall is pushed, how hard the work is lifted.  Arc model, runout
included where the figure of the report has it.  A straddling cut has both halves and no choice of direction.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from ..base.words import say
from ..cut.engagement import engagement
from ..cut.skin import skin_crossing
from ..effects.arc_results import arc_results
from ..effects.edge_temperature import edge_temperature
from ..effects.entry_exit import first_contact
from ..effects.feed_marks import feed_marks
from ..effects.rubbing import rubbing
from ..effects.wall_depth import wall_profile_over_depth
from ..force.force_turn import ForceTurn, Spread, force_turn
from ..setup.setup import Setup
from .checks import CHECKS, CHECKS_OF, RUB_SHARE, Check, Way, check, least_skin
from .draws import as_told
from .stability import stability

__all__ = ["REASONS", "Reason", "Way", "reason_of", "reasons", "rung_of", "stands_against"]

NOTHING_MM = 1e-9
"""Errors of the wall up to here are none."""

RUNG_OF = {id: rung for rung, ids in CHECKS_OF.items() for id in ids}


def rung_of(id: str) -> str | None:
    """The rung that asks for a reason; None where the reason is only told."""
    return RUNG_OF.get(id)


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: its figure both ways (house unit of ``quantity``) and which way it points.

    ``key`` is the report's name of the figure.  ``threshold`` is a figure in the same unit, or None where it is not
    one.  ``favours`` is None where it does not answer, and ``why`` names the sentence that says why.
    ``speaks_against`` are directions that it holds something against: both, where no direction mends it.
    """

    id: str
    key: str
    quantity: str
    climb: float | None
    conventional: float | None
    threshold: float | None
    favours: Way | None
    why: str
    speaks_against: tuple[Way, ...] = ()

    def figure(self, way: str) -> float | None:
        """The figure of one direction."""
        return self.climb if way == "climb" else self.conventional

    def against(self, way: str) -> bool:
        """Whether it speaks against milling this way."""
        return way in self.speaks_against

    @property
    def rung(self) -> str | None:
        """The rung that asks for it; None where it is only told."""
        return rung_of(self.id)

    @property
    def source(self) -> str:
        """Where the reason and its threshold come from."""
        return say("reason_source", self.id)


Figures = tuple[str, str, Callable[[Setup], float | None], Callable[[Setup], float | None]]
"""The report's key, the quantity, the figure of a direction, the threshold of the cut."""


def _no_threshold(setup: Setup) -> float | None:
    return None


def _pull(setup: Setup) -> float | None:
    """What friction and preload leave over the greatest pull, N; below 0 where the table can jump."""
    turn, hold = force_turn(setup), None if setup.machine is None else setup.machine.hold_n
    return None if turn is None or hold is None else hold - turn.fy.greatest


def _least_margin(setup: Setup) -> float | None:
    """The margin, N, under which a pull excludes its direction: half of what holds the table."""
    hold = None if setup.machine is None else setup.machine.hold_n
    return None if hold is None else hold / 2.0


def _skin(setup: Setup) -> float | None:
    crossing = skin_crossing(setup)
    return None if crossing is None or crossing.cross == 0.0 else crossing.h


def _slides_in(setup: Setup) -> float | None:
    rub = rubbing(setup)
    return None if rub is None else math.degrees(rub.entry)


def _most_sliding(setup: Setup) -> float | None:
    facts = setup.work.facts
    hardens = facts is not None and facts.work_hardens
    return 0.0 if hardens else RUB_SHARE * math.degrees(engagement(setup).arc)


def _leaving(setup: Setup) -> float | None:
    """Thickness on the true path as the tooth leaves; not the force that drops there, which is of a straight edge."""
    h = arc_results(setup).trochoid.h_exit
    return h if math.isfinite(h) else None


def _peak(setup: Setup) -> float | None:
    temperature = edge_temperature(setup)
    return None if temperature is None else temperature.peak


def _wall_size(setup: Setup) -> float | None:
    """Greatest size of the wall's error over the whole depth."""
    profile = wall_profile_over_depth(setup)
    return None if profile is None else 0.0 if profile.size < NOTHING_MM else profile.size


def _limit(setup: Setup) -> float | None:
    """The depth from which a direction chatters by its given modes; None where it is not known or there is none."""
    return stability(setup, as_told()).limit_mm


def _marks(setup: Setup) -> float | None:
    marks = feed_marks(setup)
    return None if marks is None else 1000.0 * marks.height


def _greatest(part: Callable[[ForceTurn], Spread | None]) -> Callable[[Setup], float | None]:
    """Greatest size of one component of the force over a turn, N."""

    def size(setup: Setup) -> float | None:
        turn = force_turn(setup)
        spread = None if turn is None else part(turn)
        return None if spread is None else max(abs(spread.least), abs(spread.greatest))

    return size


FIGURES: dict[str, Figures] = {
    "pull": ("feed.pull_margin_n", "force", _pull, _least_margin),
    "error": ("wall.error_size_mm", "deflection", _wall_size, lambda setup: setup.cut.wall_tolerance_mm),
    "stability": ("stability.axial_limit_mm", "depth", _limit, lambda setup: setup.cut.axial_engagement_mm),
    "skin": ("skin.h_mm", "chip_thickness", _skin, least_skin),
    "rub": ("rubbing.entry_deg", "angle", _slides_in, _most_sliding),
    "exit": ("chip.trochoid.h_exit_mm", "chip_thickness", _leaving, _no_threshold),
    "heat": ("heat.peak_rise_k", "temperature_rise", _peak, _no_threshold),
    "marks": ("wall.feed_mark_um", "micro", _marks, _no_threshold),
    "entry": ("entry.area_1deg_mm2", "chip_section", lambda s: first_contact(s).area_1deg, _no_threshold),
    "thin_wall": ("force.fx_n", "force", _greatest(lambda turn: turn.fx), _no_threshold),
    "lift": ("force.fz_n", "force", _greatest(lambda turn: turn.fz), _no_threshold),
}
"""What each reason tells, in the order of the rungs; the last three are only told."""

REASONS = tuple(FIGURES)


def _only_told(id: str, setup: Setup, figures: tuple[float | None, float | None]) -> str:
    """Why a reason that is only told does not answer."""
    if id != "entry":
        return "unknown" if None in figures else "none"
    contacts = [first_contact(setup.facing(way)).contact for way in ("climb", "conventional")]
    if None in contacts:
        return "unknown"
    strikes = any(contact in ("edge first", "whole face") for contact in contacts)
    # A helical edge comes in point by point from its tip: then the rake tells nothing of what strikes.
    return "none" if not strikes else "helix" if setup.cutter.helix_deg > 0.0 else "strikes"


def _against(id: str, answer: Check) -> tuple[Way, ...]:
    ways: tuple[Way, Way] = ("climb", "conventional")
    if answer.out is not None:
        return tuple(way for i, way in enumerate(ways) if bool(answer.out[i, 0]))
    if answer.why == "feed_first" or (id == "error" and answer.why == "beyond"):
        return ways
    return tuple(way for way in ways if answer.told is not None and answer.told != way)


@lru_cache(maxsize=512)
def reason_of(id: str, setup: Setup) -> Reason:
    """One reason of a one-sided cut, worked out alone."""
    climb, conventional = setup.facing("climb"), setup.facing("conventional")
    key, quantity, figure, threshold = FIGURES[id]
    figures = figure(climb), figure(conventional)
    told = (id, key, quantity, *figures, threshold(climb))
    if id not in CHECKS:
        return Reason(*told, None, _only_told(id, setup, figures))
    answer = check(id, climb, as_told())
    return Reason(*told, answer.told, answer.why, _against(id, answer))


@lru_cache(maxsize=64)
def reasons(setup: Setup) -> tuple[Reason, ...]:
    """All reasons of this cut; none for a straddling one, which has no choice of direction."""
    if setup.cut.direction == "straddling":
        return ()
    return tuple(reason_of(id, setup.facing("climb")) for id in REASONS)


def stands_against(id: str) -> Callable[[Setup], bool]:
    """The question whether a reason speaks against the direction in which a setup is milled."""
    return lambda setup: setup.cut.direction != "straddling" and reason_of(id, setup).against(setup.cut.direction)
