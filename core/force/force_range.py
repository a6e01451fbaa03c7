"""Between which figures each force lies: what is known roughly, carried to what follows from it.

As :mod:`.coefficient_spread` says: each input at both ends by itself, the changes added by their squares, which is
also how the range of the wall is made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from ..setup.setup import Setup
from .coefficient_spread import CoefficientSpread, edges_at_ends, ends_by_squares, known_spread
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


@lru_cache(maxsize=16)
def force_range(setup: Setup, spread: CoefficientSpread | None = None) -> ForceRange | None:
    """Ends of every force figure; None where the coefficients are not known.

    spread : of the coefficients, else the known one.
    """
    taken, told = spread or known_spread(setup.work), force_turn(setup)
    if taken is None or told is None:
        return None
    pairs = [
        tuple(force_turn(replace(setup, cutter=cutter, work=work)) for cutter, work in pair)
        for pair in edges_at_ends(setup.cutter, setup.work, taken)
    ]

    def ends(figure: Callable[[ForceTurn], float]) -> Ends:
        # A setup of which the coefficients are known has a turn, at either end, too.
        moved = [(figure(low), figure(high)) for low, high in pairs if low is not None and high is not None]
        return Ends(*ends_by_squares(figure(told), moved))

    def of(part: Callable[[ForceTurn], Spread]) -> SpreadRange:
        return SpreadRange(
            least=ends(lambda turn: part(turn).least),
            greatest=ends(lambda turn: part(turn).greatest),
            mean=ends(lambda turn: part(turn).mean),
        )

    return ForceRange(
        fx=of(lambda t: t.fx),
        fy=of(lambda t: t.fy),
        fz=None if told.fz is None else of(_axial),
        torque=of(lambda t: t.torque),
        resultant_max=ends(lambda t: t.resultant_max),
        power_kw=ends(lambda t: t.power_kw),
        spread=taken,
    )


def _axial(turn: ForceTurn) -> Spread:
    assert turn.fz is not None
    return turn.fz
