"""What a person types into a field: a number, perhaps with a unit or as a share, to the house unit."""

from __future__ import annotations

import re

from .errors import ChiparcError
from .quantities import MM_PER_INCH, QUANTITIES, Units

_TYPED = re.compile(r"([+\-\N{MINUS SIGN}]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)(.*)", re.DOTALL)

# Lengths in mm by the unit's name; the plain name of a derived quantity (mm/tooth) is found by its first part.
_LENGTHS = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "µm": 0.001,
    "μm": 0.001,
    "um": 0.001,
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    '"': MM_PER_INCH,
    "thou": MM_PER_INCH / 1000.0,
    "mil": MM_PER_INCH / 1000.0,
    "µin": MM_PER_INCH / 1e6,
}


def typed_value(text: str, quantity: str, units: Units, *, whole: float | None = None) -> float:
    """The house value of what was typed; a bare number is in the shown units.

    whole : what 100 % is, in house units, where a share may be typed.  Raises ChiparcError in words.

    >>> typed_value("0.25 in", "diameter", "metric"), typed_value("30%", "radial_width", "inch", whole=12.0)
    (6.35, 3.6)
    """
    q = QUANTITIES[quantity]
    unit = q.unit_in(units)
    named = "inches" if unit == "in" else unit
    allowed = f"a number{f' in {named}' if unit else ''}" + (", or a share in %" if whole is not None else "")
    match = _TYPED.match(text.strip())
    if match is None:
        raise ChiparcError(q.word, f'found "{text}"' if text.strip() else "found nothing", allowed)
    number = float(match[1].replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    name = match[2].lower().replace(" ", "")
    if not name:
        return q.house(number, units)
    if name == "%" and whole is not None:
        return number / 100.0 * whole
    for system in ("metric", "inch"):
        own = q.unit_in(system)
        if name == own.lower():
            return q.house(number, system)
    base = q.unit.split("/")[0]
    length = _LENGTHS.get(name.split("/")[0])
    if length is not None and base in _LENGTHS and name.count("/") <= q.unit.count("/"):
        return number * length / _LENGTHS[base]
    if name in ("deg", "degree", "degrees", "grad") and unit == "°" and name != "grad":
        return number
    if name in ("rpm", "1/min", "u/min", "min-1") and quantity == "spindle_speed":
        return number
    raise ChiparcError(q.word, f'found the unit "{match[2].strip()}"', allowed)
