"""``python3 app``: the window; without a display the report of the opening setup and a picture of the page."""

from __future__ import annotations

import argparse
import os
import socket
import sys
import tempfile
from pathlib import Path

from app.commands.report import Arguments
from core.errors import ChiparcError
from core.materials import resolved
from core.setup import Setup
from core.setup_document import load_text, read_setup
from core.setup_examples import EXAMPLES
from core.text_report import text_report

OPENING = "boss"
"""The example that the program opens with."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments("python3 app", description=__doc__)
    made.add_argument("file", nargs="?", metavar="FILE", help="a setup document to open")
    made.add_argument("--example", metavar="NAME", choices=[e.id for e in EXAMPLES], help="an example to open")
    return made


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


def without_display(setup: Setup) -> int:
    """Say so, print the report, write the page's picture to a file, and say where."""
    sys.stderr.write("Chiparc: there is no display here, so no window; here is the report instead.\n")
    setup = resolved(setup)
    sys.stdout.write(text_report(setup))
    sys.stdout.flush()
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QSize
    from PySide6.QtWidgets import QApplication

    from app.fonts import load_fonts
    from app.picture import PictureOptions, save_picture
    from core.arc_results import arc_results

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    for folder in (Path.cwd(), Path(tempfile.gettempdir())):
        file = folder / "chiparc.png"
        if os.access(folder, os.W_OK):
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
    problem = ""
    try:
        text = load_text(str(path or example.file))
        setup = read_setup(text, str(path or example.file))
    except ChiparcError as error:
        if not has_display():
            raise
        # The window opens all the same, on the example, and says why.
        problem, path = str(error), None
        text = load_text(str(example.file))
        setup = example.setup()
    if not has_display():
        return without_display(setup)
    from app.start import show_window

    return show_window(setup, path, text, problem)
