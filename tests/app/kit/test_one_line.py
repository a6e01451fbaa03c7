"""A text put on its baseline stands where a layout in its box puts it, and so do words whose letters are kept."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter

from app.kit.label_layout import text_size
from app.kit.look import look
from app.kit.one_line import baseline, paint_words
from app.state.view_state import THEMES

pytestmark = pytest.mark.usefixtures("window_app")


def painted(font: QFont, paint: Callable[[QPainter], object]) -> QImage:
    """A white picture with what is painted on it."""
    image = QImage(260, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setFont(font)
    paint(painter)
    painter.end()
    return image


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("size", "bold"), [("text", True), ("small", False), ("small", True)])
@pytest.mark.parametrize("text", ["0.0547", "−12.3", "tip +4.5", "pulls the table along", "x"])
def test_it_stands_where_a_layout_puts_it(theme: str, size: str, bold: bool, text: str) -> None:
    font = look(theme).font(size, bold=bold)
    room = text_size(font, text)
    for step in range(12):
        box = QRectF(10.0 + 0.37 * step, 12.0 + 0.29 * step, room.width(), room.height())
        laid_out = painted(font, lambda p, b=box: p.drawText(b, Qt.AlignmentFlag.AlignCenter, text))  # type: ignore[misc]
        assert painted(font, lambda p, b=box: p.drawText(baseline(b, font), text)) == laid_out  # type: ignore[misc]
        kept = painted(font, lambda p, b=box: paint_words(p, baseline(b, font), font, text))  # type: ignore[misc]
        assert kept == laid_out
        assert laid_out != painted(font, lambda p: None)
