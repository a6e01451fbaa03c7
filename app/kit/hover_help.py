"""What hovering over a part of a picture tells: one sentence, wrapped, beside the part and not over it."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from PySide6.QtCore import QPoint, QRectF
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget

from app.kit.plain import plain_hint

COLUMNS = 62
"""Characters to a line of a hint."""

BELOW_POINTER = 22
"""Pixels by which Qt sets a hint lower than it is asked to, out of the way of the pointer."""


@dataclass(frozen=True, slots=True)
class HoverHelp:
    """Where a part is, in the widget's pixels, and its help text; ``above``: the hint stands over the part."""

    box: QRectF
    text: str
    above: bool = False

    @property
    def lines(self) -> str:
        """The text in lines that can be read at a glance."""
        return "\n".join(textwrap.fill(part, COLUMNS) for part in self.text.splitlines())


def show_help(widget: QWidget, event: QHelpEvent, found: HoverHelp | None) -> None:
    """Show the hint of a part, until the pointer leaves it; none where there is nothing to tell."""
    if found is None:
        QToolTip.hideText()
        event.ignore()
        return
    at = event.globalPos()
    if found.above:
        line = widget.fontMetrics().lineSpacing()
        height = line * (found.lines.count("\n") + 1) + 16 + BELOW_POINTER
        top = widget.mapToGlobal(QPoint(0, round(found.box.top()))).y() - height
        at = QPoint(at.x(), top)
    QToolTip.showText(at, plain_hint(found.lines), widget, found.box.toAlignedRect())
    event.accept()
