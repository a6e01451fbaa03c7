"""The report for a reader: what a programmer would paste into a setup sheet, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from typing import Any

from .cutter_bending import stiffness_from
from .edge_flux import known_work_material
from .materials import Catalogue
from .quantities import Units, clear_figure, number
from .report import report
from .sentence import sentence
from .setup import PowerLaw, Setup
from .tool_life import tool_life_section
from .which_way import decide, reasons
from .which_way_words import decision_words
from .words import say

WIDTH = 80
LABEL, COLUMN = 30, 16

Found = dict[str, Any]
Row = tuple[str, str]
Rows = Callable[[Setup, Found, Units], list[Row]]


def wrapped(text: str, indent: str = "") -> list[str]:
    """Text as lines of at most 80 columns; a single word that is longer is cut."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent) or [""]


def aligned(rows: list[Row]) -> list[str]:
    """Rows of label and value as lines; a value too long for its line goes on below itself."""
    lines = []
    for label, value in rows:
        # Columns of a value are kept apart by runs of spaces, which wrapping would eat.
        fits = LABEL + 2 + len(value) <= WIDTH
        first, *rest = [value] if fits else textwrap.wrap(value, WIDTH - LABEL - 2)
        lines += [f"  {label:<{LABEL}}{first}".rstrip(), *(" " * (LABEL + 2) + more for more in rest)]
    return lines


def in_columns(*texts: str) -> str:
    """Texts of equal rank under one another."""
    return "".join(f"{text:<{COLUMN}}" for text in texts).rstrip()


def cutter_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The cutter as it is set."""
    c = setup.cutter
    shape = (say("hand", c.hand), clear_figure(c.helix_deg, "helix"), clear_figure(c.cutting_edge_angle_deg, "helix"))
    rows = [
        (say("row", "diameter"), f"{clear_figure(c.diameter_mm, 'diameter', units)}, {c.teeth}"),
        (say("row", "shape"), ", ".join(shape)),
    ]
    if c.edge_radius_mm is not None:
        rows.append((say("row", "edge_radius"), clear_figure(c.edge_radius_mm * 1000.0, "edge_radius", units)))
    if c.runout_mm:
        rows.append((say("row", "runout"), clear_figure(c.runout_mm * 1000.0, "runout", units)))
    if c.stickout_mm is not None:
        rows.append((say("row", "stickout"), clear_figure(c.stickout_mm, "stickout", units)))
    if c.flute_length_mm is not None:
        rows.append((say("row", "flute_length"), clear_figure(c.flute_length_mm, "stickout", units)))
    if c.shank_diameter_mm is not None:
        rows.append((say("row", "shank_diameter"), clear_figure(c.shank_diameter_mm, "diameter", units)))
    if setup.work.material is not None:
        rows.append((say("row", "material"), setup.work.material))
    return rows


def cut_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The cut as it is set, with its speeds and its rate."""
    cut, rates = setup.cut, found["rates"]
    share = number(100.0 * cut.radial_engagement_mm / setup.cutter.diameter_mm, 0)
    width = clear_figure(cut.radial_engagement_mm, "radial_width", units)
    rows = [
        (say("row", "direction"), say("direction", cut.direction)),
        (say("row", "radial_width"), say("value", "share_of_diameter", width=width, share=share)),
    ]
    if cut.direction == "straddling":
        rows.append((say("row", "offset"), clear_figure(cut.centre_offset_mm, "offset", units)))
    values = (
        ("depth", cut.axial_engagement_mm),
        ("feed_per_tooth", cut.feed_per_tooth_mm),
        ("table_feed", rates["table_feed_mm_min"]),
        ("spindle_speed", cut.spindle_speed_rpm),
        ("cutting_speed", rates["cutting_speed_m_min"]),
        ("removal_rate", rates["removal_rate_cm3_min"]),
    )
    return rows + [(say("row", quantity), clear_figure(value, quantity, units)) for quantity, value in values]


def _between(low: str, high: str) -> str:
    return say("value", "same", count=low) if low == high else say("value", "between", low=low, high=high)


