"""Which way in words: the verdict with its condition, the rungs, and why each reason points where it does."""

from __future__ import annotations

import math
from typing import Literal

from ..advice.checks import HOLD_SHARE
from ..advice.draws import DRAWS
from ..advice.ladder import Condition, Rung, Verdict, verdict
from ..advice.offsets import offset_advice
from ..advice.reason_ranges import ROUGH, pull_range, reason_range
from ..advice.turning import Turn
from ..advice.which_way import Reason, reason_of
from ..base.glossary import glossary
from ..base.quantities import QUANTITIES, Units, clear_figure, figure, number, short_figure
from ..base.words import inside, say, words
from ..chatter.estimated_modes import with_modes
from ..cut.engagement import engagement
from ..force.force_turn import force_turn
from ..force.table_pull import table_pull
from ..setup.setup import Setup
from .rough_words import rough

TERM_OF = {
    "machine.backlash_mm": ("backlash", "length"),
    "machine.table_friction_n": ("table_friction", "force"),
    "machine.feed_preload_n": ("feed_preload", "force"),
    "cut.wall_tolerance_mm": ("wall_tolerance", "deflection"),
    "work.skin.thickness_mm": ("skin", "length"),
    "cutter.edge_radius_mm": ("edge_radius", "deflection"),
    "work.chip.min_chip_ratio": ("least_chip", "number"),
    "cutter.stickout_mm": ("stickout", "stickout"),
    "cut.radial_engagement_mm": ("radial_width", "radial_width"),
    "cut.feed_per_tooth_mm": ("feed_per_tooth", "feed_per_tooth"),
    "cut.axial_engagement_mm": ("depth", "depth"),
    "cut.spindle_speed_rpm": ("spindle_speed", "spindle_speed"),
    "cutter.diameter_mm": ("diameter", "diameter"),
    "cutter.helix_deg": ("helix", "helix"),
    "cutter.cutting_edge_angle_deg": ("cutting_edge_angle", "cutting_edge_angle"),
    "cutter.runout_mm": ("runout", "deflection"),
    "cutter.flute_length_mm": ("flute_length", "stickout"),
    "cutter.shank_diameter_mm": ("shank_diameter", "diameter"),
    "cutter.neck_diameter_mm": ("neck_diameter", "diameter"),
    "cutter.neck_length_mm": ("neck_length", "stickout"),
    "cutter.holder_stiffness_n_mm": ("holder_stiffness", "stiffness"),
}
"""The glossary's term and the quantity of each figure that may turn the verdict."""

HELD_AGAINST = ("error", "stability", "rub")
"""Reasons whose figures are told beside what they are held against, in the same unit."""


WAYS: tuple[Literal["climb", "conventional"], ...] = ("climb", "conventional")


def way_word(way: str) -> str:
    """A direction as a sentence begins with it."""
    return say("way_start", way)


def why(reason: Reason, setup: Setup, units: Units = "metric", *, ranged: bool = True) -> str:
    """Why a reason points where it does, with its figures.

    ranged : figures that are known roughly have their ranges; without them they have two digits.
    """
    fields = {"threshold": clear_figure(reason.threshold, reason.quantity, units)}
    for way in WAYS:
        fields[way], fields["threshold"] = _beside(reason, way, fields["threshold"], setup, units, ranged)
    if reason.id == "pull":
        fields |= _pull_figures(setup, units, ranged)
    if reason.id == "exit":
        for way in WAYS:
            leaves = engagement(setup.facing(way)).exit
            fields[f"angle_{way}"] = figure(math.degrees(leaves), "angle", units)
    if reason.id == "stability":
        fields |= {way: say("stability", "deeper") for way in WAYS if reason.figure(way) is None}
    return say(f"why_{reason.id}", reason.why, **fields)


def _beside(
    reason: Reason, way: Literal["climb", "conventional"], threshold: str, setup: Setup, units: Units, ranged: bool
) -> tuple[str, str]:
    """A reason's figure in one direction, and its threshold with as many digits as tell them apart."""
    value = reason.figure(way)
    if value is None or reason.id not in ROUGH:
        return clear_figure(value, reason.quantity, units), threshold
    told = rough(value, reason_range(reason.id, setup.facing(way)) if ranged else None)
    if reason.id not in HELD_AGAINST:
        return told.told(reason.quantity, units), threshold
    text, other = told.told_beside(reason.threshold, reason.quantity, units)
    return text, max(threshold, other, key=len)


