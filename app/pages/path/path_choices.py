"""The row of choices over the Path page: what is looked at, beside what, by which quantity and limit."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QToolButton, QWidget

from app.controls.figure_field import FigureField
from app.kit.plain import button_text, plain_hint, plain_label
from app.kit.still_list import StillList
from app.kit.wrapped_row import WrappedRow
from app.pages.path.path_scene import QUANTITY_IDS
from app.pages.path.path_state import BESIDE, SOURCES, PathState
from app.state.view_state import ViewState
from core.base.quantities import QUANTITIES
from core.base.words import say

LEAST_CHOICE = 96
"""Pixels that a box of choices keeps where the row is short of room: it opens in full."""

LONGEST_FILE = 24
"""Characters of a file's name on its button; the whole name is told on hover."""


class Choices(StillList):
    """A box of choices that gives way down to the words that are chosen: the longer ones are read when it opens."""

    def __init__(self) -> None:
        super().__init__()
        self.currentIndexChanged.connect(self.updateGeometry)

    def minimumSizeHint(self) -> QSize:
        """As wide as the words that are chosen."""
        whole, metrics = self.sizeHint(), self.fontMetrics()
        widest = max((metrics.horizontalAdvance(self.itemText(i)) for i in range(self.count())), default=0)
        return QSize(whole.width() - widest + metrics.horizontalAdvance(self.currentText()), whole.height())


class PathChoices(QWidget):
    """The row; what is chosen goes to the state.  Files are asked for elsewhere; ``refused`` carries a sentence."""

    choose_program = Signal()
    choose_stock = Signal()
    choose_beside = Signal()
    refused = Signal(str)

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state, self.view = state, view
        self._row = WrappedRow()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(4, 0, 4, 0)
        layout.addWidget(self._row)
        self._add_sources()
        self.radius_label, self.radius = plain_label(), FigureField(say("path_page", "radius_name"), view)
        self.radius.taken.connect(self._take_radius)
        self.program, self.stock = QPushButton(), QPushButton()
        self.program.clicked.connect(self.choose_program)
        self.stock.clicked.connect(self.choose_stock)
        self.beside_label, self.beside = plain_label(say("path_page", "beside_label")), Choices()
        self.beside.setAccessibleName(say("path_page", "beside_name"))
        self.beside.activated.connect(self._choose_beside)
        self.beside_width = FigureField(say("path_page", "other_stepover"), view)
        self.beside_width.taken.connect(self._take_beside_width)
        self._add(self.radius_label, self.radius, self.program, self.stock)
        self._add(self.beside_label, self.beside, self.beside_width)
        self._row.addStretch()
        self.quantity_label, self.quantity = plain_label(say("path_page", "colour_label")), Choices()
        self.quantity.setAccessibleName(say("path_page", "quantity_name"))
        for id in QUANTITY_IDS:
            self.quantity.addItem(say("path_quantity", id), id)
        self.quantity.activated.connect(self._choose_quantity)
        self.limit_label, self.limit = plain_label(), FigureField(say("path_page", "limit_name"), view, optional=True)
        self.limit.setPlaceholderText(say("path_page", "no_limit"))
        self.limit.taken.connect(state.set_limit)
        self._add(self.quantity_label, self.quantity, self.limit_label, self.limit)
        for choice in (self.beside, self.quantity):
            choice.setMinimumWidth(LEAST_CHOICE)
        for field in (self.radius, self.beside_width, self.limit):
            field.refused.connect(self.refused)

    def _add_sources(self) -> None:
        group = QButtonGroup(self)
        self.sources: dict[str, QToolButton] = {}
        for id in SOURCES:
            button = QToolButton()
            button.setText(say("path_source", id))
            button.setCheckable(True)
            button.setProperty("source", id)
            button.clicked.connect(self._choose_source)
            group.addButton(button)
            self.sources[id] = button
        self._add(*self.sources.values())

    def _add(self, *widgets: QWidget) -> None:
        for widget in widgets:
            self._row.addWidget(widget)

    def _choose_source(self) -> None:
        self.state.set("source", self.sender().property("source"))

    def _choose_quantity(self, index: int) -> None:
        self.state.set("quantity", self.quantity.itemData(index))

    def _choose_beside(self, index: int) -> None:
        id = self.beside.itemData(index)
        if id == "program":
            self.choose_beside.emit()
        else:
            self.state.set("beside", id)
        self.show_choices()

    def _take_beside_width(self, width: float) -> None:
        self.state.set("beside_width", width)

    def _take_radius(self, radius: float) -> None:
        self.state.set("corner_radius", radius)
        # A radius under the cutter's own is shown as the one that is taken.
        self.state.changed.emit("radius_shown")

    def show_choices(self) -> None:
        """Buttons and fields as the state has them."""
        s, units = self.state, self.view.units
        self.sources[s.source].setChecked(True)
        pictures = s.source != "cuts"
        for widget, seen in (
            (self.radius_label, s.source == "corner"),
            (self.radius, s.source == "corner"),
            (self.program, s.source == "program"),
            (self.stock, s.source == "program"),
            (self.beside_label, pictures),
            (self.beside, pictures),
            (self.beside_width, s.beside_here == "width"),
            (self.quantity_label, pictures),
            (self.quantity, pictures),
            (self.limit_label, pictures),
            (self.limit, pictures),
        ):
            widget.setVisible(seen)
        for button, name, id in ((self.program, s.program_file, "program"), (self.stock, s.stock_file, "stock")):
            word = say("path_page", f"{id}_action")
            button.setText(button_text(Path(name).name if name else word, LONGEST_FILE))
            button.setToolTip(plain_hint(name or say("path_page", "choose_hint")))
        self._fill_beside()
        self.beside.setToolTip(plain_hint(s.beside_file if s.beside_here == "program" else ""))
        self.beside_width.show_figure(s.beside_width, "radial_width")
        self.beside_width.setPlaceholderText(
            say("path_page", "width_field", unit=QUANTITIES["radial_width"].unit_in(units))
        )
        self.quantity.setCurrentIndex(list(QUANTITY_IDS).index(s.quantity))
        quantity = QUANTITY_IDS[s.quantity]
        self.limit_label.setText(say("path_page", "limit_label", unit=QUANTITIES[quantity].unit_in(units)))
        self.limit.show_figure(s.limit, quantity)

    def show_radius(self, radius_mm: float) -> None:
        """The corner radius in its field."""
        self.radius_label.setText(
            say("path_page", "radius_label", unit=QUANTITIES["length"].unit_in(self.view.units))
        )
        self.radius.show_figure(radius_mm, "length")

    def _fill_beside(self) -> None:
        """What the source can be compared with, and what is chosen of it."""
        s = self.state
        possible = {id: say("path_beside", id) for id in BESIDE if id in s.beside_choices}
        if [self.beside.itemData(row) for row in range(self.beside.count())] != list(possible):
            self.beside.clear()
            for id, word in possible.items():
                self.beside.addItem(word, id)
        self.beside.setCurrentIndex(list(possible).index(s.beside_here))
