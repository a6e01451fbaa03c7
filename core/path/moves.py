"""What a path and a stock are once they are read: the moves of the cutter's centre, and outlines of sides.

Everything is in mm in the plane XY, whatever the file was written in.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

import numpy as np

RAPID, LINE, ARC = 0, 1, 2
"""Kinds of moves: G0, G1, and G2 or G3."""

Units = Literal["mm", "inch"]
Warned = tuple[int | None, str]
"""A warning: line of the file (None: of no line), and a sentence."""


def _fixed(values: Any, shape: tuple[int, ...], dtype: Any) -> np.ndarray:
    """A read-only copy.  Raises ValueError if it has another shape."""
    array = np.array(values, dtype=dtype)
    if array.shape != shape and array.size == 0 and 0 in shape:
        array = array.reshape(shape)
    if array.shape != shape:
        raise ValueError(f"shape {array.shape}, not {shape}")
    array.flags.writeable = False
    return array


@dataclass(frozen=True, eq=False)
class Moves:
    """Moves of the cutter's centre in their order, one row a move; arrays are read-only copies.

    A move without length in XY is a plunge or a lift: its ends differ in Z.  No move has both ends the same, but for
    full circles.

    kind : (n,) int8, RAPID, LINE or ARC.
    start_mm, end_mm : (n, 3) of the tip.  Where the height is not told (a drawing, a program without Z, before the
        first Z) it is a height that agrees with ``clear``: see :class:`Program`.
    centre_mm : (n, 2), nan for a line.  Start and end are equally far from it, to rounding.
    sweep_rad : (n,) signed, counter-clockwise positive, +-2 pi a full circle, 0 for a line.  With Z: a helix.
    feed_mm_min : (n,) nan where no F holds.
    speed_rpm : (n,) nan where no S holds.
    line : (n,) line of the program from 1; 0 in a drawing.
    clear : (n,) bool, True where the tip never goes below the top of the stock, or (in a path without heights) is
        lifted: such a move removes nothing.
    """

    kind: np.ndarray
    start_mm: np.ndarray
    end_mm: np.ndarray
    centre_mm: np.ndarray
    sweep_rad: np.ndarray
    feed_mm_min: np.ndarray
    speed_rpm: np.ndarray
    line: np.ndarray
    clear: np.ndarray

    def __post_init__(self) -> None:
        n = len(self.kind)
        columns: tuple[tuple[str, tuple[int, ...], Any], ...] = (
            ("kind", (n,), np.int8),
            ("start_mm", (n, 3), float),
            ("end_mm", (n, 3), float),
            ("centre_mm", (n, 2), float),
            ("sweep_rad", (n,), float),
            ("feed_mm_min", (n,), float),
            ("speed_rpm", (n,), float),
            ("line", (n,), np.int64),
            ("clear", (n,), bool),
        )
        for name, shape, dtype in columns:
            object.__setattr__(self, name, _fixed(getattr(self, name), shape, dtype))

    def __len__(self) -> int:
        return len(self.kind)

    @cached_property
    def feed_mask(self) -> np.ndarray:
        """(n,) bool: moves at feed, G1 G2 G3."""
        return _fixed(self.kind != RAPID, self.kind.shape, bool)

    @cached_property
    def radius_mm(self) -> np.ndarray:
        """(n,) radius of the arcs of the centre's path, nan for lines."""
        return _fixed(np.hypot(*(self.start_mm[:, :2] - self.centre_mm).T), self.kind.shape, float)

    @cached_property
    def length_mm(self) -> np.ndarray:
        """(n,) length of each move in the plane XY; 0 for plunges and lifts."""
        chord = np.hypot(*(self.end_mm[:, :2] - self.start_mm[:, :2]).T)
        arc = np.abs(self.sweep_rad) * self.radius_mm
        return _fixed(np.where(self.kind == ARC, arc, chord), self.kind.shape, float)


@dataclass(frozen=True, eq=False)
class Program:
    """A program or a drawing that was read as a path.

    units : as written in the file.
    warnings : what is doubtful, in the order of the lines.
    has_z : whether the file tells heights.  If not, all heights of ``moves`` are that of the stock's top and only
        ``clear`` tells which moves cut.  If so, before the first Z the tip is taken at the top of the stock, or at
        that Z if it is higher.
    chains : (k, 2) first move and the one after the last of each chain of a drawing; None for a program.
    """

    moves: Moves
    units: Units
    warnings: tuple[Warned, ...] = ()
    has_z: bool = True
    chains: np.ndarray | None = None

    @property
    def length_mm(self) -> float:
        """Fed length: moves at feed, in the plane XY."""
        return float(self.moves.length_mm[self.moves.feed_mask].sum())


@dataclass(frozen=True, eq=False)
class Loop:
    """A closed outline of the stock that neither crosses nor touches itself or another one.

    Side i runs from point i to point i + 1, the last one back to point 0.  Material lies to the left of every side:
    outlines run counter-clockwise, holes clockwise.

    points_mm : (m, 2); bulge : (m,) of the side that leaves the point, tan(sweep / 4), 0 for a line,
    counter-clockwise positive, of arcs up to a radius of 1e9 mm.  A circle is two half ones.
    hole : no material inside, up to the islands.
    inside : which loop of the stock holds it directly, -1 if none.
    """

    points_mm: np.ndarray
    bulge: np.ndarray
    hole: bool = False
    inside: int = -1

    def __post_init__(self) -> None:
        m = len(self.points_mm)
        object.__setattr__(self, "points_mm", _fixed(self.points_mm, (m, 2), float))
        object.__setattr__(self, "bulge", _fixed(self.bulge, (m,), float))

    @cached_property
    def sweep_rad(self) -> np.ndarray:
        """(m,) signed sweep of each side, 0 for a line."""
        return 4.0 * np.arctan(self.bulge)

    @cached_property
    def centre_mm(self) -> np.ndarray:
        """(m, 2) centre of each side that is an arc, nan for a line."""
        chord = np.roll(self.points_mm, -1, 0) - self.points_mm
        b = np.where(self.bulge == 0.0, np.nan, self.bulge)[:, None]
        across = np.stack([-chord[:, 1], chord[:, 0]], 1)
        return self.points_mm + chord / 2.0 + across * (1.0 - b * b) / (4.0 * b)

    @cached_property
    def area_mm2(self) -> float:
        """Area inside, positive counter-clockwise: an outline adds, a hole takes away."""
        start = self.points_mm - self.points_mm[0]  # far from the origin products would cancel
        end = np.roll(start, -1, 0)
        chord2 = ((end - start) ** 2).sum(1)
        polygon = (start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]).sum() / 2.0
        sweep, b = self.sweep_rad, self.bulge
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            radius2 = chord2 * ((1.0 + b * b) / (4.0 * b)) ** 2
            segment = radius2 * (sweep - np.sin(sweep)) / 2.0
        # The difference of a flat arc cancels; its first term in b is exact to 1e-8 there.
        flat = np.abs(b) < 1e-4
        return float(polygon + np.where(flat, chord2 * b / 3.0, segment).sum())


@dataclass(frozen=True, eq=False)
class Stock:
    """The stock seen from above: outlines, holes in them, islands in those; all as deep as need be below the top."""

    loops: tuple[Loop, ...]
    top_z_mm: float = 0.0
    warnings: tuple[Warned, ...] = ()

    @property
    def area_mm2(self) -> float:
        """Area of material."""
        return sum(loop.area_mm2 for loop in self.loops)


__all__ = ["ARC", "LINE", "RAPID", "Loop", "Moves", "Program", "Stock", "Units", "Warned"]
