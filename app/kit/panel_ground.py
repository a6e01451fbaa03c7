"""The ground of what lies on a panel: a widget that has it itself is painted anew without all that is beneath it."""

from __future__ import annotations

from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QWidget


def lay_on_panel(widget: QWidget) -> None:
    """Give a widget within a panel the panel's colour for its ground."""
    widget.setBackgroundRole(QPalette.ColorRole.Button)
    widget.setAutoFillBackground(True)
