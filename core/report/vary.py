"""Tables over one or two figures of a setup: many cuts in rows, keys of the report in columns.

What :func:`many_cuts` has comes from arrays, thousands of rows a second; any other key of the report is worked out
row by row, by just those sections of the report that have it.
"""

from __future__ import annotations

import difflib
import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import either_of, refused
from ..base.words import say
from ..force.many_cuts import KEYS, ManyCuts, many_cuts
from ..maths.arrays import Array
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES, check_setup
from .report import KEY_GROUPS, Section, plain
from .rounded import EXACT, EXACT_DIGITS, MODEL_DIGITS, significant
from .schema import flat, report_keys

MOST_ROWS = 1_000_000
"""Rows of the largest table."""

AT_ONCE = 4096
"""Rows that are worked out together."""

VARIED = tuple(key for key in RANGES if not key.startswith("dynamics."))
"""What may be varied."""

_SPAN = "0.5:6:0.5"
"""An example of what may be typed."""


@dataclass(frozen=True, slots=True)
class Varied:
    """One figure that differs from row to row: its key and its values in the document's unit."""

    key: str
    values: tuple[float, ...]


def _whole_key(name: str) -> str:
    """The dotted key that a name, with or without its table, stands for.  Raises ChiparcError."""
    found = [key for key in VARIED if name == key or key.rpartition(".")[2] == name]
    if len(found) == 1:
        return found[0]
    if found:
        several = say("vary_refused", "several", name=name, count=len(found))
        raise ChiparcError("--vary", several, ", ".join(found))
    near = difflib.get_close_matches(name, [*VARIED, *(k.rpartition(".")[2] for k in VARIED)], 3, 0.5)
    raise ChiparcError("--vary", say("vary_refused", "key", name=name), _allowed("key", near))


def _allowed(id: str, near: list[str]) -> str:
    """What is allowed in place of a key, and which of them are near to what was typed."""
    if not near:
        return say("vary_refused", f"{id}_allowed")
    return say("vary_refused", f"{id}_near_allowed", near=either_of(near))


def varied(text: str) -> Varied:
    """The figure and its values in ``radial_engagement_mm=0.5:6:0.5``.  Raises ChiparcError.

    Both ends belong to the span; the table of a key may be left out where one key only has that name.

    >>> varied("radial_engagement_mm=1:2:0.5").values, varied("cutter.teeth=2,4").key
    ((1.0, 1.5, 2.0), 'cutter.teeth')
    """
    name, mark, span = text.partition("=")
    key = _whole_key(name.strip())
    try:
        parts = [float(part) for part in span.split(":" if ":" in span else ",")]
    except ValueError:
        parts = []
    of_span = ":" in span
    if (
        not parts
        or not all(map(math.isfinite, parts))
        or (of_span and (len(parts) != 3 or parts[2] == 0.0 or (parts[1] - parts[0]) / parts[2] < 0.0))
    ):
        found = say("refusal", "found_text", text=span) if mark else say("vary_refused", "no_span")
        raise ChiparcError(f"--vary {key}", found, say("vary_refused", "span_allowed", example=_SPAN))
    if not of_span:
        return Varied(key, tuple(parts))
    low, high, step = parts
    steps = (high - low) / step
    if steps >= MOST_ROWS:
        raise ChiparcError(f"--vary {key}", *refused("vary_refused", "steps", steps=steps, most=MOST_ROWS))
    count = math.floor(steps + 1e-9) + 1
    # Each from its own place: adding steps up would drift.
    return Varied(key, tuple(float(f"{low + i * step:.12g}") for i in range(count)))


def with_figure(setup: Setup, key: str, value: float) -> Setup:
    """The setup with one figure replaced, by its dotted key.  Raises ChiparcError where its table is not given."""
    figure: Any = int(value) if RANGES[key].whole and value == int(value) else value

    def put(part: Any, path: list[str]) -> Any:
        name, rest = path[0], path[1:]
        if part is None or not hasattr(part, name):
            raise ChiparcError(f"--vary {key}", *refused("vary_refused", "not_given"))
        return replace(part, **{name: put(getattr(part, name), rest) if rest else figure})

    changed: Setup = put(setup, key.split("."))
    return changed


_Columns = dict[str, Array]
_Front = Callable[[ManyCuts, _Columns, float], Array]
"""A column (n,) of the cuts, of the figures (n,) by document key, and of sin(kappa_r)."""


