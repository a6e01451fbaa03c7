"""The report for scripts: an object that names its file, echoes its setup and tells what its figures rest on."""

from __future__ import annotations

import json
import re
from collections.abc import Collection
from typing import Any

from ..base.errors import ChiparcError, DocumentError
from ..base.words import say
from ..documents.materials import Catalogue
from ..effects.limit_range import limit_range
from ..effects.machine_limits import crossed_checks
from ..force.force_range import Ends
from ..setup.setup import Setup
from .advice_keys import UNITS
from .crossed_limit_words import crossed_limits
from .model_statements import statements
from .report import FORMAT, VERSION, plain, report
from .rounded import rounded
from .setup_echo import filled_in, setup_echo

LIMIT_UNITS = {"power": "kW", "torque": "N m", **UNITS}
"""Units of the limits by quantity, in plain letters."""


def sentences(text: str) -> list[str]:
    """A text as its sentences.

    >>> sentences("Guards closed. Eye protection on.")
    ['Guards closed.', 'Eye protection on.']
    """
    return re.split(r"(?<=[.!?]) +", text)


def _ends(ends: Ends | None) -> list[float] | None:
    return None if ends is None else [ends.low, ends.high]


def crossed_keys(setup: Setup) -> list[dict[str, Any]]:
    """``crossed``: each limit that the cut crosses, with both figures, the range of its own, and the words."""
    return [
        {
            "id": check.id,
            "value": check.value,
            "range": _ends(limit_range(check, setup)),
            "limit": check.limit,
            "unit": LIMIT_UNITS[check.quantity],
            "text": text,
        }
        for check, text in zip(crossed_checks(setup), crossed_limits(setup, "metric"), strict=True)
    ]


def _threshold_apart(reason: dict[str, Any]) -> dict[str, Any]:
    """A threshold is a number or null; where it is none its words are a key of their own."""
    words = reason.get("threshold")
    if not isinstance(words, str):
        return {"threshold_words": None} | reason
    return reason | {"threshold": None, "threshold_words": words}


def json_report(
    setup: Setup,
    file: str,
    given: Collection[str],
    against: Setup | None = None,
    known: Catalogue | None = None,
) -> dict[str, Any]:
    """The report of a resolved setup as the JSON has it; every key is in ``shared/report.schema.json``.

    given : the keys that its document gives itself; the other arguments as of :func:`report`.
    """
    figures = report(setup, against, known)
    head = {"format": FORMAT, "version": VERSION, "file": file}
    echo = plain({"setup": setup_echo(setup), "setup_filled": filled_in(setup, given)})
    rests_on = {
        "assumptions": statements(setup, figures, "metric"),
        "crossed": plain(crossed_keys(setup)),
        "cautions": [*sentences(say("report", "cautions")), say("report", "advice")],
    }
    figures["advice"] = [_threshold_apart(reason) for reason in figures["advice"]]
    titles = {key: figures.pop(key) for key in ("title", "sentence")}
    return rounded(head | titles | echo | {k: v for k, v in figures.items() if k not in head} | rests_on)


def refusal(file: str, error: ChiparcError) -> dict[str, Any]:
    """The entry of a refused document: its file and every fault with its line."""
    if isinstance(error, DocumentError):
        faults = [(fault.line or None, fault.where, fault.found, fault.allowed) for fault in error.faults]
    else:
        faults = [(None, error.where, error.found, error.allowed)]
    names = ("line", "key", "found", "allowed")
    return {
        "format": FORMAT,
        "version": VERSION,
        "file": file,
        "error": [dict(zip(names, fault, strict=True)) for fault in faults],
    }


def json_text(value: Any, *, compact: bool = False) -> str:
    """Strict JSON: indented for reading, or on one line."""
    more: dict[str, Any] = {"separators": (",", ":")} if compact else {"indent": 2}
    return json.dumps(value, ensure_ascii=False, allow_nan=False, **more)
