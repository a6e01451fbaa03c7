"""What the Path page draws of a path, ready to be painted: runs by direction and by value, ticks, words."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.kit.readable_ranges import AxisRange, readable_range
from core.base.quantities import QUANTITIES, Units, clear_figure, figure, rough_figure
from core.base.words import say
from core.maths.arrays import Array
from core.path.moves import RAPID
from core.path.path_totals import wall_sizes
from core.path.samples import WAYS, Samples
from core.path.whole_path import WholePath

QUANTITY_IDS = {
    "arc": "angle",
    "width": "radial_width",
    "chip": "chip_thickness",
    "force": "force",
    "wall": "micro",
    "heat": "temperature_rise",
}
"""Quantities that a path may be coloured by, in the order in which they are offered; and what each is."""

STEPS = 24
"""Steps of colour along the path."""

TICK = 7.0
"""Pixels between the hatch lines across what is over its limit."""

NEAR = 0.6
"""Pixels that points of the drawn path are apart at least."""


def values_of(whole: WholePath, quantity: str) -> Array:
    """Values (m,) of a quantity in house units (degrees, mm, N, µm, K); nan where it is not known, 0 in air.

    Of the wall the greatest error by size; of the temperature nothing until it was asked for,
    nor where the model ends.
    """
    samples = whole.samples
    if quantity == "arc":
        return np.degrees(samples.engaged.arc)
    if quantity == "width":
        return samples.width
    if quantity == "chip":
        return np.where(samples.way == 0, 0.0, samples.h_max)
    if quantity == "wall":
        return 1000.0 * wall_sizes(samples)
    if quantity == "heat":
        heat = whole.heat
        return np.full(len(samples.s), np.nan) if heat is None else np.where(heat.ended, np.nan, heat.rise)
    return samples.loads.resultant


def told(value: float, quantity: str, units: Units) -> str:
    """A value in words; what rests on coefficients counts in two digits."""
    if quantity in ("force", "heat"):
        return figure(value, QUANTITY_IDS[quantity], units, rough=True)
    if quantity == "wall":
        return rough_figure(value, QUANTITY_IDS[quantity], units)
    return clear_figure(value, QUANTITY_IDS[quantity], units)


@dataclass(frozen=True, slots=True, eq=False)
class BesidePath:
    """The path that is compared: its samples' distances (k,) mm, values (k,), and points (k, 2) mm."""

    whole: WholePath
    s: Array
    values: Array
    points: Array
    goes_on: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class PathScene:
    """A path seen from above: points (m, 2) mm of its samples, whether it goes on to the next (m - 1,).

    box : x and y of the least and greatest corner that must be seen, mm.  range : of the values, house units.
    """

    whole: WholePath
    quantity: str
    limit: float | None
    values: Array
    points: Array
    goes_on: np.ndarray
    box: tuple[float, float, float, float]
    range: AxisRange
    beside: BesidePath | None = None

    @property
    def length(self) -> float:
        """Fed length (mm) that the strip must show."""
        return max(self.whole.fed.length, 0.0 if self.beside is None else self.beside.whole.fed.length, 1e-9)

    @property
    def known(self) -> bool:
        """Whether there are values at all."""
        return bool(np.isfinite(self.values).any())


def _goes_on(whole: WholePath) -> np.ndarray:
    """Whether the path goes on from each sample to the next (m - 1,) without a lift."""
    step = np.hypot(*np.diff(whole.samples.places.place, axis=0).T)
    return np.asarray(step <= np.diff(whole.samples.s) + 1e-6)


def _beside(whole: WholePath | None, quantity: str) -> BesidePath | None:
    if whole is None or len(whole.samples.s) < 2:
        return None
    return BesidePath(whole, whole.samples.s, values_of(whole, quantity), whole.samples.places.place, _goes_on(whole))