def _turn(component: int, part: str) -> _Front:
    return lambda cuts, of, sine: np.asarray(getattr(cuts, part)[:, component])


def _removed(cuts: ManyCuts, of: _Columns, sine: float) -> Array:
    width, depth = of["cut.radial_engagement_mm"], of["cut.axial_engagement_mm"]
    return np.asarray(width * depth * of["cut.feed_per_tooth_mm"])


FRONTS: dict[str, _Front] = {
    "engagement.entry_deg": lambda cuts, of, sine: np.degrees(cuts.entry),
    "engagement.exit_deg": lambda cuts, of, sine: np.degrees(cuts.exit),
    "engagement.arc_deg": lambda cuts, of, sine: np.degrees(cuts.exit - cuts.entry),
    "engagement.arc_length_mm": lambda cuts, of, sine: (cuts.exit - cuts.entry) * of["cutter.diameter_mm"] / 2.0,
    "engagement.teeth_in_cut_mean": lambda cuts, of, sine: cuts.teeth_mean,
    "engagement.contact_time_ms": lambda cuts, of, sine: (
        (cuts.exit - cuts.entry) / (2.0 * np.pi) * 60_000.0 / of["cut.spindle_speed_rpm"]
    ),
    "chip.arc.h_max_mm": lambda cuts, of, sine: cuts.thickest,
    "chip.arc.h_mean_mm": lambda cuts, of, sine: cuts.mean_thickness,
    "chip.trochoid.h_max_mm": lambda cuts, of, sine: cuts.true_thickest,
    "chip.trochoid.h_mean_mm": lambda cuts, of, sine: cuts.true_mean_thickness,
    "chip.thinning": lambda cuts, of, sine: of["cut.feed_per_tooth_mm"] / cuts.thickest,
    "chip.volume_mm3": _removed,
    "rates.volume_per_tooth_mm3": _removed,
    "rates.cutting_speed_m_min": lambda cuts, of, sine: (
        np.pi * of["cutter.diameter_mm"] * of["cut.spindle_speed_rpm"] / 1000.0
    ),
    "rates.table_feed_mm_min": lambda cuts, of, sine: (
        of["cut.feed_per_tooth_mm"] * of["cutter.teeth"] * of["cut.spindle_speed_rpm"]
    ),
    "rates.removal_rate_cm3_min": lambda cuts, of, sine: (
        _removed(cuts, of, sine) * of["cutter.teeth"] * of["cut.spindle_speed_rpm"] / 1000.0
    ),
    "rates.turn_ms": lambda cuts, of, sine: 60_000.0 / of["cut.spindle_speed_rpm"],
    "force.power_kw": lambda cuts, of, sine: cuts.power_kw,
    "force.resultant_max_n": lambda cuts, of, sine: cuts.resultant_max,
    **{
        f"force.{name}.{part}": _turn(i, whole)
        for i, name in enumerate(("fx_n", "fy_n", "fz_n", "torque_nm"))
        for part, whole in (("min", "least"), ("max", "greatest"), ("mean", "mean"))
    },
}
"""Keys of the report that come from arrays."""

USUAL = (
    *("engagement.entry_deg", "engagement.exit_deg", "engagement.teeth_in_cut_mean", "chip.trochoid.h_max_mm"),
    *("chip.arc.h_mean_mm", "chip.thinning", "rates.table_feed_mm_min", "rates.removal_rate_cm3_min"),
    *("force.resultant_max_n", "force.torque_nm.max", "force.power_kw"),
)
"""The columns where none are named."""

_SINGLE = ("number", "integer", "string", "boolean")
_NOT_WORKED_OUT = ("setup", "setup_filled", "format", "version", "file", "title", "error", "tool_life", "crossed")


def columns_named(text: str) -> tuple[str, ...]:
    """The keys of ``key,key``, each once.  Raises ChiparcError for one that is no single figure of the report."""
    known = [
        k.key
        for k in report_keys().values()
        if k.kind in _SINGLE and "[]" not in k.key and k.key.partition(".")[0] not in _NOT_WORKED_OUT
    ]
    names = tuple(dict.fromkeys(name.strip() for name in text.split(",")))
    for name in names:
        if name not in known:
            near = difflib.get_close_matches(name, known, 3, 0.4)
            raise ChiparcError("--columns", say("refusal", "found_text", text=name), _allowed("column", near))
    return names


