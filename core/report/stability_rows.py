"""Chatter as rows: from which depth the cut chatters, both ways."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, number, told_figure
from ..base.words import say
from ..chatter.usual_draws import DRAWS
from ..setup.setup import Setup
from .text_layout import Report, Row


def _limit_words(stability: Report, units: Units) -> str:
    """A limit of depth with its range, or that there is none."""
    limit, span = stability["axial_limit_mm"], stability.get("range_mm")
    if limit is None:
        return say("stability", "none_up_to" if stability.get("stable") else "unknown")
    if not span:
        return clear_figure(limit, "depth", units)
    low, high = span
    if high is None:
        low = clear_figure(low, "depth", units) if low is not None else say("stability", "none_up_to")
        return say("stability", "open_range", limit=clear_figure(limit, "depth", units), low=low)
    return told_figure(limit, low, high, "depth", units)


def stability_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The deepest stable cut at this speed, both ways, and how it was found; nothing where it is not known."""
    stability = report["stability"]
    limit, method = stability.get("axial_limit_mm"), stability.get("method")
    if limit is None and not setup.dynamics:
        return []
    rows = [(say("row", "axial_limit_mm"), _limit_words(stability, units))]
    if stability.get("chatter_hz") is not None:
        words = {"hz": number(stability["chatter_hz"], 0), "kind": stability["kind"]}
        rows.append((say("row", "chatter_hz"), say("stability", "chatter", **words)))
    if (draws := stability.get("stable_draws")) is not None:
        rows.append((say("row", "stable_draws"), say("stability", "stable_draws", count=draws, draws=DRAWS)))
    other = stability.get("opposite")
    if other is not None and other["direction"] != stability["direction"] and other["stable"] is not None:
        rows.append((say("stability", f"row_{other['direction']}"), _limit_words(other, units)))
    if stability.get("zeroth_order_mm") is not None:
        rows.append((say("row", "zeroth_order_mm"), clear_figure(stability["zeroth_order_mm"], "depth", units)))
    return [*rows, ("", method or "")]
