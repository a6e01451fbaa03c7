"""A figure of a cut as a lesson names it: ``chip.arc.h_max_mm``, ``heat.peak_rise_k@climb``, ``…@before``.

A lesson holds no figures of its own: its words, claims and answers name keys of the report, and what they say is
worked out here, from the section of the report that has the key.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..base.errors import ChiparcError
from ..base.quantities import QUANTITIES, Units, number
from ..base.refused import refused
from ..base.words import say
from ..documents.materials import Catalogue, resolved
from ..report.advice_keys import which_way_keys
from ..report.effect_keys import entry_exit_keys, feed_marks_keys, rubbing_keys, skin_keys, table_pull_keys
from ..report.figure_ranges import range_of
from ..report.figure_row import FigureRow, Value
from ..report.figure_words import shown
from ..report.figures import plain_leaves
from ..report.force_keys import force_keys, wall_keys
from ..report.force_origin import force_origin_keys
from ..report.heat_keys import heat_keys
from ..report.machine_keys import machine_keys, wall_depth_keys, wall_range_keys
from ..report.report import chip_keys, engagement_keys, plain, rates_keys
from ..report.schema import report_keys
from ..report.stability_keys import stability_keys
from ..setup.setup import Setup

Section = Callable[[Setup], dict[str, Any]]

SECTIONS: dict[str, tuple[Section, ...]] = {
    "engagement": (engagement_keys,),
    "chip": (chip_keys,),
    "rates": (rates_keys,),
    "rubbing": (rubbing_keys,),
    "skin": (skin_keys,),
    "entry": (entry_exit_keys,),
    "exit": (entry_exit_keys,),
    "force": (force_keys, force_origin_keys),
    "wall": (
        wall_keys,
        wall_depth_keys,
        feed_marks_keys,
        wall_range_keys,
    ),
    "feed": (table_pull_keys,),
    "heat": (heat_keys,),
    "machine": (machine_keys,),
    "stability": (stability_keys,),
    "which_way": (which_way_keys,),
}
"""The sections of the report that have a group: a lesson asks for a few keys of many cuts, never a whole report."""

_SIDES = ("climb", "conventional", "before")
_NAME = re.compile(r"([a-z_][a-z0-9_.]*)(?:@([a-z]+))?")

EXAMPLE, EXAMPLE_CLAIM = "chip.arc.h_max_mm", "chip.arc.h_exit_mm < 0.001"
"""What refusals show of figures and claims."""


@dataclass(frozen=True, slots=True)
class NamedFigure:
    """A key of the report and of which cut: the scene's own (``""``), that cut facing another way, the cut before."""

    key: str
    side: str = ""

    def of(self, setup: Setup, before: Setup | None) -> Setup:
        """The cut that it is of.  Raises ChiparcError where there is no cut before."""
        if self.side == "before":
            if before is None:
                raise ChiparcError(self.key, *refused("lesson_figure_refused", "no_before"))
            return before
        if self.side and setup.cut.direction == "straddling":
            raise ChiparcError(self.key, *refused("lesson_figure_refused", "straddling", side=self.side))
        return setup.facing(self.side) if self.side else setup  # type: ignore[arg-type]


def _not_read(where: str, text: str, allowed: str) -> ChiparcError:
    return ChiparcError(where, say("refusal", "found_text", text=text), allowed)


def named_figure(text: str) -> NamedFigure:
    """The figure that a name stands for.  Raises ChiparcError for what the report does not have."""
    match = _NAME.fullmatch(text.strip())
    if match is None or (match[2] and match[2] not in _SIDES):
        raise _not_read("figure", text, say("lesson_figure_refused", "figure_allowed", example=EXAMPLE))
    key = match[1]
    told = report_keys().get(key)
    group = key.partition(".")[0]
    if told is None or (group not in SECTIONS and group != "setup"):
        allowed = say("lesson_figure_refused", "figure_allowed", example=EXAMPLE)
        raise ChiparcError("figure", say("lesson_figure_refused", "unknown", key=key), allowed)
    return NamedFigure(key, match[2] or "")


@lru_cache(maxsize=64)
def _resolved(setup: Setup, known: Catalogue | None) -> Setup:
    return resolved(setup, known)


@lru_cache(maxsize=256)
def _group(setup: Setup, group: str, known: Catalogue | None) -> dict[str, Value]:
    """Every leaf of one group of a setup's report."""
    whole = _resolved(setup, known)
    found: dict[str, Value] = {}
    for section in SECTIONS[group]:
        found |= dict(plain_leaves(plain(section(whole))))
    return found


def value_of(setup: Setup, key: str, known: Catalogue | None = None) -> Value:
    """The value of one key of the report; None where it is not defined."""
    group = key.partition(".")[0]
    if group == "setup":
        value: Value = _resolved(setup, known).value(key.partition(".")[2])
        return value
    return _group(setup, group, known).get(key)


def no_figure(key: str) -> ChiparcError:
    """The refusal of a key that has no figure in a cut."""
    return ChiparcError(key, *refused("lesson_figure_refused", "no_figure"))


def number_of(setup: Setup, key: str, known: Catalogue | None = None) -> float:
    """The figure of one key.  Raises ChiparcError where it is no number in this cut."""
    value = value_of(setup, key, known)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise no_figure(key)
    return float(value)


