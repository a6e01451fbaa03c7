"""``python3 app path``: what a program or drawing does to the cutter; needs no display and never loads Qt."""

from __future__ import annotations

import argparse
import sys

from app.commands.report import STANDARD_INPUT, Arguments, catalogue_with, known_setup
from core.base.errors import ChiparcError

TELLS = """\
PROGRAM ending in .dxf is a drawing (lines, arcs, circles, polylines with bulges), anything else is text of
ISO 6983 words.  STOCK is closed loops: a drawing or a document of its own (format "chiparc stock").  Depth of
cut, coefficients and what the program does not tell (feed, speed) are the setup's.  Ramps and plunges remove stock;
what they do to the cutter is left out.  Prove a program on the machine: its manual, local rules and a qualified
person decide.
"""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments(
        "python3 app path",
        description=__doc__,
        epilog=TELLS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("program", metavar="PROGRAM", help="a program of ISO 6983 words, or a drawing (.dxf)")
    made.add_argument("--stock", required=True, metavar="STOCK", help="the stock's outline: .dxf or .toml")
    made.add_argument("--setup", required=True, metavar="SETUP", help="a setup document; - reads standard input")
    made.add_argument("--spacing", type=float, metavar="MM", help="distance between the samples (D/20)")
    made.add_argument("--at", metavar="S,S,…", help="samples only at these distances along the fed path, mm")
    made.add_argument("--worst", type=int, default=10, metavar="N", help="how many of the worst places (10)")
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON object; always metric")
    form.add_argument("--text", action="store_true", help="for a reader (this is the default)")
    made.add_argument(
        "--materials", metavar="FILE", help="a file of your own materials, which win over the catalogue's"
    )
    return made


def distances(text: str | None) -> tuple[float, ...] | None:
    """The distances of ``--at``, mm.  Raises ChiparcError."""
    if text is None:
        return None
    found = []
    for word in text.split(","):
        try:
            found.append(float(word))
        except ValueError:
            raise ChiparcError(
                "--at", f'found "{word}"', "distances in mm with commas between, as 0,12.5,40"
            ) from None
    return tuple(found)


def run(argv: list[str]) -> int:
    """Print the report of the path; 0.  Raises ChiparcError for refused input."""
    from core.path.open_path import load_path, load_stock
    from core.path.path_report import path_json, path_report

    arguments = parser()
    asked = arguments.parse_args(argv)
    if asked.spacing is not None and asked.at is not None:
        arguments.error("found --spacing and --at; allowed: one of them")
    if asked.worst < 0:
        arguments.error(f"argument --worst: found {asked.worst}; allowed: 0 or more")
    at = distances(asked.at)
    try:
        setup = known_setup(asked.setup, catalogue_with(asked.materials))
    except ChiparcError as error:
        text, place = str(error), STANDARD_INPUT if asked.setup == "-" else asked.setup
        sys.stderr.write(f"{text if text.startswith(place) else f'{place}: {text}'}\n")
        return 2
    stock = load_stock(asked.stock)
    program = load_path(
        asked.program,
        top_z_mm=stock.top_z_mm,
        left_hand=setup.cutter.hand == "left",
        speed_rpm=setup.cut.spindle_speed_rpm,
    )
    report = path_report(program, stock, setup, asked.spacing, at, asked.worst)
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    if asked.json:
        sys.stdout.write(path_json(report) + "\n")
    else:
        from core.report.path_text import path_text

        sys.stdout.write(path_text(report, asked.program))
    sys.stdout.flush()
    return 0
