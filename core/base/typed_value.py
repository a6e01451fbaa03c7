"""What a person types into a field: a number, perhaps with a unit or as a share, to the house unit."""

from __future__ import annotations

from .errors import ChiparcError
from .quantities import MM_PER_INCH, QUANTITIES, Units
from .typed_number import NotOneNumber, leading_number
from .words import say

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
    "\N{DOUBLE PRIME}": MM_PER_INCH,
    "\N{RIGHT DOUBLE QUOTATION MARK}": MM_PER_INCH,
    "''": MM_PER_INCH,
    "thou": MM_PER_INCH / 1000.0,
    "mil": MM_PER_INCH / 1000.0,
    "µin": MM_PER_INCH / 1e6,
}

INDICATOR = ("tir", "fim", "indicator", "2e")
"""What is written behind a runout that an indicator showed: twice the axis offset ``e``."""


def typed_value(text: str, quantity: str, units: Units, *, whole: float | None = None) -> float:
    """The house value of what was typed; a bare number is in the shown units.

    whole : what 100 % is, in house units, where a share may be typed.  A runout may be typed as the indicator's
    reading: ``20 TIR``.  Raises ChiparcError in words.

    >>> typed_value('1/4"', "diameter", "metric"), typed_value("30%", "radial_width", "inch", whole=12.0)
    (6.35, 3.6)
    >>> typed_value("20 TIR", "runout", "metric"), typed_value("10,000", "spindle_speed", "metric")
    (10.0, 10000.0)
    """
    q = QUANTITIES[quantity]
    unit = q.unit_in(units)
    named = say("typed", "inches") if unit == "in" else unit
    allowed = say("typed", "number_in", unit=named) if unit else say("typed", "number")
    if whole is not None:
        allowed = say("typed", "or_share", plain=allowed)
    if quantity == "runout":
        allowed = say("typed", "runout", plain=allowed)
    try:
        # Of what is shown without decimals nobody types thousandths.
        number, rest = leading_number(text, counted=q.decimals == 0)
    except NotOneNumber as error:
        found = say("refusal", "found_text", text=text) if text.strip() else say("refusal", "nothing")
        raise ChiparcError(q.word, found, str(error) or allowed) from None
    name = rest.lower().replace(" ", "")
    if quantity == "runout":
        reading = next((word for word in INDICATOR if name.endswith(word)), "")
        if reading:
            number /= 2.0
        elif rest.lower().split()[-1:] == ["e"]:
            reading = "e"
        name = name.removesuffix(reading)
    if not name:
        return q.house(number, units)
    if name == "%" and whole is not None:
        return number / 100.0 * whole
    for system in ("metric", "inch"):
        own = q.unit_in(system)
        if name in (own.lower(), (q.inch_unit if system == "inch" else q.unit).lower()):
            return q.house(number, system)
    base = q.unit.split("/")[0]
    length = _LENGTHS.get(name.split("/")[0])
    if length is not None and base in _LENGTHS and name.count("/") <= q.unit.count("/"):
        return number * length / _LENGTHS[base]
    if name in ("deg", "degree", "degrees", "grad") and unit == "°" and name != "grad":
        return number
    if name in ("rpm", "1/min", "u/min", "min-1") and quantity == "spindle_speed":
        return number
    raise ChiparcError(q.word, say("typed", "found_unit", unit=rest), allowed)
