"""A layer of the plan kept as a picture: of a mostly clear one only the parts that hold anything are put down."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap

from app.kit.look import SMOOTH

BAND, GAP = 96, 64
"""Height of the bands a picture is cut in, and the clear pixels across that part two pieces of one: the fewer pieces
the better, as each costs as much as some ten thousand pixels."""


@dataclass(frozen=True, slots=True)
class TiledPixmap:
    """What a picture holds: pieces, each with its place in logical pixels."""

    pieces: tuple[tuple[QPointF, QPixmap], ...]

    def paint(self, painter: QPainter) -> None:
        """Put it where it was painted."""
        for place, piece in self.pieces:
            painter.drawPixmap(place, piece)


def clear_picture(rect: QRectF, ratio: float) -> QPixmap:
    """An empty picture for ``rect`` on a screen of so many pixels for each logical one."""
    picture = QPixmap(math.ceil(rect.width() * ratio), math.ceil(rect.height() * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    return picture


def painter_on(picture: QPixmap, rect: QRectF) -> QPainter:
    """A painter that paints ``rect`` of the plan on its picture."""
    painter = QPainter(picture)
    painter.setRenderHint(SMOOTH)
    painter.translate(-rect.left(), -rect.top())
    return painter


def tiled(picture: QPixmap, rect: QRectF) -> TiledPixmap:
    """What a picture of ``rect`` holds, in a few pieces."""
    image, ratio = picture.toImage(), picture.devicePixelRatio()
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), -1)[:, : image.width()]
    pieces = []
    for top in range(0, len(pixels), BAND):
        band = pixels[top : top + BAND]
        columns = np.flatnonzero(np.bitwise_or.reduce(band, axis=0))
        if not len(columns):
            continue
        parted = np.flatnonzero(np.diff(columns) > GAP)
        starts, ends = columns[[0, *(parted + 1)]], columns[[*parted, -1]] + 1
        for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
            rows = np.flatnonzero(np.bitwise_or.reduce(band[:, start:end], axis=1))
            first, last = top + int(rows[0]), top + int(rows[-1])
            place = QPointF(rect.left() + start / ratio, rect.top() + first / ratio)
            pieces.append((place, picture.copy(QRect(start, first, end - start, last + 1 - first))))
    return TiledPixmap(tuple(pieces))
