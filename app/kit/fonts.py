"""The shipped typeface: registered once at start, so that the window looks the same everywhere."""

from __future__ import annotations

from functools import cache

from PySide6.QtGui import QFontDatabase

from core.base.places import assets


@cache
def load_fonts() -> tuple[str, ...]:
    """Register every font file in ``assets/fonts``; needs a QGuiApplication.  Returns the families.

    Once in a process: registered again, they would be loaded anew for every text, and stand in the list twice.
    """
    families: list[str] = []
    for file in sorted(assets("fonts").glob("*.[ot]tf")):
        handle = QFontDatabase.addApplicationFont(str(file))
        families += QFontDatabase.applicationFontFamilies(handle)
    return tuple(families)
