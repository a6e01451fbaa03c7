"""The command line: ``python3 app`` opens the window, ``python3 app report …`` and others need none."""

from __future__ import annotations

import difflib
import importlib
import os
import sys

from app.commands.called import as_called
from app.commands.one_thread import one_thread_for_matrices
from core.base.errors import ChiparcError
from core.base.language import ENGLISH, LANGUAGES, speak

HELP = """\
Chiparc: what happens to one tooth of a milling cutter, from entry to exit.

  python3 app [SETUP.toml]          the window, on that setup or on an example
  python3 app --example NAME        the window on an example of the gallery
  python3 app --show LIST           full screen, on a list of setups, for a class
  python3 app --materials OWN.toml  the window with a file of your own materials
  python3 app report FILE...        the report of setups; - reads standard input
  python3 app picture FILE --out X  a page as .png, .svg or .pdf
  python3 app calibrate FILE ...    force coefficients from your own measured mean forces
  python3 app path PROGRAM ...      engagement, chip and force along a program or drawing
  python3 app lesson ...            worksheets and other takings from lessons
  python3 app --version             the version
  --language de                     with any of them: in German

`python3 app COMMAND --help` tells more.  It advises; it never certifies.
"""

COMMANDS = {
    "report": "app.commands.report",
    "picture": "app.commands.picture",
    "calibrate": "app.commands.calibrate",
    "path": "app.commands.path",
    "lesson": "app.commands.lesson",
}
"""Commands by name; each module has ``run(argv) -> int`` and is loaded only when used."""

REFUSED = 2
"""Exit status of a refused input."""


def version() -> str:
    """The program's version: of the installed package, else of pyproject.toml."""
    import tomllib
    from importlib import metadata

    from core.base.places import ROOT

    try:
        with open(ROOT / "pyproject.toml", "rb") as file:
            return str(tomllib.load(file)["project"]["version"])
    except OSError:
        return metadata.version("chiparc")


def unknown_command(word: str) -> bool:
    """Whether a first word is meant as a command that there is not: a plain word, and no file of that name."""
    return word.isidentifier() and word not in COMMANDS and not os.path.exists(word)


def language_asked(argv: list[str]) -> tuple[str | None, list[str]]:
    """The language of ``--language ID`` or ``--language=ID``, wherever it stands, and the other arguments.

    None where it is not asked for; empty where no id follows.
    """
    rest, asked, words = [], None, iter(argv)
    for word in words:
        if word == "--language":
            asked = next(words, "")
        elif word.startswith("--language="):
            asked = word.partition("=")[2]
        else:
            rest.append(word)
    return asked, rest


def main(argv: list[str]) -> int:
    """Run the command line; returns the exit status."""
    one_thread_for_matrices()
    for name in ("stdout", "stderr"):
        # A process may be started without them: a window from a shortcut, a command with >&-.
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115 - until the process ends
    language, argv = language_asked(argv)
    if language is not None and language not in LANGUAGES:
        sys.stderr.write(f'chiparc: found "{language}" as --language; allowed: {", ".join(LANGUAGES)}\n')
        return REFUSED
    if language is not None:
        speak(language)
    if argv and argv[0] in ("-h", "--help", "help"):
        sys.stdout.write(as_called(HELP))
        return 0
    if argv and argv[0] == "--version":
        sys.stdout.write(f"chiparc {version()}\n")
        return 0
    if argv and unknown_command(argv[0]):
        near = difflib.get_close_matches(argv[0].lower(), COMMANDS, 1)
        hint = f", perhaps meant as {near[0]}" if near else ""
        sys.stderr.write(f'chiparc: found "{argv[0]}"{hint}; allowed: {", ".join(COMMANDS)} or a setup document\n')
        return REFUSED
    name, rest = (argv[0], argv[1:]) if argv and argv[0] in COMMANDS else ("window", argv)
    if name == "window" and language is None:
        from app.state.settings import load_settings

        # Commands are English unless they are asked: scripts read them.
        remembered = load_settings().language
        speak(remembered if remembered in LANGUAGES else ENGLISH.id)
    try:
        module = importlib.import_module(COMMANDS.get(name, "app.commands.window"))
        return int(module.run(rest))
    except ChiparcError as error:
        sys.stderr.write(f"{error}\n")
        return REFUSED
    except BrokenPipeError:
        # Whoever read our output has had enough; nothing is wrong.  What is still buffered goes nowhere, so
        # that the interpreter does not try again at its end and complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        # A full disk behind standard output, a folder that may not be written.
        place = f"{error.filename}: " if error.filename else ""
        sys.stderr.write(f"chiparc: {place}{error.strerror or error}\n")
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return REFUSED
    except SystemExit as end:
        # --help and wrong arguments have said what they had to.
        return end.code if isinstance(end.code, int) else 0
    except KeyboardInterrupt:
        return 130
