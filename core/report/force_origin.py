"""Where the force figures are from: law, coefficients, who printed them, what they were tested on, their spread."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

from ..base.words import say
from ..cut.engagement import engagement
from ..force.coefficient_spread import SHARE, known_spread
from ..force.edge_condition import edge_radius_counts
from ..force.force_range import ForceRange, SpreadRange, force_range
from ..setup.setup import LinearEdge, PowerLaw, Setup


def _coefficients(law: LinearEdge | PowerLaw) -> dict[str, float]:
    """By name; the radius of the edge that they were measured with is among them where it is known."""
    coefficients = {f.name: getattr(law, f.name) for f in fields(law) if f.name != "model"}
    return {name: value for name, value in coefficients.items() if value is not None}


def _edge_source(setup: Setup) -> str | None:
    """Who says with which edge the coefficients were measured; None where nobody does."""
    force, facts = setup.work.force, setup.work.printed_facts
    if force is None or force.edge_radius_mm is None:
        return None
    return say("report", "given_in_setup") if facts is None else facts.edge_radius_source


def tested_thickness(setup: Setup) -> tuple[float, float] | None:
    """Chip thickness (mm) that the coefficients were tested on, by their entry; None where it is not known."""
    facts = setup.work.printed_facts
    return None if facts is None else facts.tested_h_mm


def below_tested_share(setup: Setup) -> float | None:
    """Part of the arc in which the chip is thinner than what the law was tested on; None where that is not known."""
    tested = tested_thickness(setup)
    if tested is None:
        return None
    e = engagement(setup)
    thickest = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    meets = math.asin(min(tested[0] / thickest, 1.0))
    inside = max(min(e.exit, math.pi - meets) - max(e.entry, meets), 0.0)
    return min(max(1.0 - inside / e.arc, 0.0), 1.0)


def _of_turn(spread: SpreadRange | None) -> dict[str, Any] | None:
    if spread is None:
        return None
    pairs = {"min": spread.least, "max": spread.greatest, "mean": spread.mean}
    return {name: {"low": ends.low, "high": ends.high} for name, ends in pairs.items()}


def range_keys(found: ForceRange) -> dict[str, Any]:
    """``force.range``: low and high of each figure, keys and units as in ``force.``."""
    return {
        "fx_n": _of_turn(found.fx),
        "fy_n": _of_turn(found.fy),
        "fz_n": _of_turn(found.fz),
        "torque_nm": _of_turn(found.torque),
        "power_kw": {"low": found.power_kw.low, "high": found.power_kw.high},
        "resultant_max_n": {"low": found.resultant_max.low, "high": found.resultant_max.high},
    }


ORIGIN_KEYS = (
    *("model", "coefficients", "source", "spread_from", "spread_share", "range"),
    *("h_tested_mm", "h_below_tested_share", "edge_radius_used", "edge_radius_source", "wear_land_used", "rake_used"),
)
"""More keys of ``force.``, each null where the coefficients are not known."""


def force_origin_keys(setup: Setup) -> dict[str, Any]:
    """More of ``force.``: law, coefficients, source, tested thickness (mm), what of the edge counts, ranges.

    ``spread_from`` is ``catalogue`` or ``assumed``; ``spread_share`` that of an assumed coefficient.  The radial rake
    never enters the forces: the coefficients hold for the rake that they were measured with.
    """
    law, spread = setup.work.force, known_spread(setup.work)
    found, facts = force_range(setup), setup.work.printed_facts
    if law is None or spread is None or found is None:
        return {"force": dict.fromkeys(ORIGIN_KEYS)}
    return {
        "force": {
            "model": law.model,
            "coefficients": _coefficients(law),
            "source": say("report", "given_in_setup") if facts is None else facts.force_source,
            "spread_from": spread.source,
            "spread_share": SHARE if spread.source == "assumed" else None,
            "range": range_keys(found),
            "h_tested_mm": tested_thickness(setup),
            "h_below_tested_share": below_tested_share(setup),
            "edge_radius_used": edge_radius_counts(setup.cutter, setup.work),
            "edge_radius_source": _edge_source(setup),
            "wear_land_used": bool(setup.cutter.wear_land_mm),
            "rake_used": False,
        }
    }
