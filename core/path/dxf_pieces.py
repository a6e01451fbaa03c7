"""Lines, arcs, circles and polylines in the modelspace of a drawing, as sides in mm; anything else is refused."""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from math import isfinite, pi, radians
from typing import TYPE_CHECKING, Any

from ..base.errors import DocumentError
from ..base.file_bytes import too_large
from ..base.refused import refused, refused_count
from ..base.words import say
from ..documents.toml_errors import shortened
from .arcs import WIDEST_MM
from .doubts import Doubts
from .moves import Units
from .sides import JOIN_MM, Side, between, round_side

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST_DRAWING = 20_000_000
"""Bytes of the largest drawing that is read: some 200,000 entities, in some ten seconds."""

FARTHEST_MM = 100_000.0
MOST_BULGE = 1e6

_KINDS = "LINE, ARC, CIRCLE, LWPOLYLINE"
_HINTS = {"POLYLINE": "entity_old", "SPLINE": "entity_curve", "ELLIPSE": "entity_curve", "INSERT": "entity_block"}
"""What to do about kinds that are not read."""

_UNITS = re.compile(r"\$INSUNITS[ \t]*\n[ \t]*70[ \t]*\n[ \t]*(-?[0-9]{1,9})[ \t]*\n")
_PLACES = ("insert", "center", "start", "location", "text_midpoint", "defpoint", "vtx0")


@dataclass(frozen=True, slots=True)
class Piece:
    """One entity: its type, type with handle, and its sides in their order; of a LINE, ARC or CIRCLE one."""

    kind: str
    name: str
    sides: list[Side]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing's pieces in file order, the units as written, and the warnings so far."""

    pieces: list[Piece]
    units: Units
    doubts: Doubts


def read_pieces(data: bytes, file: str, layers: Collection[str] | None = None) -> Drawn:
    """The pieces of a drawing on some layers, on all if none are named; ``file`` is its name for the errors.

    Raises DocumentError naming entity type, handle and place for what is no line, arc, circle or polyline in the
    plane XY; for layers that are not there, for units other than mm and inch, and for what is no DXF.
    """
    text = _dxf_text(data, file)
    document = _document(text, file)
    doubts = Doubts("drawing_warning")
    units, scale = _units(text, file, doubts)
    reader = _Entities(file, scale, doubts)
    pieces = [piece for entity in _chosen(document, file, layers) if (piece := reader.piece(entity)).sides]
    if not pieces:
        where, found = say("refused_place", "drawing"), say("drawing_refused", "nothing")
        raise DocumentError(file, 0, where, found, _KINDS)
    return Drawn(pieces, units, doubts)


def _dxf_text(data: bytes, file: str) -> str:
    if len(data) > LARGEST_DRAWING:
        raise too_large(file, LARGEST_DRAWING)
    if data.startswith(b"AutoCAD Binary DXF"):
        raise _no_text(file, say("drawing_refused", "binary"))
    if b"\0" in data:
        raise _no_text(file, say("read_file", "zero_byte"))
    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("latin-1")  # names of layers in an older code page; figures are ASCII
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _no_text(file: str, found: str) -> DocumentError:
    """The refusal of bytes that are no text."""
    return DocumentError.of_file(file, found, say("drawing_refused", "binary_allowed"))


def _document(text: str, file: str) -> Drawing:
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # what it repairs by itself is no matter of the user's
    import ezdxf

    try:
        return ezdxf.read(io.StringIO(text))
    except Exception as error:  # of broken files the library raises whatever its parts happen to raise
        said = str(error) if isinstance(error, ezdxf.DXFError) else type(error).__name__
        said = shortened(said.removeprefix("DXFStructureError: ").strip().rstrip("."))
        raise DocumentError.of_file(file, *refused("drawing_refused", "unreadable", said=said)) from None


def _units(text: str, file: str, doubts: Doubts) -> tuple[Units, float]:
    """Units from the text itself: the library puts its own default where there are none."""
    match = _UNITS.search(text)
    number = int(match[1]) if match else 0
    if number == 1:
        return "inch", 25.4
    if number == 0:
        doubts.add("no_units", None)
    elif number != 4:
        raise DocumentError(file, 0, "$INSUNITS", *refused("drawing_refused", "units", number=number))
    return "mm", 1.0


def _chosen(document: Drawing, file: str, layers: Collection[str] | None) -> Iterator[Any]:
    """Entities of modelspace on the layers."""
    entities = list(document.modelspace())
    if layers is None:
        yield from entities
        return
    wanted = {name.casefold() for name in layers}
    there = {str(e.dxf.get("layer", "0")) for e in entities}
    for name in layers:
        if name.casefold() not in {each.casefold() for each in there}:
            listed = ", ".join(sorted(there)[:20]) or say("drawing_refused", "no_layer")
            told = refused("drawing_refused", "layer", name=shortened(name), listed=listed)
            raise DocumentError(file, 0, say("refused_place", "layer"), *told)
    yield from (e for e in entities if str(e.dxf.get("layer", "0")).casefold() in wanted)


