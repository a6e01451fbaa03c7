"""The sentence: what a cut does, in one or two plain sentences with figures; window, report and readers share it."""

from __future__ import annotations

import math
from collections.abc import Callable

from ..advice.offsets import beside_in_pair
from ..base.quantities import Units, clear_figure, figure, number
from ..base.words import say
from ..cut.chip import thickness
from ..cut.runout_chips import runout_chips
from ..effects.arc_results import ArcResults, arc_results
from ..effects.cutting_tooth import cutting_tooth
from ..effects.rubbing import forms_no_chip
from ..maths.angles import clock
from ..setup.setup import Setup
from ..setup.work_strip import TOUCH
from .crossed_limit_words import crossed_limits
from .force_words import force_clause, reach_clause
from .which_way_words import beside_words

Clause = Callable[[Setup, Units], str]

THIN = 0.05
"""Degrees under which a rubbing arc is not worth a word."""

LEVEL = 1e-9
"""Slack in rad at 12 o'clock and at the ends of contact: pure rounding."""

PLACE = 2.5
"""Degrees (five minutes of the clock) to which the thickest place is stated: a flat top has no sharper one.

Within this the thickness changes by less than a thousandth.
"""

UNEVEN = 0.1
"""Part of the thickest chip by which the teeth may differ through runout without a word."""

THIN_SHARE = 0.3
"""Part of the thickest chip up to which an end of the arc is called thin: no usual feed comes near it."""


def said_thickness(h_mm: float, units: Units) -> str:
    """A chip thickness as it is said: as on the plan and in the strips, never as nothing when it is something."""
    return clear_figure(h_mm, "chip_thickness", units, counting=1)


def said_degrees(angle_deg: float) -> str:
    """A span of degrees as it is said: whole from ten on, else with a decimal, without a unit."""
    return number(angle_deg, 0 if angle_deg >= 9.95 else 1)


def _fields(r: ArcResults, units: Units) -> dict[str, str]:
    e, chip, hand = r.engagement, r.trochoid, r.setup.cutter.hand
    left, right = say("side", "left"), say("side", "right")
    sides = (left, right) if hand == "right" else (right, left)
    peak = PLACE * round(math.degrees(chip.phi_at_max) / PLACE)
    return {
        "entry": clock(math.degrees(e.entry), hand),
        "exit": clock(math.degrees(e.exit), hand),
        "peak": clock(peak, hand),
        "h_entry": said_thickness(chip.h_entry, units),
        "h_exit": said_thickness(chip.h_exit, units),
        "h_max": said_thickness(chip.h_max, units),
        "entry_side": sides[0],
        "exit_side": sides[1],
    }


def passage_name(setup: Setup) -> str:
    """Which way a tooth goes through this cut: the name of the template that tells it."""
    r = arc_results(setup)
    e, cut, chip = r.engagement, setup.cut, r.trochoid
    thin_in, thin_out = [h <= THIN_SHARE * chip.h_max for h in (chip.h_entry, chip.h_exit)]
    past = e.entry < math.pi / 2 - LEVEL and e.exit > math.pi / 2 + LEVEL
    if cut.direction != "straddling":
        thin = thin_out if cut.direction == "climb" else thin_in
        return cut.direction + ("_open" if not thin else "_past_centre" if past else "")
    if cut.radial_engagement_mm >= setup.cutter.diameter_mm * (1.0 - TOUCH):
        return "slot" if thin_in and thin_out else "slot_open"
    if past:
        return "straddling"
    return "straddling_climb" if e.entry >= math.pi / 2 - LEVEL else "straddling_conventional"


def passage(setup: Setup, units: Units) -> str:
    """Where a tooth meets the work, where its chip is thickest, where and how it leaves."""
    return say("sentence", passage_name(setup), **_fields(arc_results(setup), units))


def rubbing(setup: Setup, units: Units) -> str:
    """Where the chip is thinner than the edge can lift; nothing if the edge radius is not known."""
    r = arc_results(setup)
    first, last = math.degrees(r.rub_entry), math.degrees(r.rub_exit)
    if math.isnan(first) or max(first, last) < THIN:
        return ""
    if forms_no_chip(setup):
        edge = setup.cutter.edge_radius_mm or 0.0
        least = said_thickness(setup.work.chip.min_chip_ratio * edge, units)
        return say("sentence", "rubs_all", least=least)
    told = {"first": said_degrees(first), "last": said_degrees(last)}
    if first >= THIN and last >= THIN:
        return say("sentence", "rubs_both", **told)
    return say("sentence", "rubs_first" if first >= THIN else "rubs_last", **told)


