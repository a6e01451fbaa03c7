"""How well the coefficients of a force law and the edge are known, and the setups at the ends of that.

Where the catalogue prints a range it is that.  Else each coefficient is known to 15 %, and the ratio of radial to
tangential force of a power law lies between 0.25 and 0.7: ours, of the order in which published sets for one
material differ.  What acts against the motion moves together, and so does what acts normal to the edge and what acts
along it.  The edge radius is known to 30 % (ours), where it counts, and so is the radius that the coefficients were
measured with, as far as a range is printed.

Each of these inputs is moved to both ends by itself, and the changes of a figure are added by their squares, upward
and downward apart: the usual way for independent inputs (Guide to the expression of uncertainty in measurement, from
memory).  All of them at their worst ends at once would be wider, and hardly ever so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Literal

from ..base.quantities import is_wide
from ..setup.setup import Cutter, LinearEdge, PowerLaw, Work
from .edge_condition import edge_radius_counts

SHARE = 0.15
"""Spread of a coefficient that has none printed."""

RATIO = (0.25, 0.7)
"""Radial over tangential force of a power law where no range is printed: common practice, no source."""

EDGE_RADIUS = 0.30
"""Spread of the cutter's edge radius."""

MOVED_TOGETHER = {
    "linear-edge": (("ktc", "kte"), ("krc", "kre"), ("kac", "kae")),
    "power-law": (("kc11_n_mm2", "mc"), ("radial_ratio",)),
}
"""Coefficients of each law that are low or high together."""

From = Literal["catalogue", "assumed"]


@dataclass(frozen=True, slots=True)
class CoefficientSpread:
    """Least and greatest coefficients of one law, and where that is from.

    Of the edge radius that they were measured with ``low`` has the greater, which leaves the smaller force.  Of a
    power law the exponent goes with the constant: for chips under 1 mm the lower of both is the weakest law.
    Of a linear law the axial pair may change its sign: ``low`` is the nearer to 0.
    """

    low: LinearEdge | PowerLaw
    high: LinearEdge | PowerLaw
    source: From = "assumed"

    def printed(self, low: dict[str, Any], high: dict[str, Any]) -> CoefficientSpread:
        """The spread with ends as the catalogue prints them, by the names of the coefficients."""
        if isinstance(self.low, PowerLaw) and isinstance(self.high, PowerLaw):
            return CoefficientSpread(replace(self.low, **low), replace(self.high, **high), "catalogue")
        assert isinstance(self.low, LinearEdge) and isinstance(self.high, LinearEdge)
        return CoefficientSpread(replace(self.low, **low), replace(self.high, **high), "catalogue")


def assumed_spread(law: LinearEdge | PowerLaw) -> CoefficientSpread:
    """The spread of a law of which none is printed."""
    if isinstance(law, PowerLaw):
        low, high = min(RATIO[0], law.radial_ratio), max(RATIO[1], law.radial_ratio)
        return CoefficientSpread(
            replace(law, kc11_n_mm2=law.kc11_n_mm2 * (1.0 - SHARE), radial_ratio=low),
            replace(law, kc11_n_mm2=law.kc11_n_mm2 * (1.0 + SHARE), radial_ratio=high),
        )
    names = ("ktc", "krc", "kac", "kte", "kre", "kae")
    low_high = [{n: getattr(law, n) * f for n in names} for f in (1.0 - SHARE, 1.0 + SHARE)]
    return CoefficientSpread(replace(law, **low_high[0]), replace(law, **low_high[1]))


def known_spread(work: Work) -> CoefficientSpread | None:
    """The spread of the coefficients of a work, printed where its material has it; None where there are none."""
    law, facts = work.force, work.printed_facts
    if law is None:
        return None
    assumed, printed = assumed_spread(law), () if facts is None else facts.spread
    known = {name: (low, high) for name, low, high in printed if getattr(law, name, None) is not None}
    if not known:
        return assumed
    low, high = ({name: ends[i] for name, ends in known.items()} for i in (0, 1))
    if "edge_radius_mm" in known:
        # The blunter the edge that was measured, the less of a force is another edge's own.
        low["edge_radius_mm"], high["edge_radius_mm"] = high["edge_radius_mm"], low["edge_radius_mm"]
    return assumed.printed(low, high)


@lru_cache(maxsize=16)
def coefficients_are_rough(work: Work) -> bool:
    """Whether a coefficient is known so roughly that a force is told in two digits: its spread is over a tenth of it.

    The ranges of the figures themselves say it to the digit, at a cost that no step of a drag can bear.  An exponent
    is left out: its share of a force is not its share of itself.
    """
    law, spread = work.force, known_spread(work)
    if law is None or spread is None:
        return False
    names = [name for group in MOVED_TOGETHER[law.model] for name in group if name != "mc"]
    return any(is_wide(getattr(law, n), *sorted((getattr(spread.low, n), getattr(spread.high, n)))) for n in names)


Edge = tuple[Cutter, Work]
"""A cutter and the work that its edge meets: all that the law of the edge depends on, besides the feed."""


def edges_at_ends(cutter: Cutter, work: Work, spread: CoefficientSpread | None = None) -> Iterator[tuple[Edge, Edge]]:
    """For each input that is known roughly the edge with its low and with its high end, all others as they are.

    spread : of the coefficients, else the known one.  Nothing where the coefficients are not known.
    """
    force, radius, taken = work.force, cutter.edge_radius_mm, spread or known_spread(work)
    if force is None or taken is None:
        return
    counts = edge_radius_counts(cutter, work)
    groups = [*MOVED_TOGETHER[force.model], *([("edge_radius_mm",)] if counts else [])]
    for names in groups:
        low, high = (
            replace(force, **{name: getattr(end, name) for name in names}) for end in (taken.low, taken.high)
        )
        if low != high:
            yield (cutter, replace(work, force=low)), (cutter, replace(work, force=high))
    if counts and radius:
        small, large = (
            replace(cutter, edge_radius_mm=(1.0 + share) * radius) for share in (-EDGE_RADIUS, EDGE_RADIUS)
        )
        yield (small, work), (large, work)


def ends_by_squares(value: float, pairs: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Lowest and highest of a figure, from what it is at both ends of each input: the changes added by squares."""
    below = above = 0.0
    for pair in pairs:
        below += (value - min(*pair, value)) ** 2
        above += (max(*pair, value) - value) ** 2
    return value - math.sqrt(below), value + math.sqrt(above)
