"""What the force does to cutter and wall, in the sentence."""

from __future__ import annotations

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