def _sections(setup: Setup, keys: Sequence[str]) -> list[Section]:
    """The sections of the report that have any of those keys."""
    sections: list[Section] = []
    for section in KEY_GROUPS:
        has = [key for key, _ in flat(section(setup))]
        if any(key == k or key.startswith(f"{k}.") for key in keys for k in has):
            sections.append(section)
    return sections


def _picked(report: dict[str, Any], key: str) -> Any:
    value: Any = report
    for name in key.split("."):
        value = value.get(name) if isinstance(value, dict) else None
    return value


class Table:
    """A table: its heads and its rows, worked out as they are asked for.

    setup : resolved; figures : one or two, the last changing fastest; columns : keys of the report.
    Raises ChiparcError for what cannot be varied in this setup and for too many rows.
    """

    def __init__(self, setup: Setup, figures: Sequence[Varied], columns: Sequence[str] = USUAL) -> None:
        self.setup, self.figures, self.columns = setup, tuple(figures), tuple(columns)
        keys = [each.key for each in figures]
        if len(set(keys)) < len(keys):
            raise ChiparcError("--vary", *refused("vary_refused", "twice", key=keys[0]))
        for each in figures:
            with_figure(setup, each.key, each.values[0])
        self.count = math.prod(len(each.values) for each in figures)
        if self.count > MOST_ROWS:
            raise ChiparcError("--vary", *refused("vary_refused", "rows", count=self.count, most=MOST_ROWS))
        fronts = all(each.key in KEYS for each in figures)
        self._fronts = tuple(c for c in columns if fronts and c in FRONTS)
        self._others = tuple(c for c in columns if c not in self._fronts)
        self._sections = _sections(setup, self._others) if self._others else []
        self.refused = 0

    @property
    def heads(self) -> list[str]:
        """The names of the columns: the keys, whose ends are their units, and what is refused."""
        return [*(each.key for each in self.figures), *self.columns, "refused"]

    def rows(self) -> Iterator[list[Any]]:
        """Each row: the figures, the columns (None where not defined), why it is refused or an empty text."""
        every = itertools.product(*(each.values for each in self.figures))
        while block := list(itertools.islice(every, AT_ONCE)):
            yield from self._block(block)

    def _block(self, block: list[tuple[float, ...]]) -> list[list[Any]]:
        setups, problems = [], []
        for values in block:
            setup = self.setup
            for each, value in zip(self.figures, values, strict=True):
                setup = with_figure(setup, each.key, value)
            try:
                check_setup(setup)
            except ChiparcError as error:
                problems.append(str(error))
            else:
                problems.append("")
            setups.append(setup)
        legal = [i for i, problem in enumerate(problems) if not problem]
        self.refused += len(block) - len(legal)
        cells: dict[str, list[Any]] = {key: [None] * len(block) for key in self.columns}
        if legal and self._fronts:
            self._fill_from_arrays(cells, np.array(block)[legal], legal)
        for i in legal if self._others else ():
            for section in self._sections:
                found = section(setups[i])
                for key in self._others:
                    value = _picked(found, key)
                    cells[key][i] = _cell(key, value) if value is not None else cells[key][i]
        whole = [RANGES[each.key].whole for each in self.figures]
        return [
            [
                *(int(v) if is_whole and v == int(v) else v for v, is_whole in zip(values, whole, strict=True)),
                *(cells[key][i] for key in self.columns),
                problems[i],
            ]
            for i, values in enumerate(block)
        ]

    def _fill_from_arrays(self, cells: dict[str, list[Any]], values: Array, legal: list[int]) -> None:
        given = {each.key: values[:, k] for k, each in enumerate(self.figures)}
        cuts = many_cuts(self.setup, given)
        n = len(legal)
        of = {key: np.broadcast_to(np.asarray(given.get(key, self.setup.value(key)), float), n) for key in KEYS}
        sine = math.sin(math.radians(self.setup.cutter.cutting_edge_angle_deg))
        for key in self._fronts:
            column, digits, into = np.broadcast_to(FRONTS[key](cuts, of, sine), n), _digits(key), cells[key]
            for i, value in zip(legal, column.tolist(), strict=True):
                into[i] = significant(value, digits) if math.isfinite(value) else None


def _digits(key: str) -> int:
    return EXACT_DIGITS if key.partition(".")[0] in EXACT else MODEL_DIGITS


def _cell(key: str, value: Any) -> Any:
    value = plain(value)
    return significant(value, _digits(key)) if isinstance(value, float) else value