def row_of(key: str) -> FigureRow:
    """The key as a row of the figures: it knows quantity, unit and decimals."""
    return FigureRow("", "", key, None, None, report_keys()[key].unit)


def _ends(setup: Setup, key: str, known: Catalogue | None) -> tuple[float, float] | None:
    """The ends within which a figure lies, where the report or its model tells them."""
    group = key.partition(".")[0]
    if group == "setup":
        return None
    found = _group(setup, group, known)
    if key == "feed.pull_margin_n":
        found = found | _group(setup, "force", known)
    return range_of(key, found)


def told(setup: Setup, key: str, units: Units, known: Catalogue | None = None) -> str:
    """The figure as a person reads it, with its unit, and with its range where that is wider than a tenth of it."""
    value, row = value_of(setup, key, known), row_of(key)
    ends = _ends(setup, key, known)
    text, unit = shown(row, value, units, ends), row.unit_in(units) if row.unit else ""
    if value is None or not unit or isinstance(value, str | bool):
        return text
    return f"{text}{unit}" if unit == "°" else f"{text} {unit}"


def told_value(value: float, key: str, units: Units) -> str:
    """Any value in the unit of a key, such as what a learner has guessed."""
    row = row_of(key)
    text, unit = shown(row, value, units), row.unit_in(units) if row.unit else ""
    return text + ("" if not unit else unit if unit == "°" else f" {unit}")


FIELD = re.compile(r"\{([^{}]*)\}")
"""A figure in words."""


def fields_of(text: str) -> tuple[str, ...]:
    """What stands in braces in words."""
    return tuple(FIELD.findall(text))


def field_text(name: str, setup: Setup, before: Setup | None, units: Units, known: Catalogue | None = None) -> str:
    """One field of words: ``key``, ``key@side``, or ``a / b`` as how many times.  Raises ChiparcError."""
    above, over, below = name.partition(" / ")
    first = named_figure(above)
    if not over:
        cut = first.of(setup, before)
        if value_of(cut, first.key, known) is None:
            raise no_figure(first.key)
        return told(cut, first.key, units, known)
    second = named_figure(below)
    top = number_of(first.of(setup, before), first.key, known)
    bottom = number_of(second.of(setup, before), second.key, known)
    if bottom == 0.0:
        raise ChiparcError(second.key, *refused("lesson_figure_refused", "over_0"))
    ratio = abs(top / bottom)
    places = max(1 - math.floor(math.log10(ratio)), 0) if 0.0 < ratio < 100.0 else 0
    return number(ratio, places)


def filled(text: str, setup: Setup, before: Setup | None, units: Units, known: Catalogue | None = None) -> str:
    """Words with their figures, in the units that are shown.  Raises ChiparcError for a field that has none."""
    return FIELD.sub(lambda match: field_text(match[1], setup, before, units, known), text)


_CLAIM = re.compile(r"\s*(.+?)\s*(<|>|=)\s*(.+?)\s*")
_TERM = re.compile(r"(?:([0-9.]+)\s*\*\s*)?(.+)")
SAME = 0.01
"""Share within which a claim takes two figures as equal."""


def _side(text: str, setup: Setup, before: Setup | None, known: Catalogue | None) -> Value:
    try:
        return float(text)
    except ValueError:
        pass
    if text.startswith("'") and text.endswith("'"):
        return text[1:-1]
    if text in ("true", "false"):
        return text == "true"
    match = _TERM.fullmatch(text)
    assert match is not None, "any text is a term"
    named = named_figure(match[2])
    cut = named.of(setup, before)
    if match[1]:
        return float(match[1]) * number_of(cut, named.key, known)
    return value_of(cut, named.key, known)


def claim_holds(claim: str, setup: Setup, before: Setup | None, known: Catalogue | None = None) -> bool:
    """Whether a claim such as ``heat.peak_rise_k@climb < heat.peak_rise_k@conventional`` is true of the cut.

    Figures are in the unit of their keys; words stand in single quotes.  Raises ChiparcError for what is no claim.
    """
    match = _CLAIM.fullmatch(claim)
    if match is None:
        raise _not_read("holds", claim, say("lesson_figure_refused", "claim_allowed", example=EXAMPLE_CLAIM))
    left, right = (_side(match[i], setup, before, known) for i in (1, 3))
    if isinstance(left, str | bool) or isinstance(right, str | bool):
        if match[2] != "=":
            raise _not_read("holds", claim, say("lesson_figure_refused", "words_allowed"))
        return left == right
    if not isinstance(left, int | float) or not isinstance(right, int | float):
        found = say("lesson_figure_refused", "undefined", claim=claim)
        raise ChiparcError("holds", found, say("lesson_figure_refused", "claim_allowed", example=EXAMPLE_CLAIM))
    if match[2] == "=":
        return math.isclose(left, right, rel_tol=SAME, abs_tol=1e-9)
    return left < right if match[2] == "<" else left > right


def quantity_of(key: str) -> str:
    """The quantity whose unit a person types for that key."""
    quantity = row_of(key).quantity
    return quantity if quantity in QUANTITIES else "number"
