"""A figure that is known only roughly in words: two digits, with its range where that is worked out."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..base.quantities import QUANTITIES, Units, clear_figure, is_wide, rough_ends, rough_figure, told_figure
from ..force.force_range import Ends

MORE_DECIMALS = 4
"""Decimals over the usual ones that may be needed to tell a figure from what it is held against."""


@dataclass(frozen=True, slots=True)
class Rough:
    """A figure (house unit) that is known only roughly, and its ends where they are to be told."""

    value: float
    ends: tuple[float, float] | None

    def told(self, quantity: str, units: Units) -> str:
        """The figure in words."""
        if self.ends is None:
            return rough_figure(self.value, quantity, units)
        return told_figure(self.value, *self.ends, quantity, units)

    def told_beside(self, limit: float | None, quantity: str, units: Units) -> tuple[str, str]:
        """The figure, and what it is held against: in more digits where two would put it on the other side."""
        text = self.told(quantity, units)
        told = limit is None or not math.isfinite(self.value) or self.value == limit
        if limit is None or told or self._apart(limit, quantity, units):
            return text, clear_figure(limit, quantity, units)
        usual = QUANTITIES[quantity].decimals_in(units)
        for decimals in range(usual, usual + MORE_DECIMALS):
            value, other = (clear_figure(v, quantity, units, decimals=decimals) for v in (self.value, limit))
            if value != other:
                break
        if self.ends is not None and is_wide(self.value, *self.ends):
            value = f"{value} ({rough_ends(*self.ends, quantity, units)})"
        return value, other

    def _apart(self, limit: float, quantity: str, units: Units) -> bool:
        """Whether two digits leave the figure on its own side of the limit."""
        q = QUANTITIES[quantity]
        if self.ends is not None and not is_wide(self.value, *self.ends):
            decimals = q.decimals_in(units)
            rounded, shown = (round(q.shown(v, units), decimals) for v in (self.value, limit))
        else:
            rounded, shown = float(f"{q.shown(self.value, units):.1e}"), q.shown(limit, units)
        return rounded != shown and (rounded > shown) == (self.value > limit)


ROUGH_QUANTITIES = ("force", "torque", "power", "deflection", "temperature_rise")
"""Quantities whose figures rest on coefficients, and are known to two digits."""


def known_figure(value: float | None, quantity: str, units: Units) -> str:
    """A figure in as many digits as its quantity is known to."""
    return (rough_figure if quantity in ROUGH_QUANTITIES else clear_figure)(value, quantity, units)


def before_and_after(before: float | None, after: float | None, quantity: str, units: Units) -> tuple[str, str]:
    """What a change does to a figure: in two digits where it is known roughly, in more where these were the same."""
    few = [known_figure(value, quantity, units) for value in (before, after)]
    more = [clear_figure(value, quantity, units) for value in (before, after)]
    one, other = more if few[0] == few[1] and more[0] != more[1] else few
    return one, other


def rough(value: float, ends: Ends | None) -> Rough:
    """A figure with its ends, or without."""
    return Rough(value, None if ends is None else (ends.low, ends.high))