def reason_figure(reason: Reason, way: str, units: Units = "metric") -> str:
    """A reason's figure in one direction for a narrow column: in two digits where it is known only roughly."""
    value = reason.figure(way)
    if value is None or reason.id not in ROUGH:
        return clear_figure(value, reason.quantity, units)
    return rough(value, None).told(reason.quantity, units)


def _pull_figures(setup: Setup, units: Units, ranged: bool) -> dict[str, str]:
    """What pulls and what holds; a push all the way is no pull."""
    machine, pull = setup.machine, table_pull(setup.facing("climb"))
    texts = {
        "hold": clear_figure(None if machine is None else machine.hold_n, "force", units),
        "backlash": clear_figure(None if machine is None else machine.backlash_mm, "length", units),
        "jump": number(None if pull is None else pull.jump, 1),
    }
    counted_on = None if machine is None or machine.hold_n is None else HOLD_SHARE * machine.hold_n
    for way in WAYS:
        turn = force_turn(setup.facing(way))
        if turn is None:
            texts[f"pull_{way}"] = clear_figure(None, "force", units)
            continue
        told = rough(max(turn.fy.greatest, 0.0), pull_range(setup.facing(way)) if ranged else None)
        texts[f"pull_{way}"], _ = told.told_beside(counted_on, "force", units)
    return texts


def not_computed_words(setup: Setup) -> str:
    """What the verdict does not know: chatter where no vibration data are given, and what is never
    computed."""
    if setup.work.force is None or (not setup.dynamics and not with_modes(setup)[1]):
        word = "chatter_unknown"
    else:
        word = "chatter_given" if setup.dynamics else "chatter_estimated"
    return f"{say('decision', word)} {say('decision', 'not_computed')}"


def condition_words(conditions: tuple[Condition, ...]) -> str | None:
    """Under what the verdict holds, None where it holds as it is."""
    if not conditions:
        return None
    joined = say("condition", conditions[0].id)
    for more in conditions[1:]:
        joined = say("decision", "and", one=joined, other=say("condition", more.id))
    return joined


def _rung_words(decided: Verdict) -> str:
    """What decided, as a clause."""
    return say("decision", "edge_hint" if decided.by == "exit" else decided.rung or "custom")


def _settled_by(decided: Verdict) -> list[str]:
    """What would settle a verdict that is too close to call."""
    if decided.turned_by == "cutter.teeth":
        return [say("decision", "turned_by_teeth")]
    if decided.turned_by is not None:
        term, _ = TERM_OF[decided.turned_by]
        return [say("decision", "turned_by", name=inside(glossary()[term].word))]
    return [] if decided.settles is None else [say("decision", "settles", input=say("settles", decided.settles))]


def verdict_words(decided: Verdict, setup: Setup, units: Units = "metric", *, ranged: bool = True) -> str:
    """The headline: direction, condition, the rung that decided, in how many draws it stands."""
    condition = condition_words(decided.conditions)
    if decided.leaning is None:
        sentences = [say("decision", "nothing")]
    elif decided.close:
        named = {"way": say("way", decided.leaning), "n": decided.stands_in, "all": DRAWS, "condition": condition}
        sentences = [say("decision", "close" if condition is None else "close_if", **named)]
        sentences += _settled_by(decided)
    else:
        sentences = [
            say(
                "decision",
                "answer" if condition is None else "answer_if",
                way=way_word(decided.leaning),
                condition=condition,
                rung=_rung_words(decided),
                number=decided.number,
            )
        ]
        if decided.stands_in is not None:
            sentences.append(say("decision", "drawn", n=decided.stands_in, all=DRAWS))
        if decided.by == "stability":
            # Closer than a slider is set; the rule that looks at what is near leaves them out.
            sentences.append(say("decision", "lobes"))
    off = [rung for rung in decided.rungs if not rung.asked]
    if off:
        sentences.append(say("decision", "without", names=", ".join(say("rung", rung.id) for rung in off)))
    for rung in off:
        if rung.id == "machine" and rung.out:
            still = why(reason_of("pull", setup), setup, units, ranged=ranged)
            sentences.append(say("decision", "stop_off", why=still))
    return " ".join(sentences)


