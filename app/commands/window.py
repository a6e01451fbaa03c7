"""``python3 app``: the window; without a display the report of the opening setup and a picture of the page."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterable
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from app.commands.arguments import Arguments, add_materials, metavar
from app.commands.called import called
from app.commands.report import catalogue_with
from app.shell.display import why_no_window
from app.state.settings import load_settings
from core.base.error_words import in_short
from core.base.errors import ChiparcError
from core.base.words import say
from core.documents.materials import Catalogue, resolved
from core.documents.setup_document import load_text, read_setup
from core.documents.setup_examples import EXAMPLES
from core.documents.show_list import load_show_list
from core.report.text_report import text_report
from core.setup.setup import Setup

OPENING = "boss"
"""The example that the program opens with."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    tell = partial(say, "command_window")
    made = Arguments(called(), description=tell("about"))
    made.add_argument("file", nargs="?", metavar=metavar("file"), help=tell("file"))
    examples = [each.id for each in EXAMPLES]
    made.add_argument("--example", metavar=metavar("name"), choices=examples, help=tell("example"))
    made.add_argument("--show", metavar=metavar("list"), help=tell("show"))
    add_materials(made, tell("materials"))
    return made


def materials_of(named: str | None, window: bool = True) -> tuple[Catalogue | None, str]:
    """The catalogue with the own materials of that file, else of the remembered one; and what is wrong with it.

    None is the project's catalogue alone.  Raises DocumentError for a named file where no window could tell.
    """
    try:
        return catalogue_with(named or load_settings().materials or None), ""
    except ChiparcError as error:
        if named and not window:
            raise
        return None, in_short(error)


def without_display(setup: Setup, known: Catalogue | None = None, *, reason: str) -> int:
    """Say so, print the report, write the page's picture to a file, and say where.

    reason : why there is no window, a clause.
    """
    tell(say("display", "instead", reason=reason))
    setup = resolved(setup, known)
    sys.stdout.write(text_report(setup))
    sys.stdout.flush()
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    try:
        from PySide6.QtCore import QSize
        from PySide6.QtWidgets import QApplication
    except ImportError as error:
        # Libraries of the system that Qt needs for any picture; the launcher has said how to get them.
        tell(say("display", "no_picture", problem=error))
        return 0

    from app.kit.fonts import load_fonts
    from app.pages.page_list import PAGES
    from app.pages.page_picture import save_picture_of
    from app.state.view_state import ViewState

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    file = free_file((Path.cwd(), Path(tempfile.gettempdir())))
    if file is None:
        tell(say("display", "no_folder"))
    else:
        try:
            size, view = QSize(1600, 1000), ViewState()
            save_picture_of(PAGES[0], setup, file, size, view=view, theme="light", materials=known)
        except BaseException:
            file.unlink(missing_ok=True)
            raise
        tell(say("display", "picture", file=file))
    del application
    return 0


def tell(sentence: str) -> None:
    """One line to the person, on standard error: standard output is the report's."""
    sys.stderr.write(f"Chiparc: {sentence}\n")


def free_file(folders: Iterable[Path]) -> Path | None:
    """A new, empty ``chiparc.png`` in the first folder that takes it, numbered where one lies there already.

    Nobody asked for the picture, so it replaces nothing; made at once, so that nobody else takes the name.
    """
    for folder in folders:
        for number in range(1, 1000):
            file = folder / (f"chiparc-{number}.png" if number > 1 else "chiparc.png")
            try:
                file.touch(exist_ok=False)
                return file
            except FileExistsError:
                continue
            except OSError:
                break
    return None


def run(argv: list[str]) -> int:
    """Open the window and stay until it is closed."""
    asked = parser().parse_args(argv)
    with ExitStack() as held:
        return opened(asked, why_no_window(held))


def opened(asked: argparse.Namespace, reason: str) -> int:
    """Show the window; where there is a reason why that cannot be, the report."""
    example = next(e for e in EXAMPLES if e.id == (asked.example or OPENING))
    path = Path(asked.file) if asked.file else None
    known, problem = materials_of(asked.materials, window=not reason)
    stops = load_show_list(Path(asked.show), known) if asked.show else ()
    try:
        text = load_text(str(path or example.file))
        setup = read_setup(text, str(path or example.file), known)
        # An example is ours, and speaks the language; a person's document has words of its own.
        setup = setup if path else example.in_words(setup)
    except ChiparcError as error:
        if reason:
            raise
        # The window opens all the same, on the example, and says why.
        problem, path = "; ".join(told for told in (problem, in_short(error)) if told), None
        text = load_text(str(example.file))
        setup = example.setup()
    if reason:
        if problem:
            tell(problem)
        return without_display(setup, known, reason=reason)
    from app.shell.start import show_window

    # Whoever names what to open wants that.
    named = asked.file or asked.example or asked.show
    return show_window(setup, path, text, problem, known, stops, go_on=not named)