class _Entities:
    """Entities as pieces, in mm."""

    def __init__(self, file: str, scale: float, doubts: Doubts) -> None:
        self.file, self.scale, self.doubts = file, scale, doubts
        self.name, self.entity = "", None

    def refuse(self, id: str, /, **fields: Any) -> DocumentError:
        told = refused("drawing_refused", id, at=_at(self.entity), **fields)
        return DocumentError(self.file, 0, self.name, *told)

    def piece(self, entity: Any) -> Piece:
        kind = entity.dxftype()
        # The library gives a handle to what has none in the file.
        self.name, self.entity = f"{kind} {entity.dxf.handle}", entity
        read = {"LINE": self.line, "ARC": self.arc, "CIRCLE": self.circle, "LWPOLYLINE": self.polyline}.get(kind)
        if read is None:
            found = say("drawing_refused", "entity", at=_at(entity))
            hint = say("drawing_refused", f"{_HINTS[kind]}_allowed", kinds=_KINDS) if kind in _HINTS else _KINDS
            raise DocumentError(self.file, 0, self.name, found, hint)
        return Piece(kind, self.name, read(entity))

    def figure(self, value: float, id: str, axis: str = "") -> float:
        """A length in mm; ``id`` names it in ``[drawing_figure]``."""
        mm = float(value) * self.scale
        if not isfinite(mm) or abs(mm) > FARTHEST_MM:
            what = say("drawing_figure", id, axis=axis)
            raise self.refuse("figure", value=float(value), what=what, most=FARTHEST_MM)
        return mm

    def point(self, entity: Any, name: str) -> tuple[float, float, float]:
        if not entity.dxf.hasattr(name):
            raise self.refuse(f"no_{name}", kind=entity.dxftype())
        x, y, z = (self.figure(v, name, axis) for v, axis in zip(entity.dxf.get(name), "XYZ", strict=True))
        return x, y, z

    def height(self, z: float) -> None:
        if abs(z) > JOIN_MM:
            self.doubts.once("height", None, name=self.name)

    def mirrored(self, entity: Any) -> bool:
        """Whether the entity is drawn as seen from below, by its extrusion."""
        x, y, z = entity.dxf.extrusion
        if not (abs(x) < 1e-9 and abs(y) < 1e-9 and z != 0.0):
            raise self.refuse("tilted")
        return bool(z < 0.0)

    def line(self, entity: Any) -> list[Side]:
        (x0, y0, z0), (x1, y1, z1) = self.point(entity, "start"), self.point(entity, "end")
        if abs(z1 - z0) > JOIN_MM:
            raise self.refuse("rises", rise=abs(z1 - z0))
        self.height(z0)
        return self.sides([(x0, y0, 0.0), (x1, y1, 0.0)])

    def centre(self, entity: Any) -> tuple[float, float, float]:
        x, y, z = self.point(entity, "center")
        self.height(z)
        radius = self.figure(entity.dxf.radius if entity.dxf.hasattr("radius") else 0.0, "radius")
        if radius < JOIN_MM:
            raise self.refuse("radius", radius=radius, least=JOIN_MM)
        return (-x if self.mirrored(entity) else x), y, radius

    def circle(self, entity: Any) -> list[Side]:
        return [round_side(*self.centre(entity), 0.0, 2.0 * pi)]

    def arc(self, entity: Any) -> list[Side]:
        ends = []
        for name in ("start_angle", "end_angle"):
            if not entity.dxf.hasattr(name) or not isfinite(entity.dxf.get(name)):
                raise self.refuse("no_angle", name=name)
            ends.append(radians(entity.dxf.get(name) % 360.0))
        whole = ends[0] == ends[1] and entity.dxf.start_angle != entity.dxf.end_angle
        first, last = ends
        if self.mirrored(entity):  # seen from above it still runs counter-clockwise, from its other end
            first, last = pi - last, pi - first
        x, y, radius = self.centre(entity)
        sweep = 2.0 * pi if whole else (last - first) % (2.0 * pi)
        if sweep * radius < JOIN_MM:
            raise self.refuse("no_length")
        return [round_side(x, y, radius, first, first + sweep)]

    def polyline(self, entity: Any) -> list[Side]:
        mirror = -1.0 if self.mirrored(entity) else 1.0
        self.height(self.figure(entity.dxf.get("elevation", 0.0), "elevation"))
        points = [
            (mirror * self.figure(x, "vertex", "X"), self.figure(y, "vertex", "Y"), mirror * float(bulge))
            for x, y, bulge in entity.get_points("xyb")
        ]
        if len(points) < 2:
            told = refused_count("drawing_refused", "vertices", len(points), at=_at(entity))
            raise DocumentError(self.file, 0, self.name, *told)
        return self.sides([*points, points[0]] if entity.closed else points)

    def sides(self, points: list[tuple[float, float, float]]) -> list[Side]:
        """Sides from point to point; those shorter than the tolerance of joints are passed over."""
        sides: list[Side] = []
        x0, y0, bulge = points[0]
        for x1, y1, following in points[1:]:
            if abs(bulge) > MOST_BULGE or bulge != bulge:
                raise self.refuse("bulge", bulge=bulge, most=MOST_BULGE)
            if (x1 - x0) ** 2 + (y1 - y0) ** 2 < JOIN_MM * JOIN_MM:
                self.doubts.add("short", None, name=self.name, at=_at(self.entity))
            else:
                side = between(x0, y0, x1, y1, bulge)
                if side.radius > WIDEST_MM:
                    raise self.refuse("flat", bulge=bulge, most=WIDEST_MM)
                sides.append(side)
                x0, y0 = x1, y1
            bulge = following
        return sides


def _at(entity: Any) -> str:
    """Where an entity stands, as the end of a sentence; nothing if that cannot be told."""
    point = next((entity.dxf.get(name) for name in _PLACES if entity.dxf.hasattr(name)), None)
    if point is None:
        lists = {"LWPOLYLINE": "lwpoints", "SPLINE": "control_points", "POLYLINE": "vertices"}
        listed = getattr(entity, lists.get(entity.dxftype(), ""), ())
        first: Any = next(iter(listed), None)
        point = first.dxf.get("location") if hasattr(first, "dxf") else first
    try:
        x, y = float(point[0]), float(point[1])
    except (TypeError, ValueError, IndexError):
        return ""
    return say("drawing_refused", "at", x=x, y=y)