def engagement_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Where a tooth is in the work, how long, and how many are."""
    e = found["engagement"]

    def degrees(key: str) -> str:
        return number(e[key], 2) + "°"

    span = _between(str(e["teeth_in_cut_min"]), str(e["teeth_in_cut_max"]))
    contact = say("value", "from_to", low=degrees("true_entry_deg"), high=degrees("true_exit_deg"))
    return [
        (say("row", "entry"), say("value", "at_clock", clock=e["entry_clock"], angle=degrees("entry_deg"))),
        (say("row", "exit"), say("value", "at_clock", clock=e["exit_clock"], angle=degrees("exit_deg"))),
        (say("row", "arc"), f"{degrees('arc_deg')}, {clear_figure(e['arc_length_mm'], 'length', units)}"),
        (say("row", "true_contact"), contact),
        (say("row", "teeth_in_cut"), say("value", "teeth", mean=number(e["teeth_in_cut_mean"], 2), range=span)),
        (say("row", "contact_time"), clear_figure(e["contact_time_ms"], "time", units)),
    ]


def chip_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Thickness in both models, thinning, the feed that makes up for it; with runout each tooth's own."""
    chip = found["chip"]
    rows = [("", in_columns(say("value", "arc_model"), say("value", "true_path")))]
    for key in ("h_entry_mm", "h_exit_mm", "h_max_mm", "h_mean_mm"):
        both = (_thickness(chip[model][key], chip[model]["h_max_mm"], units) for model in ("arc", "trochoid"))
        rows.append((say("row", key), in_columns(*both)))
    rows.append((say("row", "thinning"), number(chip["thinning"], 3)))
    restoring = clear_figure(chip["feed_for_full_thickness_mm"], "feed_per_tooth", units)
    rows.append((say("row", "restoring_feed"), restoring))
    rows.append((say("row", "chip_volume"), clear_figure(chip["volume_mm3"], "chip_volume", units)))
    for tooth in chip.get("teeth", []):
        word = say("value", "misses") if tooth["misses"] else say("value", "cuts_double") * tooth["cuts_double"]
        both = (clear_figure(tooth[model]["h_max_mm"], "chip_thickness", units) for model in ("arc", "trochoid"))
        rows.append((say("row", "tooth", tooth=tooth["tooth"]), in_columns(*both, word)))
    return rows


def _thickness(h: float, greatest: float, units: Units) -> str:
    # sin(180 degrees) leaves 1e-17 of the feed, which is nothing and not a thin chip.
    return clear_figure(0.0 if h < 1e-12 * greatest else h, "chip_thickness", units)


def _degrees(angle_deg: float) -> str:
    return number(angle_deg, 2) + "°"


