"""Forces, torque and power as rows, and what the machine has for them."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, is_wide, rough_ends, rough_figure, told_figure
from ..base.words import say
from ..setup.setup import Setup
from .text_layout import Report, Row, in_columns

PARTS = ("min", "mean", "max")

FORCE_QUANTITIES = {"fx_n": "force", "fy_n": "force", "fz_n": "force", "torque_nm": "torque"}


def force_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """Forces and torque over a turn, mean power; nothing where they are not known."""
    force = report["force"]
    ranges = force.get("range") or {}
    rows = []
    for key, quantity in FORCE_QUANTITIES.items():
        turn = force.get(key)
        if turn and turn["mean"] is not None:
            ends = [(ranges.get(key) or {}).get(part) for part in PARTS]
            figures = [_in_column(turn[part], end, quantity, units) for part, end in zip(PARTS, ends, strict=True)]
            # The picture of a left-hand cutter is mirrored, and x with it.
            mirrored = key == "fx_n" and setup.cutter.hand == "left"
            rows.append((say("row", f"{key}_left" if mirrored else key), in_columns(*(told for told, _ in figures))))
            if any(between for _, between in figures):
                rows.append(("", in_columns(*(between for _, between in figures))))
    if rows:
        rows.insert(0, ("", in_columns(*(say("value", part) for part in PARTS))))
    if force.get("axial") is not None:
        rows.append(("", say("value", f"axial_{force['axial']}")))
    for key, quantity in (("resultant_max_n", "force"), ("power_kw", "power")):
        if force.get(key) is not None:
            rows.append((say("row", key), ranged(force[key], ranges.get(key), quantity, units)))
    if force.get("steepest_rise_n_ms") is not None:
        text = rough_figure(force["steepest_rise_n_ms"], "force", units)
        rows.append((say("row", "steepest_rise"), say("value", "each_ms", force=text)))
    if force.get("jump_n"):
        rows.append((say("row", "jump"), rough_figure(force["jump_n"], "force", units)))
    for tooth in force.get("teeth") or []:
        peak = rough_figure(tooth["resultant_max_n"], "force", units)
        torque = rough_figure(tooth["torque_max_nm"], "torque", units)
        rows.append((say("row", "tooth_force", tooth=tooth["tooth"]), in_columns(peak, torque)))
    return rows


def _in_column(value: float, ends: dict[str, float] | None, quantity: str, units: Units) -> tuple[str, str]:
    """A figure for a column, and its range for the line below: both in two digits, where the range is wide."""
    if ends is None or not is_wide(value, ends["low"], ends["high"]):
        return clear_figure(value, quantity, units), ""
    return rough_figure(value, quantity, units), f"({rough_ends(ends['low'], ends['high'], quantity, units)})"


def ranged(value: float, ends: dict[str, float] | None, quantity: str, units: Units) -> str:
    """A figure with the range that the report has of it, if it has one."""
    if ends is None:
        return clear_figure(value, quantity, units)
    return told_figure(value, ends["low"], ends["high"], quantity, units)


def machine_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The drive, and what the spindle gives with the part of it that is used; nothing where it is not known."""
    machine, rows = report["machine"], []
    if setup.machine is not None and setup.machine.drive is not None:
        rows.append((say("row", "drive"), say("drive", setup.machine.drive)))
    for key, quantity, unit in (("power", "power", "kw"), ("torque", "torque", "nm")):
        limit, share = machine[f"{key}_available_{unit}"], machine[f"{key}_used_share"]
        if limit is not None:
            text = clear_figure(limit, quantity, units)
            if share is not None:
                text = say("value", "used", limit=text, share=clear_figure(100.0 * share, "share", units))
            rows.append((say("row", f"{key}_available"), text))
    return rows
