"""A row of small widgets that goes on in a second line where the words of a language are too long for one."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

LINE_SPACING = 4
"""Pixels between two lines."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What a widget of the row wants: its size, the width that it starts from, and the one it gives way down to."""

    widget: QWidget
    size: QSize
    least: int
    narrowest: int


class WrappedRow(QWidget):
    """Widgets side by side, each as wide as it wants; a stretch parts the left ones from the right ones.

    A widget with a least width of its own gives way, as far as its words allow, before there is another line.

    It takes the height that its lines need in the width that it has.

    stretched : the widgets of a line share what is left of its width.
    """

    def __init__(self, spacing: int = 6, *, stretched: bool = False) -> None:
        super().__init__()
        self._stretched = stretched
        self._spacing = spacing
        self._items: list[QWidget] = []
        self._right_from: int | None = None
        # Its width is not known before it is laid out, and a second line then would make the whole window higher.
        self._laid_out = False
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def addWidget(self, widget: QWidget) -> None:
        """The next widget of the row."""
        hidden = widget.testAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide) and widget.isHidden()
        widget.setParent(self)
        # A parent hides what is new to it.
        widget.setVisible(not hidden)
        self._items.append(widget)
        if self._laid_out:
            self._arrange()
        else:
            # Arranged once it is shown, and not with each widget again.
            self.updateGeometry()

    def addStretch(self) -> None:
        """What comes after stands on the right."""
        self._right_from = len(self._items)

    def sizeHint(self) -> QSize:
        """All in one line."""
        measured = self._measured()
        width = sum(each.least for each in measured) + self._spacing * max(len(measured) - 1, 0)
        return QSize(width, self._height(measured))

    def minimumSizeHint(self) -> QSize:
        """The widest of them."""
        widest = max((w.minimumSizeHint().width() for w in self._shown()), default=0)
        return QSize(widest, self._height(self._measured()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width has room for other lines."""
        super().resizeEvent(event)
        self._laid_out = not self.isHidden()
        self._arrange()

    def hideEvent(self, event: QHideEvent) -> None:
        """Out of sight it keeps no lines of a width that it may not have when it comes back."""
        super().hideEvent(event)
        if self.isHidden():
            self._laid_out = False
            self._arrange()

    def showEvent(self, event: QShowEvent) -> None:
        """It came back with the width that it had."""
        super().showEvent(event)
        if not self._laid_out:
            self._laid_out = True
            self._arrange()

    def event(self, event: QEvent) -> bool:
        """A widget of the row was shown or hidden, or has other words."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._arrange()
        return done

    def _shown(self) -> list[QWidget]:
        return [w for w in self._items if not w.isHidden()]

    def _measured(self) -> list[Measured]:
        """What is shown, each measured once: to ask a widget for its size is most of the work of a row."""
        return [self._measure(w) for w in self._shown()]

    def _measure(self, widget: QWidget) -> Measured:
        size = _size(widget)
        if self._stretched:
            least = widget.minimumSizeHint().width()
            return Measured(widget, size, least, least)
        least = size.width()
        if widget.minimumWidth() == 0:
            return Measured(widget, size, least, least)
        # It says that it gives way.
        narrowest = min(max(widget.minimumWidth(), widget.minimumSizeHint().width()), least)
        return Measured(widget, size, least, narrowest)

    def _widths(self, line: list[Measured]) -> list[int]:
        """Widths in one line: what is lacking is taken from those that give way, by what each has to give."""
        widths = [min(each.least, self.width()) for each in line]
        lacking = sum(widths) + self._spacing * max(len(line) - 1, 0) - self.width()
        gives = [max(width - each.narrowest, 0) for each, width in zip(line, widths, strict=True)]
        left = sum(gives)
        for i, give in enumerate(gives):
            if lacking <= 0 or left == 0:
                break
            # Rounded up, so that the last one has no pixel too many to give.
            taken = min(give, -(-lacking * give // left))
            widths[i] -= taken
            lacking, left = lacking - taken, left - give
        return widths

    def _lines(self, measured: list[Measured]) -> list[list[Measured]]:
        """The widgets of each line."""
        lines: list[list[Measured]] = [[]]
        used = 0
        for each in measured:
            if self._laid_out and lines[-1] and used + self._spacing + each.narrowest > self.width():
                lines.append([])
                used = 0
            used += each.narrowest + (self._spacing if lines[-1] else 0)
            lines[-1].append(each)
        return lines

    def _height(self, measured: list[Measured]) -> int:
        lines = self._lines(measured)
        return sum(map(_high, lines)) + LINE_SPACING * (len(lines) - 1)

    def _arrange(self) -> None:
        right = set(self._items[self._right_from :]) if self._right_from is not None else set()
        y = 0
        for line in self._lines(self._measured()):
            high = _high(line)
            widths = self._widths(line)
            free = max(self.width() - sum(widths) - self._spacing * max(len(line) - 1, 0), 0)
            if self._stretched and line:
                widths = [width + free // len(line) for width in widths]
            x = 0
            for each, width in zip(line, widths, strict=True):
                if each.widget in right:
                    x, free = x + free, 0
                tall = each.size.height()
                top = y if self._stretched else y + (high - tall) // 2
                each.widget.setGeometry(QRect(x, top, width, tall))
                x += width + self._spacing
            y += high + LINE_SPACING
        wanted = max(y - LINE_SPACING, 0)
        if self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)
            self.updateGeometry()


def _high(line: list[Measured]) -> int:
    return max((each.size.height() for each in line), default=0)


def _size(widget: QWidget) -> QSize:
    """The size that a widget wants, within its own limits."""
    least = widget.minimumSizeHint().expandedTo(widget.minimumSize())
    return widget.sizeHint().expandedTo(least).boundedTo(widget.maximumSize())
