"""How well the coefficients of a force law are known, and the laws at the ends of that.

Where the catalogue prints a range it is that.  Else each coefficient is known to 15 %, and the ratio of radial to
tangential force of a power law lies between 0.25 and 0.7: ours, of the order in which published sets for one
material differ.  What acts against the motion moves together, and so does what acts normal to the edge and what acts
along it: three figures that are each low or high.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product
from typing import Any, Literal

from ..setup.setup import LinearEdge, PowerLaw, Setup

SHARE = 0.15
"""Spread of a coefficient that has none printed."""

RATIO = (0.25, 0.7)
"""Radial over tangential force of a power law where no range is printed: common practice, no source."""

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

    def laws(self) -> Iterator[LinearEdge | PowerLaw]:
        """The laws at the corners of the spread: eight of a linear law, four of a power law."""
        low, high = self.low, self.high
        if isinstance(low, PowerLaw) and isinstance(high, PowerLaw):
            for one, other in product((low, high), repeat=2):
                yield replace(one, radial_ratio=other.radial_ratio)
        elif isinstance(low, LinearEdge) and isinstance(high, LinearEdge):
            for t, r, a in product((low, high), repeat=3):
                yield replace(t, krc=r.krc, kre=r.kre, kac=a.kac, kae=a.kae)


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


def setups_of_spread(setup: Setup, spread: CoefficientSpread | None = None) -> tuple[Setup, ...]:
    """The setup with the coefficients at each corner of their spread; none where they are not known.

    What is linear in the coefficients, and the greatest and least of such over a turn, has its ends among them.
    """
    law = setup.work.force
    if law is None:
        return ()
    found = spread or assumed_spread(law)
    return tuple(replace(setup, work=replace(setup.work, force=each)) for each in found.laws())
