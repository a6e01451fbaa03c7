"""The path report for a reader: the worst places first, then the depths, the doubts and some of the samples."""

from __future__ import annotations

from typing import Any

from ..base.quantities import number
from ..base.words import say
from .text_layout import wrapped

MOST_ROWS = 40
"""Samples that a reader is shown; a script takes them all from the JSON."""

COLUMNS = (9, 7, 10, 10, 8, 8, 14, 9, 9)


def path_text(report: dict[str, Any], file: str) -> str:
    """The report of a path to ``file`` as text of at most 80 columns, but for the table of samples."""
    head = report["program"]
    lines = wrapped(say("path_text", "title", file=file))
    length, moves = number(head["length_mm"], 2), head["moves"]
    lines += wrapped(say("path_text", "program", length=length, moves=moves, units=head["units"]))
    if report["warnings"]:
        lines += ["", say("path_text", "warnings")]
        for warning in report["warnings"]:
            line = say("path_text", "line", line=warning["line"]) if warning["line"] else ""
            lines += _indented(say("path_text", "warning", line=line, text=warning["text"]))
    lines += ["", say("path_text", "worst")]
    for place in report["worst"]:
        lines += _indented(_place(place))
    lines += ["", say("path_text", "levels")]
    for level in report["levels"]:
        lines += _level(level)
    lines += ["", *_table(report["samples"])]
    if report["samples"] and report["samples"][0]["force"]["fx_n"] is None:
        lines += wrapped(say("path_text", "not_known"))
    return "\n".join(lines) + "\n"


def _indented(text: str) -> list[str]:
    first, *rest = wrapped(text.strip(), "  ")
    return [first, *(f"  {line}" for line in rest)]


def _place(place: dict[str, Any]) -> str:
    return say(
        "path_text",
        "worst_row",
        s=number(place["s_mm"], 3),
        line=say("path_text", "line", line=place["line"]) if place["line"] else "",
        x=number(place["x_mm"], 3),
        y=number(place["y_mm"], 3),
        arc=number(place["arc_deg"], 2),
        ratio=number(place["ratio"], 2),
        chip=number(place["h_max_mm"], 4) + " mm",
        reason=place["reason"],
    )


def _level(level: dict[str, Any]) -> list[str]:
    z = say("path_text", "no_depth")
    if level["z_mm"] is not None:
        z = say("path_text", "depth", z=number(level["z_mm"], 3))
    length = number(level["length_mm"], 2)
    if level["removed_mm2"] is None:
        return _indented(say("path_text", "level_unknown", z=z, length=length))
    areas = {name: number(level[f"{name}_mm2"], 2) for name in ("removed", "remaining", "ridge")}
    lines = _indented(say("path_text", "level", z=z, length=length, **areas))
    for ridge in level["ridges"]:
        figures = {name: number(ridge[f"{name}_mm"], 2) for name in ("x", "y", "width")}
        lines += _indented("  " + say("path_text", "ridge", area=number(ridge["area_mm2"], 3), **figures))
    return lines


def _table(samples: list[dict[str, Any]]) -> list[str]:
    shown = samples[:: max(1, -(-len(samples) // MOST_ROWS))]
    lines = wrapped(say("path_text", "samples", count=len(samples), shown=len(shown)))
    titles = [say("path_column", name) for name in ("s", "line", "x", "y", "arc", "ae", "direction", "chip", "force")]
    lines.append(" ".join(title.rjust(wide) for title, wide in zip(titles, COLUMNS, strict=True)))
    for row in shown:
        force = row["force"]["resultant_max_n"]
        cells = [
            number(row["s_mm"], 2),
            str(row["line"] or "-"),
            number(row["x_mm"], 3),
            number(row["y_mm"], 3),
            number(row["arc_deg"], 2),
            number(row["ae_mm"], 3),
            say("path_direction", row["direction"]),
            number(row["h_max_mm"], 4),
            "-" if force is None else number(force, 0),
        ]
        lines.append(" ".join(cell.rjust(wide) for cell, wide in zip(cells, COLUMNS, strict=True)))
    return lines
