"""Every figure of a setup as rows for a reader: climb and conventional side by side, and where each is from.

Made from the report and its schema: a key that the report gains is a row here without a line of code.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..advice.offsets import beside_in_pair
from ..base.quantities import (
    MM_PER_INCH,
    N_PER_LBF,
    QUANTITIES,
    Units,
    clear_figure,
    ends_in_two_digits,
    in_two_digits,
    is_wide,
    number,
    short_figure,
    told_figure,
)
from ..base.words import phrase, say, words
from ..documents.materials import Catalogue
from ..setup.setup import Setup
from .figure_ranges import range_of
from .json_report import json_report
from .rounded import EXACT
from .schema import ReportKey, report_keys

Value = float | int | str | bool | tuple[float, ...] | None

_ROUNDING = 1e-6
"""Relative difference up to which two figures are one: both are rounded to seven digits."""

_NOT_SHOWN = (
    *("format", "version", "file", "title", "sentence", "setup_filled", "advice", "tool_life"),
    *("assumptions", "crossed", "cautions", "doubts", "against"),
)
"""Groups that are no figures; the reasons of the advice have rows of their own."""

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

_OTHER_UNITS: dict[str, tuple[str, str, float, int]] = {
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
        if self.unit in _OTHER_UNITS:
            sign, inch_sign, *_ = _OTHER_UNITS[self.unit]
            return inch_sign if units == "inch" else sign
        return self.unit

    def shown_value(self, value: float, units: Units) -> float:
        """A figure in the unit that is shown."""
        if self.quantity:
            return QUANTITIES[self.quantity].shown(100.0 * value if self.unit == "1" else value, units)
        return value / _OTHER_UNITS[self.unit][2] if self.unit in _OTHER_UNITS and units == "inch" else value


@lru_cache(maxsize=2048)
def _quantity(unit: str, name: str) -> str:
    """The quantity of a figure by its unit and its name, asked for some ten times by each row that is shown."""
    if not unit:
        return ""
    for of_unit, pattern, quantity in _BY_NAME:
        if of_unit == unit and re.search(pattern, name):
            return quantity
    return _QUANTITIES.get(unit, "")


def offset_titles(setup: Setup, other: Setup, units: Units) -> tuple[str, str]:
    """What two straddling cuts of a pair are called: by their offsets, the mirror image so."""
    names = "offset", "mirrored" if other == setup.opposite else "offset"
    cuts = setup.cut, other.cut
    told = [short_figure(cut.centre_offset_mm, "offset", units, signed=True) for cut in cuts]
    return say("figures", names[0], offset=told[0]), say("figures", names[1], offset=told[1])


@dataclass(frozen=True, slots=True)
class Figures:
    """The rows of a setup, and what its two columns of figures are called in words."""

    setup: Setup
    rows: tuple[FigureRow, ...]

    @property
    def straddling(self) -> bool:
        """Whether the two are one cut and its mirror image, not climb and conventional."""
        return self.setup.cut.direction == "straddling"

    def heads(self, units: Units) -> tuple[str, ...]:
        """The heads of the table's columns."""
        names = [say("figures", name) for name in ("group", "label")]
        if self.straddling:
            both = list(offset_titles(self.setup, beside_in_pair(self.setup), units))
        else:
            both = [say("figures", "climb"), say("figures", "conventional")]
        return (*names, *both, *(say("figures", name) for name in ("difference", "unit", "key")))


def plain_leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Every leaf by its key, with the place in a list of objects: ``chip.teeth[1].radius_mm``."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from plain_leaves(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for i, inner in enumerate(value):
            yield from plain_leaves(inner, f"{key}[{i}]")
    elif isinstance(value, list):
        yield key, tuple(value) if value and all(isinstance(v, float | int) for v in value) else None
    else:
        yield key, value


def _group(key: str) -> str:
    parts = re.sub(r"\[\d+\]", "", key).split(".")
    groups = words()["figures_group"]
    model = next((part for part in parts if part in ("arc", "trochoid")), "")
    return groups.get(f"{parts[0]}_{model}") or groups.get(parts[0], parts[0])


def _label(key: str, told: ReportKey) -> str:
    """The meaning, with the number of a tooth or a mode where there are several."""
    place = re.search(r"\[(\d+)\]", key)
    # What null means is for scripts: a reader sees a dash, or no row.
    meaning = told.meaning[:1].upper() + told.meaning[1:].partition("; null")[0]
    return say("figures", "one_of", label=meaning, number=place[1]) if place else meaning


