"""The report for a reader: what a programmer would paste into a setup sheet, 80 columns wide."""

from __future__ import annotations

from collections.abc import Callable

from ..base.quantities import Units, clear_figure, figure_with_range, number
from ..base.words import say
from ..documents.materials import Catalogue
from ..effects.cutter_bending import neck, shank_rubs, stiffness_from
from ..effects.edge_flux import known_work_material
from ..setup.doubts import doubts
from ..setup.setup import Setup
from .advice_keys import tool_life_keys
from .comparison import comparison_rows
from .doubt_words import doubt_words
from .effect_rows import (
    entry_exit_rows,
    feed_mark_rows,
    heat_rows,
    rubbing_rows,
    skin_rows,
    table_pull_rows,
    tool_life_rows,
    which_way_rows,
)
from .report import report
from .sentence import sentence
from .text_layout import Found, Row, Rows, aligned, between, in_columns, wrapped
from .which_way_words import brief_words


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
    necked = neck(setup)
    if necked is not None:
        told = (clear_figure(v, q, units) for v, q in zip(necked, ("diameter", "stickout"), strict=True))
        rows.append((say("row", "neck"), ", ".join(told)))
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


def engagement_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Where a tooth is in the work, how long, and how many are."""
    e = found["engagement"]

    def degrees(key: str) -> str:
        return number(e[key], 2) + "°"

    span = between(str(e["teeth_in_cut_min"]), str(e["teeth_in_cut_max"]))
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
    rows += thinning_rows(found, units)
    rows.append((say("row", "chip_volume"), clear_figure(chip["volume_mm3"], "chip_volume", units)))
    for tooth in chip.get("teeth", []):
        word = say("value", "misses") if tooth["misses"] else say("value", "cuts_double") * tooth["cuts_double"]
        both = (clear_figure(tooth[model]["h_max_mm"], "chip_thickness", units) for model in ("arc", "trochoid"))
        rows.append((say("row", "tooth", tooth=tooth["tooth"]), in_columns(*both, word)))
    return rows


def thinning_rows(found: Found, units: Units) -> list[Row]:
    """By how much the chip is thinner than the feed, and the feed that makes up for it."""
    chip = found["chip"]
    restoring = clear_figure(chip["feed_for_full_thickness_mm"], "feed_per_tooth", units)
    return [(say("row", "thinning"), number(chip["thinning"], 3)), (say("row", "restoring_feed"), restoring)]


def _thickness(h: float, greatest: float, units: Units) -> str:
    # sin(180 degrees) leaves 1e-17 of the feed, which is nothing and not a thin chip.
    return clear_figure(0.0 if h < 1e-12 * greatest else h, "chip_thickness", units)


FORCE_QUANTITIES = {"fx_n": "force", "fy_n": "force", "fz_n": "force", "torque_nm": "torque"}


def force_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """Forces and torque over a turn, mean power; nothing where they are not known."""
    force = found["force"]
    rows = []
    for key, quantity in FORCE_QUANTITIES.items():
        turn = force.get(key)
        if turn and turn["mean"] is not None:
            figures = (clear_figure(turn[part], quantity, units) for part in ("min", "mean", "max"))
            # The picture of a left-hand cutter is mirrored, and x with it.
            mirrored = key == "fx_n" and setup.cutter.hand == "left"
            rows.append((say("row", f"{key}_left" if mirrored else key), in_columns(*figures)))
    if rows:
        rows.insert(0, ("", in_columns(*(say("value", part) for part in ("min", "mean", "max")))))
    if force.get("axial") is not None:
        rows.append(("", say("value", f"axial_{force['axial']}")))
    ranges = force.get("range") or {}
    for key, quantity in (("resultant_max_n", "force"), ("power_kw", "power")):
        if force.get(key) is not None:
            rows.append((say("row", key), _ranged(force[key], ranges.get(key), quantity, units)))
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


def _ranged(value: float, ends: dict[str, float] | None, quantity: str, units: Units) -> str:
    if ends is None:
        return clear_figure(value, quantity, units)
    return figure_with_range(value, ends["low"], ends["high"], quantity, units)


def wall_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """How far the tip moves and what it leaves of the wall; nothing where it is not known."""
    wall = found["wall"]
    rows, moved, error = [], wall.get("deflection_mm"), wall.get("error_mm")
    if moved and moved["min"] is not None:
        ends = (clear_figure(moved[part], "deflection", units) for part in ("min", "max"))
        rows.append((say("row", "deflection_mm"), between(*ends)))
    if error is not None:
        told = clear_figure(error, "deflection", units)
        name = "stock_left" if error > 0.0 else "undercut" if error < 0.0 else "wall_exact"
        rows.append((say("row", "error_mm"), say("value", name, error=told)))
        reach = wall.get("runout_reach_mm")
        if reach:
            deflection, apart = (clear_figure(v, "deflection", units) for v in (error + reach, reach))
            rows.append((say("row", "deflection_alone"), say("value", "reach_apart", told=deflection, reach=apart)))
    spread = wall.get("range")
    if spread is not None:
        low, high = _ends(spread["tip_mm"], units)
        told = between(low, high) if spread["sign_known"] else say("value", "not_sure", low=low, high=high)
        rows.append((say("row", "error_range"), told))
    return rows + wall_depth_rows(setup, found, units) + feed_mark_rows(setup, found, units)


KEEPING = (("feed", "feed_per_tooth"), ("width", "radial_width"), ("stickout", "stickout"))
"""What can keep a tolerance, with the quantity that it is told in."""


def wall_depth_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The model of the stiffness, the error over the depth, the tolerance and what keeps it."""
    wall, rows = found["wall"], []
    stiffness, tolerance = stiffness_from(setup, units), wall.get("tolerance_mm")
    if stiffness is not None:
        rows.append((say("row", "stiffness_from"), stiffness))
    if wall.get("side") is not None:
        ends = (clear_figure(wall[key], "deflection", units) for key in ("error_least_mm", "error_greatest_mm"))
        rows.append((say("row", "error_over_depth"), between(*ends)))
    if wall.get("range") is not None:
        rows.append((say("row", "depth_range"), between(*_ends(wall["range"]["depth_mm"], units))))
    rows += _mending_rows(wall, units)
    if tolerance is not None:
        told = clear_figure(tolerance, "deflection", units)
        name = {True: "kept", False: "not_kept", None: "not_known"}[wall["within_tolerance"]]
        rows.append((say("row", "wall_tolerance"), say("value", name, tolerance=told)))
        if wall["within_tolerance"] is not None:
            for key, quantity in KEEPING:
                rows.append((say("row", f"{key}_within"), _within(wall, key, quantity, units)))
    return rows


