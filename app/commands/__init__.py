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
from core.base.refused import system_reason
from core.base.visible import visible
from core.base.words import say

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
    # Help may hold what an old terminal's character set has not.
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")
    language, argv = language_asked(argv)
    if language is not None and language not in LANGUAGES:
        sys.stderr.write(say("command", "language", found=visible(language), allowed=", ".join(LANGUAGES)) + "\n")
        return REFUSED
    if language is not None:
        speak(language)
    if argv and argv[0] in ("-h", "--help", "help"):
        sys.stdout.write(as_called(say("command", "help")))
        return 0
    if argv and argv[0] == "--version":
        sys.stdout.write(f"chiparc {version()}\n")
        return 0
    if argv and unknown_command(argv[0]):
        told = {"found": argv[0], "allowed": ", ".join(COMMANDS)}
        near = difflib.get_close_matches(argv[0].lower(), COMMANDS, 1)
        sys.stderr.write(
            say("command", "unknown_near", near=near[0], **told) if near else say("command", "unknown", **told)
        )
        sys.stderr.write("\n")
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
        sys.stderr.write(f"chiparc: {place}{system_reason(error)}\n")
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return REFUSED
    except SystemExit as end:
        # --help and wrong arguments have said what they had to.
        return end.code if isinstance(end.code, int) else 0
    except KeyboardInterrupt:
        return 130
