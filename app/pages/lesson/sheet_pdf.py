"""A worksheet and its key as PDF: vector throughout, A4 or Letter."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageSize, QPainter, QPdfWriter

from app.kit.label_layout import text_size
from app.kit.look import Look, look, searched
from app.pages.lesson.sheet_blocks import WRAP, Block, block, words_block, wrapped_height
from core.base.errors import ChiparcError, DocumentError
from core.base.safe_write import write_bytes
from core.base.visible import visible
from core.base.words import say
from core.lesson.worksheet import Worksheet

PAPERS: dict[str, QPageSize.PageSizeId] = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
MARGIN = 58.0
"""Of the sheet, pixels of 1/96 inch."""

HEAD = 74.0
"""Room of the head of the first page."""

BEFORE_PAGE, OVER_FOOT = 16.0, 10.0
"""Between the words of the foot and the number of the page; between the last question and the foot."""

MOST_PAGES = 99
"""Pages whose number the foot leaves room for."""


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
            raise ChiparcError(
                where, say("files", "could_not_write", file=file, why=error.found), error.allowed
            ) from None


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


def foot(rect: QRectF, theme: Look) -> tuple[QRectF, QRectF]:
    """Where the words of the foot stand, on as many lines as they need, and right of the last the page's number."""
    font = theme.font("small")
    number = text_size(font, say("worksheet", "page", page=MOST_PAGES, pages=MOST_PAGES))
    width = rect.width() - number.width() - BEFORE_PAGE
    high = wrapped_height(font, say("worksheet", "caution"), width)
    top = rect.bottom() - number.height()
    return QRectF(rect.left(), rect.bottom() - high, width + 2.0, high + 2.0), QRectF(
        rect.right() - number.width(), top, number.width(), number.height()
    )


def save_sheet(sheet: Worksheet, file: Path, *, paper: str, key: bool, where: str = "--out") -> None:
    """The sheet, or with ``key`` its answers with the working, as a PDF.  Raises ChiparcError where it cannot be."""
    theme = searched(look("print"))
    title = say("worksheet", "key_of", seed=sheet.seed, title=sheet.title) if key else sheet.title
    pdf = PdfPages(paper, title)
    rect = pdf.rect
    blocks = sheet_blocks(sheet, rect.width(), theme, key=key)
    words, number = foot(rect, theme)
    room = words.top() - OVER_FOOT - rect.top()
    pages = paged(blocks, room - HEAD, room)
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
        pdf.painter.setFont(theme.font("small"))
        pdf.painter.setPen(theme.color("soft"))
        pdf.painter.drawText(words, WRAP, say("worksheet", "caution"))
        pdf.painter.drawText(
            number, Qt.AlignmentFlag.AlignRight, say("worksheet", "page", page=place, pages=len(pages))
        )
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
