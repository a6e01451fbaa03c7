"""The stock from a drawing, from a document of its own, or as a rectangle."""

from __future__ import annotations

from collections.abc import Collection
from math import pi
from typing import Any

from ..base.errors import ChiparcError, DocumentError
from ..documents.document_text import decoded
from ..documents.strict_tables import StrictTables
from ..documents.toml_errors import shortened
from ..documents.toml_lines import Path
from ..setup.setup_limits import Range
from .arcs import WIDEST_MM
from .dxf_pieces import FARTHEST_MM, read_pieces
from .moves import Stock
from .outlines import Named, joined, nested
from .sides import JOIN_MM, between, round_side

FORMAT = "chiparc stock"

_PLACE = Range(-FARTHEST_MM, FARTHEST_MM)
_RADIUS = Range(JOIN_MM, FARTHEST_MM)
_BULGE = Range(-1e6, 1e6)
_WANTED = "a stock as a TOML document in UTF-8"


def stock_from_drawing(
    data: bytes, file: str, *, top_z_mm: float = 0.0, layers: Collection[str] | None = None
) -> Stock:
    """The stock whose outlines a DXF drawing has; ``file`` is its name for the errors.

    Lines and arcs may come in any order and sense.  Raises DocumentError naming entity type, handle and place.
    """
    drawn = read_pieces(data, file, layers)
    sides = [Named(side, piece.name) for piece in drawn.pieces for side in piece.sides]
    try:
        loops = nested(joined(sides))
    except ChiparcError as error:
        raise DocumentError(file, 0, error.where, error.found, error.allowed) from None
    return Stock(loops, top_z_mm, drawn.doubts.all())


class _Reader(StrictTables):
    """One document of a stock."""

    def corners(self, value: Any, path: Path) -> list[tuple[float, float, float]]:
        """Points with the bulge of the side that leaves each."""
        if not isinstance(value, list) or len(value) < 2:
            raise self.refuse(path, f"found {_brief(value)}", "a list of two points or more, as [[0, 0], [10, 0, 1]]")
        found = []
        for k, point in enumerate(value):
            here = (*path, k)
            if not isinstance(point, list) or len(point) not in (2, 3):
                raise self.refuse(here, f"found {_brief(point)}", "a point [x, y] or [x, y, bulge]")
            x, y = self.number(point[0], here, _PLACE), self.number(point[1], here, _PLACE)
            found.append((x, y, self.number(point[2], here, _BULGE) if len(point) == 3 else 0.0))
        return found

    def sides(self, table: Any, path: Path) -> list[Named]:
        """The sides of a loop, each with the key that tells it."""
        self.fields(table, path, (), ("points_mm", "circle_mm"))
        if len(table) != 1:
            raise self.refuse(path, "found both" if table else "found neither", "points_mm or circle_mm")
        name = f"loop {int(path[1]) + 1}"
        if "circle_mm" in table:
            here, circle = (*path, "circle_mm"), table["circle_mm"]
            if not isinstance(circle, list) or len(circle) != 3:
                raise self.refuse(here, f"found {_brief(circle)}", "a circle [x, y, r]")
            x, y = self.number(circle[0], here, _PLACE), self.number(circle[1], here, _PLACE)
            return [Named(round_side(x, y, self.number(circle[2], here, _RADIUS), 0.0, 2.0 * pi), name)]
        here = (*path, "points_mm")
        corners = self.corners(table["points_mm"], here)
        sides: list[Named] = []
        for k, (x0, y0, bulge) in enumerate(corners):
            x1, y1, _ = corners[(k + 1) % len(corners)]
            if (x1 - x0) ** 2 + (y1 - y0) ** 2 < JOIN_MM * JOIN_MM:
                if k == len(corners) - 1:
                    continue  # a list may end where it began
                raise self.refuse((*here, k + 1), "found a point where the one before is", "another place")
            side = between(x0, y0, x1, y1, bulge)
            if side.radius > WIDEST_MM:
                raise self.refuse((*here, k), f"found a bulge of {bulge:g}", f"radii up to {WIDEST_MM:g} mm")
            sides.append(Named(side, name))
        return sides

    def stock(self) -> Stock:
        """The whole document."""
        top = self.head(FORMAT, ("loop",), ("top_z_mm",))
        height = self.number(top.get("top_z_mm", 0.0), ("top_z_mm",), _PLACE)
        rounds = []
        for i, table in enumerate(self.blocks(top, "loop")):
            sides = self.sides(table, ("loop", i))
            rounds += joined(sides) if "circle_mm" in table else [sides]
        try:
            loops = nested(rounds)
        except ChiparcError as error:
            raise self.refuse(self.path(error.where), error.found, error.allowed) from None
        return Stock(loops, height)

    def path(self, name: str) -> Path:
        """The key of a loop that an error names."""
        word, _, number = name.partition(" ")
        return ("loop", int(number) - 1) if word == "loop" else ("loop",)


def _brief(value: Any) -> str:
    return shortened(f'"{value}"' if isinstance(value, str) else str(value))


def read_stock(text: str | bytes, file: str) -> Stock:
    """The stock that a TOML document tells; ``file`` is its name for the errors.

    Raises DocumentError with file, line, key, what was found and what is allowed.
    """
    return _Reader(decoded(text, file, _WANTED), file).stock()


def rectangle(x_mm: float, y_mm: float, width_mm: float, height_mm: float, top_z_mm: float = 0.0) -> Stock:
    """A rectangle by its low corner and its size, both over 0."""
    x1, y1 = x_mm + width_mm, y_mm + height_mm
    corners = [(x_mm, y_mm), (x1, y_mm), (x1, y1), (x_mm, y1)]
    ends = corners[1:] + corners[:1]
    return Stock(
        nested([[Named(between(*a, *b), "rectangle") for a, b in zip(corners, ends, strict=True)]]), top_z_mm
    )
