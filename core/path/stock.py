"""The stock from a drawing, from a document of its own, or as a rectangle."""

from __future__ import annotations

from collections.abc import Collection
from math import pi
from typing import Any

from ..base.errors import ChiparcError, DocumentError
from ..base.refused import refused
from ..base.words import say
from ..documents.document_text import decoded
from ..documents.strict_tables import StrictTables
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
            self.refuse_value(path, value, say("stock_refused", "points_allowed"))
            return []
        found_points = []
        for k, point in enumerate(value):
            here = (*path, k)
            if not isinstance(point, list) or len(point) not in (2, 3):
                self.refuse_value(here, point, say("stock_refused", "point_allowed"))
                continue
            x, y = self.number(point[0], here, _PLACE), self.number(point[1], here, _PLACE)
            found_points.append((x, y, self.number(point[2], here, _BULGE) if len(point) == 3 else 0.0))
        return found_points

    def sides(self, table: Any, path: Path, name: str) -> list[Named]:
        """The sides of a loop, each with the loop's name; none after a refusal."""
        before = len(self.faults)
        table = self.fields(table, path, (), ("points_mm", "circle_mm"))
        if len(table) != 1:
            if len(self.faults) == before:
                found = say("stock_refused", "both" if table else "neither")
                self.refuse(path, found, say("stock_refused", "one_allowed"))
            return []
        if "circle_mm" in table:
            return self.circle(table["circle_mm"], (*path, "circle_mm"), name)
        here = (*path, "points_mm")
        corners = self.corners(table["points_mm"], here)
        if len(self.faults) > before:
            return []
        sides: list[Named] = []
        for k, (x0, y0, bulge) in enumerate(corners):
            x1, y1, _ = corners[(k + 1) % len(corners)]
            if (x1 - x0) ** 2 + (y1 - y0) ** 2 < JOIN_MM * JOIN_MM:
                # A list may end where it began.
                if k < len(corners) - 1:
                    self.refuse((*here, k + 1), *refused("stock_refused", "same_place"))
                continue
            side = between(x0, y0, x1, y1, bulge)
            if side.radius > WIDEST_MM:
                self.refuse((*here, k), *refused("stock_refused", "bulge", bulge=bulge, most=WIDEST_MM))
            sides.append(Named(side, name))
        return sides

    def circle(self, value: Any, path: Path, name: str) -> list[Named]:
        """The one side of a circle [x, y, r]."""
        if not isinstance(value, list) or len(value) != 3:
            self.refuse_value(path, value, say("stock_refused", "circle_allowed"))
            return []
        before = len(self.faults)
        x, y = self.number(value[0], path, _PLACE), self.number(value[1], path, _PLACE)
        radius = self.number(value[2], path, _RADIUS)
        return [Named(round_side(x, y, radius, 0.0, 2.0 * pi), name)] if len(self.faults) == before else []

    def stock(self) -> Stock:
        """The whole document.  Raises DocumentError with every fault; loops are joined only where there is none."""
        top = self.head(FORMAT, ("loop",), ("top_z_mm",))
        height = self.number(top.get("top_z_mm", 0.0), ("top_z_mm",), _PLACE)
        tables = self.blocks(top, "loop")
        every = [self.sides(table, ("loop", i), _loop_name(i)) for i, table in enumerate(tables)]
        self.finish()
        rounds = []
        for table, sides in zip(tables, every, strict=True):
            rounds += joined(sides) if "circle_mm" in table else [sides]
        try:
            loops = nested(rounds)
        except ChiparcError as error:
            at = next((i for i in range(len(tables)) if error.where == _loop_name(i)), None)
            self.refuse(("loop",) if at is None else ("loop", at), error.found, error.allowed)
            self.finish()
            raise
        return Stock(loops, height)


def _loop_name(i: int) -> str:
    """What a loop is called, by its place in the document."""
    return say("stock_refused", "loop", number=i + 1)


def read_stock(text: str | bytes, file: str) -> Stock:
    """The stock that a TOML document tells; ``file`` is its name for the errors.

    Raises DocumentError with every fault: line, key, what was found and what is allowed.
    """
    return _Reader(decoded(text, file, say("stock_refused", "text_allowed")), file).stock()


def rectangle(x_mm: float, y_mm: float, width_mm: float, height_mm: float, top_z_mm: float = 0.0) -> Stock:
    """A rectangle by its low corner and its size, both over 0."""
    x1, y1 = x_mm + width_mm, y_mm + height_mm
    corners = [(x_mm, y_mm), (x1, y_mm), (x1, y1), (x_mm, y1)]
    ends = corners[1:] + corners[:1]
    name = say("outline_refused", "rectangle")
    return Stock(nested([[Named(between(*a, *b), name) for a, b in zip(corners, ends, strict=True)]]), top_z_mm)