def missing_teeth(setup: Setup, units: Units) -> str:
    """What runout does: how many teeth it keeps out of the work, or how far their chips are apart."""
    if setup.cutter.runout_mm == 0.0 or setup.cutter.teeth == 1:
        return ""
    chips = runout_chips(setup)
    count = sum(chip.misses for chip in chips)
    if count == 0:
        return _uneven_teeth(setup, [chip.trochoid.h_max for chip in chips], units)
    name = "one_cuts" if count == len(chips) - 1 else "one_misses" if count == 1 else "some_miss"
    thickest = said_thickness(max(chip.trochoid.h_max for chip in chips), units)
    return say("sentence", name, count=count, teeth=len(chips), h_max=thickest)


def _uneven_teeth(setup: Setup, thickest: list[float], units: Units) -> str:
    """The chips of teeth that all cut, where they differ by more than a tenth."""
    most = cutting_tooth(setup)
    if most is None or min(thickest) > (1.0 - UNEVEN) * max(thickest):
        return ""
    low, high = said_thickness(min(thickest), units), said_thickness(max(thickest), units)
    return say("sentence", "uneven_teeth", low=low, high=high, tooth=most.tooth)


CLAUSES: tuple[Clause, ...] = (passage, rubbing, missing_teeth, force_clause, reach_clause)
"""What is told of any cut, in order: each a whole sentence, or nothing."""


def limits_crossed(setup: Setup, units: Units, *, ranged: bool = True) -> str:
    """What the cut asks beyond spindle, table and tolerance, as one sentence; nothing where it is within them."""
    told = "; ".join(crossed_limits(setup, units, ranged=ranged))
    return f"{told[0].upper()}{told[1:]}." if told else ""


def sentence_lines(setup: Setup, units: Units = "metric", *, ranged: bool = True) -> tuple[str, str]:
    """The one thing that matters most for this cut, and on a second line the rest; either may be empty.

    What cannot be done comes first, then that no chip forms, then teeth that runout makes unequal; else the way of
    the tooth through the work.  The thickness figures are those of the true path without runout.

    ranged : force and wall have their ranges; without them they have two digits, and cost a tenth.
    """
    told = {
        clause: clause(setup, units) if clause is not force_clause else force_clause(setup, units, ranged=ranged)
        for clause in CLAUSES
    }
    lead = limits_crossed(setup, units, ranged=ranged)
    if not lead:
        first = rubbing if forms_no_chip(setup) else missing_teeth if told[missing_teeth] else passage
        lead = told.pop(first)
    return lead, " ".join([words for words in told.values() if words])


def sentence(setup: Setup, units: Units = "metric", *, ranged: bool = True) -> str:
    """What this cut does, in ``units``: the lines of :func:`sentence_lines` one after the other."""
    return " ".join([line for line in sentence_lines(setup, units, ranged=ranged) if line])


def other_of_pair(setup: Setup, units: Units = "metric", *, ranged: bool = True) -> str:
    """What the other cut of a pair does: of a centred one what the offset changes; nothing of the same cut."""
    other = beside_in_pair(setup)
    if other == setup.opposite != setup:
        return sentence(other, units, ranged=ranged)
    return "" if other == setup else beside_words(setup, other, units)


def spoken(setup: Setup, angle_deg: float, units: Units = "metric") -> str:
    """The state of one moving tooth in one line, for a screen reader.

    angle_deg : angle of the tip, degrees, any turn.  In the cut from true entry to true exit; the chip is
    that of the true path, as the picture draws it.
    """
    # Seen from 6 o'clock to 6 o'clock, so that a tooth just before 0 is not at 359.
    angle_deg = (angle_deg + 90.0) % 360.0 - 90.0
    r, phi = arc_results(setup), math.radians(angle_deg)
    told = {"clock": clock(angle_deg, setup.cutter.hand), "angle": figure(angle_deg, "angle", units)}
    if not r.true_entry - LEVEL <= phi <= r.true_exit + LEVEL:
        return say("spoken", "air", **told)
    h = float(thickness(phi, setup, "trochoid", runout=False))
    e = r.engagement
    # A comparison with nan, where rubbing is not known, is false.
    rubs = phi < e.entry + r.rub_entry - LEVEL or phi > e.exit - r.rub_exit + LEVEL
    return say("spoken", "rubbing" if rubs else "cutting", h=said_thickness(h, units), **told)
