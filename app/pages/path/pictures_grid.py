"""How the path's pictures stand: three beside one another over the strip, or in two columns in large type."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from app.kit.look import Look, look
from app.pages.path.path_panels import least_place_width
from app.state.view_state import ViewState

GAP = 8
"""Pixels between two pictures."""

ACROSS, DOWN = (5, 3, 3), (5, 0, 2)
"""Shares of plan, place and what stands beside them in the width; of these and the strip in the height."""

HALVES = (6, 3, 3)
"""Shares of the same columns where plan and strip have one half of the width."""

DOWN_HALVES = (56, 15, 29)
"""Shares of the rows then: place and plan begin in the first, the strip has the last."""

HIGH = 26.0
"""Text heights that place and table need one under the other."""


def in_halves(width: float, height: float, look: Look) -> bool:
    """Whether a place has no room for its words beside plan and table, but has over a table."""
    third = (width - 2.0 * GAP) * ACROSS[1] / sum(ACROSS)
    return third < least_place_width(look) and height >= HIGH * look.small


class PicturesGrid(QWidget):
    """Plan, place, what stands beside them, and the strip."""

    def __init__(self, view: ViewState, plan: QWidget, place: QWidget, side: QWidget, strip: QWidget) -> None:
        super().__init__()
        self._view, self._parts = view, (plan, place, side, strip)
        self._halves: bool | None = None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(GAP)
        self._arrange()
        view.changed.connect(self._view_changed)

    def _view_changed(self, name: str) -> None:
        if name == "theme":
            self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size: perhaps other columns."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        halves = in_halves(self.width(), self.height(), look(self._view.theme))
        if halves == self._halves:
            return
        self._halves = halves
        # Of each: row and column, how many of both it takes.
        plan, place, side, strip = (0, 0, 1, 1), (0, 1, 1, 1), (0, 2, 1, 1), (2, 0, 1, 3)
        if halves:
            plan, place, side, strip = (0, 0, 2, 1), (0, 1, 1, 2), (1, 1, 2, 2), (2, 0, 1, 1)
        for part, at in zip(self._parts, (plan, place, side, strip), strict=True):
            self._grid.removeWidget(part)
            self._grid.addWidget(part, *at)
        for i, share in enumerate(HALVES if halves else ACROSS):
            self._grid.setColumnStretch(i, share)
        for i, share in enumerate(DOWN_HALVES if halves else DOWN):
            self._grid.setRowStretch(i, share)
