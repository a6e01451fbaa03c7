"""The report's keys of the advice: which way, with its reasons, and tool life against another setup."""

from __future__ import annotations

from typing import Any

from ..advice.tool_life import life_ratio
from ..advice.which_way import decide, reasons
from ..base.quantities import Units
from ..base.words import say
from ..documents.materials import Catalogue
from ..setup.setup import Setup

UNITS = {
    "force": "N",
    "chip_thickness": "mm",
    "angle": "deg",
    "chip_section": "mm2",
    "temperature_rise": "K",
    "deflection": "mm",
    "micro": "um",
}
"""Units of the report's figures by quantity, in plain letters."""


def which_way_keys(setup: Setup) -> dict[str, Any]:
    """``advice``: a list, one entry a reason; ``which_way.``: the direction and the step of the rule that gave it.

    Figures in the unit of the report's key; ``favours`` and ``weight`` null where a reason does not decide.
    """
    found = reasons(setup)
    if not found:
        return {"advice": [], "which_way": {"direction": None, "rule": None}}
    decision = decide(found)
    return {
        "advice": [
            {
                "id": r.id,
                "quantity": r.key,
                "unit": UNITS[r.quantity],
                "climb": r.climb,
                "conventional": r.conventional,
                "threshold": say("reason_threshold", r.id) if r.threshold is None else r.threshold,
                "favours": r.favours,
                "weight": r.weight if r.favours else None,
                "source": r.source,
            }
            for r in found
        ],
        "which_way": {"direction": decision.way, "rule": decision.rule},
    }


def tool_life_keys(
    setup: Setup, against: Setup | None, known: Catalogue | None = None, units: Units = "metric"
) -> dict[str, Any]:
    """``tool_life``: ``ratio`` of lives with ``low`` and ``high``, ``against`` (title) and ``reason``; else null.

    ``ratio`` is the life in this setup over that in the other; null with the ``reason`` in words where it is refused.
    """
    if against is None:
        return {"tool_life": None}
    found = life_ratio(setup, against, known, units=units)
    values = {"ratio": found.ratio, "low": found.low, "high": found.high}
    return {"tool_life": {**values, "against": against.title, "reason": found.reason}}
