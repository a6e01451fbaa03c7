"""What every page looks at: units, theme, Pair, reduced motion, what is hidden.  The rest is each page's own."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal

from core.base.quantities import Units
from core.setup.show import Shown

THEMES = ("light", "dark", "projector")
UNITS: tuple[Units, ...] = ("metric", "inch")


class ViewState(QObject):
    """The shared part of the view.  ``changed`` carries the name of what changed.

    Attributes (read; change through :meth:`set`): ``units``; ``theme``; ``pair``: climb and conventional side by
    side; ``reduced_motion``: steps instead of gliding; ``shown``: which elements are in sight.
    """

    changed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.pair = False
        self.units: Units = "metric"
        self.theme = "light"
        self.reduced_motion = False
        self.shown = Shown()

    def like(self, other: ViewState) -> ViewState:
        """The same view as another state; returns itself."""
        for name in ("pair", "units", "theme", "reduced_motion", "shown"):
            setattr(self, name, getattr(other, name))
        return self

    def set(self, name: str, value: Any) -> None:
        """Change one attribute and tell, if it differs."""
        if getattr(self, name) != value:
            setattr(self, name, value)
            self.changed.emit(name)
