"""A picture on paper: anything that paints on a painter, written as PNG, SVG or PDF."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QMarginsF, QRectF, QSize, QSizeF
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter
from PySide6.QtSvg import QSvgGenerator

from core.base.errors import ChiparcError

Paint = Callable[[QPainter, QRectF], None]


def save_painted(
    paint: Paint, file: Path, size: QSize, *, title: str, description: str = "", where: str = "--out"
) -> None:
    """Paint into a file of ``size`` logical pixels; its ending says which kind.

    where : what the person calls the file's name, for the error.  Raises ChiparcError where it cannot be written.
    """
    rect = QRectF(0.0, 0.0, size.width(), size.height())
    kind = file.suffix.lower()
    unwritten = ChiparcError(where, f"could not write {file}", "a file in a folder that may be written")
    if not file.parent.is_dir():
        raise ChiparcError(where, f"could not write {file}: found no folder {file.parent}", "a folder that is there")
    if kind == ".png":
        image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
        painter = QPainter(image)
        paint(painter, rect)
        painter.end()
        if not image.save(str(file)):
            raise unwritten
        return
    if kind == ".svg":
        svg = QSvgGenerator()
        svg.setFileName(str(file))
        svg.setSize(size)
        svg.setViewBox(rect)
        svg.setResolution(96)
        svg.setTitle(title)
        svg.setDescription(description)
        painter = QPainter()
        begun = painter.begin(svg)
    elif kind == ".pdf":
        pdf = QPdfWriter(str(file))
        pdf.setTitle(title)
        # A logical pixel is 1/96 inch, as on the screen.
        points = QSizeF(size.width() * 0.75, size.height() * 0.75)
        pdf.setPageSize(QPageSize(points, QPageSize.Unit.Point))
        pdf.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0))
        pdf.setResolution(96)
        painter = QPainter()
        begun = painter.begin(pdf)
    else:
        raise ChiparcError(where, f'found the ending "{file.suffix}"', ", ".join(ENDINGS))
    if not begun:
        raise unwritten
    paint(painter, rect)
    painter.end()


ENDINGS = (".png", ".svg", ".pdf")
"""Kinds of picture that can be written."""
