"""What is set and what follows from geometry alone, as rows: the cutter, the cut, the engagement, the chip."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, number
from ..base.words import say
from ..effects.cutter_bending import neck
from ..setup.setup import Setup
from .text_layout import Report, Row, between, degrees, in_columns


def cutter_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
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
        sizes = (clear_figure(v, q, units) for v, q in zip(necked, ("diameter", "stickout"), strict=True))
        rows.append((say("row", "neck"), ", ".join(sizes)))
    if setup.work.material is not None:
        rows.append((say("row", "material"), setup.work.material))
    return rows


def cut_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The cut as it is set, with its speeds and its rate."""
    cut, rates = setup.cut, report["rates"]
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


def engagement_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Where a tooth is in the work, how long, and how many are."""
    e = report["engagement"]
    entry, leave, arc = (degrees(e[key]) for key in ("entry_deg", "exit_deg", "arc_deg"))
    span = between(str(e["teeth_in_cut_min"]), str(e["teeth_in_cut_max"]))
    contact = say("value", "from_to", low=degrees(e["true_entry_deg"]), high=degrees(e["true_exit_deg"]))
    return [
        (say("row", "entry"), say("value", "at_clock", clock=e["entry_clock"], angle=entry)),
        (say("row", "exit"), say("value", "at_clock", clock=e["exit_clock"], angle=leave)),
        (say("row", "arc"), f"{arc}, {clear_figure(e['arc_length_mm'], 'length', units)}"),
        (say("row", "true_contact"), contact),
        (say("row", "teeth_in_cut"), say("value", "teeth", mean=number(e["teeth_in_cut_mean"], 2), range=span)),
        (say("row", "contact_time"), clear_figure(e["contact_time_ms"], "time", units)),
    ]


def chip_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Thickness in both models, thinning, the feed that makes up for it; with runout each tooth's own."""
    chip = report["chip"]
    rows = [("", in_columns(say("value", "arc_model"), say("value", "true_path")))]
    for key in ("h_entry_mm", "h_exit_mm", "h_max_mm", "h_mean_mm"):
        both = (_thickness(chip[model][key], chip[model]["h_max_mm"], units) for model in ("arc", "trochoid"))
        rows.append((say("row", key), in_columns(*both)))
    rows += thinning_rows(setup, report, units)
    rows.append((say("row", "chip_volume"), clear_figure(chip["volume_mm3"], "chip_volume", units)))
    for tooth in chip.get("teeth", []):
        word = say("value", "misses") if tooth["misses"] else say("value", "cuts_double") * tooth["cuts_double"]
        both = (clear_figure(tooth[model]["h_max_mm"], "chip_thickness", units) for model in ("arc", "trochoid"))
        rows.append((say("row", "tooth", tooth=tooth["tooth"]), in_columns(*both, word)))
    return rows


AS_THICK = 1.0005
"""Ratio under which the chip is as thick as the feed: it reads as 1.000."""


def thinning_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """By how much the chip is thinner than the feed, and the feed that makes up for it."""
    chip = report["chip"]
    restoring = clear_figure(chip["feed_for_full_thickness_mm"], "feed_per_tooth", units)
    ratio, feed = number(chip["thinning"], 3), setup.cut.feed_per_tooth_mm
    told = say("value", "thinner" if chip["thinning"] > AS_THICK else "as_thick", ratio=ratio)
    wanted = say("row", "restoring_feed", wanted=clear_figure(feed, "chip_thickness", units))
    return [(say("row", "thinning"), told), (wanted, restoring)]


def _thickness(h: float, greatest: float, units: Units) -> str:
    # sin(180 degrees) leaves 1e-17 of the feed, which is nothing and not a thin chip.
    return clear_figure(0.0 if h < 1e-12 * greatest else h, "chip_thickness", units)
