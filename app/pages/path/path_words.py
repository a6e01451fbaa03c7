"""What the Path page says of its results, in one or two sentences."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from app.pages.path.path_scene import told, values_of
from app.pages.path.path_work import Shown
from core.base.quantities import QUANTITIES, Units, clear_figure, number
from core.base.words import say, say_count
from core.path.corner import Corner
from core.path.cut_list import PassFigures
from core.path.path_totals import path_totals, way_shares
from core.path.samples import WAYS
from core.path.whole_path import WholePath, length_over


def path_sentence(shown: Shown | None, quantity: str, limit: float | None, units: Units) -> str:
    """The sentence of what is shown; None while nothing has come."""
    if shown is None:
        return say("path_page", "working")
    asked = shown.asked
    if asked.source == "cuts":
        return _cuts(shown.passes, units)
    if asked.source == "corner":
        return "\n".join(_corner(each, asked.setup.cut.feed_per_tooth_mm, units) for each in shown.corners)
    if shown.whole is None:
        names = {"program": Path(asked.program_file).name, "stock": Path(asked.stock_file).name}
        id = "no_stock" if asked.program_file else "no_program" if asked.stock_file else "nothing"
        return say("path_page", id, **names)
    return _program(shown.whole, Path(asked.program_file).name, quantity, limit, units)


def _corner(corner: Corner, feed: float, units: Units) -> str:
    f, top = corner.samples, corner.peak
    straight, arc = math.degrees(corner.arc[0]), math.degrees(corner.arc[top])
    force = float(np.nanmax(f.loads.resultant)) if np.isfinite(f.loads.resultant).any() else math.nan
    share = float(corner.held.min())
    held = say("path_page", "corner_even")
    if share < 1.0 - 1e-6:
        new = clear_figure(share * feed, "feed_per_tooth", units)
        held = say("path_page", "corner_held", share=number(100.0 * share, 0), feed=new)
    return say(
        "path_page",
        "corner",
        radius=clear_figure(corner.radius, "length", units, decimals=1),
        way=say("way", "climb" if corner.climb else "conventional"),
        straight=told(straight, "arc", units),
        arc=told(arc, "arc", units),
        times=number(arc / straight, 1),
        before=told(float(f.h_max[0]), "chip", units),
        chip=told(float(np.nanmax(f.h_max)), "chip", units),
        force=say("path_page", "force", force=told(force, "force", units)) if math.isfinite(force) else "",
        held=held,
    )


def _cuts(passes: tuple[PassFigures, ...], units: Units) -> str:
    first, last = passes[0], passes[-1]
    walls = (first.greatest_wall, first.least_wall, last.greatest_wall, last.least_wall)
    if any(wall is None for wall in walls):
        return say("path_page", "cuts_unknown", first=_pass(first, "_title"), second=_pass(last))
    return say(
        "path_page",
        "cuts",
        first=_pass(first, "_title"),
        second=_pass(last, "_title"),
        wall=wall_words(first, units),
        width=width_words(last, units),
        last=wall_words(last, units),
        spoilt=say("path_page", "spoilt") if last.spoilt else "",
    )


def _pass(each: PassFigures, ending: str = "") -> str:
    """What a pass is called."""
    return say("path_pass", each.cut.name + ending)


def wall_words(each: PassFigures, units: Units) -> str:
    """The error of a wall from least to greatest."""
    if each.least_wall is None or each.greatest_wall is None:
        return "–"
    q = QUANTITIES["micro"]
    low, high = (number(q.shown(1000.0 * v, units), 0, signed=True) for v in (each.least_wall, each.greatest_wall))
    return f"{low if low == high else say('value', 'between', low=low, high=high)} {q.unit_in(units)}"


def width_words(each: PassFigures, units: Units) -> str:
    """The width that a pass meets, from least to greatest."""
    q = QUANTITIES["radial_width"]
    low, high = (number(q.shown(v, units), q.decimals_in(units)) for v in (each.least_width, each.greatest_width))
    return f"{low if low == high else say('value', 'between', low=low, high=high)} {q.unit_in(units)}"


def _program(whole: WholePath, name: str, quantity: str, limit: float | None, units: Units) -> str:
    length = clear_figure(whole.fed.length, "length", units, decimals=0)
    samples = whole.samples
    if not len(samples.s) or not (samples.way > 0).any():
        return say("path_page", "no_cut", program=name, length=length)
    shares = way_shares(samples)
    order = sorted((i for i in range(len(WAYS)) if shares[i] >= 0.005), key=lambda i: -shares[i])
    ways = ", ".join(
        say("path_page", "share", share=number(100.0 * shares[i], 0), way=say("path_direction", WAYS[i]))
        for i in order
    )
    top = int(samples.engaged.arc.argmax())
    where = clear_figure(float(samples.s[top]), "length", units, decimals=1)
    line = int(whole.program.moves.line[samples.places.move[top]])
    worst = next(iter(whole.worst or ()), None)
    arc, reason = float(np.degrees(samples.engaged.arc[top])), ""
    if worst is not None:
        arc, reason, line = worst["arc_deg"], worst["reason"], worst["line"] or 0
        where = clear_figure(worst["s_mm"], "length", units, decimals=1)
    told_limit = ""
    if limit is not None:
        over = length_over(whole, values_of(whole, quantity), limit)
        id = "over" if over > 0.0 else "under"
        told_limit = say("path_page", id, length=clear_figure(over, "length", units, decimals=1))
        unknown = length_over(whole, np.where(np.isnan(values_of(whole, quantity)), 1.0, 0.0), 0.5)
        if unknown > 0.0:
            told_limit += say("path_page", "unknown_on", length=clear_figure(unknown, "length", units, decimals=1))
    place = f"s {where}" + (say("path_page", "line", line=line) if line else "")
    return say(
        "path_page",
        "program",
        program=name,
        length=length,
        ways=ways,
        arc=told(arc, "arc", units),
        where=place,
        reason=reason or say("path_page", "working"),
        limit=told_limit,
    )


def total_words(whole: WholePath) -> str:
    """Time at feed and the work of cutting."""
    totals = path_totals(whole)
    work = f"{number(totals.work, 1)} kJ" if math.isfinite(totals.work) else say("path_page", "work_unknown")
    return say("path_page", "totals", time=f"{number(60.0 * totals.minutes, 1)} s", work=work)


def level_words(whole: WholePath, units: Units) -> str:
    """The depths with what is removed and the ridges left, a line each."""
    lines = [total_words(whole)] if len(whole.samples.s) else []
    for level in whole.levels or ():
        z = say("path_text", "no_depth") if level.z is None else say("path_text", "depth", z=number(level.z, 2))
        if level.remaining is None or level.removed is None:
            lines.append(say("path_page", "many_depths", z=z))
            continue
        removed, ridges = number(level.removed, 0), number(level.ridge_area, 0)
        lines.append(say("path_page", "level", z=z, removed=removed, ridges=ridges))
        for ridge in level.ridges[:3]:
            area, x, y = (number(v, 1) for v in (ridge.area, ridge.x, ridge.y))
            width = clear_figure(ridge.width, "length", units, decimals=2)
            lines.append(say("path_page", "ridge", area=area, width=width, x=x, y=y))
    if whole.warnings:
        lines.append(say_count("path_page", "warnings", len(whole.warnings)))
        line, text = whole.warnings[0]
        lines.append(say("path_page", "warning", line=line, text=text) if line else text)
    return "\n".join(lines)
