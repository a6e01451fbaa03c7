"""The fields of the list of cuts: width, depth, feed and direction of each pass."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel

from app.controls.figure_field import FigureField
from app.kit.plain import plain_label
from app.kit.still_list import StillList
from app.state.view_state import ViewState
from core.base.quantities import QUANTITIES
from core.base.words import say
from core.path.cut_list import ListedCut, Way

FIGURES = {"width": "radial_width", "depth": "depth", "feed": "feed_per_tooth"}
"""What of a pass is typed, and its quantity."""

PASSES = ("rough", "finish")
DIRECTIONS: tuple[Way, ...] = ("climb", "conventional")


class CutFields(QFrame):
    """A row for each pass; ``edited`` carries all passes, ``refused`` a sentence."""

    edited = Signal(object)
    refused = Signal(str)

    def __init__(self, view: ViewState) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.view = view
        self._cuts: tuple[ListedCut, ...] = ()
        self.fields: dict[tuple[int, str], FigureField] = {}
        self.ways: list[StillList] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 8, 12, 8)
        self.heads: dict[str, QLabel] = {}
        for column, name in enumerate(FIGURES, 1):
            self.heads[name] = plain_label()
            grid.addWidget(self.heads[name], 0, column)
        last = len(FIGURES) + 1
        grid.addWidget(plain_label(say("path_pass", "direction")), 0, last)
        for row, id in enumerate(PASSES):
            word = say("path_pass", f"{id}_title")
            grid.addWidget(plain_label(word), row + 1, 0)
            for column, name in enumerate(FIGURES, 1):
                field = FigureField(say("path_pass", "field", name=word, figure=QUANTITIES[FIGURES[name]].word), view)
                field.taken.connect(self._edited)
                field.refused.connect(self.refused)
                self.fields[row, name] = field
                grid.addWidget(field, row + 1, column)
            way = StillList()
            for each in DIRECTIONS:
                way.addItem(say("path_direction", each), each)
            way.setAccessibleName(say("path_pass", "field", name=word, figure=say("path_pass", "direction")))
            way.activated.connect(self._edited)
            self.ways.append(way)
            grid.addWidget(way, row + 1, last)
        grid.setColumnStretch(last + 1, 1)

    def show_cuts(self, cuts: tuple[ListedCut, ...]) -> None:
        """These passes in the fields."""
        self._cuts = cuts
        for name, quantity in FIGURES.items():
            q = QUANTITIES[quantity]
            self.heads[name].setText(f"{q.symbol}, {q.unit_in(self.view.units)}")
            for row, cut in enumerate(cuts):
                self.fields[row, name].show_figure(getattr(cut, name), quantity)
        for row, cut in enumerate(cuts):
            self.ways[row].setCurrentIndex(DIRECTIONS.index(cut.direction))

    def _edited(self) -> None:
        """A figure or a direction was taken: all passes as the fields have them."""
        made = []
        for row, cut in enumerate(self._cuts):
            width, depth, feed = (self.fields[row, name].value or getattr(cut, name) for name in FIGURES)
            way = DIRECTIONS[self.ways[row].currentIndex()]
            made.append(ListedCut(cut.name, way, width, depth, feed))
        if tuple(made) != self._cuts:
            self.edited.emit(tuple(made))
