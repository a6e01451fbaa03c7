"""Where the force figures are from: law, coefficients, who printed them, what they were tested on, their spread."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

from ..base.errors import ChiparcError
from ..cut.engagement import engagement
from ..documents.materials import Catalogue, Material, catalogue
from ..force.coefficient_spread import SHARE, CoefficientSpread, assumed_spread
from ..force.edge_condition import edge_radius_counts
from ..force.force_range import ForceRange, SpreadRange, force_range
from ..setup.setup import LinearEdge, PowerLaw, Setup


def printed_entry(setup: Setup, known: Catalogue | None = None) -> Material | None:
    """The catalogue's entry that the coefficients of this setup are from; None where they are its own."""
    work = setup.work
    if work.force is None or work.material is None:
        return None
    try:
        entry = (known or catalogue()).find(work.material)
    except ChiparcError:
        return None
    return entry if entry.force == work.force else None


def coefficient_spread(setup: Setup, known: Catalogue | None = None) -> CoefficientSpread | None:
    """The spread of the setup's coefficients, printed where the catalogue has it; None where there are none."""
    law = setup.work.force
    if law is None:
        return None
    assumed, entry = assumed_spread(law), printed_entry(setup, known)
    if entry is None:
        return assumed
    block = "linear_edge" if isinstance(law, LinearEdge) else "power_law"
    low: dict[str, float] = {}
    high: dict[str, float] = {}
    for key, figure in entry.figures:
        at, _, name = key.partition(".")
        if at == block and figure.spread is not None and getattr(law, name, None) is not None:
            low[name], high[name] = figure.spread
            if name == "edge_radius_mm":
                # The blunter the edge that was measured, the less of a force is another edge's own.
                low[name], high[name] = high[name], low[name]
    if not low:
        return assumed
    return assumed.printed(low, high)


def _coefficients(law: LinearEdge | PowerLaw) -> dict[str, float]:
    return {f.name: getattr(law, f.name) for f in fields(law) if f.name not in ("model", "edge_radius_mm")}


def _source(setup: Setup, entry: Material | None) -> str:
    """Who printed the coefficients, each source once; or that they are the setup's own."""
    if entry is None:
        return "given in the setup"
    block = "linear_edge" if isinstance(setup.work.force, LinearEdge) else "power_law"
    names = {f"{block}.{name}" for name in _coefficients(setup.work.force)} if setup.work.force else set()
    told = dict.fromkeys(f.source.text for k, f in entry.figures if k in names)
    return f"{entry.name}: " + "; ".join(told)


def tested_thickness(setup: Setup, known: Catalogue | None = None) -> tuple[float, float] | None:
    """Chip thickness (mm) that the coefficients were tested on, by the catalogue; None where it is not known."""
    entry = printed_entry(setup, known)
    span = None if entry is None else entry.tested_h_mm
    return None if span is None else (span.low, span.high)


def below_tested_share(setup: Setup, known: Catalogue | None = None) -> float | None:
    """Part of the arc in which the chip is thinner than what the law was tested on; None where that is not known."""
    tested = tested_thickness(setup, known)
    if tested is None:
        return None
    e = engagement(setup)
    thickest = setup.cut.feed_per_tooth_mm * math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    meets = math.asin(min(tested[0] / thickest, 1.0))
    inside = max(min(e.exit, math.pi - meets) - max(e.entry, meets), 0.0)
    return min(max(1.0 - inside / e.arc, 0.0), 1.0)


def _of_turn(found: SpreadRange | None) -> dict[str, Any] | None:
    if found is None:
        return None
    pairs = {"min": found.least, "max": found.greatest, "mean": found.mean}
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
    *("h_tested_mm", "h_below_tested_share", "edge_radius_used", "wear_land_used", "rake_used"),
)
"""More keys of ``force.``, each null where the coefficients are not known."""


def force_origin_keys(setup: Setup, known: Catalogue | None = None) -> dict[str, Any]:
    """More of ``force.``: law, coefficients, source, tested thickness (mm), what of the edge counts, ranges.

    ``spread_from`` is ``catalogue`` or ``assumed``; ``spread_share`` that of an assumed coefficient.  The radial rake
    never enters the forces: the coefficients hold for the rake that they were measured with.
    """
    law, spread = setup.work.force, coefficient_spread(setup, known)
    found = force_range(setup, spread)
    if law is None or spread is None or found is None:
        return {"force": dict.fromkeys(ORIGIN_KEYS)}
    return {
        "force": {
            "model": law.model,
            "coefficients": _coefficients(law),
            "source": _source(setup, printed_entry(setup, known)),
            "spread_from": spread.source,
            "spread_share": SHARE if spread.source == "assumed" else None,
            "range": range_keys(found),
            "h_tested_mm": tested_thickness(setup, known),
            "h_below_tested_share": below_tested_share(setup, known),
            "edge_radius_used": edge_radius_counts(setup),
            "wear_land_used": bool(setup.cutter.wear_land_mm),
            "rake_used": False,
        }
    }
