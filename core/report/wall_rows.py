"""The wall as rows: how far it is off, over the depth, and what would keep the tolerance."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure, rough_figure, told_figure
from ..base.words import say
from ..effects.cutter_bending import stiffness_from
from ..setup.setup import Setup
from .text_layout import Report, Row, between


def wall_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """How far the tip moves and what it leaves of the wall; nothing where it is not known."""
    wall = report["wall"]
    rows, moved, error = [], wall.get("deflection_mm"), wall.get("error_mm")
    if moved and moved["min"] is not None:
        ends = (rough_figure(moved[part], "deflection", units) for part in ("min", "max"))
        rows.append((say("row", "deflection_mm"), between(*ends)))
    if error is not None:
        text = _ranged(error, wall.get("range"), units)
        name = "stock_left" if error > 0.0 else "undercut" if error < 0.0 else "wall_exact"
        rows.append((say("row", "error_mm"), say("value", name, error=text)))
        reach = wall.get("runout_reach_mm")
        if reach:
            deflection = rough_figure(error + reach, "deflection", units)
            apart = clear_figure(reach, "deflection", units)
            rows.append((say("row", "deflection_alone"), say("value", "reach_apart", told=deflection, reach=apart)))
    spread = wall.get("range")
    if spread is not None:
        low, high = _ends(spread["tip_mm"], units)
        text = between(low, high) if spread["sign_known"] else say("value", "not_sure", low=low, high=high)
        rows.append((say("row", "error_range"), text))
    return rows + wall_depth_rows(setup, report, units) + feed_mark_rows(setup, report, units)


KEEPING = (("feed", "feed_per_tooth"), ("width", "radial_width"), ("stickout", "stickout"))
"""What can keep a tolerance, with the quantity that it is stated in."""


def wall_depth_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The model of the stiffness, the error over the depth, the tolerance and what keeps it."""
    wall, rows = report["wall"], []
    stiffness, tolerance = stiffness_from(setup, units), wall.get("tolerance_mm")
    if stiffness is not None:
        rows.append((say("row", "stiffness_from"), stiffness))
    if wall.get("side") is not None:
        ends = (rough_figure(wall[key], "deflection", units) for key in ("error_least_mm", "error_greatest_mm"))
        rows.append((say("row", "error_over_depth"), between(*ends)))
    if wall.get("range") is not None:
        rows.append((say("row", "depth_range"), between(*_ends(wall["range"]["depth_mm"], units))))
    rows += _mending_rows(wall, units)
    if tolerance is not None:
        text = clear_figure(tolerance, "deflection", units)
        name = {True: "kept", False: "not_kept", None: "not_known"}[wall["within_tolerance"]]
        rows.append((say("row", "wall_tolerance"), say("value", name, tolerance=text)))
        if wall["within_tolerance"] is not None:
            for key, quantity in KEEPING:
                rows.append((say("row", f"{key}_within"), _within(wall, key, quantity, units)))
    return rows


def _ranged(error: float, spread: Report | None, units: Units) -> str:
    """The error at the tip with its range."""
    if spread is None or spread["tip_mm"] is None:
        return clear_figure(error, "deflection", units)
    low, high = spread["tip_mm"]
    return told_figure(error, low, high, "deflection", units)


def _ends(pair: tuple[float, float], units: Units) -> tuple[str, str]:
    """Both ends of a range of the wall error."""
    low, high = (rough_figure(v, "deflection", units) for v in pair)
    return low, high


def _mending_rows(wall: Report, units: Units) -> list[Row]:
    """The offset that centres the error, and what a second pass on the same path leaves."""
    rows, offset = [], wall.get("compensation_mm")
    if offset is not None:
        text, remains = (clear_figure(v, "deflection", units) for v in (abs(offset), wall["compensated_error_mm"]))
        name = "toward_wall" if offset >= 0.0 else "from_wall"
        rows.append((say("row", "compensation"), say("value", name, offset=text, remains=remains)))
    if wall.get("spring_pass_width_mm") is not None:
        width = clear_figure(wall["spring_pass_width_mm"], "deflection", units)
        if wall["spring_pass_forms_chip"]:
            low, high = _ends((wall["spring_pass_least_mm"], wall["spring_pass_greatest_mm"]), units)
            text = say("value", "spring_leaves", low=low, high=high, width=width)
        else:
            text = say("value", "spring_rubs", width=width)
        rows.append((say("row", "spring_pass"), text))
    return rows


def _within(wall: Report, key: str, quantity: str, units: Units) -> str:
    """What keeps the tolerance, and how much of it does over the whole range of the error."""
    kept, sure = _kept(wall, key, quantity, units), wall[f"{key}_sure_mm"]
    if wall[f"{key}_band_mm"] is None:
        return kept
    if sure is None:
        return say("value", "never_sure", kept=kept)
    return say("value", "sure", kept=kept, sure=clear_figure(sure, quantity, units))


def _kept(wall: Report, key: str, quantity: str, units: Units) -> str:
    greatest, band = wall[f"{key}_within_tolerance_mm"], wall[f"{key}_band_mm"]
    if band is None:
        return say("value", "none_keeps")
    if greatest == band[1]:
        return clear_figure(greatest, quantity, units)
    low, high = (clear_figure(v, quantity, units) for v in band)
    if greatest is None:
        return say("value", "from_to", low=low, high=high)
    return say("value", "up_to_and_band", greatest=clear_figure(greatest, quantity, units), low=low, high=high)


def feed_mark_rows(setup: Setup, report: Report, units: Units) -> list[Row]:
    """The feed marks and how many teeth leave one; nothing where there is no wall."""
    height, teeth = report["wall"].get("feed_mark_um"), report["wall"].get("marks_per_turn")
    if height is None:
        return []
    fields = {"height": clear_figure(height, "micro", units), "teeth": teeth, "all": setup.cutter.teeth}
    return [(say("row", "feed_marks"), say("value", "marks", **fields)), ("", say("report", "feed_marks_model"))]
