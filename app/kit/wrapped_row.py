"""A row of small widgets that goes on in a second line where the words of a language are too long for one."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QSize, Qt
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

LINE_SPACING = 4
"""Pixels between two lines."""


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
        self._arrange()

    def addStretch(self) -> None:
        """What comes after stands on the right."""
        self._right_from = len(self._items)

    def sizeHint(self) -> QSize:
        """All in one line."""
        shown = self._shown()
        width = sum(self._least(w) for w in shown) + self._spacing * max(len(shown) - 1, 0)
        return QSize(width, self._height())

    def minimumSizeHint(self) -> QSize:
        """The widest of them."""
        return QSize(max((w.minimumSizeHint().width() for w in self._shown()), default=0), self._height())

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

    def _least(self, widget: QWidget) -> int:
        return (widget.minimumSizeHint() if self._stretched else _size(widget)).width()

    def _narrowest(self, widget: QWidget) -> int:
        """The width that a widget gives way down to, where it says that it does."""
        least = self._least(widget)
        if self._stretched or widget.minimumWidth() == 0:
            return least
        return min(max(widget.minimumWidth(), widget.minimumSizeHint().width()), least)

    def _widths(self, line: list[QWidget]) -> list[int]:
        """Widths in one line: what is lacking is taken from those that give way, by what each has to give."""
        widths = [min(self._least(w), self.width()) for w in line]
        lacking = sum(widths) + self._spacing * max(len(line) - 1, 0) - self.width()
        gives = [max(width - self._narrowest(w), 0) for w, width in zip(line, widths, strict=True)]
        left = sum(gives)
        for i, give in enumerate(gives):
            if lacking <= 0 or left == 0:
                break
            # Rounded up, so that the last one has no pixel too many to give.
            taken = min(give, -(-lacking * give // left))
            widths[i] -= taken
            lacking, left = lacking - taken, left - give
        return widths

    def _lines(self) -> list[list[QWidget]]:
        """The widgets of each line."""
        lines: list[list[QWidget]] = [[]]
        used = 0
        for widget in self._shown():
            width = self._narrowest(widget)
            if self._laid_out and lines[-1] and used + self._spacing + width > self.width():
                lines.append([])
                used = 0
            used += width + (self._spacing if lines[-1] else 0)
            lines[-1].append(widget)
        return lines

    def _height(self) -> int:
        lines = self._lines()
        high = sum(max((_size(w).height() for w in line), default=0) for line in lines)
        return high + LINE_SPACING * (len(lines) - 1)

    def _arrange(self) -> None:
        right = set(self._items[self._right_from :]) if self._right_from is not None else set()
        y = 0
        for line in self._lines():
            high = max((_size(w).height() for w in line), default=0)
            widths = self._widths(line)
            free = max(self.width() - sum(widths) - self._spacing * max(len(line) - 1, 0), 0)
            if self._stretched and line:
                widths = [width + free // len(line) for width in widths]
            x = 0
            for widget, width in zip(line, widths, strict=True):
                if widget in right:
                    x, free = x + free, 0
                tall = _size(widget).height()
                top = y if self._stretched else y + (high - tall) // 2
                widget.setGeometry(QRect(x, top, width, tall))
                x += width + self._spacing
            y += high + LINE_SPACING
        wanted = max(y - LINE_SPACING, 0)
        if self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)
            self.updateGeometry()


def _size(widget: QWidget) -> QSize:
    """The size that a widget wants, within its own limits."""
    least = widget.minimumSizeHint().expandedTo(widget.minimumSize())
    return widget.sizeHint().expandedTo(least).boundedTo(widget.maximumSize())
