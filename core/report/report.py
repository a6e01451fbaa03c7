"""The report: every figure of a setup as plain data, the same for scripts (JSON) and for readers.

A section is a function ``(setup) -> dict``; enter it in :data:`KEY_GROUPS` and its keys are in the
report.  The meaning of a key never changes.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable
from typing import Any

import numpy as np

from ..cut.chip import ChipSummary, feed_for_thickness
from ..cut.runout_chips import runout_chips
from ..documents.materials import Catalogue
from ..effects.arc_results import arc_results
from ..maths.angles import clock
from ..setup.setup import Setup
from .advice_keys import tool_life_keys, which_way_keys
from .comparison import compared
from .doubt_words import doubt_keys
from .effect_keys import entry_exit_keys, feed_marks_keys, rubbing_keys, skin_keys, table_pull_keys
from .force_keys import force_keys, wall_keys
from .force_origin import force_origin_keys
from .heat_keys import heat_keys
from .machine_keys import machine_keys, wall_depth_keys, wall_range_keys
from .sentence import sentence
from .stability_keys import stability_keys

FORMAT, VERSION = "chiparc report", 1

Section = Callable[[Setup], dict[str, Any]]


def head_keys(setup: Setup) -> dict[str, Any]:
    """What this is, the setup's title, and the sentence."""
    return {"format": FORMAT, "version": VERSION, "title": setup.title, "sentence": sentence(setup)}


def engagement_keys(setup: Setup) -> dict[str, Any]:
    """``engagement.``: nominal tip angles in degrees, clock times, teeth in cut, time in ms, arc in mm.

    ``true_entry_deg`` and ``true_exit_deg`` are where contact begins and ends on the true path.
    """
    r = arc_results(setup)
    e, hand = r.engagement, setup.cutter.hand
    entry, leave = math.degrees(e.entry), math.degrees(e.exit)
    return {
        "engagement": {
            "direction": setup.cut.direction,
            "entry_deg": entry,
            "exit_deg": leave,
            "arc_deg": math.degrees(e.arc),
            "entry_clock": clock(entry, hand),
            "exit_clock": clock(leave, hand),
            "true_entry_deg": math.degrees(r.true_entry),
            "true_exit_deg": math.degrees(r.true_exit),
            "arc_length_mm": e.arc_length,
            "teeth_in_cut_mean": e.teeth_mean,
            "teeth_in_cut_min": e.teeth_least,
            "teeth_in_cut_max": e.teeth_most,
            "contact_time_ms": e.contact_time_ms,
        }
    }


def _thickness(chip: ChipSummary) -> dict[str, float]:
    return {
        "h_entry_mm": chip.h_entry,
        "h_exit_mm": chip.h_exit,
        "h_max_mm": chip.h_max,
        "h_mean_mm": chip.h_mean,
        "h_max_deg": math.degrees(chip.phi_at_max),
    }


def chip_keys(setup: Setup) -> dict[str, Any]:
    """``chip.``: thickness in mm of the cutter without runout in both models, thinning, volume in mm3.

    With runout ``chip.teeth`` lists each tooth's own; ``misses`` and ``cuts_double`` follow the true path.
    """
    r = arc_results(setup)
    chip: dict[str, Any] = {
        "arc": _thickness(r.arc),
        "trochoid": _thickness(r.trochoid),
        "thinning": r.thinning,
        "feed_for_full_thickness_mm": float(feed_for_thickness(setup.cut.feed_per_tooth_mm, setup, r.engagement)),
        "volume_mm3": r.rates.volume_per_tooth_mm3,
    }
    if setup.cutter.runout_mm > 0.0:
        chip["teeth"] = [
            {
                "tooth": t.tooth,
                "radius_mm": t.radius,
                "arc": _thickness(t.arc),
                "trochoid": _thickness(t.trochoid),
                "misses": t.misses,
                "cuts_double": t.cuts_double,
            }
            for t in runout_chips(setup)
        ]
    return {"chip": chip}


def rates_keys(setup: Setup) -> dict[str, Any]:
    """``rates.``: cutting speed m/min, table feed mm/min, removal rate cm3/min, volume per tooth mm3."""
    r = arc_results(setup).rates
    return {
        "rates": {
            "cutting_speed_m_min": r.cutting_speed_m_min,
            "table_feed_mm_min": r.table_feed_mm_min,
            "removal_rate_cm3_min": r.removal_rate_mm3_min / 1000.0,
            "volume_per_tooth_mm3": r.volume_per_tooth_mm3,
            "turn_ms": r.turn_ms,
        }
    }


KEY_GROUPS: tuple[Section, ...] = (
    head_keys,
    engagement_keys,
    chip_keys,
    rates_keys,
    rubbing_keys,
    skin_keys,
    entry_exit_keys,
    force_keys,
    wall_keys,
    wall_depth_keys,
    feed_marks_keys,
    table_pull_keys,
    heat_keys,
    machine_keys,
    stability_keys,
    which_way_keys,
    force_origin_keys,
    wall_range_keys,
)
"""Every section of the report, in its order."""


def plain(value: Any) -> Any:
    """A value as plain data: numpy scalars and arrays unwrapped, nan and infinity as None."""
    if isinstance(value, dict):
        return {key: plain(v) for key, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, np.ndarray):
        return plain(value.tolist())
    if isinstance(value, np.generic):
        return plain(value.item())
    if isinstance(value, float):
        return value + 0.0 if math.isfinite(value) else None
    return value


def _join(into: dict[str, Any], more: dict[str, Any]) -> None:
    for key, value in more.items():
        if isinstance(value, dict) and isinstance(into.get(key), dict):
            _join(into[key], value)
        else:
            into[key] = value


def joined(setup: Setup, sections: Iterable[Section]) -> dict[str, Any]:
    """Some sections of a setup's report as nested plain data; two of them may add to the same group."""
    keys: dict[str, Any] = {}
    for section in sections:
        _join(keys, plain(section(setup)))
    return keys


def report(setup: Setup, against: Setup | None = None, known: Catalogue | None = None) -> dict[str, Any]:
    """The report of a setup as nested plain data: dotted names of the report are nested dicts.

    Lengths in mm, angles in degrees, whatever unit a person looks at.  ``None`` where a quantity is
    not defined.  against : the setup that ``tool_life`` is a ratio to;
    and that ``against`` compares every figure with;
    known : the catalogue that has the materials of both, the project's own unless given.
    """
    own = joined(setup, KEY_GROUPS)
    own |= plain(doubt_keys(setup))
    other = None if against is None else plain(compared(own, report(against, known=known)))
    return own | plain(tool_life_keys(setup, against, known)) | {"against": other}


def report_json(reports: dict[str, Any] | list[dict[str, Any]]) -> str:
    """One report (an object) or several (an array of them) as strict JSON text."""
    return json.dumps(reports, indent=2, ensure_ascii=False, allow_nan=False)