def _ends(pair: tuple[float, float], units: Units) -> tuple[str, str]:
    """Both ends of a range of the wall error."""
    low, high = (clear_figure(v, "deflection", units) for v in pair)
    return low, high


def _mending_rows(wall: Found, units: Units) -> list[Row]:
    """The offset that centres the error, and what a second pass on the same path leaves."""
    rows, offset = [], wall.get("compensation_mm")
    if offset is not None:
        told, remains = (clear_figure(v, "deflection", units) for v in (abs(offset), wall["compensated_error_mm"]))
        name = "toward_wall" if offset >= 0.0 else "from_wall"
        rows.append((say("row", "compensation"), say("value", name, offset=told, remains=remains)))
    if wall.get("spring_pass_width_mm") is not None:
        width = clear_figure(wall["spring_pass_width_mm"], "deflection", units)
        if wall["spring_pass_forms_chip"]:
            low, high = _ends((wall["spring_pass_least_mm"], wall["spring_pass_greatest_mm"]), units)
            told = say("value", "spring_leaves", low=low, high=high, width=width)
        else:
            told = say("value", "spring_rubs", width=width)
        rows.append((say("row", "spring_pass"), told))
    return rows


def _within(wall: Found, key: str, quantity: str, units: Units) -> str:
    """What keeps the tolerance, and how much of it does over the whole range of the error."""
    kept, sure = _kept(wall, key, quantity, units), wall[f"{key}_sure_mm"]
    if wall[f"{key}_band_mm"] is None:
        return kept
    if sure is None:
        return say("value", "never_sure", kept=kept)
    return say("value", "sure", kept=kept, sure=clear_figure(sure, quantity, units))


