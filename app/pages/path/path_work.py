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
from core.path.stock_around import StockAround
from core.path.whole_path import WholePath, path_stages
from core.setup.setup import Setup


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be worked out: ``chosen_arc`` rad is the limit of the arc, for the planner; None for none."""

    setup: Setup
    source: str
    radius: float
    cuts: tuple[ListedCut, ...]
    program_file: str
    stock_file: str
    pair: bool
    chosen_arc: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """Results so far of what was asked; ``whole`` is None for the list of cuts and where a file is missing."""

    asked: Asked
    whole: WholePath | None = None
    corners: tuple[Corner, ...] = ()
    rows: tuple[StepoverRow, ...] = ()
    smallest_radius: float | None = None
    widest: float | None = None
    passes: tuple[PassFigures, ...] = ()
    pass_scenes: tuple[PlaceScene, ...] = ()
    final: bool = False


class PathFiles:
    """Programs and stocks that were read, so that a change of the setup does not read them again."""

    def __init__(self) -> None:
        self._programs: dict[tuple[object, ...], Program] = {}
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
            self._programs = {key: read}
        return self._programs[key]


def work(asked: Asked, files: PathFiles) -> Iterator[Shown]:
    """The stages of what was asked; the last one is ``final``.  Raises ChiparcError for refused files."""
    if asked.source == "cuts":
        yield from _cuts(asked)
    elif asked.source == "corner":
        yield from _corner(asked)
    elif asked.program_file and asked.stock_file:
        stock = files.stock(asked.stock_file)
        program = files.program(asked.program_file, stock.top_z_mm, asked.setup)
        for whole in path_stages(program, stock, asked.setup):
            yield Shown(asked, whole, final=whole.final)
    else:
        if asked.stock_file:
            files.stock(asked.stock_file)
        if asked.program_file:
            files.program(asked.program_file, 0.0, asked.setup)
        yield Shown(asked, final=True)


def _corner(asked: Asked) -> Iterator[Shown]:
    setups = (asked.setup, asked.setup.opposite) if asked.pair else (asked.setup,)
    corners = tuple(corner(each, asked.radius) for each in setups)
    shown = Shown(asked, corners=corners)
    for whole in path_stages(corners[0].program, corners[0].stock, asked.setup, worst=3):
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
    yield replace(shown, final=True)


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
