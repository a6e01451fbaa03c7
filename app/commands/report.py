"""``python3 app report``: setups to JSON or text; needs no display and never loads Qt."""

from __future__ import annotations

import argparse
import re
import sys
from typing import TYPE_CHECKING, Any, NoReturn

from app.commands.called import as_called
from core.base.errors import ChiparcError
from core.base.visible import bounded
from core.documents.document_text import load_stream
from core.documents.setup_document import load_text, read_setup
from core.report.report import report, report_json
from core.report.text_report import text_report
from core.setup.setup import Setup

if TYPE_CHECKING:
    from core.documents.materials import Catalogue

STANDARD_INPUT = "<standard input>"

LONGEST_MESSAGE = 400
"""Characters of a refusal of arguments."""


class Arguments(argparse.ArgumentParser):
    """Wrong arguments: one sentence on standard error, exit status 2."""

    def __init__(self, prog: str, *, description: str | None, **more: Any) -> None:
        super().__init__(as_called(prog), description=as_called(description or ""), **more)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where to read more, without the words of the language it is written in."""
        for kind, allowed in (("int", "a whole number"), ("float", "a number")):
            message = re.sub(rf"invalid {kind} value: '(.*)'", rf'found "\1"; allowed: {allowed}', message)
        self.exit(2, f"{self.prog}: {bounded(message, LONGEST_MESSAGE)}; see {self.prog} --help\n")


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments("python3 app report", description=__doc__)
    made.add_argument("files", nargs="+", metavar="FILE", help="a setup document; - reads standard input")
    form = made.add_mutually_exclusive_group()
    form.add_argument(
        "--json",
        action="store_true",
        help="one file: an object; several: an array of the accepted ones in their order; always metric",
    )
    form.add_argument(
        "--brief", action="store_true", help="text of a page: sentence, cutter, cut and what it asks, cautions"
    )
    form.add_argument("--text", action="store_true", help="for a reader (this is the default)")
    made.add_argument(
        "--units", choices=("metric", "inch"), default="metric", help="units of the text report; JSON is metric"
    )
    made.add_argument(
        "--against",
        metavar="OTHER",
        help="another setup document: adds the tool life as a ratio to that in OTHER, never a life in minutes",
    )
    made.add_argument(
        "--materials", metavar="FILE", help="a file of your own materials, which win over the catalogue's"
    )
    return made


def read(name: str, known: Catalogue | None = None) -> Setup:
    """The setup of a file, or of standard input.  Raises DocumentError.

    known : the catalogue that has the work's material, the project's own unless given.
    """
    if name != "-":
        return read_setup(load_text(name), name, known)
    return read_setup(load_stream(sys.stdin.buffer if sys.stdin else None), STANDARD_INPUT, known)


def catalogue_with(file: str | None) -> Catalogue | None:
    """The catalogue with a person's own materials, if a file of them is named.  Raises DocumentError."""
    if file is None:
        return None
    from core.documents.materials import catalogue, load_materials

    return catalogue().with_own(load_materials(file))


def known_setup(name: str, known: Catalogue | None) -> Setup:
    """The setup of a file with what is known of its material filled in.  Raises DocumentError."""
    setup = read(name, known)
    if setup.work.material is None:
        return setup
    # Loaded where it is needed: most of a short command's time is what it imports.
    from core.documents.materials import resolved

    return resolved(setup, known)


def run(argv: list[str]) -> int:
    """Print the reports; 0, or 2 if any input was refused (the others are still printed)."""
    arguments = parser()
    asked = arguments.parse_args(argv)
    if [*asked.files, asked.against].count("-") > 1:
        arguments.error("found - more than once; allowed: standard input for one FILE or for OTHER")
    known = catalogue_with(asked.materials)
    # Refused at once if it is wrong: every report would lack it.
    against = None if asked.against is None else known_setup(asked.against, known)
    setups: list[Setup] = []
    refused = 0
    for name in asked.files:
        try:
            setups.append(known_setup(name, known))
        except ChiparcError as error:
            text = str(error)
            place = STANDARD_INPUT if name == "-" else name
            sys.stderr.write(f"{text if text.startswith(place) else f'{place}: {text}'}\n")
            refused = 2
    # A report's text may hold what an old terminal's character set has not.
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    if asked.json:
        reports = [report(setup, against, known) for setup in setups]
        if reports:
            sys.stdout.write(report_json(reports if len(asked.files) > 1 else reports[0]) + "\n")
    else:
        texts = (text_report(setup, asked.units, against, known, brief=asked.brief) for setup in setups)
        sys.stdout.write("\n".join(texts))
    sys.stdout.flush()
    return refused
