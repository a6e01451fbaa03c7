"""The shipped typeface: registered once at start, so that the window looks the same everywhere."""

from __future__ import annotations

from PySide6.QtGui import QFontDatabase

from core.base.places import assets


def load_fonts() -> list[str]:
    """Register every font file in ``assets/fonts``; needs a QGuiApplication.  Returns the families."""
    families: list[str] = []
    for file in sorted(assets("fonts").glob("*.[ot]tf")):
        handle = QFontDatabase.addApplicationFont(str(file))
        families += QFontDatabase.applicationFontFamilies(handle)
    return families
