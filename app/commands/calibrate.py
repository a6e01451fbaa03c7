"""``python3 app calibrate``: force coefficients from your own measured mean forces against feed."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from app.commands.arguments import (
    Arguments,
    add_materials,
    metavar,
    number,
    standard_input,
    whole_number,
    wrong_ending,
)
from app.commands.called import called
from app.commands.picture import size_of
from app.commands.report import catalogue_with, read
from core.base.errors import ChiparcError
from core.base.words import say
from core.calibration.calibrated_blocks import NewMaterial, check_sense
from core.calibration.calibration import Calibration, calibrate
from core.calibration.calibration_file import read_mean_forces, wanted
from core.calibration.calibration_report import calibration_report, calibration_text
from core.documents.document_text import load_stream, load_text
from core.documents.material_entry import groups_words
from core.documents.materials import GROUPS, Catalogue, Material, catalogue
from core.report.report import report_json
from core.setup.setup import Cut, Cutter, Setup
from core.setup.setup_limits import FEED_SHARE, check_setup

if TYPE_CHECKING:
    from core.base.quantities import Units

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
    tell, every = partial(say, "command_calibrate"), partial(say, "command")
    made = Arguments(
        called("calibrate"),
        description=tell("about"),
        epilog=tell("more"),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    mm = metavar("mm")
    made.add_argument("file", metavar=metavar("file"), help=tell("file"))
    made.add_argument("setup", nargs="?", metavar=metavar("setup"), help=tell("setup"))
    given = made.add_argument_group(tell("given"), tell("given_about"))
    given.add_argument("--diameter", type=number, metavar=mm, help=tell("diameter"))
    given.add_argument("--teeth", type=whole_number, metavar=metavar("teeth"), help=tell("teeth"))
    given.add_argument("--edge-angle", type=number, metavar=metavar("degrees"), help=tell("edge_angle"))
    given.add_argument("--direction", choices=("climb", "conventional", "straddling"))
    given.add_argument("--width", type=number, metavar=mm, help=tell("width"))
    given.add_argument("--depth", type=number, metavar=mm, help=tell("depth"))
    given.add_argument("--offset", type=number, metavar=mm, help=tell("offset"))
    made.add_argument("--on-work", action="store_true", help=tell("on_work"))
    form = made.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=every("json"))
    form.add_argument("--text", action="store_true", help=every("text"))
    made.add_argument("--units", choices=("metric", "inch"), default="metric", help=tell("units"))
    new = made.add_argument_group(tell("entry"))
    new.add_argument("--material", metavar=metavar("name"), help=tell("material"))
    new.add_argument("--group", choices=tuple(GROUPS), help=tell("group"))
    new.add_argument("--kind", metavar=metavar("words"), help=tell("kind"))
    add_materials(made, tell("materials"))
    plot = made.add_argument_group(tell("picture"))
    plot.add_argument("--plot", metavar=metavar("name"), help=every("picture_name"))
    size = every("size", usual="1600x800")
    plot.add_argument("--size", default="1600x800", metavar=metavar("size"), help=size)
    plot.add_argument("--theme", choices=("light", "dark", "projector", "print"), default="light")
    return made


def _refused(option: str, found: str, allowed: str) -> ChiparcError:
    """The refusal of an option, by the ids of its words."""
    return ChiparcError(option, say("command_calibrate", found), say("command_calibrate", allowed))


def new_material(asked: argparse.Namespace) -> NewMaterial | None:
    """What the measured material is to be called, if it is to be an entry.  Raises ChiparcError."""
    if asked.material is None:
        for name in ("group", "kind"):
            if getattr(asked, name) is not None:
                raise _refused(f"--{name}", "no_material", "no_material_allowed")
        return None
    if asked.group is None:
        raise ChiparcError("--group", say("command_calibrate", "no_group"), groups_words())
    return NewMaterial(asked.material, asked.group, asked.kind or say("command_calibrate", "own"))


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
            allowed = say("command_calibrate", "setup_input")
            raise ChiparcError(metavar("setup"), say("refusal", "found_text", text="-"), allowed)
        setup = replace(read(asked.setup, known), machine=None).with_keys(given)
    else:
        for name in ("diameter", "teeth", "depth"):
            if getattr(asked, name) is None:
                allowed = say("command_calibrate", "figure_allowed")
                raise ChiparcError(f"--{name}", say("refusal", "missing"), allowed)
        width = asked.diameter if asked.width is None else asked.width
        # A slot unless something else is said; a narrower cut has a direction that nobody can guess.
        if asked.direction is None and asked.width not in (None, asked.diameter):
            raise _refused("--direction", "no_direction", "direction_allowed")
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
        raise wrong_ending("--plot", plot.suffix, ".png, .svg, .pdf")
    new = new_material(asked)
    setup = measured_setup(asked, known_materials(asked))
    if asked.file == "-":
        data: str | bytes = load_stream(sys.stdin.buffer if sys.stdin else None)
        name = standard_input()
    else:
        data, name = load_text(asked.file, wanted()), asked.file
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
