"""``python3 app calibrate``: force coefficients from your own measured mean forces against feed."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from app.commands.picture import size_of
from app.commands.report import STANDARD_INPUT, Arguments, catalogue_with, read
from core.base.errors import ChiparcError
from core.calibration.calibrated_blocks import NewMaterial, check_sense
from core.calibration.calibration import Calibration, calibrate
from core.calibration.calibration_file import WANTED, read_mean_forces
from core.calibration.calibration_report import calibration_report, calibration_text
from core.documents.document_text import load_stream, load_text
from core.documents.materials import GROUPS, Catalogue, Material, catalogue
from core.report.report import report_json
from core.setup.setup import Cut, Cutter, Setup
from core.setup.setup_limits import FEED_SHARE, check_setup

if TYPE_CHECKING:
    from core.base.quantities import Units

TELLS = """\
The file has a heading and a row for each cut: feed_per_tooth_mm, mean_fx_n, mean_fy_n and, if it was measured,
mean_fz_n, separated by commas, semicolons or tabs.  Means are over whole turns, in N, of the force of the work
on the cutter: y along the feed (the way the cutter goes through the work), x to the right of it seen along the
spindle onto the work, z along the spindle.  A dynamometer under the work measures the opposite force:
--on-work turns the signs.  Where x of a record runs along the feed, mean_fy_n is its x and mean_fx_n is minus
its y.  An invented example: shared/calibration/slots.csv.
"""

KEYS = {
    "diameter": "cutter.diameter_mm",
    "teeth": "cutter.teeth",
    "edge_angle": "cutter.cutting_edge_angle_deg",
    "direction": "cut.direction",
    "width": "cut.radial_engagement_mm",
    "depth": "cut.axial_engagement_mm",
    "offset": "cut.centre_offset_mm",
}
"""Option to the key of a setup that it sets."""

SMALLEST = (960, 480)
"""Least width and height of the picture, pixels: below it words would meet."""

NOMINAL_SPEED = 1000.0
"""/min.  A setup has a speed; the fit does not use it."""


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = Arguments(
        "python3 app calibrate",
        description=__doc__,
        epilog=TELLS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("file", metavar="FILE", help="columns of feed and mean forces; - reads standard input")
    made.add_argument("setup", nargs="?", metavar="SETUP", help="a setup document that gives cutter and cut")
    given = made.add_argument_group("cutter and cut", "in place of a setup, or in place of single figures of it")
    given.add_argument("--diameter", type=float, metavar="MM", help="cutter diameter")
    given.add_argument("--teeth", type=int, metavar="Z", help="number of teeth")
    given.add_argument("--edge-angle", type=float, metavar="DEG", help="cutting edge angle (90)")
    given.add_argument("--direction", choices=("climb", "conventional", "straddling"))
    given.add_argument("--width", type=float, metavar="MM", help="radial width of cut (a full slot)")
    given.add_argument("--depth", type=float, metavar="MM", help="depth of cut")
    given.add_argument("--offset", type=float, metavar="MM", help="centre offset of a straddling cut (0)")
    made.add_argument("--on-work", action="store_true", help="the forces were measured on the work: turn the signs")
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON object; always metric")
    form.add_argument("--text", action="store_true", help="for a reader (this is the default)")
    made.add_argument("--units", choices=("metric", "inch"), default="metric", help="units of text and plot")
    new = made.add_argument_group("an entry for a file of your own materials")
    new.add_argument("--material", metavar="NAME", help="what the material is called")
    new.add_argument("--group", choices=tuple(GROUPS), help="its group of ISO 513")
    new.add_argument("--kind", metavar="WORDS", help='what it is, such as "grey iron"')
    made.add_argument("--materials", metavar="FILE", help="your own materials, if the setup names one of them")
    plot = made.add_argument_group("a picture of the fit")
    plot.add_argument("--plot", metavar="NAME", help="a name ending in .png, .svg or .pdf")
    plot.add_argument("--size", default="1600x800", help="width x height in pixels (1600x800)")
    plot.add_argument("--theme", choices=("light", "dark", "projector", "print"), default="light")
    return made


def new_material(asked: argparse.Namespace) -> NewMaterial | None:
    """What the measured material is to be called, if it is to be an entry.  Raises ChiparcError."""
    if asked.material is None:
        for name in ("group", "kind"):
            if getattr(asked, name) is not None:
                raise ChiparcError(f"--{name}", "found without --material", "--material NAME beside it")
        return None
    if asked.group is None:
        groups = ", ".join(f"{g} ({word})" for g, word in GROUPS.items())
        raise ChiparcError("--group", "missing beside --material", groups)
    return NewMaterial(asked.material, asked.group, asked.kind or "own measurement")


def known_materials(asked: argparse.Namespace) -> Catalogue | None:
    """The catalogue for reading the setup: the name that is being measured is known, too."""
    known = catalogue_with(asked.materials)
    if asked.material is None:
        return known
    measured = Material(asked.material, (), "", asked.group, "", ())
    return (known or catalogue()).with_own(Catalogue((measured,)))


def measured_setup(asked: argparse.Namespace, known: Catalogue | None) -> Setup:
    """Cutter and cut from the setup document and the options, which win.  Raises ChiparcError."""
    given = {KEYS[name]: getattr(asked, name) for name in KEYS if getattr(asked, name) is not None}
    if asked.setup is not None:
        if asked.setup == "-":
            raise ChiparcError("SETUP", 'found "-"', "the name of a file: standard input is for the forces")
        setup = replace(read(asked.setup, known), machine=None).with_keys(given)
    else:
        for name in ("diameter", "teeth", "depth"):
            if getattr(asked, name) is None:
                raise ChiparcError(f"--{name}", "missing", "a figure, or a setup document that gives cutter and cut")
        width = asked.diameter if asked.width is None else asked.width
        # A slot unless something else is said; a narrower cut has a direction that nobody can guess.
        if asked.direction is None and asked.width not in (None, asked.diameter):
            raise ChiparcError("--direction", "missing beside a width", "climb, conventional or straddling")
        cut = Cut("straddling", width, asked.depth, FEED_SHARE * 0.01 * asked.diameter, NOMINAL_SPEED)
        setup = Setup(Cutter(asked.diameter, asked.teeth), cut).with_keys(given)
    try:
        check_setup(setup)
    except ChiparcError as error:
        named = {key: f"--{name.replace('_', '-')}" for name, key in KEYS.items()}
        where = named.get(error.where, error.where) if error.where in given or not asked.setup else error.where
        raise ChiparcError(where, error.found, error.allowed) from None
    return setup


def draw(fit: Calibration, setup: Setup, file: Path, size: tuple[int, int], theme: str, units: Units) -> None:
    """The picture of the fit into a file, without a display.  Raises ChiparcError."""
    # The offscreen platform paints without any display.
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QSize
    from PySide6.QtWidgets import QApplication

    from app.calibration.calibration_plot import paint_calibration
    from app.calibration.calibration_scene import CalibrationScene
    from app.kit.fonts import load_fonts
    from app.kit.picture_file import look_in, save_painted

    application = QApplication.instance() or QApplication(["chiparc"])
    load_fonts()
    scene = CalibrationScene.of(fit, setup, units)
    save_painted(
        lambda painter, rect: paint_calibration(painter, rect, scene, look_in(file, theme)),
        file,
        QSize(*size),
        title=scene.title,
        description=scene.cut,
        where="--plot",
    )
    del application


def run(argv: list[str]) -> int:
    """Fit, draw, print; 0, or a refusal in words."""
    asked = parser().parse_args(argv)
    size = size_of(asked.size, SMALLEST)
    plot = Path(asked.plot) if asked.plot is not None else None
    if plot is not None and plot.suffix.lower() not in (".png", ".svg", ".pdf"):
        raise ChiparcError("--plot", f'found the ending "{plot.suffix}"', ".png, .svg, .pdf")
    new = new_material(asked)
    setup = measured_setup(asked, known_materials(asked))
    if asked.file == "-":
        data: str | bytes = load_stream(sys.stdin.buffer if sys.stdin else None)
        name = STANDARD_INPUT
    else:
        data, name = load_text(asked.file, WANTED), asked.file
    most = FEED_SHARE * setup.cutter.diameter_mm
    measured = read_mean_forces(data, name, on_work=asked.on_work, most_feed_mm=most)
    fit = calibrate(measured, setup)
    check_sense(fit, name)
    # A report's text may hold what an old terminal's character set has not.
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    if plot is not None:
        draw(fit, setup, plot, size, asked.theme, asked.units)
    if asked.json:
        sys.stdout.write(report_json(calibration_report(fit, setup, name, new)) + "\n")
    else:
        sys.stdout.write(calibration_text(fit, setup, name, asked.units, new))
    sys.stdout.flush()
    return 0
