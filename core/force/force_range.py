"""Between which figures each force lies: carried from the spread of the coefficients to what follows from them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from ..setup.setup import Setup
from .coefficient_spread import CoefficientSpread, assumed_spread, setups_of_spread
from .force_turn import ForceTurn, Spread, force_turn


@dataclass(frozen=True, slots=True)
class Ends:
    """Lowest and highest that a figure may be."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SpreadRange:
    """The ends of the least, greatest and mean value over a turn."""

    least: Ends
    greatest: Ends
    mean: Ends


@dataclass(frozen=True, slots=True)
class ForceRange:
    """Ends of the figures of a :class:`ForceTurn`, in its units; the pull on the table is ``fy.greatest``."""

    fx: SpreadRange
    fy: SpreadRange
    fz: SpreadRange | None
    torque: SpreadRange
    resultant_max: Ends
    power_kw: Ends
    spread: CoefficientSpread


def range_over(
    setup: Setup, figure: Callable[[Setup], float | None], spread: CoefficientSpread | None = None
) -> Ends | None:
    """Ends of any figure of a setup over the spread of its coefficients, the setup's own included.

    None where the figure is not known.
    """
    found = [figure(each) for each in (setup, *setups_of_spread(setup, spread))]
    known = [value for value in found if value is not None]
    return Ends(min(known), max(known)) if len(known) == len(found) else None


def _of(spreads: list[Spread]) -> SpreadRange:
    """The ends of what is least, greatest and mean over a turn."""
    rows = [[s.least for s in spreads], [s.greatest for s in spreads], [s.mean for s in spreads]]
    least, greatest, mean = (Ends(min(row), max(row)) for row in rows)
    return SpreadRange(least, greatest, mean)


@lru_cache(maxsize=16)
def force_range(setup: Setup, spread: CoefficientSpread | None = None) -> ForceRange | None:
    """Ends of every force figure; None where the coefficients are not known.

    spread : of the coefficients, else the assumed one.
    """
    law = setup.work.force
    if law is None:
        return None
    taken = spread or assumed_spread(law)
    turns = [turn for turn in map(force_turn, (setup, *setups_of_spread(setup, taken))) if turn is not None]

    def ends(figure: Callable[[ForceTurn], float]) -> Ends:
        values = [figure(turn) for turn in turns]
        return Ends(min(values), max(values))

    axial = [turn.fz for turn in turns if turn.fz is not None]
    return ForceRange(
        fx=_of([t.fx for t in turns]),
        fy=_of([t.fy for t in turns]),
        fz=_of(axial) if len(axial) == len(turns) else None,
        torque=_of([t.torque for t in turns]),
        resultant_max=ends(lambda t: t.resultant_max),
        power_kw=ends(lambda t: t.power_kw),
        spread=taken,
    )
