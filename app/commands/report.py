"""``python3 app report``: setups to JSON or text; needs no display and never loads Qt."""

from __future__ import annotations

import argparse
import sys
from typing import NoReturn

from core.errors import ChiparcError
from core.materials import catalogue, load_materials, resolved
from core.report import report, report_json
from core.setup import Setup
from core.setup_document import load_setup, read_setup
from core.text_report import text_report

STANDARD_INPUT = "<standard input>"


class Arguments(argparse.ArgumentParser):
    """Wrong arguments: one sentence on standard error, exit status 2."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where to read more."""
        self.exit(2, f"{self.prog}: {message}; see {self.prog} --help\n")


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments("python3 app report", description=__doc__)
    made.add_argument("files", nargs="+", metavar="FILE", help="a setup document; - reads standard input")
    form = made.add_mutually_exclusive_group()
    form.add_argument(
        "--json", action="store_true", help="one file: an object; several: an array of them, in order; always metric"
    )
    form.add_argument("--text", action="store_true", help="for a reader (this is the default)")
    made.add_argument("--units", choices=("metric", "inch"), default="metric", help="units of the text report")
    made.add_argument(
        "--materials", metavar="FILE", help="a file of your own materials, which win over the catalogue's"
    )
    return made


def read(name: str) -> Setup:
    """The setup of a file, or of standard input.  Raises DocumentError."""
    if name == "-":
        return read_setup(sys.stdin.buffer.read(), STANDARD_INPUT)
    return load_setup(name)


def run(argv: list[str]) -> int:
    """Print the reports; 0, or 2 if any input was refused (the others are still printed)."""
    asked = parser().parse_args(argv)
    known = catalogue().with_own(load_materials(asked.materials)) if asked.materials else catalogue()
    found: list[Setup] = []
    refused = 0
    for name in asked.files:
        try:
            setup = read(name)
            resolved(setup, known)
            found.append(setup)
        except ChiparcError as error:
            text = str(error)
            place = STANDARD_INPUT if name == "-" else name
            sys.stderr.write(f"{text if text.startswith(place) else f'{place}: {text}'}\n")
            refused = 2
    setups = [resolved(setup, known) for setup in found]
    # A report's text may hold what an old terminal's character set has not.
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    if asked.json:
        reports = [report(setup) for setup in setups]
        if reports:
            sys.stdout.write(report_json(reports if len(asked.files) > 1 else reports[0]) + "\n")
    else:
        sys.stdout.write("\n".join(text_report(setup, asked.units) for setup in setups))
    sys.stdout.flush()
    return refused
