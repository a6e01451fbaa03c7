"""The report for a reader: what a programmer would paste into a setup sheet, 80 columns wide."""

from __future__ import annotations

import textwrap
from typing import Any

from .force_words import force_lines
from .quantities import Units, figure, number
from .report import report
from .sentence import sentence
from .setup import Setup
from .words import say

WIDTH = 80
Row = tuple[str, str]


def _row(label: str, text: str) -> str:
    return f"  {label:<30}{text}".rstrip()


def _section(title: str, rows: list[Row]) -> list[str]:
    return ["", title, *(_row(*row) for row in rows)]


def _cutter(setup: Setup, units: Units) -> list[Row]:
    c = setup.cutter
    rows = [
        ("diameter D, teeth z", f"{figure(c.diameter_mm, 'diameter', units)}, {c.teeth}"),
        ("hand, helix, edge angle κr", f"{c.hand}, {c.helix_deg:g}°, {c.cutting_edge_angle_deg:g}°"),
    ]
    if c.edge_radius_mm is not None:
        rows.append(("edge radius", figure(c.edge_radius_mm * 1000.0, "edge_radius", units)))
    if c.runout_mm:
        rows.append(("runout", figure(c.runout_mm * 1000.0, "runout", units)))
    if c.stickout_mm is not None:
        rows.append(("stick-out", figure(c.stickout_mm, "stickout", units)))
    return rows


def _cut(setup: Setup, found: dict[str, Any], units: Units) -> list[Row]:
    cut, rates = setup.cut, found["rates"]
    share = number(100.0 * cut.radial_engagement_mm / setup.cutter.diameter_mm, 0)
    width = f"{figure(cut.radial_engagement_mm, 'radial_width', units)} ({share} % of D)"
    rows = [
        ("direction", cut.direction),
        ("radial width ae", width),
        ("depth ap", figure(cut.axial_engagement_mm, "depth", units)),
        ("feed per tooth fz", figure(cut.feed_per_tooth_mm, "feed_per_tooth", units)),
        ("table feed vf", figure(rates["table_feed_mm_min"], "table_feed", units)),
        ("spindle speed n", figure(cut.spindle_speed_rpm, "spindle_speed", units)),
        ("cutting speed vc", figure(rates["cutting_speed_m_min"], "cutting_speed", units)),
        ("removal rate Q", figure(rates["removal_rate_cm3_min"], "removal_rate", units)),
    ]
    if cut.direction == "straddling":
        rows.insert(2, ("centre offset", figure(cut.centre_offset_mm, "offset", units)))
    return rows


def _engagement(found: dict[str, Any], units: Units) -> list[Row]:
    e = found["engagement"]
    teeth = f"{number(e['teeth_in_cut_mean'], 2)} mean, {e['teeth_in_cut_min']} to {e['teeth_in_cut_max']}"
    return [
        ("enters", f"{e['entry_clock']}  ({number(e['entry_deg'], 2)}°)"),
        ("leaves", f"{e['exit_clock']}  ({number(e['exit_deg'], 2)}°)"),
        ("arc", f"{number(e['arc_deg'], 2)}°, {figure(e['arc_length_mm'], 'length', units)}"),
        ("true contact", f"{number(e['true_entry_deg'], 2)}° to {number(e['true_exit_deg'], 2)}°"),
        ("teeth in cut", teeth),
        ("contact, one tooth, one turn", figure(e["contact_time_ms"], "time", units)),
    ]


def _chip(found: dict[str, Any], units: Units) -> list[Row]:
    chip = found["chip"]
    rows = [("", f"{'arc model':<16}true path")]
    for key, label in (
        ("h_entry_mm", "h at entry"),
        ("h_exit_mm", "h at exit"),
        ("h_max_mm", "h greatest"),
        ("h_mean_mm", "h mean"),
    ):
        arc, true = (figure(chip[m][key], "chip_thickness", units) for m in ("arc", "trochoid"))
        rows.append((label, f"{arc:<16}{true}"))
    rows.append(("chip thinning fz/h max", number(chip["thinning"], 3)))
    rows.append(("fz that restores h max = fz", figure(chip["feed_for_full_thickness_mm"], "feed_per_tooth", units)))
    rows.append(("volume of one chip", figure(chip["volume_mm3"], "chip_volume", units)))
    for tooth in chip.get("teeth", []):
        told = figure(tooth["trochoid"]["h_max_mm"], "chip_thickness", units)
        extra = "  misses the work" if tooth["misses"] else "  cuts double" if tooth["cuts_double"] else ""
        rows.append((f"tooth {tooth['tooth']}, h greatest", told + extra))
    return rows


def text_report(setup: Setup, units: Units = "metric") -> str:
    """The report of a setup as text, ending in a line end."""
    found = report(setup)
    lines = [setup.title or say("report", "untitled"), "=" * min(len(setup.title) or 21, WIDTH)]
    lines += textwrap.wrap(sentence(setup, units), WIDTH)
    lines += _section("Cutter", _cutter(setup, units))
    lines += _section("Cut", _cut(setup, found, units))
    lines += _section("Engagement of one tooth", _engagement(found, units))
    lines += _section("Chip", _chip(found, units))
    forces = force_lines(setup, found, units)
    if forces:
        lines += _section("Force on the cutter, wall", forces)
    lines += ["", *textwrap.wrap(say("report", "models"), WIDTH)]
    if forces:
        lines += textwrap.wrap(say("report", "force_models"), WIDTH)
    if setup.cutter.edge_radius_mm is None:
        lines += textwrap.wrap(say("report", "no_edge_radius"), WIDTH)
    if setup.work.force is None:
        lines += textwrap.wrap(say("report", "no_force"), WIDTH)
    lines += ["", *textwrap.wrap(say("report", "cautions"), WIDTH), say("report", "advice")]
    return "\n".join(lines) + "\n"