def rubbing_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Where the edge rubs before it lifts a chip and how often; nothing where the edge radius is not known."""
    r = found["rubbing"]
    if r["h_min_um"] is None:
        return []
    ratio = number(setup.work.chip.min_chip_ratio, 2)
    passes = "slides" if r["passes"] is None else "slides_passes"
    slid = {"way": clear_figure(r["sliding_mm"], "length", units), "passes": number(r["passes"], 1)}
    teeth = r["teeth_per_chip"]
    chip = "never" if teeth is None else "each_tooth" if teeth == 1 else "every_few_teeth"
    low, high = (_degrees(arc) for arc in r["published_deg"])
    rows = [
        (
            say("row", "least_chip"),
            say("value", "of_edge", h=clear_figure(r["h_min_um"], "micro", units), ratio=ratio),
        ),
        (say("row", "rubs_after_entry"), _degrees(r["entry_deg"])),
        (say("row", "rubs_before_exit"), _degrees(r["exit_deg"])),
        (say("row", "rubs_published"), _between(low, high)),
        (say("row", "slides"), say("value", passes, **slid)),
    ]
    if r["work_share"] is not None:
        rows.append((say("row", "rubbing_work"), clear_figure(100.0 * r["work_share"], "share", units)))
    rows.append((say("row", "chip_forms"), say("value", chip, teeth=teeth)))
    if teeth != 1:
        rows.append((say("row", "feed_for_chip"), clear_figure(r["feed_for_chip_mm"], "feed_per_tooth", units)))
    return [*rows, ("", say("report", "rubbing_model"))]


def skin_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """How a tooth goes through the skin of the work; nothing where no skin is given."""
    skin = found["skin"]
    if skin["met"] is None or setup.work.skin is None:
        return []
    rows = [
        (say("row", "skin"), clear_figure(setup.work.skin.thickness_mm, "length", units)),
        (say("row", "skin_met"), say("skin", skin["met"])),
    ]
    if skin["met"] != "none":
        way = clear_figure(skin["sliding_mm"], "length", units)
        rows += [
            (say("row", "skin_arc"), say("value", "arc_and_way", arc=_degrees(skin["cross_deg"]), way=way)),
            (say("row", "skin_share"), clear_figure(100.0 * skin["arc_share"], "share", units)),
            (say("row", "skin_h"), clear_figure(skin["h_mm"], "chip_thickness", units)),
        ]
    return [*rows, ("", say("report", "skin_model"))]


def entry_exit_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """How a tooth strikes the work and how it breaks out of it."""
    first, last = found["entry"], found["exit"]
    contact = "contact_unknown" if first["contact"] is None else first["contact"].replace(" ", "_")
    attitude = number(first["attitude_deg"], 1, signed=True) + "°"
    rows = [
        (say("row", "entry_section"), clear_figure(first["area_1deg_mm2"], "chip_section", units)),
        (say("row", "attitude"), say("contact", contact, attitude=attitude)),
        (say("row", "exit_section"), clear_figure(last["area_1deg_mm2"], "chip_section", units)),
        (say("row", "wedge"), _degrees(last["wedge_deg"])),
    ]
    if last["drop_n"] is not None:
        rows.append((say("row", "drop"), clear_figure(last["drop_n"], "force", units)))
    return [*rows, ("", say("report", "entry_exit_model"))]


FORCE_QUANTITIES = {"fx_n": "force", "fy_n": "force", "fz_n": "force", "torque_nm": "torque"}


def force_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Forces and torque over a turn, mean power; nothing where they are not known."""
    force = found["force"]
    rows = []
    for key, quantity in FORCE_QUANTITIES.items():
        turn = force.get(key)
        if turn and turn["mean"] is not None:
            figures = (clear_figure(turn[part], quantity, units) for part in ("min", "mean", "max"))
            rows.append((say("row", key), in_columns(*figures)))
    if rows:
        rows.insert(0, ("", in_columns(*(say("value", part) for part in ("min", "mean", "max")))))
    if force.get("power_kw") is not None:
        rows.append((say("row", "power_kw"), clear_figure(force["power_kw"], "power", units)))
    if force.get("steepest_rise_n_ms") is not None:
        told = clear_figure(force["steepest_rise_n_ms"], "force", units)
        rows.append((say("row", "steepest_rise"), say("value", "each_ms", force=told)))
    if force.get("jump_n"):
        rows.append((say("row", "jump"), clear_figure(force["jump_n"], "force", units)))
    for tooth in force.get("teeth") or []:
        peak = clear_figure(tooth["resultant_max_n"], "force", units)
        torque = clear_figure(tooth["torque_max_nm"], "torque", units)
        rows.append((say("row", "tooth_force", tooth=tooth["tooth"]), in_columns(peak, torque)))
    return rows


def wall_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """How far the tip moves and what it leaves of the wall; nothing where it is not known."""
    wall = found["wall"]
    rows, moved, error = [], wall.get("deflection_mm"), wall.get("error_mm")
    if moved and moved["min"] is not None:
        ends = (clear_figure(moved[part], "deflection", units) for part in ("min", "max"))
        rows.append((say("row", "deflection_mm"), _between(*ends)))
    if error is not None:
        told = clear_figure(error, "deflection", units)
        rows.append((say("row", "error_mm"), say("value", "stock_left" if error >= 0 else "undercut", error=told)))
    return rows + wall_depth_rows(setup, found, units) + feed_mark_rows(setup, found, units)


def feed_mark_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The feed marks and how many teeth leave one; nothing where there is no wall."""
    height, teeth = found["wall"].get("feed_mark_um"), found["wall"].get("marks_per_turn")
    if height is None:
        return []
    told = {"height": clear_figure(height, "micro", units), "teeth": teeth, "all": setup.cutter.teeth}
    return [(say("row", "feed_marks"), say("value", "marks", **told)), ("", say("report", "feed_marks_model"))]


def wall_depth_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The model of the stiffness, the error over the depth, the tolerance and what keeps it."""
    wall, rows = found["wall"], []
    stiffness, tolerance = stiffness_from(setup, units), wall.get("tolerance_mm")
    if stiffness is not None:
        rows.append((say("row", "stiffness_from"), stiffness))
    if wall.get("side") is not None:
        ends = (clear_figure(wall[key], "deflection", units) for key in ("error_least_mm", "error_greatest_mm"))
        rows.append((say("row", "error_over_depth"), _between(*ends)))
    if wall.get("local_less_tip_mm") is not None:
        rows.append((say("row", "local_less_tip"), clear_figure(wall["local_less_tip_mm"], "deflection", units)))
    if tolerance is not None:
        told = clear_figure(tolerance, "deflection", units)
        name = {True: "kept", False: "not_kept", None: "not_known"}[wall["within_tolerance"]]
        rows.append((say("row", "wall_tolerance"), say("value", name, tolerance=told)))
        if wall["within_tolerance"] is not None:
            for key, quantity in (("feed", "feed_per_tooth"), ("width", "radial_width")):
                rows.append((say("row", f"{key}_within"), _within(wall, key, quantity, units)))
    return rows


