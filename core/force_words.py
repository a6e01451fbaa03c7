"""What the force does, in the sentence and in the text report."""

from __future__ import annotations

from typing import Any

from .force_turn import force_turn
from .quantities import Units, figure
from .setup import Setup
from .wall import wall_error
from .words import say

SMALL_MM = 5e-5
"""Wall error that is not worth a word: a twentieth of a micrometre."""


def force_clause(setup: Setup, units: Units) -> str:
    """Which way the cutter is pushed and what that leaves on the wall; nothing if forces are not known.

    The sign comes from the computed force at the moment when the tip makes the wall, not from a rule.
    """
    found = force_turn(setup)
    if found is None:
        return ""
    error = wall_error(0.0, setup)
    if error is None:
        told = {
            "force": figure(found.resultant_max, "force", units),
            "power": figure(found.power_kw, "power", units),
        }
        return say("sentence", "force", **told)
    # Off the wall is to the left of a climb wall, to the right of a conventional one.
    climb = setup.cut.direction == "climb"
    off = max(-found.fx.least if climb else found.fx.greatest, 0.0)
    toward = max(found.fx.greatest if climb else -found.fx.least, 0.0)
    size = abs(float(error))
    if size < SMALL_MM:
        return say("sentence", "wall_true", force=figure(max(off, toward), "force", units))
    told = {"error": figure(size, "deflection", units)}
    if float(error) > 0.0:
        return say("sentence", "wall_stock", force=figure(off, "force", units), **told)
    return say("sentence", "wall_undercut", force=figure(toward, "force", units), **told)


def force_lines(setup: Setup, found: dict[str, Any], units: Units) -> list[tuple[str, str]]:
    """Rows of the text report on force and wall; none if forces are not known."""
    force, wall = found["force"], found["wall"]
    if force["fx_n"] is None:
        return []

    def spread(values: dict[str, float], quantity: str) -> str:
        low, high, mean = (figure(values[k], quantity, units, signed=True) for k in ("min", "max", "mean"))
        return f"{low} to {high}, mean {mean}"

    rows = [
        ("Fx, + to the right", spread(force["fx_n"], "force")),
        ("Fy, + along the feed", spread(force["fy_n"], "force")),
    ]
    if force["fz_n"] is not None:
        rows.append(("Fz, along the spindle", spread(force["fz_n"], "force")))
    low, high, mean = (figure(force["torque_nm"][k], "torque", units) for k in ("min", "max", "mean"))
    rows.append(("torque M", f"{low} to {high}, mean {mean}"))
    rows.append(("mean power P", figure(force["power_kw"], "power", units)))
    if wall["deflection_mm"] is not None:
        low, high = (figure(wall["deflection_mm"][k], "deflection", units, signed=True) for k in ("min", "max"))
        rows.append(("tip moves across the feed", f"{low} to {high}"))
    if wall["error_mm"] is not None:
        for label, key in (("wall error at the tip", "error_mm"), ("wall error at full depth", "error_top_mm")):
            kind = "leaves stock" if wall[key] > 0 else "undercuts"
            rows.append((label, f"{figure(wall[key], 'deflection', units, signed=True)}, {kind}"))
    return rows
