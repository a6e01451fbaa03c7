"""Drawings for tests, written as the text of a DXF file, tag by tag."""

from __future__ import annotations


def tags(*pairs: object) -> str:
    """Group codes and values in turn, each on its line."""
    return "".join(f"{each}\n" for each in pairs)


def line(x0: float, y0: float, x1: float, y1: float, handle: str = "A1", layer: str = "0", z1: float = 0.0) -> str:
    """A LINE."""
    return tags(
        0, "LINE", 5, handle, 100, "AcDbEntity", 8, layer, 100, "AcDbLine", 10, x0, 20, y0, 11, x1, 21, y1, 31, z1
    )


def circle(x: float, y: float, r: float, handle: str = "C1", layer: str = "0", down: bool = False) -> str:
    """A CIRCLE; ``down``: seen from below."""
    return tags(
        0, "CIRCLE", 5, handle, 100, "AcDbEntity", 8, layer, 100, "AcDbCircle", 10, x, 20, y, 40, r
    ) + _extrusion(down)


def arc(x: float, y: float, r: float, first: float, last: float, handle: str = "B1", down: bool = False) -> str:
    """An ARC, angles in degrees."""
    head = tags(0, "ARC", 5, handle, 100, "AcDbEntity", 8, "0", 100, "AcDbCircle", 10, x, 20, y, 40, r)
    return head + _extrusion(down) + tags(100, "AcDbArc", 50, first, 51, last)


def polyline(points: list[tuple[float, ...]], closed: bool = False, handle: str = "D1", down: bool = False) -> str:
    """An LWPOLYLINE of (x, y) or (x, y, bulge)."""
    head = tags(
        0, "LWPOLYLINE", 5, handle, 100, "AcDbEntity", 8, "0", 100, "AcDbPolyline", 90, len(points), 70, int(closed)
    )
    body = "".join(tags(10, x, 20, y) + (tags(42, *bulge) if bulge else "") for x, y, *bulge in points)
    return head + body + _extrusion(down)


def _extrusion(down: bool) -> str:
    return tags(210, 0.0, 220, 0.0, 230, -1.0) if down else ""


def dxf(*entities: str, units: int | None = 4) -> bytes:
    """A whole drawing; ``units``: $INSUNITS, left out if None."""
    header = tags(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1015")
    if units is not None:
        header += tags(9, "$INSUNITS", 70, units)
    body = tags(0, "ENDSEC", 0, "SECTION", 2, "ENTITIES") + "".join(entities) + tags(0, "ENDSEC", 0, "EOF")
    return (header + body).encode()