def _kept(wall: Found, key: str, quantity: str, units: Units) -> str:
    greatest, band = wall[f"{key}_within_tolerance_mm"], wall[f"{key}_band_mm"]
    if band is None:
        return say("value", "none_keeps")
    if greatest == band[1]:
        return clear_figure(greatest, quantity, units)
    low, high = (clear_figure(v, quantity, units) for v in band)
    if greatest is None:
        return say("value", "from_to", low=low, high=high)
    return say("value", "up_to_and_band", greatest=clear_figure(greatest, quantity, units), low=low, high=high)


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


def _limit_words(found: Found, units: Units) -> str:
    """A limit of depth with its range, or that there is none."""
    limit, span = found["axial_limit_mm"], found.get("range_mm")
    if limit is None:
        return say("stability", "none_up_to" if found.get("stable") else "unknown")
    if not span:
        return clear_figure(limit, "depth", units)
    low, high = span
    if high is None:
        low = clear_figure(low, "depth", units) if low is not None else say("stability", "none_up_to")
        return say("stability", "open_range", limit=clear_figure(limit, "depth", units), low=low)
    return figure_with_range(limit, low, high, "depth", units)


def stability_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """The deepest stable cut at this speed, both ways, and how it was found; nothing where it is not known."""
    told = found["stability"]
    limit, method = told.get("axial_limit_mm"), told.get("method")
    if limit is None and not setup.dynamics:
        return []
    rows = [(say("row", "axial_limit_mm"), _limit_words(told, units))]
    if told.get("chatter_hz") is not None:
        words = {"hz": number(told["chatter_hz"], 0), "kind": told["kind"]}
        rows.append((say("row", "chatter_hz"), say("stability", "chatter", **words)))
    if told.get("stable_draws") is not None:
        rows.append((say("row", "stable_draws"), say("stability", "stable_draws", count=told["stable_draws"])))
    other = told.get("opposite")
    if other is not None and other["direction"] != told["direction"] and other["stable"] is not None:
        rows.append((say("stability", f"row_{other['direction']}"), _limit_words(other, units)))
    if told.get("zeroth_order_mm") is not None:
        rows.append((say("row", "zeroth_order_mm"), clear_figure(told["zeroth_order_mm"], "depth", units)))
    return [*rows, ("", method or "")]


KEY_GROUPS: tuple[tuple[str, str, Rows], ...] = (
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
        "no_neck": neck(setup) is None and (cutter.neck_diameter_mm is not None or cutter.neck_length_mm is not None),
        "shank_rubs": shank_rubs(setup),
        "no_flute_length": cutter.shank_diameter_mm is not None and cutter.flute_length_mm is None,
    }
    return [say("report", name) for name, is_missing in missing.items() if is_missing]


def asks_rows(setup: Setup, found: Found, units: Units) -> list[Row]:
    """What the cut asks of edge, spindle and wall, and the advice: the figures that a setup sheet has room for."""
    chip, force = found["chip"]["trochoid"], found["force"]
    rows = [
        (say("row", "h_max_mm"), clear_figure(chip["h_max_mm"], "chip_thickness", units)),
        *thinning_rows(found, units),
    ]
    if force.get("power_kw") is not None:
        rows.append((say("row", "power_kw"), _ranged(force["power_kw"], force["range"]["power_kw"], "power", units)))
        rows.append((say("row", "torque_max"), clear_figure(force["torque_nm"]["max"], "torque", units)))
    rows += machine_rows(setup, found, units)
    wanted = {say("row", name) for name in ("error_mm", "error_over_depth", "wall_tolerance")}
    rows += [row for row in wall_rows(setup, found, units) if row[0] in wanted]
    rows.append((say("section", "which_way"), brief_words(setup)))
    return rows


BRIEF: tuple[tuple[str, str, Rows], ...] = (
    ("cutter", "engagement", cutter_rows),
    ("cut", "rates", cut_rows),
    ("asks", "chip", asks_rows),
)
"""The sections of the brief report."""


