"""A row of the figures in words: values with their ranges, the difference of the two ways, what it rests on."""

from __future__ import annotations

from ..base.quantities import (
    Units,
    clear_figure,
    ends_in_two_digits,
    in_two_digits,
    is_wide,
    number,
    told_figure,
)
from ..base.words import phrase, say, words
from .figure_row import OTHER_UNITS, FigureRow, Value
from .rounded import EXACT

_ROUNDING = 1e-6
"""Relative difference up to which two figures are one: both are rounded to seven digits."""


def shown(row: FigureRow, value: Value, units: Units, ends: tuple[float, float] | None = None) -> str:
    """A value of the row as text without its unit, with its range where that is wider than a tenth of it."""
    if value is None:
        return "\N{EN DASH}"
    if isinstance(value, bool):
        return say("figures", "yes" if value else "no")
    if isinstance(value, str):
        return words()["way"].get(value) or phrase(value)
    if isinstance(value, tuple):
        return say("value", "between", low=shown(row, value[0], units), high=shown(row, value[1], units))
    if ends is None or not is_wide(value, *ends):
        return _number(row, value, units)
    return _ranged(row, value, ends, units)


def _ranged(row: FigureRow, value: float, ends: tuple[float, float], units: Units) -> str:
    """A figure with its range, as the sentence and the report tell it, without its unit."""
    if row.quantity:
        times = 100.0 if row.unit == "1" else 1.0
        low, high = (times * end for end in ends)
        return told_figure(times * value, low, high, row.quantity, units, unit=False)
    told = in_two_digits(row.shown_value(value, units))
    return say("value", "with_ends", value=told, ends=_between(row, ends, units))


def _between(row: FigureRow, ends: tuple[float, float], units: Units) -> str:
    """The ends of a range in the unit that is shown."""
    low, high = (row.shown_value(end, units) for end in ends)
    return say("value", "between", **ends_in_two_digits(low, high))


def _number(row: FigureRow, value: float, units: Units) -> str:
    if row.quantity:
        figure_text = clear_figure(100.0 * value if row.unit == "1" else value, row.quantity, units)
        return figure_text.removesuffix(row.unit_in(units)).rstrip() if row.unit_in(units) else figure_text
    if row.unit in OTHER_UNITS:
        return number(row.shown_value(value, units), OTHER_UNITS[row.unit][3])
    return str(value) if isinstance(value, int) else clear_figure(value, "number")


def difference(row: FigureRow, units: Units) -> str:
    """Conventional less climb; ``same`` where the two are shown alike: a rounding is no difference."""
    climb, other = row.climb, row.conventional
    if climb is None or other is None:
        return "\N{EN DASH}"
    if not is_different(row, units):
        return say("figures", "same")
    if isinstance(climb, str | bool | tuple) or isinstance(other, str | bool | tuple):
        return say("figures", "differs")
    gap = other - climb
    # A rise carries a sign of its own; of two that are known roughly the difference is so too.
    rough = any(is_wide(v, *ends) for v, ends in ((climb, row.climb_range), (other, row.conventional_range)) if ends)
    size = abs(row.shown_value(gap, units))
    text = in_two_digits(size) if rough else shown(row, abs(gap), units).removeprefix("+")
    signed = ("\N{MINUS SIGN}" if gap < 0.0 else "+") + text
    # A share of a figure means something only where both are sizes.
    if climb <= 0.0 or other <= 0.0 or row.quantity == "angle":
        return signed
    percent = 100.0 * gap / climb
    if not 0.5 <= abs(percent) < 1000.0:
        return signed
    return say("figures", "with_percent", gap=signed, percent=number(percent, 0, signed=True))


def is_different(row: FigureRow, units: Units) -> bool:
    """Whether climb and conventional differ by more than a rounding, as they are shown."""
    climb, other = row.climb, row.conventional
    if climb is None or other is None:
        return climb is not other
    both_numbers = isinstance(climb, float | int) and isinstance(other, float | int)
    if both_numbers and abs(climb - other) <= _ROUNDING * max(abs(climb), abs(other)):  # type: ignore[operator, arg-type]
        return False
    return shown(row, climb, units) != shown(row, other, units)


def cells(row: FigureRow, units: Units) -> tuple[str, ...]:
    """The row as the table shows it: group, label, climb, conventional, difference, unit, key."""
    return (
        row.group,
        row.label,
        shown(row, row.climb, units, row.climb_range),
        shown(row, row.conventional, units, row.conventional_range),
        difference(row, units),
        row.unit_in(units),
        row.key,
    )


def detail(row: FigureRow, units: Units) -> str:
    """What the row rests on, in words: model, source, what it leaves out, and its range, or why it has none."""
    parts = [
        say("figures", name, text=text)
        for name, text in (("model", row.model), ("source", row.source), ("leaves_out", row.leaves_out))
        if text
    ]
    ranges = [(row.climb_range, say("figures", "climb")), (row.conventional_range, say("figures", "conventional"))]
    for ends, word in ranges:
        if ends is not None:
            told = ends_in_two_digits(*(row.shown_value(end, units) for end in ends))
            parts.append(say("figures", "range", which=word, unit=row.unit_in(units), **told))
    if parts and row.is_number and row.climb_range is None and row.conventional_range is None:
        exact = row.key.split(".")[0] in EXACT
        parts.append(say("figures", "range_exact" if exact else "range_not_told"))
    return " ".join(parts) or say("figures", "as_set" if row.key.startswith("setup.") else "no_more")
