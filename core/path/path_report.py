"""The path report: what a whole program or drawing does to the cutter, as plain data (``chiparc path``)."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import ChiparcError
from ..base.language import in_language
from ..base.words import say
from ..cut.engagement import engagement
from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .fed_length import FedLength, fed_length
from .levels import Level, levels
from .loads import Loads
from .moves import RAPID, Program, Stock
from .nearby import expanded
from .path_heat import EdgeRises, edge_rises
from .path_places import Places, places_on
from .samples import WAYS, Samples, feed_per_tooth, samples, thickest
from .spikes import Profile, arc_profile, spikes
from .worst_reason import reasons

FORMAT, VERSION = "chiparc path", 1

Array = NDArray[np.float64]

MOST_SAMPLES = 100_000
"""Samples of a report: as many as fit the memory of a small computer."""

RAPID_STEP = 0.05
"""How close, in radii, a rapid move is looked at for stock in its way."""


def path_report(
    program: Program,
    stock: Stock,
    setup: Setup,
    spacing: float | None = None,
    at: tuple[float, ...] | None = None,
    worst: int = 10,
) -> dict[str, Any]:
    """The report of a path through a stock with the cutter, depth and coefficients of a setup (resolved).

    spacing : of the samples, mm, a twentieth of the diameter unless given; at : only the samples at these distances,
    mm; worst : how many of the worst places.  Raises ChiparcError for a spacing or a place that cannot be.
    """
    diameter = setup.cutter.diameter_mm
    moves, fed = program.moves, fed_length(program.moves)
    path = PathEngagement(moves, stock, diameter / 2.0, setup.cutter.hand == "left")
    usual = diameter / 20.0
    # A very long path: as many times the usual spacing as needed.
    wider = max(1, math.ceil(fed.length / usual / MOST_SAMPLES))
    s = _distances(fed, wider * usual if spacing is None else spacing, at)
    along = samples(path, fed, s, setup)
    warned: list[tuple[int | None, str]] = [*program.warnings, *stock.warnings]
    warned += rapids_in_stock(path)
    if wider > 1 and spacing is None and at is None:
        warned.append(
            (
                None,
                say(
                    "path_doubt", "wider", usual=in_language(f"{usual:g}"), spacing=in_language(f"{wider * usual:g}")
                ),
            )
        )
    return {
        "format": FORMAT,
        "version": VERSION,
        "program": {"length_mm": fed.length, "moves": int(moves.feed_mask.sum()), "units": program.units},
        "samples": _sample_rows(along, edge_rises(path, along, setup), program),
        "worst": worst_rows(path, fed, program, setup, worst),
        "levels": [_level(level) for level in levels(moves, stock, path.radius, program.has_z)],
        "warnings": [{"line": line or None, "text": text} for line, text in warned],
    }


def path_json(report: dict[str, Any]) -> str:
    """The report as strict JSON text, on one line: of many samples the spaces would be most of it."""
    return json.dumps(report, ensure_ascii=False, allow_nan=False)


def _distances(fed: FedLength, spacing: float, at: tuple[float, ...] | None) -> Array:
    """Distances (m,) mm of the samples.  Raises ChiparcError."""
    if at is not None:
        for place in at:
            if not 0.0 <= place <= fed.length * (1.0 + 1e-12):
                found = say("path_doubt", "found", value=place)
                allowed = say("path_doubt", "at_allowed", length=fed.length)
                raise ChiparcError(say("path_doubt", "at"), found, allowed)
        return np.minimum(np.array(at, float), fed.length)
    least = fed.length / MOST_SAMPLES
    if not (math.isfinite(spacing) and spacing > 0.0 and spacing >= least):
        found = say("path_doubt", "found", value=spacing)
        allowed = say("path_doubt", "spacing_allowed", least=least, count=MOST_SAMPLES)
        raise ChiparcError(say("path_doubt", "spacing"), found, allowed)
    return fed.multiples(spacing)


def _figure(value: float) -> float | None:
    return float(value) + 0.0 if math.isfinite(value) else None


def _spread(row: Array) -> dict[str, float] | None:
    if not np.isfinite(row).all():
        return None
    return dict(zip(("min", "max", "mean"), row.tolist(), strict=False))


def _force(loads: Loads, i: int) -> dict[str, Any]:
    return {
        "fx_n": _spread(loads.fx[i]),
        "fy_n": _spread(loads.fy[i]),
        "fz_n": _spread(loads.fz[i]),
        "torque_nm": _spread(loads.torque[i]),
        "power_kw": _figure(loads.power[i]),
        "resultant_max_n": _figure(loads.resultant[i]),
    }


def _wall(loads: Loads, i: int) -> dict[str, Any]:
    names = ("error_mm", "error_top_mm", "error_least_mm", "error_greatest_mm")
    errors = {name: _figure(loads.wall[i, k]) for k, name in enumerate(names)}
    return {"deflection_mm": _spread(loads.bend[i]), **errors}


def _heat(heat: EdgeRises, i: int) -> dict[str, Any]:
    """Rise of the edge, K; at the model's end there is none."""
    ended = bool(heat.ended[i])
    return {"peak_rise_k": None if ended else _figure(heat.rise[i]), "at_end": ended}