def decision_words(setup: Setup, units: Units = "metric") -> str:
    """The verdict of a cut with its draws; for a straddling one what its offset does."""
    decided = verdict(setup)
    return offset_words(setup, units) if decided is None else verdict_words(decided, setup, units)


def brief_words(setup: Setup) -> str:
    """The verdict for a setup sheet, that names no direction beside the one that the sheet is for."""
    decided = verdict(setup)
    if decided is None:
        return offset_words(setup)
    condition = condition_words(decided.conditions)
    if decided.leaning is None:
        return say("decision", "nothing")
    if decided.close:
        reason = " ".join([say("decision", "not_as_set_close"), *_settled_by(decided)])
        if condition is not None and setup.cut.direction == decided.leaning:
            reason = say("decision", "as_set_if", condition=condition, why=reason)
        return reason
    if decided.leaning != setup.cut.direction:
        return say("decision", "not_as_set", rung=_rung_words_plain(decided))
    drawn = "" if decided.stands_in is None else say("decision", "drawn", n=decided.stands_in, all=DRAWS)
    if condition is None:
        return say("decision", "as_set", why=drawn)
    return say("decision", "as_set_if", condition=condition, why=drawn)


def _rung_words_plain(decided: Verdict) -> str:
    """What decided, without a direction in it."""
    return say("rung", decided.rung or "custom")


def offset_words(setup: Setup, units: Units = "metric") -> str:
    """What the offset of a straddling cut does."""
    contact = offset_advice(setup)
    parts = [
        say(
            "decision",
            "straddling",
            offset=clear_figure(setup.cut.centre_offset_mm, "offset", units),
            angle=figure(contact.exit_deg, "angle", units),
            h=clear_figure(contact.h_exit, "chip_thickness", units),
            attitude=figure(contact.attitude_deg, "angle", units),
        )
    ]
    if contact.over_the_edge:
        parts.append(say("decision", "straddling_edge"))
        if contact.better is not None:
            parts.append(say("decision", "straddling_better", offset=clear_figure(contact.better, "offset", units)))
    return " ".join(parts)


def beside_words(setup: Setup, other: Setup, units: Units = "metric") -> str:
    """What another offset of a centred straddling cut changes: how teeth leave and how they meet the work."""
    here, there = offset_advice(setup), offset_advice(other)
    return say(
        "decision",
        "straddling_beside",
        offset=short_figure(other.cut.centre_offset_mm, "offset", units, signed=True),
        **{
            f"{name}_{where}": clear_figure(value, quantity, units)
            for where, found in (("here", here), ("there", there))
            for name, value, quantity in (
                ("angle", found.exit_deg, "angle"),
                ("h", found.h_exit, "chip_thickness"),
                ("attitude", found.attitude_deg, "angle"),
            )
        },
    )


def missing_words(keys: tuple[str, ...]) -> str:
    """What is not given, by the keys that would give it."""
    return ", ".join(say("missing", key.split(".")[-1]) for key in keys)


def rung_words(rung: Rung) -> str:
    """The answer of a rung, in how many draws it is the same, or what it lacks."""
    if not rung.asked:
        return say("rung_answer", "off")
    if rung.answer == "not known":
        return say("rung_answer", "lacks", missing=missing_words(rung.missing))
    if len(rung.out) == 2:
        return say("rung_answer", "both")
    answer = say("rung_answer", rung.answer.replace(" ", "_"))
    if rung.clear_in is None or rung.id == "custom":
        return answer
    return say("rung_answer", "clear_in", answer=answer, n=rung.clear_in, all=DRAWS)


def turn_words(turn: Turn, units: Units = "metric") -> str:
    """A figure that would turn the verdict, and to what."""
    term, quantity = TERM_OF[turn.key]
    name = glossary()[term].word
    value = number(turn.value, 2) if quantity == "number" else clear_figure(turn.value, quantity, units)
    return say("turn", "one", name=name, value=value, direction=say("way", turn.direction))


__all__ = [
    "QUANTITIES",
    "beside_words",
    "brief_words",
    "condition_words",
    "decision_words",
    "missing_words",
    "not_computed_words",
    "offset_words",
    "reason_figure",
    "rung_words",
    "turn_words",
    "verdict_words",
    "way_word",
    "why",
    "words",
]
