"""One row of the figures: its values both ways, their ranges, and the quantity that says decimals and unit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from ..base.quantities import MM_PER_INCH, N_PER_LBF, QUANTITIES, Units

Value = float | int | str | bool | tuple[float, ...] | None

_QUANTITIES: dict[str, str] = {
    **{"mm": "length", "deg": "angle", "N": "force", "N m": "torque", "kW": "power", "K": "temperature_rise"},
    **{"ms": "time", "um": "micro", "mm2": "chip_section", "mm3": "chip_volume", "m/min": "cutting_speed"},
    **{"mm/min": "table_feed", "cm3/min": "removal_rate", "N/mm": "stiffness", "N/mm2": "stress", "1": "share"},
    **{"1/min": "spindle_speed"},
}
"""Quantity, with its decimals and inch unit, by the unit of a key."""

_BY_NAME: tuple[tuple[str, str, str], ...] = (
    ("mm", r"(^|\.)h_.*_mm$|^skin\.h_mm$", "chip_thickness"),
    ("mm", r"feed_.*_mm$", "feed_per_tooth"),
    ("mm", r"^wall\.(width|stickout)_.*_mm$", "length"),
    ("mm", r"^wall\.", "deflection"),
    ("mm", r"diameter_mm$", "diameter"),
    ("mm", r"edge_radius_mm$|tolerance_mm$", "deflection"),
    ("N/mm", r"\.k[tra]e$", "edge_force"),
)
"""Quantity by the unit and the name of a key, where the unit alone does not tell it."""

OTHER_UNITS: dict[str, tuple[str, str, float, int]] = {
    "N/deg": ("N/°", "lbf/°", N_PER_LBF, 1),
    "N/ms": ("N/ms", "lbf/ms", N_PER_LBF, 0),
    "J": ("J", "ft·lbf", N_PER_LBF * 0.3048, 2),
    "um/mm": ("µm/mm", "mil/in", 1.0, 2),
    "C": ("°C", "°C", 1.0, 0),
    "N mm": ("N·mm", "lbf·in", N_PER_LBF * MM_PER_INCH, 1),
}
"""Units of no quantity: sign, inch sign, house units in one of it, decimals."""


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One row: a figure of the climbing and of the conventional cut, in house units.

    The ranges are the ends within which it lies, None where there is none.  ``strip`` is the id of the strip or chart
    of the Arc page that shows it; ``like`` the key of the same figure, where its own name does not tell its quantity.
    """

    group: str
    label: str
    key: str
    climb: Value
    conventional: Value
    unit: str
    model: str = ""
    source: str = ""
    leaves_out: str = ""
    strip: str = ""
    climb_range: tuple[float, float] | None = None
    conventional_range: tuple[float, float] | None = None
    like: str = ""

    @property
    def is_number(self) -> bool:
        """Whether it is a figure, or two that belong together."""
        either = self.conventional if self.climb is None else self.climb
        return isinstance(either, float | int | tuple) and not isinstance(either, bool)

    @property
    def quantity(self) -> str:
        """The quantity that says its decimals and its inch unit; empty where it has none."""
        return _quantity(self.unit, self.like or self.key)

    def unit_in(self, units: Units) -> str:
        """The unit's sign."""
        if self.quantity:
            return QUANTITIES[self.quantity].unit_in(units)
        if self.unit in OTHER_UNITS:
            sign, inch_sign, *_ = OTHER_UNITS[self.unit]
            return inch_sign if units == "inch" else sign
        return self.unit

    def shown_value(self, value: float, units: Units) -> float:
        """A figure in the unit that is shown."""
        if self.quantity:
            return QUANTITIES[self.quantity].shown(100.0 * value if self.unit == "1" else value, units)
        return value / OTHER_UNITS[self.unit][2] if self.unit in OTHER_UNITS and units == "inch" else value


@lru_cache(maxsize=2048)
def _quantity(unit: str, name: str) -> str:
    """The quantity of a figure by its unit and its name, asked for some ten times by each row that is shown."""
    if not unit:
        return ""
    for of_unit, pattern, quantity in _BY_NAME:
        if of_unit == unit and re.search(pattern, name):
            return quantity
    return _QUANTITIES.get(unit, "")
