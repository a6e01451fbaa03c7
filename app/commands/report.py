"""``python3 app report``: setups to JSON or text; needs no display and never loads Qt."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, Any

from app.commands.arguments import Arguments, add_materials, metavar, standard_input
from app.commands.called import called
from core.base.errors import ChiparcError
from core.base.language import ENGLISH, language
from core.base.words import say
from core.documents.document_text import decoded, load_stream, load_text
from core.documents.setup_document import read_setup
from core.report.text_report import text_report
from core.setup.setup import Setup

if TYPE_CHECKING:
    from core.documents.materials import Catalogue

VARY_EXAMPLES = ("radial_engagement_mm=0.5:6:0.5", "teeth=2,3,4")
"""What ``--vary`` may be, for the help."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    tell, every = partial(say, "command_report"), partial(say, "command")
    made = Arguments(called("report"), description=tell("about"))
    made.add_argument("files", nargs="*", metavar=metavar("files"), help=every("setup_file"))
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=tell("json"))
    form.add_argument("--json-lines", action="store_true", help=tell("json_lines"))
    form.add_argument("--brief", action="store_true", help=tell("brief"))
    form.add_argument("--text", action="store_true", help=every("text"))
    made.add_argument("--keys", action="store_true", help=tell("keys"))
    vary = tell("vary", examples=", ".join(VARY_EXAMPLES))
    made.add_argument("--vary", action="append", metavar=metavar("span"), help=vary)
    made.add_argument("--csv", metavar=metavar("out"), help=tell("csv"))
    made.add_argument("--columns", metavar=metavar("keys"), help=tell("columns"))
    made.add_argument("--units", choices=("metric", "inch"), default="metric", help=tell("units"))
    made.add_argument("--against", metavar=metavar("other"), help=tell("against"))
    add_materials(made, every("materials_win"))
    return made


def text_of(name: str) -> str | bytes:
    """A document's text, from a file or from standard input.  Raises DocumentError."""
    if name != "-":
        return load_text(name)
    # A process may be started without a standard input at all.
    return load_stream(sys.stdin.buffer if sys.stdin else None)


def read(name: str, known: Catalogue | None = None) -> Setup:
    """The setup of a file, or of standard input.  Raises DocumentError.

    known : the catalogue that has the work's material, the project's own unless given.
    """
    return read_setup(text_of(name), standard_input() if name == "-" else name, known)


def catalogue_with(file: str | None) -> Catalogue | None:
    """The catalogue with a person's own materials, if a file of them is named.  Raises DocumentError."""
    if file is None:
        return None
    from core.documents.materials import catalogue, load_materials

    return catalogue().with_own(load_materials(file))


def with_material(setup: Setup, known: Catalogue | None) -> Setup:
    """The setup with what is known of its material filled in."""
    if setup.work.material is None:
        return setup
    # Loaded where it is needed: most of a short command's time is what it imports.
    from core.documents.materials import resolved

    return resolved(setup, known)


def known_setup(name: str, known: Catalogue | None) -> Setup:
    """The setup of a file with what is known of its material filled in.  Raises DocumentError."""
    return in_words(with_material(read(name, known), known), name)


def in_words(setup: Setup, name: str) -> Setup:
    """An example that is named by its file, titled in the language that is spoken; another document as it is."""
    if language() == ENGLISH.id:
        return setup
    from core.documents.setup_examples import EXAMPLES

    file = os.path.realpath(name)
    example = next((each for each in EXAMPLES if os.path.realpath(each.file) == file), None)
    return setup if example is None else example.in_words(setup)


def print_json(
    asked: argparse.Namespace, against: Setup | None, known: Catalogue | None, entries: Iterable[Entry]
) -> None:
    """Every report and refusal: one object, an array, or a line each.

    A single refused document has no object: its reason stands on standard error alone.
    """
    from core.report.json_report import json_report, json_text, refusal
    from core.report.setup_echo import given_keys

    def made(name: str, found: Setup | ChiparcError, text: str | bytes) -> dict[str, Any]:
        if isinstance(found, ChiparcError):
            return refusal(name, found)
        return json_report(found, name, given_keys(decoded(text, name), name), against, known)

    if asked.json_lines:
        for entry in entries:
            sys.stdout.write(json_text(made(*entry), compact=True) + "\n")
    elif len(asked.files) > 1:
        sys.stdout.write(json_text([made(*entry) for entry in entries]) + "\n")
    else:
        for entry in entries:
            if not isinstance(entry[1], ChiparcError):
                sys.stdout.write(json_text(made(*entry)) + "\n")


def print_keys(as_json: bool) -> None:
    """The page of all keys, made from the schema."""
    from core.report.json_report import json_text
    from core.report.keys_page import keys_data, keys_page

    sys.stdout.write(json_text(keys_data()) + "\n" if as_json else keys_page())


Entry = tuple[str, "Setup | ChiparcError", str | bytes]
"""A document: its name, its setup with the material filled in or what is wrong, and its text."""


def run(argv: list[str]) -> int:
    """Print the reports; 0, or 2 if any input was refused (the others are still printed)."""
    arguments = parser()
    asked = arguments.parse_args(argv)
    # A report's text may hold what an old terminal's character set has not.
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    if asked.keys:
        if asked.files:
            arguments.error(say("command_report", "file_beside_keys"))
        print_keys(asked.json)
        sys.stdout.flush()
        return 0
    if not asked.files:
        arguments.error(say("command_report", "no_file"))
    if [*asked.files, asked.against].count("-") > 1:
        arguments.error(say("command_report", "input_twice"))
    if (asked.csv or asked.columns) and not asked.vary:
        arguments.error(say("command_report", "no_vary"))
    known = catalogue_with(asked.materials)
    if asked.vary:
        if len(asked.files) > 1:
            arguments.error(say("command_report", "files_beside_vary", count=len(asked.files)))
        from app.commands.vary import run_table

        return run_table(known_setup(asked.files[0], known), asked.vary, asked.columns, asked.csv)
    # Refused at once if it is wrong: every report would lack it.
    against = None if asked.against is None else known_setup(asked.against, known)
    entries = [entry_of(name, known) for name in asked.files]
    refused = 0
    for name, found, _ in entries:
        if isinstance(found, ChiparcError):
            text, place = str(found), standard_input() if name == "-" else name
            sys.stderr.write(f"{text if text.startswith(place) else f'{place}: {text}'}\n")
            refused = 2
    if asked.json or asked.json_lines:
        print_json(asked, against, known, entries)
    else:
        setups = (in_words(found, name) for name, found, _ in entries if isinstance(found, Setup))
        texts = (text_report(setup, asked.units, against, known, brief=asked.brief) for setup in setups)
        sys.stdout.write("\n".join(texts))
    sys.stdout.flush()
    return refused


def entry_of(name: str, known: Catalogue | None) -> Entry:
    """A document with its setup, or with what is wrong with it."""
    text: str | bytes = ""
    try:
        text = text_of(name)
        setup = with_material(read_setup(text, standard_input() if name == "-" else name, known), known)
    except ChiparcError as error:
        return name, error, text
    return name, setup, text
