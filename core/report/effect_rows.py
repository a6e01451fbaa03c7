"""The text report's rows of what follows from a cut: rubbing, skin, entry, exit, pull, heat, advice, life."""

from __future__ import annotations

import math

from ..advice.checks import CHECKS_OF
from ..advice.ladder import verdict
from ..advice.reason_ranges import reason_range
from ..advice.turning import turns
from ..advice.which_way import Reason, reasons
from ..base.quantities import Units, clear_figure, number, rough_figure
from ..base.words import say
from ..cut.engagement import engagement
from ..effects.edge_flux import ASSUMED_CONTACT_MM
from ..effects.entry_exit import STEP_DEG
from ..setup.setup import PowerLaw, Setup
from .rough_words import rough
from .text_layout import Report, Row, between, degrees
from .which_way_words import not_computed_words, offset_words, reason_figure, rung_words, turn_words, verdict_words


def rubbing_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Where the edge rubs before it lifts a chip and how often; nothing where the edge radius is not known."""
    r = report["rubbing"]
    if r["h_min_um"] is None:
        return []
    ratio = number(setup.work.chip.min_chip_ratio, 2)
    passes = "slides" if r["passes"] is None else "slides_passes"
    slid = {"way": clear_figure(r["sliding_mm"], "length", units), "passes": number(r["passes"], 1)}
    teeth = r["teeth_per_chip"]
    chip = "never" if teeth is None else "each_tooth" if teeth == 1 else "every_few_teeth"
    low, high = (degrees(arc) for arc in r["published_deg"])
    rows = [
        (
            say("row", "least_chip"),
            say("value", "of_edge", h=clear_figure(r["h_min_um"], "micro", units), ratio=ratio),
        ),
        (say("row", "rubs_after_entry"), degrees(r["entry_deg"])),
        (say("row", "rubs_before_exit"), degrees(r["exit_deg"])),
        (say("row", "rubs_published"), between(low, high)),
        (say("row", "slides"), say("value", passes, **slid)),
    ]
    if r["work_share"] is not None:
        rows.append((say("row", "rubbing_work"), clear_figure(100.0 * r["work_share"], "share", units)))
    rows.append((say("row", "chip_forms"), say("value", chip, teeth=teeth)))
    if teeth != 1:
        rows.append((say("row", "feed_for_chip"), clear_figure(r["feed_for_chip_mm"], "feed_per_tooth", units)))
    if r["tooth"] is not None:
        rows.insert(0, ("", say("report", "rubbing_tooth", tooth=r["tooth"])))
    return [*rows, ("", say("report", "rubbing_model"))]


def skin_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """How a tooth goes through the skin of the work; nothing where no skin is given."""
    skin = report["skin"]
    if skin["met"] is None or setup.work.skin is None:
        return []
    rows = [
        (say("row", "skin"), clear_figure(setup.work.skin.thickness_mm, "length", units)),
        (say("row", "skin_met"), say("skin", skin["met"])),
    ]
    if skin["met"] != "none":
        way = clear_figure(skin["sliding_mm"], "length", units)
        rows += [
            (say("row", "skin_arc"), say("value", "arc_and_way", arc=degrees(skin["cross_deg"]), way=way)),
            (say("row", "skin_share"), clear_figure(100.0 * skin["arc_share"], "share", units)),
            (say("row", "skin_h"), clear_figure(skin["h_mm"], "chip_thickness", units)),
        ]
    return [*rows, ("", say("report", "skin_model"))]


def entry_exit_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """How a tooth strikes the work and how it breaks out of it."""
    first, last = report["entry"], report["exit"]
    contact = "contact_unknown" if first["contact"] is None else first["contact"].replace(" ", "_")
    attitude = number(first["attitude_deg"], 1, signed=True) + "°"
    rows = [
        (say("row", "entry_section"), clear_figure(first["area_1deg_mm2"], "chip_section", units)),
        (say("row", "attitude"), say("contact", contact, attitude=attitude)),
        (say("row", "exit_section"), clear_figure(last["area_1deg_mm2"], "chip_section", units)),
        (say("row", "wedge"), degrees(last["wedge_deg"])),
    ]
    if last["drop_n"] is not None:
        drop, lag = rough_figure(last["drop_n"], "force", units), math.degrees(engagement(setup).edge_lag)
        # A helical edge leaves bit by bit: the whole of it is never lost at once.
        spread = last["drop_n"] > 0.0 and lag >= STEP_DEG
        rows.append(
            (say("row", "drop"), say("value", "spread", force=drop, angle=number(lag, 1)) if spread else drop)
        )
    return [*rows, ("", say("report", "entry_exit_model"))]


def heat_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Rises of the edge at entry, peak and exit, their mean over a turn, and the shares; nothing if not known."""
    heat = report["heat"]
    if heat["peak_deg"] is None:
        return []
    over_end = ""
    if heat["end"] is not None:
        limit = clear_figure(heat["end_rise_k"], "temperature_rise", units)
        over_end = say("value", "heat_end", end=heat["end"], limit=limit)

    def rise(key: str) -> str:
        shown = heat["peak_rise_k"] if key == "swing_k" else heat[key]
        return over_end if shown is None and over_end else rough_figure(heat[key], "temperature_rise", units)

    def share(key: str) -> str:
        return clear_figure(None if heat[key] is None else 100.0 * heat[key], "share", units)

    peak = say("value", "at_angle", value=rise("peak_rise_k"), angle=number(heat["peak_deg"], 1) + "°")
    rows = [
        (say("row", "entry_rise_k"), rise("entry_rise_k")),
        (say("row", "peak_rise_k"), peak),
        (say("row", "exit_rise_k"), rise("exit_rise_k")),
        (say("row", "mean_rise_k"), rise("mean_rise_k")),
        (say("row", "swing_k"), rise("swing_k")),
        (say("row", "tool_share"), share("tool_share")),
        (say("row", "left_share"), share("left_share")),
        (say("row", "edge_share"), share("edge_share")),
        ("", say("report", "heat_level")),
    ]
    if heat["tooth"] is not None:
        rows.insert(0, ("", say("report", "heat_tooth", tooth=heat["tooth"])))
    if report["force"].get("h_below_tested_share"):
        below = clear_figure(100.0 * report["force"]["h_below_tested_share"], "share", units)
        rows.append(("", say("report", "heat_below_tested", share=below)))
    if heat["contact_assumed"]:
        contact = clear_figure(ASSUMED_CONTACT_MM, "length", units)
        rows.append(("", say("report", "heat_contact_assumed", contact=contact)))
    if heat["solidus_c"] is None:
        rows.append(("", say("report", "heat_no_solidus")))
    if isinstance(setup.work.force, PowerLaw):
        rows.append(("", say("report", "heat_power_law")))
    return rows


