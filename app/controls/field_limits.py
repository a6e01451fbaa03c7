"""The limits of a figure in words, in the unit that its field shows."""

from __future__ import annotations

import math

from core.base.quantities import MINUS, QUANTITIES, Units
from core.base.words import say
from core.setup.limits_for import Limits
from core.setup.setup_limits import plain

FIGURES = 5
"""Figures of a limit that are written; the last is rounded to the side on which it is allowed."""


def _inside(value: float, *, up: bool) -> float:
    """The value to so many figures, never beyond the limit that it tells."""
    if value == 0.0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(abs(value))) - FIGURES + 1)
    count = value / step
    near = round(count)
    # What was a round figure before its unit was changed stays one.
    whole = near if math.isclose(count, near, rel_tol=1e-9) else math.ceil(count) if up else math.floor(count)
    return float(f"{whole * step:.{FIGURES}g}")


def limit_words(limits: Limits, quantity: str, units: Units, factor: float = 1.0) -> tuple[str, str]:
    """Both ends in short, as under a field, and in full with what sets them, as in a sentence.

    factor : the quantity's house units per unit of the limits.

    >>> from core.setup.setup_limits import Range
    >>> limit_words(Limits(Range(0.0, 12.0, over=True, under=True), high_by="diameter"), "diameter", "metric")
    ('over 0, under 12 mm', 'over 0 and under the diameter (12 mm)')
    >>> limit_words(Limits(Range(0.01, 1000.0)), "diameter", "inch")[0]
    '0.00039371 to 39.37 in'
    """
    q, r = QUANTITIES[quantity], limits.range
    unit = q.unit_in(units)
    gap = "" if unit in ("", "°") else " "
    low, high = (
        plain(_inside(q.shown(end * factor, units), up=end == r.low)).replace("-", MINUS) for end in (r.low, r.high)
    )
    first, last = "over" if r.over else "from", "under" if r.under else "to"
    short = say("limits", f"short_{first}_{last}", low=low, high=f"{high}{gap}{unit}")
    low, high = low if float(r.low) == 0.0 else f"{low}{gap}{unit}", f"{high}{gap}{unit}"
    if not (r.over or r.under) and limits.high_by:
        last = "up_to"
    if limits.low_by:
        low = say("limits", "end_of", what=limits.low_words, end=low)
    if limits.high_by:
        high = say("limits", "end_of", what=limits.high_words, end=high)
    whole = say("limits", f"{first}_{last}", low=low, high=high)
    if r.whole:
        short, whole = (say("limits", "whole_number", limits=each) for each in (short, whole))
    return short, say("limits", "or_else", limits=whole, otherwise=limits.else_words) if limits.else_by else whole
