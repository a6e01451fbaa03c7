"""A worksheet and its key as PDF: vector throughout, A4 or Letter."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageSize, QPainter, QPdfWriter

from app.kit.label_layout import text_size
from app.kit.look import Look, look
from app.pages.lesson.sheet_blocks import Block, block, words_block
from core.base.errors import ChiparcError, DocumentError
from core.base.safe_write import write_bytes
from core.base.visible import visible
from core.base.words import say
from core.lesson.worksheet import Worksheet

PAPERS: dict[str, QPageSize.PageSizeId] = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
MARGIN = 58.0
"""Of the sheet, pixels of 1/96 inch."""

HEAD, FOOT = 74.0, 26.0
"""Room of the head of the first page and of each foot."""


class PdfPages:
    """A PDF in the making; ``rect`` is what may be painted on, in pixels of 1/96 inch."""

    def __init__(self, paper: str, title: str, margin: float = MARGIN) -> None:
        self._buffer = QBuffer()
        self._buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        self.writer = QPdfWriter(self._buffer)
        self.writer.setTitle(visible(title))
        self.writer.setPageSize(QPageSize(PAPERS[paper]))
        self.writer.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0))
        self.writer.setResolution(96)
        size: QSizeF = QPageSize(PAPERS[paper]).size(QPageSize.Unit.Point)
        self.rect = QRectF(0.0, 0.0, size.width() / 0.75, size.height() / 0.75).adjusted(
            margin, margin, -margin, -margin
        )
        self.painter = QPainter(self.writer)

    def written(self, file: Path, where: str) -> None:
        """End it and write it, whole or not at all.  Raises ChiparcError."""
        self.painter.end()
        try:
            write_bytes(file, bytes(self._buffer.data().data()))
        except DocumentError as error:
            raise ChiparcError(where, f"could not write {file}: {error.found}", error.allowed) from None


def paged(blocks: list[Block], first: float, other: float) -> list[list[Block]]:
    """Blocks by page: room of the first page and of the others, pixels; a block is never split."""
    pages: list[list[Block]] = [[]]
    left = first
    for each in blocks:
        if each.height > left and pages[-1]:
            pages.append([])
            left = other
        pages[-1].append(each)
        left -= each.height
    return pages


def sheet_blocks(sheet: Worksheet, width: float, theme: Look, *, key: bool) -> list[Block]:
    """The questions laid out; a cut that is the same as in the question before is not drawn again, but for pins."""
    found = [words_block(sheet.caution, width, theme)] if sheet.caution else []
    before: object = None
    for number, question in enumerate(sheet.questions, 1):
        # How a scene is looked at on the screen is another matter than its cut.
        drawn = (question.setup.cutter, question.setup.cut)
        figure = drawn != before or question.kind == "pin"
        found.append(block(question, number, width, sheet.units, theme, key=key, figure=figure))
        before = drawn
    return found


def save_sheet(sheet: Worksheet, file: Path, *, paper: str, key: bool, where: str = "--out") -> None:
    """The sheet, or with ``key`` its answers with the working, as a PDF.  Raises ChiparcError where it cannot be."""
    theme = look("print")
    title = say("worksheet", "key_of", seed=sheet.seed, title=sheet.title) if key else sheet.title
    pdf = PdfPages(paper, title)
    rect = pdf.rect
    blocks = sheet_blocks(sheet, rect.width(), theme, key=key)
    pages = paged(blocks, rect.height() - HEAD - FOOT, rect.height() - FOOT)
    for place, page in enumerate(pages, 1):
        if place > 1:
            pdf.writer.newPage()
        y = rect.top()
        if place == 1:
            _paint_head(pdf.painter, rect, sheet, theme, title, key=key)
            y += HEAD
        for each in page:
            each.paint(pdf.painter, rect.left(), y, theme)
            y += each.height
        _paint_foot(pdf.painter, rect, theme, place, len(pages))
    pdf.written(file, where)


def _paint_head(painter: QPainter, rect: QRectF, sheet: Worksheet, theme: Look, title: str, *, key: bool) -> None:
    painter.setFont(theme.font("title", bold=True))
    painter.setPen(theme.color("ink"))
    painter.drawText(QRectF(rect.left(), rect.top(), rect.width(), 28.0), Qt.AlignmentFlag.AlignLeft, visible(title))
    y = rect.top() + 48.0
    font = theme.font("text")
    painter.setFont(font)
    if not key:
        x = rect.left()
        for word, length in ((say("worksheet", "name"), 250.0), (say("worksheet", "date"), 110.0)):
            wide = text_size(font, word).width()
            painter.setPen(theme.pen("ink", "hair"))
            painter.drawText(QPointF(x, y), word)
            painter.drawLine(QPointF(x + wide + 8.0, y + 2.0), QPointF(x + wide + 8.0 + length, y + 2.0))
            x += wide + length + 28.0
        told = say("worksheet", "seed", seed=visible(sheet.seed))
        painter.drawText(QRectF(rect.left(), y - 14.0, rect.width(), 20.0), Qt.AlignmentFlag.AlignRight, told)


def _paint_foot(painter: QPainter, rect: QRectF, theme: Look, page: int, pages: int) -> None:
    painter.setFont(theme.font("small"))
    painter.setPen(theme.color("soft"))
    foot = QRectF(rect.left(), rect.bottom() - 16.0, rect.width(), 16.0)
    painter.drawText(foot, Qt.AlignmentFlag.AlignLeft, say("worksheet", "caution"))
    painter.drawText(foot, Qt.AlignmentFlag.AlignRight, say("worksheet", "page", page=page, pages=pages))
