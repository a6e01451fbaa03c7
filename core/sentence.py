"""The sentence: what a cut does, in one or two plain sentences with figures; window, report and readers share it."""

from __future__ import annotations

import math
from collections.abc import Callable

from .angles import clock
from .arc_results import ArcResults, arc_results
from .chip import thickness
from .engagement import TOUCH
from .force_words import force_clause
from .quantities import Units, figure
from .runout_chips import runout_chips
from .setup import Setup
from .words import say

THIN = 0.05
"""Degrees under which a rubbing arc is not worth a word."""


def _fields(r: ArcResults, units: Units) -> dict[str, str]:
    e, chip, hand = r.engagement, r.trochoid, r.setup.cutter.hand
    left, right = say("side", "left"), say("side", "right")
    sides = (left, right) if hand == "right" else (right, left)
    return {
        "entry": clock(math.degrees(e.entry), hand),
        "exit": clock(math.degrees(e.exit), hand),
        "peak": clock(math.degrees(chip.phi_at_max), hand),
        "h_entry": figure(chip.h_entry, "chip_thickness", units),
        "h_exit": figure(chip.h_exit, "chip_thickness", units),
        "h_max": figure(chip.h_max, "chip_thickness", units),
        "entry_side": sides[0],
        "exit_side": sides[1],
    }


def _passage(setup: Setup, units: Units) -> str:
    """How the tooth goes through: where it enters, is thickest and leaves."""
    r = arc_results(setup)
    e, cut = r.engagement, setup.cut
    past = e.entry < math.pi / 2 < e.exit
    name: str = cut.direction
    if cut.direction == "straddling":
        if cut.radial_engagement_mm >= setup.cutter.diameter_mm * (1.0 - TOUCH):
            name = "slot"
        elif not past:
            name = "straddling_climb" if e.entry >= math.pi / 2 else "straddling_conventional"
    elif past:
        name += "_past_centre"
    return say("sentence", name, **_fields(r, units))


def _rubbing(setup: Setup, units: Units) -> str:
    """Where the chip is thinner than the edge can cut; nothing if the edge radius is not known."""
    r = arc_results(setup)
    first, last = math.degrees(r.rub_entry), math.degrees(r.rub_exit)
    if math.isnan(first) or max(first, last) < THIN:
        return ""
    if first + last >= math.degrees(r.engagement.arc) - 1e-9:
        return say("sentence", "rubs_all")
    told = {"first": figure(first, "angle", units), "last": figure(last, "angle", units)}
    if first >= THIN and last >= THIN:
        return say("sentence", "rubs_both", **told)
    if first >= THIN:
        return say("sentence", "rubs_first", arc=told["first"])
    return say("sentence", "rubs_last", arc=told["last"])


def _missing_teeth(setup: Setup, units: Units) -> str:
    """How many teeth runout keeps out of the work."""
    if setup.cutter.runout_mm == 0.0 or setup.cutter.teeth == 1:
        return ""
    count = sum(chip.misses for chip in runout_chips(setup))
    if count == 0:
        return ""
    return say("sentence", "one_misses" if count == 1 else "some_miss", count=count, teeth=setup.cutter.teeth)


CLAUSES: list[Callable[[Setup, Units], str]] = [_passage, _rubbing, _missing_teeth, force_clause]
"""What the sentence is made of, in order: each a whole sentence, or nothing."""


def sentence(setup: Setup, units: Units = "metric") -> str:
    """What this cut does, in ``units``; the thickness figures are those of the true path."""
    return " ".join(told for clause in CLAUSES if (told := clause(setup, units)))


def spoken(setup: Setup, angle_deg: float, units: Units = "metric") -> str:
    """The state of one moving tooth in one line, for a screen reader."""
    r, phi = arc_results(setup), math.radians(angle_deg)
    told = {"clock": clock(angle_deg, setup.cutter.hand), "angle": figure(angle_deg, "angle", units)}
    if r.true_entry <= phi <= r.true_exit:
        h = float(thickness(phi, setup, "trochoid", runout=False))
        return say("spoken", "cutting", h=figure(h, "chip_thickness", units), **told)
    return say("spoken", "air", **told)
