"""A picture on paper: anything that paints on a painter, written as PNG, SVG or PDF."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSize, QSizeF
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter
from PySide6.QtSvg import QSvgGenerator

from app.kit.look import Look, look, searched
from core.base.errors import ChiparcError, DocumentError
from core.base.safe_write import Stamp, write_bytes
from core.base.visible import visible
from core.base.words import say

Paint = Callable[[QPainter, QRectF], None]

ENDINGS = (".png", ".svg", ".pdf")
"""Kinds of picture that can be written."""

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML text may hold, not even escaped (XML 1.0, 2.2)."""


def look_in(file: Path, theme: str) -> Look:
    """A theme for a picture in that file: where letters stay letters they are searched, and set by the viewer."""
    return searched(look(theme)) if file.suffix.lower() in (".pdf", ".svg") else look(theme)


def save_painted(
    paint: Paint,
    file: Path,
    size: QSize,
    *,
    title: str,
    description: str = "",
    where: str = "--out",
    unchanged_since: Stamp | None = None,
) -> None:
    """Paint into a file of ``size`` logical pixels; its ending says which kind.  An old file stays until it is whole.

    where : what the person calls the file's name, for the error; unchanged_since : as in ``safe_write``.
    Raises ChiparcError where it cannot be written.
    """
    painters = {".png": _png, ".svg": _svg, ".pdf": _pdf}
    kind = file.suffix.lower()
    if kind not in painters:
        raise ChiparcError(where, say("files", "found_ending", ending=file.suffix), ", ".join(ENDINGS))
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    painters[kind](paint, buffer, size, visible(title), visible(description))
    data = bytes(buffer.data().data())
    if kind == ".svg":
        data = _well_formed(data)
    try:
        write_bytes(file, data, unchanged_since)
    except DocumentError as error:
        raise ChiparcError(
            where, say("files", "could_not_write", file=file, why=error.found), error.allowed
        ) from None


def _png(paint: Paint, to: QBuffer, size: QSize, title: str, description: str) -> None:
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    paint(painter, QRectF(0.0, 0.0, size.width(), size.height()))
    painter.end()
    image.save(to, "PNG")  # type: ignore[call-overload]


def _svg(paint: Paint, to: QBuffer, size: QSize, title: str, description: str) -> None:
    rect = QRectF(0.0, 0.0, size.width(), size.height())
    svg = QSvgGenerator()
    svg.setOutputDevice(to)
    svg.setSize(size)
    svg.setViewBox(rect)
    svg.setResolution(96)
    svg.setTitle(title)
    svg.setDescription(description)
    painter = QPainter(svg)
    paint(painter, rect)
    painter.end()


def _pdf(paint: Paint, to: QBuffer, size: QSize, title: str, description: str) -> None:
    pdf = QPdfWriter(to)
    pdf.setTitle(title)
    # A logical pixel is 1/96 inch, as on the screen.
    points = QSizeF(size.width() * 0.75, size.height() * 0.75)
    pdf.setPageSize(QPageSize(points, QPageSize.Unit.Point))
    pdf.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0))
    pdf.setResolution(96)
    painter = QPainter(pdf)
    paint(painter, QRectF(0.0, 0.0, size.width(), size.height()))
    painter.end()


def _well_formed(data: bytes) -> bytes:
    """The SVG with characters that XML cannot hold shown as such: they come in with a document's words."""
    text = data.decode("utf-8", "replace")
    return _NOT_XML.sub(lambda match: escape(visible(match[0])), text).encode("utf-8")