@lru_cache(maxsize=8)
def figures(setup: Setup, known: Catalogue | None = None) -> Figures:
    """Every figure of a resolved setup and of the one beside it in a pair: its opposite, or the cut elsewhere."""
    own, other = (json_report(each, "", (), None, known) for each in (setup, beside_in_pair(setup)))
    conventional_first = setup.cut.direction == "conventional"
    climb, conventional = (other, own) if conventional_first else (own, other)
    climb_leaves, conventional_leaves = dict(plain_leaves(climb)), dict(plain_leaves(conventional))
    rows = []
    for key in dict.fromkeys((*climb_leaves, *conventional_leaves)):
        described = report_keys().get(re.sub(r"\[\d+\]", "[]", key))
        if (
            described is None
            or re.split(r"[.\[]", key)[0] in _NOT_SHOWN
            or key.startswith(("force.range.", "wall.range."))
        ):
            continue
        both = climb_leaves.get(key), conventional_leaves.get(key)
        if both == (None, None):
            continue
        rows.append(
            FigureRow(
                _group(key),
                _label(key, described),
                key,
                *both,
                described.unit,
                described.model,
                described.source,
                described.leaves_out,
                described.strip,
                range_of(key, climb_leaves),
                range_of(key, conventional_leaves),
            )
        )
    # What was set stands last: whoever opens the table looks for what follows from it.
    given = [row for row in rows if row.key.startswith("setup.")]
    follows = [row for row in rows if not row.key.startswith("setup.")]
    return Figures(setup, (*follows, *_reason_rows(own["advice"]), *given))


def _reason_rows(advice: list[dict[str, Any]]) -> Iterator[FigureRow]:
    """A row for each reason for a direction."""
    for reason in advice:
        if reason["climb"] is None and reason["conventional"] is None:
            continue
        # Of a figure over a turn the reason has the greatest size.
        keys = report_keys()
        about = keys.get(f"{reason['quantity']}.max") or keys.get(reason["quantity"])
        limits = words().get("reason_limits", {}).get(reason["id"], "")
        yield FigureRow(
            _group("advice"),
            words()["reason"].get(reason["id"], reason["id"]),
            f"advice.{reason['id']}",
            reason["climb"],
            reason["conventional"],
            reason["unit"],
            about.model if about else "",
            reason["source"],
            limits.removeprefix(say("report", "left_out")).rstrip("."),
            about.strip if about else "",
            _pair(reason["climb_range"]),
            _pair(reason["conventional_range"]),
            like=reason["quantity"],
        )


def _pair(ends: list[float] | None) -> tuple[float, float] | None:
    return None if ends is None else (ends[0], ends[1])


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
    if row.unit in _OTHER_UNITS:
        return number(row.shown_value(value, units), _OTHER_UNITS[row.unit][3])
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


CSV_HEADS = (
    *("group", "figure", "key", "climb", "conventional", "difference", "unit", "climb_low", "climb_high"),
    *("conventional_low", "conventional_high", "model", "source", "leaves_out"),
)
"""Heads of the CSV; for a straddling cut ``climb`` is the cut and ``conventional`` its mirror image."""


def figures_csv(rows: Iterable[FigureRow], units: Units) -> str:
    """Rows as CSV, figures plain and in the units that are shown, so that a spreadsheet can go on with them."""

    def cell(row: FigureRow, value: Value) -> Any:
        if isinstance(value, tuple):
            low, high = (f"{row.shown_value(v, units):.7g}" for v in value)
            return say("value", "between", low=low, high=high)
        if isinstance(value, bool):
            return "true" if value else "false"
        return f"{row.shown_value(value, units):.7g}" if isinstance(value, float) else value

    def gap(row: FigureRow) -> Any:
        a, b = row.climb, row.conventional
        figures_both = isinstance(a, float | int) and isinstance(b, float | int) and not isinstance(a, bool)
        if not figures_both or isinstance(b, bool):
            return None
        return cell(row, float(b - a)) if is_different(row, units) else "0"  # type: ignore[operator]

    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(CSV_HEADS)
    for row in rows:
        ends = [
            None if pair is None else pair[i] for pair in (row.climb_range, row.conventional_range) for i in (0, 1)
        ]
        out.writerow(
            [
                *(row.group, row.label, row.key, cell(row, row.climb), cell(row, row.conventional), gap(row)),
                *(row.unit_in(units), *(cell(row, end) for end in ends), row.model, row.source, row.leaves_out),
            ]
        )
    return text.getvalue()