def table_pull_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Whether the cut pulls the table and what its friction leaves of that; nothing where forces are not known."""
    feed = report["feed"]
    if feed["pull_share"] is None:
        return []
    share = clear_figure(100.0 * feed["pull_share"], "share", units)
    rows = [(say("row", "pull_share"), say("value", "of_a_turn", share=share))]
    if feed["neutral_deg"] is not None:
        rows.append((say("row", "neutral"), degrees(feed["neutral_deg"])))
    margin, machine = feed["pull_margin_n"], setup.machine
    if margin is None or machine is None:
        rows.append((say("row", "pull_margin"), say("value", "no_machine")))
    else:
        text = rough(margin, reason_range("pull", setup)).told("force", units)
        rows.append((say("row", "pull_margin"), text))
        if margin < 0.0 and machine.backlash_mm is None:
            rows.append((say("row", "table_jump"), say("value", "no_backlash")))
        elif margin < 0.0 and machine.backlash_mm:
            way, times = clear_figure(machine.backlash_mm, "length", units), number(feed["jump_chip_ratio"], 2)
            rows.append((say("row", "table_jump"), say("value", "jump", way=way, times=times)))
    return [*rows, ("", say("report", "table_pull_model"))]


def which_way_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The verdict with its caution, every rung with its evidence both ways, and what would turn it."""
    ladder = verdict(setup)
    closing = [("", say("decision", "cautions")), ("", not_computed_words(setup))]
    if ladder is None:
        return [("", offset_words(setup, units)), *closing]
    rows = [("", verdict_words(ladder, setup, units)), *closing]
    # Narrower columns than elsewhere: the third holds two words.
    rows.append(("", f"{say('value', 'climbing'):<14}{say('value', 'conventional')}"))
    evidence = {reason.id: reason for reason in reasons(setup)}
    for rung in ladder.rungs:
        rows.append((f"{rung.number} {say('rung', rung.id)}", rung_words(rung)))
        rows += [_reason_row(evidence[id], units) for id in CHECKS_OF[rung.id] if id in evidence]
    rows += [_reason_row(reason, units) for reason in evidence.values() if reason.rung is None]
    turn_texts = [turn_words(turn, units) for turn in turns(setup)]
    rows.append((say("turn", "head"), turn_texts[0] if turn_texts else say("turn", "none")))
    return rows + [("", words) for words in turn_texts[1:]]


def _reason_row(reason: Reason, units: Units) -> Row:
    """The figures of one reason both ways, and which way it points."""
    climb, other = (reason_figure(reason, way, units) for way in ("climb", "conventional"))
    favours = say("way", reason.favours) if reason.favours else say("value", "does_not_decide")
    return say("reason", reason.id), f"{climb:<13} {other:<13} {favours}"


def tool_life_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The ratio of tool lives with its band, or why there is none; nothing without another setup."""
    life = report["tool_life"]
    if life is None:
        return []
    rows = [(say("row", "against"), life["against"] or say("report", "untitled"))]
    if life["ratio"] is None:
        rows.append((say("row", "life_ratio"), say("value", "no_life_ratio", reason=life["reason"])))
    else:
        ratios = {key: _two_digits(life[key]) for key in ("ratio", "low", "high")}
        rows.append((say("row", "life_ratio"), say("value", "life_ratio", **ratios)))
    return [*rows, ("", say("report", "tool_life_model")), ("", say("report", "tool_life_direction"))]


def _two_digits(value: float) -> str:
    # More would promise what no exponent keeps.
    rounded = float(f"{value:.1e}")
    return clear_figure(rounded, "number", decimals=1 if rounded < 10.0 else 0)
