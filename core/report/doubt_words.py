"""Doubtful figures in words and in the report: ``doubts``, a list."""

from __future__ import annotations

from typing import Any

from ..base.language import in_language
from ..base.quantities import Units, clear_figure
from ..base.words import say
from ..setup.doubts import Doubt, doubts
from ..setup.setup import Setup

_QUANTITY = {"blunt": ("edge_radius", 1000.0), "soft": ("stress", 1.0), "wide": ("feed_per_tooth", 1.0)}
"""Quantity in which each doubt is stated, and how many of its house units are one unit of the document."""


def doubt_words(doubt: Doubt, units: Units = "metric", *, short: bool = False) -> str:
    """What is doubtful about a figure, as a sentence; ``short``: in the few words that a control has room for."""
    quantity, factor = _QUANTITY[doubt.id]
    fields = {
        "value": clear_figure(doubt.value * factor, quantity, units),
        "usual": clear_figure(doubt.usual * factor, quantity, units),
        "as_gpa": in_language(f"{1000.0 * doubt.value:,.0f}"),
    }
    return say("doubt", f"{doubt.id}_short" if short else doubt.id, **fields)


def doubt_keys(setup: Setup) -> dict[str, Any]:
    """``doubts``: for each doubtful figure ``key``, ``value`` in the document's unit and ``text``; mostly empty."""
    return {
        "doubts": [{"key": doubt.key, "value": doubt.value, "text": doubt_words(doubt)} for doubt in doubts(setup)]
    }
