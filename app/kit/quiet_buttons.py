"""Buttons that a click leaves without the keyboard: the space bar stays with play."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QWidget


def quiet_buttons(within: QWidget) -> None:
    """The buttons in there are reached by the Tab key, and take no focus at a click."""
    for button in within.findChildren(QAbstractButton):
        if button.focusPolicy() == Qt.FocusPolicy.StrongFocus:
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
