"""``python3 app picture``: a page of a setup as PNG, SVG or PDF, without a window or a display."""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Collection
from functools import partial
from pathlib import Path

from app.commands.arguments import Arguments, add_materials, metavar, number, wrong_ending
from app.commands.called import called
from app.commands.report import catalogue_with, known_setup
from core.base.errors import ChiparcError
from core.base.language import in_language
from core.base.words import say
from core.setup.show import CHARTS, CURVES, EVERYTHING

SMALLEST, LARGEST = (640, 560), 8000
"""Least width and height of a picture with one plan, two strips and two charts; greatest side; pixels."""


PAGE_IDS = ("arc", "chatter", "path", "figures", "lesson")
"""The pages that can be painted; the list of the window, which a test holds against it, is not loaded for --help."""


USUAL_CHARTS, USUAL_STRIPS = ("loop", "wall"), ("chip", "force")
"""What is painted where neither option nor document says anything."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    tell, every = partial(say, "command_picture"), partial(say, "command")
    made = Arguments(called("picture"), description=tell("about"))
    made.add_argument("file", metavar=metavar("file"), help=every("setup_file"))
    made.add_argument("--out", required=True, metavar=metavar("name"), help=every("picture_name"))
    size = every("size", usual="1600x1000")
    made.add_argument("--size", default="1600x1000", metavar=metavar("size"), help=size)
    made.add_argument("--theme", choices=("light", "dark", "projector", "print"), default="light")
    made.add_argument("--units", choices=("metric", "inch"), default="metric")
    made.add_argument("--page", choices=PAGE_IDS, help=tell("page"))
    made.add_argument("--frame", choices=("arc", "all"), help=tell("frame"))
    made.add_argument("--program", metavar=metavar("file"), help=tell("program"))
    made.add_argument("--stock", metavar=metavar("file"), help=tell("stock"))
    made.add_argument("--pair", action="store_true", help=tell("pair"))
    made.add_argument("--angle", type=number, metavar=metavar("angle"), help=tell("angle"))
    charts = tell("charts", names=", ".join(CHARTS), usual=",".join(USUAL_CHARTS))
    made.add_argument("--charts", metavar=metavar("names"), help=charts)
    strips = tell("strips", names=", ".join(CURVES), usual=",".join(USUAL_STRIPS))
    made.add_argument("--strips", metavar=metavar("names"), help=strips)
    add_materials(made, every("materials_win"))
    return made


def least_size(theme: str, pair: bool, charts: int, strips: int) -> tuple[int, int]:
    """Width and height, pixels, under which words of such a picture would run into one another."""
    width, height = (960, 640) if pair else SMALLEST
    width += 200 * max(charts - 2, 0)
    height += 80 * max(strips - 2, 0)
    larger = 1.25 if theme == "projector" else 1.0
    return round(larger * width), round(larger * height)


def size_of(text: str, least: tuple[int, int] = SMALLEST) -> tuple[int, int]:
    """Width and height of ``1600x1000``, each at least as said.  Raises ChiparcError."""
    match = re.fullmatch(r"(\d{1,6})\s*[xX×]\s*(\d{1,6})", text.strip(), re.ASCII)
    sides = (int(match[1]), int(match[2])) if match else (0, 0)
    if not all(low <= side <= LARGEST for low, side in zip(least, sides, strict=True)):
        allowed = say("command", "size_allowed", low=f"{least[0]}x{least[1]}", high=f"{LARGEST}x{LARGEST}")
        raise ChiparcError("--size", say("refusal", "found_text", text=text), allowed)
    return sides


MOST_TURNS = 100
"""Turns of the tooth within which an angle is taken."""


def angle_of(angle: float | None) -> float | None:
    """The angle of the active tooth, degrees; None for none.  Raises ChiparcError for what is no angle."""
    if angle is None or abs(angle) <= 360.0 * MOST_TURNS:
        return angle
    found = say("command_picture", "angle_found", angle=in_language(f"{angle:g}"))
    most = 360 * MOST_TURNS
    raise ChiparcError("--angle", found, say("command_picture", "angle_allowed", low=-most, high=most))


def names_of(text: str, allowed: Collection[str], option: str, *, none: bool = False) -> tuple[str, ...]:
    """The names of ``loop,wall``, each once; ``none`` may stand for no name.  Raises ChiparcError."""
    if none and text.strip() == "none":
        return ()
    names = tuple(dict.fromkeys(name.strip() for name in text.split(",")))
    unknown = next((name for name in names if name not in allowed), None)
    if unknown is not None:
        wanted = say("command", "names_or_none" if none else "names", names=", ".join(allowed))
        raise ChiparcError(option, say("refusal", "found_text", text=unknown), wanted)
    return names


def run(argv: list[str]) -> int:
    """Paint the picture; 0, or a refusal in words."""
    asked = parser().parse_args(argv)
    angle = angle_of(asked.angle)
    out = Path(asked.out)
    if out.suffix.lower() not in (".png", ".svg", ".pdf"):
        raise wrong_ending("--out", out.suffix, ".png, .svg, .pdf")
    chosen = asked.charts and names_of(asked.charts, CHARTS, "--charts", none=True)
    curves = asked.strips and names_of(asked.strips, CURVES, "--strips")
    known = catalogue_with(asked.materials)
    setup = known_setup(asked.file, known)
    # What is not asked for is as the document wants to be looked at.
    show = setup.show
    charts = show.charts if chosen is None and show.strips else USUAL_CHARTS if chosen is None else chosen
    strips = curves or (show.curves if show.strips else USUAL_STRIPS)
    pair = asked.pair or show.pair
    width, height = size_of(asked.size, least_size(asked.theme, pair, len(charts), len(strips)))
    # The offscreen platform paints without any display.
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QSize
    from PySide6.QtWidgets import QApplication

    from app.kit.fonts import load_fonts
    from app.pages.page_list import PAGES
    from app.pages.page_picture import save_picture_of
    from app.state.view_state import ViewState

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    view = ViewState()
    view.units, view.pair, view.shown = asked.units, pair, EVERYTHING.without(show.hidden)
    kind = next((page for page in PAGES if page.id == (asked.page or show.page)), PAGES[0])
    frame = asked.frame or show.frame
    state: dict[str, object] = {"strips": list(strips), "charts": list(charts), "frame": frame}
    if kind.id == "path" and asked.program:
        state = {"source": "program", "program_file": asked.program, "stock_file": asked.stock or ""}
    save_picture_of(
        kind,
        setup,
        out,
        QSize(width, height),
        view=view,
        theme=asked.theme,
        materials=known,
        state=state,
        undo_state=angle,
    )
    del application
    return 0
