"""The report's keys of the advice: which way, with its reasons, and tool life against another setup."""

from __future__ import annotations

from typing import Any

from ..advice.draws import DRAWS
from ..advice.ladder import verdict
from ..advice.reason_ranges import reason_range
from ..advice.tool_life import life_ratio
from ..advice.turning import turns
from ..advice.which_way import Reason, reasons
from ..base.quantities import Units
from ..base.words import say
from ..documents.materials import Catalogue
from ..setup.setup import Setup
from ..strips.offset_strip import at_offsets
from .which_way_words import condition_words

UNITS = {
    "force": "N",
    "chip_thickness": "mm",
    "depth": "mm",
    "angle": "deg",
    "chip_section": "mm2",
    "temperature_rise": "K",
    "deflection": "mm",
    "micro": "um",
}
"""Units of the report's figures by quantity, in plain letters."""


def _range(reason: Reason, setup: Setup) -> list[float] | None:
    """The ends of a reason's figure in the setup's direction; None where it has none."""
    ends = None if reason.figure(setup.cut.direction) is None else reason_range(reason.id, setup)
    return None if ends is None else [ends.low, ends.high]


def which_way_keys(setup: Setup) -> dict[str, Any]:
    """``advice``: a list, one entry a reason; ``which_way.``: what the ladder says.

    advice : figures in the unit of the report's key; the ranges are their ends, null where there are none; ``rung``
    is the question that asks for the reason, null where it is only told; ``favours`` the direction it answers, null
    where it does not.
    which_way : ``direction`` is ``climb``, ``conventional`` or ``either``, null when straddling; ``condition`` in
    words or null; ``rung`` 1 to 5 that decided; ``stands_in`` of 64 draws; ``turns`` a list of ``key``, ``value``,
    ``unit``, ``direction``; ``caution`` in words; ``rungs`` every question with its ``answer`` and what is
    ``missing``.  A straddling cut has ``offset`` in place of these: what its offset does.
    """
    decided = verdict(setup)
    if decided is None:
        at_offset = at_offsets(setup.cut.centre_offset_mm, setup)
        nothing = dict.fromkeys(("direction", "condition", "rung", "stands_in", "draws", "settles", "turned_by"))
        offset = {
            "exit_deg": at_offset.exit_deg[0],
            "h_exit_mm": at_offset.h_exit[0],
            "attitude_deg": at_offset.attitude_deg[0],
            "over_the_edge": bool(at_offset.warned[0]),
        }
        keys: dict[str, Any] = {
            **nothing,
            "turns": [],
            "rungs": [],
            "caution": say("decision", "cautions"),
            "offset": offset,
        }
        return {"advice": [], "which_way": keys}
    return {
        "advice": [
            {
                "id": r.id,
                "quantity": r.key,
                "unit": UNITS[r.quantity],
                "climb": r.climb,
                "conventional": r.conventional,
                "climb_range": _range(r, setup.facing("climb")),
                "conventional_range": _range(r, setup.facing("conventional")),
                "threshold": say("reason_threshold", r.id) if r.threshold is None else r.threshold,
                "favours": r.favours,
                "rung": r.rung,
                "source": r.source,
            }
            for r in reasons(setup)
        ],
        "which_way": {
            "direction": decided.direction,
            "condition": condition_words(decided.conditions),
            "rung": decided.number,
            "stands_in": decided.stands_in,
            "draws": DRAWS,
            "turns": [
                {"key": turn.key, "value": turn.value, "unit": turn.unit, "direction": turn.direction}
                for turn in turns(setup)
            ],
            "settles": None if decided.settles is None else say("settles", decided.settles),
            "turned_by": decided.turned_by,
            "caution": say("decision", "cautions"),
            "rungs": [
                {
                    "id": rung.id,
                    "number": rung.number,
                    "answer": rung.answer if rung.asked else "not asked",
                    "clear_in": rung.clear_in,
                    "missing": list(rung.missing),
                }
                for rung in decided.rungs
            ],
            "offset": None,
        },
    }


def tool_life_keys(
    setup: Setup, against: Setup | None, known: Catalogue | None = None, units: Units = "metric"
) -> dict[str, Any]:
    """``tool_life``: ``ratio`` of lives with ``low`` and ``high``, ``against`` (title) and ``reason``; else null.

    ``ratio`` is the life in this setup over that in the other; null with the ``reason`` in words where it is refused.
    """
    if against is None:
        return {"tool_life": None}
    life = life_ratio(setup, against, known, units=units)
    values = {"ratio": life.ratio, "low": life.low, "high": life.high}
    return {"tool_life": {**values, "against": against.title, "reason": life.reason}}
