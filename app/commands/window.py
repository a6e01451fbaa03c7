"""``python3 app``: the window; without a display the report of the opening setup and a picture of the page."""

from __future__ import annotations

import argparse
import itertools
import os
import socket
import sys
import tempfile
from pathlib import Path

from app.commands.report import Arguments, catalogue_with
from app.state.settings import load_settings
from core.base.errors import ChiparcError
from core.documents.materials import Catalogue, resolved
from core.documents.setup_document import load_text, read_setup
from core.documents.setup_examples import EXAMPLES
from core.report.text_report import text_report
from core.setup.setup import Setup

OPENING = "boss"
"""The example that the program opens with."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments("python3 app", description=__doc__)
    made.add_argument("file", nargs="?", metavar="FILE", help="a setup document to open")
    made.add_argument("--example", metavar="NAME", choices=[e.id for e in EXAMPLES], help="an example to open")
    made.add_argument(
        "--materials", metavar="FILE", help="your own materials for this time, in place of the remembered ones"
    )
    return made


def materials_of(named: str | None) -> tuple[Catalogue | None, str]:
    """The catalogue with the own materials of that file, else of the remembered one; and what is wrong with it.

    None is the project's catalogue alone.  Raises DocumentError for a named file where no window could tell.
    """
    try:
        return catalogue_with(named or load_settings().materials or None), ""
    except ChiparcError as error:
        if named and not has_display():
            raise
        return None, str(error)


def has_display() -> bool:
    """Whether a window can be shown: asked of the system before Qt is, which would abort without one."""
    if os.environ.get("QT_QPA_PLATFORM") or not sys.platform.startswith("linux"):
        return True
    if os.environ.get("WAYLAND_DISPLAY"):
        return True
    host, mark, number = os.environ.get("DISPLAY", "").rpartition(":")
    if not mark:
        return False
    screen = number.split(".")[0]
    if not screen.isdigit():
        return False
    try:
        if host in ("", "unix"):
            for address in (f"\0/tmp/.X11-unix/X{screen}", f"/tmp/.X11-unix/X{screen}"):
                with socket.socket(socket.AF_UNIX) as probe:
                    if probe.connect_ex(address) == 0:
                        return True
            return False
        with socket.create_connection((host, 6000 + int(screen)), timeout=3.0):
            return True
    except OSError:
        return False


def free_name(folder: Path, stem: str, ending: str) -> Path:
    """A name that no file in the folder has: nobody was asked whether one may be replaced."""
    names = (f"{stem}{mark}{ending}" for mark in itertools.chain(("",), (f"-{i}" for i in itertools.count(2))))
    return next(folder / name for name in names if not os.path.lexists(folder / name))


def without_display(setup: Setup, known: Catalogue | None = None) -> int:
    """Say so, print the report, write the page's picture to a file, and say where."""
    sys.stderr.write("Chiparc: there is no display here, so no window; here is the report instead.\n")
    setup = resolved(setup, known)
    sys.stdout.write(text_report(setup))
    sys.stdout.flush()
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QSize
    from PySide6.QtWidgets import QApplication

    from app.kit.fonts import load_fonts
    from app.pages.arc.arc_picture import PictureOptions, save_picture
    from core.effects.arc_results import arc_results

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    for folder in (Path.cwd(), Path(tempfile.gettempdir())):
        if os.access(folder, os.W_OK):
            file = free_name(folder, "chiparc", ".png")
            save_picture(arc_results(setup), file, QSize(1600, 1000), PictureOptions())
            sys.stderr.write(f"Chiparc: the page's picture is in {file}\n")
            break
    else:
        sys.stderr.write("Chiparc: found no folder to write the page's picture to.\n")
    del application
    return 0


def run(argv: list[str]) -> int:
    """Open the window and stay until it is closed."""
    asked = parser().parse_args(argv)
    example = next(e for e in EXAMPLES if e.id == (asked.example or OPENING))
    path = Path(asked.file) if asked.file else None
    known, problem = materials_of(asked.materials)
    try:
        text = load_text(str(path or example.file))
        setup = read_setup(text, str(path or example.file), known)
    except ChiparcError as error:
        if not has_display():
            raise
        # The window opens all the same, on the example, and says why.
        problem, path = "; ".join(told for told in (problem, str(error)) if told), None
        text = load_text(str(example.file))
        setup = example.setup()
    if not has_display():
        if problem:
            sys.stderr.write(f"Chiparc: {problem}\n")
        return without_display(setup, known)
    from app.shell.start import show_window

    return show_window(setup, path, text, problem, known)
