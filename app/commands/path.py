"""``python3 app path``: what a program or drawing does to the cutter; needs no display and never loads Qt."""

from __future__ import annotations

import argparse
import sys
from functools import partial

from app.commands.arguments import Arguments, add_materials, metavar, number, standard_input, whole_number
from app.commands.called import called
from app.commands.report import catalogue_with, known_setup
from core.base.errors import ChiparcError
from core.base.words import say


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    tell, every = partial(say, "command_path"), partial(say, "command")
    made = Arguments(
        called("path"),
        description=tell("about"),
        epilog=tell("more"),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("program", metavar=metavar("program"), help=tell("program"))
    made.add_argument("--stock", required=True, metavar=metavar("stock"), help=tell("stock"))
    made.add_argument("--setup", required=True, metavar=metavar("setup"), help=every("setup_file"))
    made.add_argument("--spacing", type=number, metavar=metavar("mm"), help=tell("spacing"))
    made.add_argument("--at", metavar=metavar("distances"), help=tell("at"))
    made.add_argument("--worst", type=whole_number, default=10, metavar=metavar("count"), help=tell("worst"))
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=every("json"))
    form.add_argument("--text", action="store_true", help=every("text"))
    add_materials(made, every("materials_win"))
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
            allowed = say("command_path", "distances", example="0,12.5,40")
            raise ChiparcError("--at", say("refusal", "found_text", text=word), allowed) from None
    return tuple(found)


def run(argv: list[str]) -> int:
    """Print the report of the path; 0.  Raises ChiparcError for refused input."""
    from core.path.open_path import load_path, load_stock
    from core.path.path_report import path_json, path_report

    arguments = parser()
    asked = arguments.parse_args(argv)
    if asked.spacing is not None and asked.at is not None:
        arguments.error(say("command_path", "spacing_and_at"))
    if asked.worst < 0:
        arguments.error(say("command_path", "worst_refused", count=asked.worst))
    at = distances(asked.at)
    try:
        setup = known_setup(asked.setup, catalogue_with(asked.materials))
    except ChiparcError as error:
        text, place = str(error), standard_input() if asked.setup == "-" else asked.setup
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