def _within(wall: Found, key: str, quantity: str, units: Units) -> str:
    greatest, band = wall[f"{key}_within_tolerance_mm"], wall[f"{key}_band_mm"]
    if band is None:
        return say("value", "none_keeps")
    if greatest == band[1]:
        return clear_figure(greatest, quantity, units)
    low, high = (clear_figure(v, quantity, units) for v in band)
    if greatest is None:
        return say("value", "from_to", low=low, high=high)
    return say("value", "up_to_and_band", greatest=clear_figure(greatest, quantity, units), low=low, high=high)


def heat_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Rises of the edge at entry, peak and exit, their mean over a turn, and the shares; nothing if not known."""
    heat = found["heat"]
    if heat["peak_rise_k"] is None:
        return []

    def rise(key: str) -> str:
        return clear_figure(heat[key], "temperature_rise", units)

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
    if isinstance(setup.work.force, PowerLaw):
        rows.append(("", say("report", "heat_power_law")))
    return rows


def machine_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The drive, and what the spindle gives with the part of it that is used; nothing where it is not known."""
    machine, rows = found["machine"], []
    if setup.machine is not None and setup.machine.drive is not None:
        rows.append((say("row", "drive"), say("drive", setup.machine.drive)))
    for key, quantity, unit in (("power", "power", "kw"), ("torque", "torque", "nm")):
        limit, share = machine[f"{key}_available_{unit}"], machine[f"{key}_used_share"]
        if limit is not None:
            told = clear_figure(limit, quantity, units)
            if share is not None:
                told = say("value", "used", limit=told, share=clear_figure(100.0 * share, "share", units))
            rows.append((say("row", f"{key}_available"), told))
    return rows


def table_pull_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Whether the cut pulls the table and what its friction leaves of that; nothing where forces are not known."""
    feed = found["feed"]
    if feed["pull_share"] is None:
        return []
    share = clear_figure(100.0 * feed["pull_share"], "share", units)
    rows = [(say("row", "pull_share"), say("value", "of_a_turn", share=share))]
    if feed["neutral_deg"] is not None:
        rows.append((say("row", "neutral"), _degrees(feed["neutral_deg"])))
    margin, machine = feed["pull_margin_n"], setup.machine
    if margin is None or machine is None:
        rows.append((say("row", "pull_margin"), say("value", "no_machine")))
    else:
        told = clear_figure(margin, "force", units)
        jumps = margin < 0.0 and machine.backlash_mm > 0.0
        way, times = clear_figure(machine.backlash_mm, "length", units), number(feed["jump_chip_ratio"], 2)
        rows.append((say("row", "pull_margin"), told))
        if jumps:
            rows.append((say("row", "table_jump"), say("value", "jump", way=way, times=times)))
    return [*rows, ("", say("report", "table_pull_model"))]


def which_way_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The reasons for climb and for conventional, each with both figures, the losing ones too, and the decision."""
    all_reasons = reasons(setup)
    if not all_reasons:
        return [("", say("decision", "straddling"))]
    # Narrower columns than elsewhere: the third holds two words.
    rows = [("", f"{say('value', 'climbing'):<14}{say('value', 'conventional')}")]
    for reason in all_reasons:
        climb, other = (clear_figure(v, reason.quantity, units) for v in (reason.climb, reason.conventional))
        speaks = f"{reason.weight}, {reason.favours}" if reason.favours else say("value", "does_not_decide")
        rows.append((say("reason", reason.id), f"{climb:<14}{other:<14}{speaks}"))
    return [*rows, ("", decision_words(decide(all_reasons))), ("", say("decision", "chatter"))]