def _sample_rows(along: Samples, heat: EdgeRises, program: Program) -> list[dict[str, Any]]:
    at, engaged = along.places, along.engaged
    ends = np.degrees(np.stack([engaged.entry, engaged.exit], 1)).tolist()
    arc, heading = np.degrees(engaged.arc), np.degrees(at.heading) % 360.0
    first = engaged.first
    rows = []
    for i in range(len(at)):
        rows.append(
            {
                "s_mm": float(along.s[i]),
                "line": int(program.moves.line[at.move[i]]) or None,
                "x_mm": float(at.place[i, 0]),
                "y_mm": float(at.place[i, 1]),
                "z_mm": float(at.z[i]) if program.has_z else None,
                "heading_deg": float(heading[i]),
                "intervals_deg": ends[first[i] : first[i + 1]],
                "arc_deg": float(arc[i]),
                "ae_mm": float(along.width[i]),
                "conventional_mm": float(along.conventional[i]),
                "climb_mm": float(along.climb[i]),
                "direction": WAYS[along.way[i]],
                "fz_mm": float(along.feed[i]),
                "h_max_mm": 0.0 if WAYS[along.way[i]] == "air" else float(along.h_max[i]),
                "h_mean_mm": 0.0 if WAYS[along.way[i]] == "air" else float(along.h_mean[i]),
                "force": _force(along.loads, i),
                "wall": _wall(along.loads, i),
                "heat": _heat(heat, i),
            }
        )
    return rows


def worst_rows(
    path: PathEngagement, fed: FedLength, program: Program, setup: Setup, number: int, profile: Profile | None = None
) -> list[dict[str, Any]]:
    """The worst places as the report has them; ``profile`` is that of the path where it is known already."""
    if not len(fed.move) or number <= 0:
        return []
    profile = arc_profile(path, fed) if profile is None else profile
    top = spikes(profile, number)
    move, along, arc = profile.move[top], profile.along[top], profile.arc[top]
    places = places_on(path.moves, move, along, path.stock.top_z_mm)
    feed, _ = feed_per_tooth(path.moves, move, setup)
    h = thickest(path.engaged(places), feed, math.radians(setup.cutter.cutting_edge_angle_deg))
    said = reasons(path, fed, move, along, arc)
    own = engagement(setup).arc
    return [
        {
            "s_mm": float(profile.s[row]),
            "line": int(program.moves.line[move[i]]) or None,
            "x_mm": float(places.place[i, 0]),
            "y_mm": float(places.place[i, 1]),
            "z_mm": float(places.z[i]) if program.has_z else None,
            "arc_deg": math.degrees(arc[i]),
            "ratio": float(arc[i] / own),
            "h_max_mm": float(h[i]),
            "reason": said[i],
        }
        for i, row in enumerate(top)
    ]


def _level(level: Level) -> dict[str, Any]:
    return {
        "z_mm": level.z,
        "length_mm": level.length,
        "removed_mm2": level.removed,
        "remaining_mm2": level.remaining,
        "ridge_mm2": level.ridge_area,
        "ridges": [
            {"area_mm2": ridge.area, "x_mm": ridge.x, "y_mm": ridge.y, "width_mm": ridge.width}
            for ridge in level.ridges
        ],
    }


def rapids_in_stock(path: PathEngagement) -> list[tuple[int | None, str]]:
    """A warning for each rapid move at depth, along or straight down, that meets stock which is still there."""
    moves = path.moves
    at_depth = (moves.kind == RAPID) & ~moves.clear
    rapid = np.flatnonzero(at_depth & (moves.length_mm > 0.0))
    count = np.ceil(moves.length_mm[rapid] / (RAPID_STEP * path.radius)).astype(np.int64) + 1
    count = np.minimum(count, max(4, 200_000 // max(len(rapid), 1)))
    row, k = expanded(np.zeros(len(rapid), np.int64), count)
    arc = path.at(rapid[row], moves.length_mm[rapid[row]] * k / (count[row] - 1)).arc
    down = np.flatnonzero(at_depth & (moves.length_mm == 0.0) & (moves.end_mm[:, 2] < moves.start_mm[:, 2]))
    # All round the cutter at the depth it reaches: the half circle before it and the one behind it.
    ends, none = moves.end_mm[down], np.zeros(len(down))
    round_ = np.zeros(len(down))
    for heading in (0.0, np.pi):
        places = Places(down, none, ends[:, :2], ends[:, 2], none + heading, none > 0.0)
        round_ += path.engaged(places).arc
    hit = np.concatenate([rapid[np.unique(row[arc > 0.0])], down[round_ > 0.0]])
    lines = np.unique(moves.line[hit]).tolist()
    return [(int(line) or None, say("path_doubt", "rapid")) for line in lines]
