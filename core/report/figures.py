"""Every figure of a setup as rows for a reader: climb and conventional side by side, and where each is from.

Made from the report and its schema: a key that the report gains is a row here without a line of code.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..advice.offsets import beside_in_pair
from ..base.quantities import Units, short_figure
from ..base.words import say, words
from ..documents.materials import Catalogue
from ..setup.setup import Setup
from .figure_ranges import range_of
from .figure_row import FigureRow
from .json_report import json_report
from .schema import ReportKey, report_keys

_NOT_SHOWN = (
    *("format", "version", "file", "title", "sentence", "setup_filled", "advice", "tool_life"),
    *("assumptions", "crossed", "cautions", "doubts", "against"),
)
"""Groups that are no figures; the reasons of the advice have rows of their own."""


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