def tool_life_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The ratio of tool lives with its band, or why there is none; nothing without another setup."""
    life = found["tool_life"]
    if life is None:
        return []
    rows = [(say("row", "against"), life["against"] or say("report", "untitled"))]
    if life["ratio"] is None:
        rows.append((say("row", "life_ratio"), say("value", "no_life_ratio", reason=life["reason"])))
    else:
        told = {key: _two_digits(life[key]) for key in ("ratio", "low", "high")}
        rows.append((say("row", "life_ratio"), say("value", "life_ratio", **told)))
    return [*rows, ("", say("report", "tool_life_model")), ("", say("report", "tool_life_direction"))]


def _two_digits(value: float) -> str:
    # More would promise what no exponent keeps.
    rounded = float(f"{value:.1e}")
    return clear_figure(rounded, "number", decimals=1 if rounded < 10.0 else 0)


def stability_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The deepest stable cut at this speed and how it was found; nothing where it is not known."""
    limit, method = (found["stability"].get(key) for key in ("axial_limit_mm", "method"))
    if limit is None and not setup.dynamics:
        return []
    return [(say("row", "axial_limit_mm"), clear_figure(limit, "depth", units)), ("", method or "")]


SECTIONS: tuple[tuple[str, str, Rows], ...] = (
    ("cutter", "engagement", cutter_rows),
    ("cut", "rates", cut_rows),
    ("engagement", "engagement", engagement_rows),
    ("chip", "chip", chip_rows),
    ("rubbing", "rubbing", rubbing_rows),
    ("skin", "skin", skin_rows),
    ("entry_exit", "entry", entry_exit_rows),
    ("force", "force", force_rows),
    ("wall", "wall", wall_rows),
    ("table_pull", "feed", table_pull_rows),
    ("heat", "heat", heat_rows),
    ("machine", "machine", machine_rows),
    ("which_way", "which_way", which_way_rows),
    ("tool_life", "tool_life", tool_life_rows),
    ("stability", "stability", stability_rows),
)
"""Every section in its order: name of its title, the group of the report that it needs, its rows."""


def unknown(setup: Setup) -> list[str]:
    """What the setup does not say and what is therefore left out or taken instead, each in words."""
    cutter, work = setup.cutter, setup.work
    missing = {
        "no_edge_radius": cutter.edge_radius_mm is None,
        "no_force": work.force is None and work.material is None,
        "no_cutter_material": cutter.material is None and work.force is not None,
        "no_work_thermal": known_work_material(setup) is None and work.force is not None,
        "no_stickout": cutter.stickout_mm is None,
        "no_modulus": cutter.youngs_modulus_n_mm2 is None,
        "no_flute_length": cutter.shank_diameter_mm is not None and cutter.flute_length_mm is None,
    }
    return [say("report", name) for name, is_missing in missing.items() if is_missing]


def text_report(
    setup: Setup, units: Units = "metric", against: Setup | None = None, known: Catalogue | None = None
) -> str:
    """The report of a setup as text, no line over 80 columns, ending in a line end; the arguments of ``report``."""
    # What the report says in words it says in metric units.
    found = report(setup, against, known) | tool_life_section(setup, against, known, units)
    # A title may end in, or be, spaces of other kinds, which wrapping keeps.
    title = [line.rstrip() for line in wrapped(setup.title.strip() or say("report", "untitled"))]
    lines = [*title, "=" * max(map(len, title)), *wrapped(sentence(setup, units))]
    for name, group, rows in SECTIONS:
        if group in found and (made := rows(setup, found, units)):
            lines += ["", say("section", name), *aligned(made)]
    lines += ["", *wrapped(say("report", "models"))]
    if setup.work.force is not None:
        lines += wrapped(say("report", "force_models"))
        held = setup.cutter.flute_length_mm is not None or setup.cutter.holder_stiffness_n_mm is not None
        lines += wrapped(say("report", "wall_models_held" if held else "wall_models"))
        lines += wrapped(say("report", "heat_models"))
    if "teeth" in found["chip"]:
        lines += wrapped(say("report", "runout_apart"))
    for text in unknown(setup):
        lines += wrapped(text)
    lines += ["", *wrapped(say("report", "cautions")), say("report", "advice")]
    return "\n".join(lines) + "\n"
