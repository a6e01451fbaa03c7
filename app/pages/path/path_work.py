"""What the Path page works out beside the window: results in stages, as frozen values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.pages.path.place_picture import PlaceScene, place_scene
from core.base.safe_write import Stamp, stamp
from core.path.corner import Corner, StepoverRow, corner, smallest_corner_radius, stepover_rows, widest_stepover
from core.path.cut_list import ListedCut, PassFigures, pass_figures, rough_and_finish
from core.path.moves import Program, Stock
from core.path.open_path import load_path, load_stock
from core.path.reversed_path import reversed_program
from core.path.stock_around import StockAround
from core.path.whole_path import WholePath, path_stages, with_heat
from core.setup.setup import Setup


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be worked out.

    chosen_arc : rad, the limit of the arc, for the planner; None for none.  heat : whether the edge's temperature is
    looked at.  beside : what it is compared with, of :data:`BESIDE`; a stepover mm, or a file.
    """

    setup: Setup
    source: str
    radius: float
    cuts: tuple[ListedCut, ...]
    program_file: str
    stock_file: str
    pair: bool
    chosen_arc: float | None = None
    heat: bool = False
    beside: str = "nothing"
    beside_width: float = 0.0
    beside_file: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """Results so far of what was asked; ``whole`` is None for the list of cuts and where a file is missing.

    beside : the path that it is compared with.
    """

    asked: Asked
    whole: WholePath | None = None
    corners: tuple[Corner, ...] = ()
    rows: tuple[StepoverRow, ...] = ()
    smallest_radius: float | None = None
    widest: float | None = None
    passes: tuple[PassFigures, ...] = ()
    pass_scenes: tuple[PlaceScene, ...] = ()
    beside: WholePath | None = None
    final: bool = False


class PathFiles:
    """Programs and stocks that were read, so that a change of the setup does not read them again.

    The last paths that were worked out are kept too: another quantity needs no more than its own figures.
    """

    def __init__(self) -> None:
        self._programs: dict[tuple[object, ...], Program] = {}
        self._paths: dict[tuple[int, int, Setup], WholePath] = {}
        self._stocks: dict[tuple[str, Stamp | None], Stock] = {}

    def stock(self, file: str) -> Stock:
        """The stock of a file as it is now.  Raises DocumentError."""
        key = (file, stamp(file))
        if key not in self._stocks:
            self._stocks = {key: load_stock(file)}
        return self._stocks[key]

    def program(self, file: str, top_z_mm: float, setup: Setup) -> Program:
        """The program of a file as it is now.  Raises DocumentError."""
        left = setup.cutter.hand == "left"
        key = (file, stamp(file), top_z_mm, left, setup.cut.spindle_speed_rpm)
        if key not in self._programs:
            read = load_path(file, top_z_mm=top_z_mm, left_hand=left, speed_rpm=setup.cut.spindle_speed_rpm)
            self._programs = {**dict(list(self._programs.items())[-1:]), key: read}
        return self._programs[key]

    def stages(self, program: Program, stock: Stock, setup: Setup, worst: int = 10) -> Iterator[WholePath]:
        """The stages of a path; of one that was worked out just now only the last."""
        key = (id(program), id(stock), setup)
        if key in self._paths:
            yield self._paths[key]
            return
        for whole in path_stages(program, stock, setup, worst=worst):
            yield whole
        self._keep(whole)

    def with_heat(self, whole: WholePath) -> WholePath:
        """The path with the edge's temperature."""
        found = with_heat(whole)
        self._keep(found)
        return found

    def _keep(self, whole: WholePath) -> None:
        key = (id(whole.program), id(whole.stock), whole.setup)
        others = [pair for pair in self._paths.items() if pair[0] != key]
        # A path holds on to its program and stock, so that no other one can have their ids.
        self._paths = {**dict(others[-1:]), key: whole}