def path_scene(whole: WholePath, quantity: str, limit: float | None, beside: WholePath | None = None) -> PathScene:
    """The scene of a path with at least one sample, and of the path that it is compared with."""
    points = whole.samples.places.place
    other = _beside(beside, quantity)
    values = values_of(whole, quantity)
    outline = np.vstack([points - whole.path.radius, points + whole.path.radius])
    corners = np.vstack([outline, *(loop.points_mm for loop in whole.stock.loops)])
    (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    every = values if other is None else np.concatenate([values, other.values])
    top = float(np.nanmax(every)) if np.isfinite(every).any() else 1.0
    most = max(top, limit or 0.0) or 1.0
    axis = readable_range(0.0, most)
    if quantity == "arc":
        axis = AxisRange(0.0, 180.0, 45.0) if most > 90.0 else AxisRange(0.0, 90.0, 30.0)
    return PathScene(whole, quantity, limit, values, points, _goes_on(whole), (x0, y0, x1, y1), axis, other)


@dataclass(frozen=True, slots=True)
class Fit:
    """Millimetres to pixels: x right, y up."""

    scale: float
    left: float
    bottom: float

    def place(self, points: Array) -> Array:
        """(n, 2) mm to pixels."""
        return np.stack([self.left + self.scale * points[:, 0], self.bottom - self.scale * points[:, 1]], 1)

    def back(self, x: float, y: float) -> tuple[float, float]:
        """Pixels to mm."""
        return (x - self.left) / self.scale, (self.bottom - y) / self.scale


def fitted(box: tuple[float, float, float, float], left: float, top: float, width: float, height: float) -> Fit:
    """A box of mm in the middle of a rectangle of pixels, as large as it can be."""
    x0, y0, x1, y1 = box
    scale = min(width / max(x1 - x0, 1e-9), height / max(y1 - y0, 1e-9))
    middle = left + width / 2.0, top + height / 2.0
    return Fit(scale, middle[0] - scale * (x0 + x1) / 2.0, middle[1] + scale * (y0 + y1) / 2.0)


def zoomed(fit: Fit, times: float, x: float, y: float) -> Fit:
    """The fit enlarged so many times about a pixel, which keeps its place."""
    return Fit(fit.scale * times, x + (fit.left - x) * times, y + (fit.bottom - y) * times)


def about(
    box: tuple[float, float, float, float], x: float, y: float, reach: float
) -> tuple[float, float, float, float]:
    """A square box of ``reach`` mm to all sides of a place, no larger than ``box`` needs."""
    wide = 0.5 * max(box[2] - box[0], box[3] - box[1])
    reach = min(reach, wide)
    return x - reach, y - reach, x + reach, y + reach


def rapid_lines(whole: WholePath) -> Array:
    """Rapid moves in the plane as lines (k, 4), mm."""
    moves = whole.program.moves
    row = (moves.kind == RAPID) & (moves.length_mm > 0.0)
    return np.hstack([moves.start_mm[row, :2], moves.end_mm[row, :2]])


def runs(points: Array, group: np.ndarray, goes_on: np.ndarray) -> dict[int, Array]:
    """For each group (of segments, (m - 1,)) its runs as points (k, 2), a row of nan between them.

    Points nearer than NEAR to the one before, inside a run, are left out.
    """
    drawn = np.where(goes_on, group, -1)
    ends = np.flatnonzero(np.diff(drawn) != 0) + 1
    starts, ends = np.concatenate([[0], ends]), np.concatenate([ends, [len(drawn)]])
    gap = np.full((1, 2), np.nan)
    found: dict[int, list[Array]] = {}
    for a, b in zip(starts.tolist(), ends.tolist(), strict=True):
        if b > a and drawn[a] >= 0:
            found.setdefault(int(drawn[a]), []).extend([_thinned(points[a : b + 1]), gap])
    return {id: np.vstack(parts) for id, parts in found.items()}


def _thinned(points: Array) -> Array:
    if len(points) < 3:
        return points
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    cell = np.floor(along / NEAR)
    keep = np.concatenate([[True], np.diff(cell) > 0])
    keep[-1] = True
    return points[keep]


def over(scene: PathScene) -> np.ndarray:
    """Which segments (m - 1,) have an end over the limit."""
    if scene.limit is None:
        return np.zeros(max(len(scene.values) - 1, 0), bool)
    high = np.nan_to_num(scene.values) > scene.limit
    return (high[1:] | high[:-1]) & scene.goes_on


def hatch_ticks(pixels: Array, chosen: np.ndarray, half: float) -> Array:
    """Short lines (k, 4) across chosen segments of a path in pixels, TICK apart, at 45 degrees to it."""
    step = np.diff(pixels, axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    along = np.concatenate([[0.0], np.cumsum(length)])
    marks = np.arange(TICK / 2.0, along[-1], TICK)
    if not len(marks):
        return np.zeros((0, 4))
    k = np.clip(np.searchsorted(along, marks, side="right") - 1, 0, len(length) - 1)
    keep = chosen[k] & (length[k] > 0.0)
    k, marks = k[keep], marks[keep]
    at = pixels[k] + step[k] * ((marks - along[k]) / length[k])[:, None]
    u = step[k] / length[k][:, None]
    d = half * math.sqrt(0.5) * np.stack([u[:, 0] - u[:, 1], u[:, 1] + u[:, 0]], 1)
    return np.hstack([at - d, at + d])


def place_words(whole: WholePath, here: Samples, units: Units) -> str:
    """What a place does to the tooth, on one line."""
    line = int(whole.program.moves.line[here.places.move[0]])
    words = {
        "s": clear_figure(float(here.s[0]), "length", units, decimals=1),
        "line": say("path_page", "line", line=line) if line else "",
    }
    way = WAYS[int(here.way[0])]
    if way == "air":
        return say("path_page", "place_air", **words)
    force = float(here.loads.resultant[0])
    return say(
        "path_page",
        "place",
        way=say("path_direction", way),
        arc=told(math.degrees(float(here.engaged.arc[0])), "arc", units),
        width=told(float(here.width[0]), "width", units),
        chip=told(float(here.h_max[0]), "chip", units),
        force=f", {told(force, 'force', units)}" if math.isfinite(force) else "",
        **words,
    )


def axis_in(scene: PathScene, units: Units) -> AxisRange:
    """The axis of the quantity in the units shown."""
    q = QUANTITIES[QUANTITY_IDS[scene.quantity]]
    return scene.range if scene.quantity == "arc" else readable_range(0.0, q.shown(scene.range.high, units), 3)


def unit_of(quantity: str, units: Units) -> str:
    """The unit's sign."""
    return QUANTITIES[QUANTITY_IDS[quantity]].unit_in(units)
