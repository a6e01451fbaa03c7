"""Figures of the JSON rounded to what they mean: digits that the model has, no 1e-18 where 0 is meant, no -0.0."""

from __future__ import annotations

import math
from typing import Any

EXACT = ("engagement", "chip", "rates", "skin", "entry")
"""Groups of plain geometry."""

EXACT_DIGITS, MODEL_DIGITS = 9, 7
"""Significant digits of geometry, and of what rests on coefficients.

Common practice, no source: far more than any figure is known to, so that rounding moves no comparison to 1e-5.
"""

NOTHING = 1e-10
"""Share of the greatest figure of the same unit beside it under which a figure is rounding error and therefore 0."""

LEAST = 1e-15
"""Any figure under it is 0, whatever stands beside it."""

GIVEN = ("setup", "setup_filled", "version", "error")
"""What was read and not worked out: never rounded."""


def significant(value: float, digits: int) -> float:
    """A figure with that many significant digits; never -0.0.

    >>> significant(109.47122063449069, 9), significant(-0.0, 7)
    (109.471221, 0.0)
    """
    return float(f"{value:.{digits - 1}e}") + 0.0 if value else 0.0


def unit_end(name: str) -> str:
    """The end of a key's name that tells its unit.

    >>> unit_end("h_exit_mm"), unit_end("min")
    ('mm', 'min')
    """
    return name.rpartition("_")[2]


def _scales(values: dict[str, Any]) -> dict[str, float]:
    """The greatest figure (size) of each unit in one object; keys without a unit share that of their object."""
    greatest: dict[str, float] = {}
    bare = all("_" not in name for name in values)
    for name, value in values.items():
        if isinstance(value, float):
            unit = "" if bare else unit_end(name)
            greatest[unit] = max(greatest.get(unit, 0.0), abs(value))
    return {name: greatest.get("" if bare else unit_end(name), 0.0) for name in values}


def _rounded(value: Any, digits: int, scale: float = 0.0) -> Any:
    if isinstance(value, dict):
        scales = _scales(value)
        return {name: _rounded(inner, digits, scales[name]) for name, inner in value.items()}
    if isinstance(value, list):
        sizes = [abs(v) for v in value if isinstance(v, float)]
        return [_rounded(inner, digits, max(sizes, default=0.0)) for inner in value]
    if isinstance(value, float):
        if not math.isfinite(value):
            return None
        return 0.0 if abs(value) < max(NOTHING * scale, LEAST) else significant(value, digits)
    return value


def rounded(report: dict[str, Any]) -> dict[str, Any]:
    """The report with every figure that was worked out rounded; what was read stays as it is."""
    return {
        name: value if name in GIVEN else _rounded(value, EXACT_DIGITS if name in EXACT else MODEL_DIGITS)
        for name, value in report.items()
    }