def work(asked: Asked, files: PathFiles) -> Iterator[Shown]:
    """The stages of what was asked; the last one is ``final``.  Raises ChiparcError for refused files."""
    if asked.source == "cuts":
        yield from _cuts(asked)
    elif asked.source == "corner":
        yield from _corner(asked, files)
    elif asked.program_file and asked.stock_file:
        stock = files.stock(asked.stock_file)
        program = files.program(asked.program_file, stock.top_z_mm, asked.setup)
        shown = Shown(asked)
        for whole in files.stages(program, stock, asked.setup):
            shown = replace(shown, whole=whole)
            yield shown
        yield from _finished(shown, files)
    else:
        if asked.stock_file:
            files.stock(asked.stock_file)
        if asked.program_file:
            files.program(asked.program_file, 0.0, asked.setup)
        yield Shown(asked, final=True)


def _finished(shown: Shown, files: PathFiles) -> Iterator[Shown]:
    """What follows the path itself: its heat, and the path beside it."""
    if shown.asked.heat and shown.whole is not None:
        shown = replace(shown, whole=files.with_heat(shown.whole))
        yield shown
    assert shown.whole is not None
    other = _other_path(shown.asked, shown.whole, files)
    if other is not None:
        program, stock, setup = other
        for whole in files.stages(program, stock, setup, worst=3):
            # The page may break off here; what it shows does not change until the other path is whole.
            last = whole
            yield shown
        shown = replace(shown, beside=files.with_heat(last) if shown.asked.heat else last)
    yield replace(shown, final=True)


def _other_path(asked: Asked, whole: WholePath, files: PathFiles) -> tuple[Program, Stock, Setup] | None:
    """Program, stock and setup of the path that is compared; None for none.  Raises ChiparcError for its file."""
    if asked.source == "corner":
        setup = asked.setup.opposite
        if asked.beside == "width" and asked.beside_width > 0.0:
            setup = asked.setup.with_keys({"cut.radial_engagement_mm": asked.beside_width})
        elif asked.beside != "direction":
            return None
        other = corner(setup, asked.radius)
        return other.program, other.stock, setup
    if asked.beside == "direction":
        return reversed_program(whole.program), whole.stock, asked.setup
    if asked.beside == "program" and asked.beside_file:
        return files.program(asked.beside_file, whole.stock.top_z_mm, asked.setup), whole.stock, asked.setup
    return None


def _corner(asked: Asked, files: PathFiles) -> Iterator[Shown]:
    setups = (asked.setup, asked.setup.opposite) if asked.pair else (asked.setup,)
    corners = tuple(corner(each, asked.radius) for each in setups)
    shown = Shown(asked, corners=corners)
    for whole in files.stages(corners[0].program, corners[0].stock, asked.setup, worst=3):
        shown = replace(shown, whole=whole)
        yield shown
    shown = replace(shown, rows=stepover_rows(asked.setup, asked.radius))
    if asked.chosen_arc is not None:
        d, width = asked.setup.cutter.diameter_mm, asked.setup.cut.radial_engagement_mm
        shown = replace(
            shown,
            smallest_radius=smallest_corner_radius(d, width, asked.chosen_arc),
            widest=widest_stepover(d, asked.radius, asked.chosen_arc),
        )
    yield from _finished(shown, files)


def _cuts(asked: Asked) -> Iterator[Shown]:
    passes = pass_figures(asked.setup, asked.cuts or rough_and_finish(asked.setup))
    yield Shown(asked, passes=passes)
    scenes = []
    for each in passes:
        # Each is drawn on a straight wall: the way into a wide corner.
        wide = each.setup.cutter.diameter_mm
        start = corner(each.setup, wide)
        whole = next(path_stages(start.program, start.stock, each.setup))
        scenes.append(place_scene(StockAround(whole), 0.2 * wide))
    yield Shown(asked, passes=passes, pass_scenes=tuple(scenes), final=True)
