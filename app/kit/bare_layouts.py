"""Rows and columns that reach to the edges of the widget that holds them: no margins of their own."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget


def bare_row(holder: QWidget, spacing: int) -> QHBoxLayout:
    """Side by side over the whole of the holder, so many pixels apart."""
    layout = QHBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(spacing)
    return layout


def bare_column(holder: QWidget, spacing: int) -> QVBoxLayout:
    """One under another over the whole of the holder, so many pixels apart."""
    layout = QVBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(spacing)
    return layout
