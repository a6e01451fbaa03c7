"""One setup beside another: every figure of both reports with their difference, ``against``."""

from __future__ import annotations

import math
from typing import Any

from ..base.quantities import QUANTITIES, Units, clear_figure, number
from ..base.words import say
from .text_layout import Report, Row

SAME = 1e-9
"""Relative difference that is rounding."""

_QUANTITIES = {
    "_n_ms": "force",
    "_n_deg": "force",
    "_m_min": "cutting_speed",
    "_mm_min": "table_feed",
    "_cm3_min": "removal_rate",
    "_per_tooth_mm3": "chip_volume",
    "_mm2": "chip_section",
    "_um": "micro",
    "h_mm": "chip_thickness",
    "_mm": "deflection",
    "_deg": "angle",
    "_kw": "power",
    "_nm": "torque",
    "_n": "force",
    "_ms": "time",
    "_k": "temperature_rise",
}
"""Quantity of a key of the report by how it ends; the first that fits."""

_APART = ("format", "version", "doubts", "tool_life", "which_way", "against")
"""Groups of the report that hold no figures of the cut, or words only."""

_SPREADS = ("range", "coefficients")
"""Objects inside a group that tell how sure its figures are, or what went in: not what came out."""


def _figures(part: Any, path: tuple[str, ...] = ()) -> dict[str, float]:
    """Every number of a report by its dotted name; lists, words and truth values are left out."""
    if isinstance(part, dict):
        inner: dict[str, float] = {}
        for key, value in part.items():
            if (not path and key in _APART) or key in _SPREADS:
                continue
            inner |= _figures(value, (*path, key))
        return inner
    if isinstance(part, bool) or not isinstance(part, int | float):
        return {}
    return {".".join(path): float(part)}


def compared(own: Report, other: Report) -> dict[str, Any]:
    """``against``: the other's ``title`` and ``figures``, by dotted name ``this``, ``other`` and ``difference``.

    A figure that only one of the two has is null in the other, and so is the difference.  Ratios of tool life are
    not among them: see ``tool_life``.
    """
    mine, theirs = _figures(own), _figures(other)
    figures = {}
    for key in dict.fromkeys([*mine, *theirs]):
        a, b = mine.get(key), theirs.get(key)
        figures[key] = {"this": a, "other": b, "difference": None if a is None or b is None else a - b}
    return {"title": other["title"], "figures": figures}


def _quantity(key: str) -> str:
    last = key.rpartition(".")[2]
    whole = next((q for end, q in _QUANTITIES.items() if f"_{last}".endswith(end)), "")
    if whole:
        return whole
    # Least, greatest and mean of a figure: the object tells the unit.
    parent = key.rpartition(".")[0]
    return _quantity(parent) if parent else "number"


def comparison_rows(against: dict[str, Any], units: Units) -> list[Row]:
    """Each figure that differs, of this setup and of the other, and this less the other."""
    rows: list[Row] = [("", "".join(f"{say('value', name):<16}" for name in ("this", "other", "difference")))]
    for key, pair in against["figures"].items():
        this, other, difference = pair["this"], pair["other"], pair["difference"]
        if this == other or (this is not None and other is not None and math.isclose(this, other, rel_tol=SAME)):
            continue
        quantity = _quantity(key)
        texts = [clear_figure(value, quantity, units) for value in (this, other)]
        change = clear_figure(difference, quantity, units)
        if difference is not None and difference > 0.0 and not QUANTITIES[quantity].rise:
            change = "+" + change
        rows.append((key, "".join(f"{text:<16}" for text in (*texts, change)).rstrip()))
    if len(rows) == 1:
        return [("", say("report", "against_equal"))]
    return [*rows, ("", say("report", "against_rest", count=number(len(rows) - 1, 0)))]
