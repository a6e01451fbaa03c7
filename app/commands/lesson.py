"""``python3 app lesson``: lessons, worksheets with their key, a page that compares, the motion to take away."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from app.commands.arguments import Arguments, add_materials, metavar
from app.commands.called import called
from app.commands.picture import least_size, size_of
from app.commands.report import catalogue_with, known_setup
from core.base.errors import ChiparcError
from core.base.language import in_language
from core.base.safe_write import write_text
from core.base.words import say

if TYPE_CHECKING:
    from core.base.quantities import Units
    from core.documents.materials import Catalogue
    from core.lesson.worksheet import Worksheet


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    tell, every = partial(say, "command_lesson"), partial(say, "command")
    made = Arguments(called("lesson"), description=tell("about"))
    parts = made.add_subparsers(dest="part", required=True, metavar=metavar("part"))
    parts.add_parser("list", help=tell("list"))
    check = parts.add_parser("check", help=tell("check"))
    check.add_argument("file", metavar=metavar("lesson"))
    sheet = parts.add_parser("worksheet", help=tell("worksheet"))
    sheet.add_argument("file", metavar=metavar("lesson"), help=tell("worksheet_file"))
    sheet.add_argument("--seed", default="1", metavar=metavar("seed"), help=tell("seed"))
    sheet.add_argument("--out", required=True, metavar=metavar("sheet"))
    sheet.add_argument("--key", metavar=metavar("key"), help=tell("key"))
    compare = parts.add_parser("compare", help=tell("compare"))
    compare.add_argument("file", metavar=metavar("setup_file"))
    compare.add_argument("--out", required=True, metavar=metavar("page"))
    motion = parts.add_parser("motion", help=tell("motion"))
    motion.add_argument("file", metavar=metavar("setup_file"))
    motion.add_argument("--out", required=True, metavar=metavar("name"), help=tell("motion_out"))
    size = tell("size", usual="1280x800")
    motion.add_argument("--size", default="1280x800", metavar=metavar("size"), help=size)
    themes = ("light", "dark", "projector", "print")
    motion.add_argument("--theme", choices=themes, default="light", help=tell("theme"))
    motion.add_argument("--pair", action="store_true", help=tell("pair"))
    for part in (sheet, compare, motion):
        part.add_argument("--units", choices=("metric", "inch"), default="metric")
        if part is not motion:
            part.add_argument("--paper", choices=("A4", "Letter"), default="A4")
        add_materials(part, every("materials"))
    return made


def lesson_file(name: str) -> str:
    """The file that a person names: one of ours by its name, else a file."""
    from core.lesson.lesson_files import our_lesson

    return name if os.path.exists(name) else str(our_lesson(name) or name)


def sheet_of(name: str, seed: str, units: Units, known: Catalogue | None) -> Worksheet:
    """The worksheet of a lesson or of a setup.  Raises ChiparcError."""
    from core.documents.document_text import load_text
    from core.lesson.lesson_files import is_lesson
    from core.lesson.lesson_reading import read_lesson
    from core.lesson.worksheet import setup_worksheet, worksheet

    file = lesson_file(name)
    text = load_text(file)
    if is_lesson(text):
        return worksheet(read_lesson(text, file, known), seed, units, known)
    return setup_worksheet(known_setup(file, known), seed, units, known)


def _pdf(name: str, option: str) -> Path:
    if not name.lower().endswith(".pdf"):
        raise ChiparcError(option, say("refusal", "found_text", text=name), say("command_lesson", "pdf_allowed"))
    return Path(name)


def _list(asked: argparse.Namespace) -> None:
    from core.lesson.lesson_files import our_lessons

    for each in our_lessons():
        sys.stdout.write(
            say("lesson_list", "line", id=each.id, title=each.title, minutes=in_language(f"{each.minutes:g}")) + "\n"
        )
        sys.stdout.write(f"    {each.about}\n")


def _check(asked: argparse.Namespace) -> None:
    from core.lesson.lesson_reading import load_lesson

    read = load_lesson(lesson_file(asked.file))
    asks = sum(scene.predict is not None for scene in read.scenes)
    sys.stdout.write(
        say(
            "lesson_list",
            "checked",
            title=read.title,
            scenes=len(read.scenes),
            asks=asks,
            minutes=in_language(f"{read.minutes:g}"),
        )
        + "\n"
    )


def _worksheet(asked: argparse.Namespace) -> None:
    out = _pdf(asked.out, "--out")
    key = _pdf(asked.key, "--key") if asked.key else None
    sheet = sheet_of(asked.file, asked.seed, asked.units, catalogue_with(asked.materials))
    with _painting():
        from app.pages.lesson.sheet_pdf import save_sheet

        save_sheet(sheet, out, paper=asked.paper, key=False)
        if key is not None:
            save_sheet(sheet, key, paper=asked.paper, key=True, where="--key")


@contextmanager
def _painting() -> Iterator[None]:
    """An application that paints without any display."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtWidgets import QApplication

    from app.kit.fonts import load_fonts

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    yield
    del application


def _compare(asked: argparse.Namespace) -> None:
    out, known = _pdf(asked.out, "--out"), catalogue_with(asked.materials)
    setup = known_setup(asked.file, known)
    with _painting():
        from app.pages.lesson.comparison_sheet import rows_of, save_comparison

        save_comparison(setup, rows_of(setup, known), out, asked.units, paper=asked.paper, known=known)


def _motion(asked: argparse.Namespace) -> None:
    out, known = Path(asked.out), catalogue_with(asked.materials)
    size = size_of(asked.size, least_size(asked.theme, asked.pair, 0, 2))
    setup = known_setup(asked.file, known)
    if out.suffix.lower() == ".html":
        from app.pages.lesson.motion_html import motion_html

        write_text(out, motion_html(setup, asked.units))
        return
    with _painting():
        from PySide6.QtCore import QSize

        from app.pages.film import save_film
        from app.pages.page_list import PAGES
        from app.state.view_state import ViewState
        from app.state.workbench import Workbench

        view = ViewState()
        view.units, view.pair = asked.units, asked.pair
        page = PAGES[0](Workbench(setup, materials=known), view)
        page.show(setup)
        save_film(page, out, QSize(*size), asked.theme, asked.units)
        page.left()
        page.deleteLater()


PARTS: dict[str, Callable[[argparse.Namespace], None]] = {
    "list": _list,
    "check": _check,
    "worksheet": _worksheet,
    "compare": _compare,
    "motion": _motion,
}


def run(argv: list[str]) -> int:
    """Do one part; 0, or a refusal in words."""
    asked = parser().parse_args(argv)
    PARTS[asked.part](asked)
    return 0
