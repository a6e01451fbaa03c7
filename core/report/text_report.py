"""The report for a reader: what a programmer would paste into a setup sheet, 80 columns wide."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure
from ..base.words import say
from ..documents.materials import Catalogue
from ..setup.setup import Setup
from .advice_keys import tool_life_keys
from .comparison import comparison_rows
from .cut_rows import chip_rows, cut_rows, cutter_rows, engagement_rows, thinning_rows
from .effect_rows import (
    entry_exit_rows,
    heat_rows,
    rubbing_rows,
    skin_rows,
    table_pull_rows,
    tool_life_rows,
    which_way_rows,
)
from .force_rows import force_rows, machine_rows, ranged
from .model_statements import statements
from .report import report
from .sentence import sentence
from .stability_rows import stability_rows
from .text_layout import Report, Row, Rows, aligned, wrapped
from .wall_rows import wall_rows
from .which_way_words import brief_words

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


def asks_rows(setup: Setup, figures: Report, units: Units) -> list[Row]:
    """What the cut asks of edge, spindle and wall, and the advice: the figures that a setup sheet has room for."""
    chip, force = figures["chip"]["trochoid"], figures["force"]
    rows = [
        (say("row", "h_max_mm"), clear_figure(chip["h_max_mm"], "chip_thickness", units)),
        *thinning_rows(setup, figures, units),
    ]
    if force.get("power_kw") is not None:
        rows.append((say("row", "power_kw"), ranged(force["power_kw"], force["range"]["power_kw"], "power", units)))
        torque, ends = force["torque_nm"]["max"], force["range"]["torque_nm"]["max"]
        rows.append((say("row", "torque_max"), ranged(torque, ends, "torque", units)))
    rows += machine_rows(setup, figures, units)
    wanted = {say("row", name) for name in ("error_mm", "error_over_depth", "wall_tolerance")}
    rows += [row for row in wall_rows(setup, figures, units) if row[0] in wanted]
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
    figures = report(setup, against, known) | tool_life_keys(setup, against, known, units)
    # A title may end in, or be, spaces of other kinds, which wrapping keeps.
    title = [line.rstrip() for line in wrapped(setup.title.strip() or say("report", "untitled"))]
    lines = [*title, "=" * max(map(len, title)), *wrapped(sentence(setup, units))]
    for name, group, rows in BRIEF if brief else SECTIONS:
        if group in figures and (made := rows(setup, figures, units)):
            lines += ["", say("section", name), *aligned(made)]
    if not brief and figures["against"] is not None:
        lines += ["", say("section", "against"), *aligned(comparison_rows(figures["against"], units))]
    if not brief:
        lines.append("")
        for statement in statements(setup, figures, units):
            lines += wrapped(statement)
    lines += ["", *wrapped(say("report", "cautions")), say("report", "advice")]
    return "\n".join(lines) + "\n"