def text_report(
    setup: Setup,
    units: Units = "metric",
    against: Setup | None = None,
    known: Catalogue | None = None,
    *,
    brief: bool = False,
) -> str:
    """The report of a setup as text, no line over 80 columns, ending in a line end; the arguments of ``report``.

    brief : the sentence, the cutter, the cut and what it asks, for a setup sheet; the cautions stay.
    """
    # What the report says in words it says in metric units.
    found = report(setup, against, known) | tool_life_keys(setup, against, known, units)
    # A title may end in, or be, spaces of other kinds, which wrapping keeps.
    title = [line.rstrip() for line in wrapped(setup.title.strip() or say("report", "untitled"))]
    lines = [*title, "=" * max(map(len, title)), *wrapped(sentence(setup, units))]
    for name, group, rows in BRIEF if brief else KEY_GROUPS:
        if group in found and (made := rows(setup, found, units)):
            lines += ["", say("section", name), *aligned(made)]
    if not brief and found["against"] is not None:
        lines += ["", say("section", "against"), *aligned(comparison_rows(found["against"], units))]
    if not brief:
        lines += ["", *_models(setup, found, units)]
    lines += ["", *wrapped(say("report", "cautions")), say("report", "advice")]
    return "\n".join(lines) + "\n"


def _radius_words(force: Found, units: Units) -> str:
    """What the edge radius does to the force, and of which edge the coefficients are."""
    measured = force["coefficients"].get("edge_radius_mm")
    if measured is None:
        return say("report", "force_radius_unused")
    if not force["edge_radius_used"]:
        return say("report", "force_radius_assumed")
    radius = clear_figure(1000.0 * measured, "edge_radius", units)
    return say("report", "force_radius_used", measured=radius, radius_source=force["edge_radius_source"])


def _force_models(force: Found, units: Units, wrapped: Callable[[str], list[str]]) -> list[str]:
    """The law of the forces, where its coefficients are from and how well they are known."""
    told = say(
        "report",
        "force_models",
        model=force["model"],
        source=force["source"],
        spread=say("report", f"force_spread_{force['spread_from']}"),
        radius=_radius_words(force, units),
        wear=say("report", "force_wear_used" if force["wear_land_used"] else "force_wear_unused"),
    )
    lines = wrapped(told)
    if force["h_below_tested_share"]:
        least, greatest = (clear_figure(h, "chip_thickness", units) for h in force["h_tested_mm"])
        share = clear_figure(100.0 * force["h_below_tested_share"], "share", units)
        lines += wrapped(say("report", "force_below_tested", share=share, least=least, greatest=greatest))
    return lines


def statements(setup: Setup, found: Found, units: Units = "metric") -> list[str]:
    """What the figures rest on, leave out and lack, a statement each; ``found`` is the report."""
    return _models(setup, found, units, lambda text: [text])


def _models(setup: Setup, found: Found, units: Units, wrapped: Callable[[str], list[str]] = wrapped) -> list[str]:
    """What the figures rest on and leave out.  wrapped : sets one statement as lines."""
    lines = wrapped(say("report", "models"))
    if setup.work.force is not None:
        lines += _force_models(found["force"], units, wrapped)
        held = setup.cutter.flute_length_mm is not None or setup.cutter.holder_stiffness_n_mm is not None
        lines += wrapped(say("report", "wall_models_held" if held else "wall_models"))
        wall = found["wall"]
        for name, told in (("wall_spread", "range"), ("spring_pass_model", "spring_pass_width_mm")):
            if wall.get(told) is not None:
                lines += wrapped(say("report", name))
        if wall.get("compensation_mm") is not None:
            lines += wrapped(say("report", "compensation_model"))
        lines += wrapped(say("report", "heat_models"))
    if "teeth" in found["chip"]:
        lines += wrapped(say("report", "runout_apart"))
    for text in [*(doubt_words(doubt, units) for doubt in doubts(setup)), *unknown(setup)]:
        lines += wrapped(text)
    return lines
