"""How the Path page is laid out: the row of choices, the plan with its panels, the strip; or the list of cuts."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.controls.slider_and_field import ValueField
from app.kit.bare_layouts import bare_column
from app.kit.plain import button_text, plain_hint, plain_label
from app.kit.still_list import StillList
from app.pages.path.beside_table import BesideTable
from app.pages.path.length_strip import LengthStrip
from app.pages.path.path_panels import PlaceView, ShownView, WorstList
from app.pages.path.path_plan import PathPlan
from app.pages.path.path_scene import QUANTITY_IDS, QUANTITY_TITLES
from app.pages.path.path_state import BESIDE, SOURCES, PathState
from app.state.view_state import ViewState
from core.base.errors import DocumentError
from core.base.file_bytes import first_bytes
from core.base.quantities import MINUS, QUANTITIES, Units
from core.path.cut_list import ListedCut

LEAST_CHOICE = 96
"""Pixels that a box of choices keeps where the row is short of room: it opens in full."""

LONGEST_FILE = 24
"""Characters of a file's name on its button; the whole name is told on hover."""

CUT_FIELDS = (("width", "radial_width"), ("depth", "depth"), ("feed", "feed_per_tooth"))


def typed(text: str) -> float | None:
    """A figure as typed: over 0, decimal comma allowed; None for anything else."""
    words = text.strip().replace(MINUS, "-").replace(",", ".").split()
    try:
        value = float(words[0]) if words else 0.0
    except ValueError:
        return None
    return value if 0.0 < value < 1e9 else None


def plain(value: float) -> str:
    """A figure in a field."""
    return f"{value:.6g}"


class CutFields(QFrame):
    """Width, depth, feed and direction of each pass; ``edited`` carries all passes."""

    edited = Signal(object)

    def __init__(self, view: ViewState) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.view = view
        self._cuts: tuple[ListedCut, ...] = ()
        self.fields: dict[tuple[int, str], ValueField] = {}
        self.ways: list[StillList] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(12, 8, 12, 8)
        self.heads: dict[str, QLabel] = {}
        for k, (name, quantity) in enumerate(CUT_FIELDS, 1):
            self.heads[name] = plain_label()
            self.heads[name].setProperty("quantity", quantity)
            grid.addWidget(self.heads[name], 0, k)
        grid.addWidget(plain_label("direction"), 0, len(CUT_FIELDS) + 1)
        for i, word in enumerate(("rough", "finish")):
            grid.addWidget(plain_label(word), i + 1, 0)
            for k, (name, _) in enumerate(CUT_FIELDS, 1):
                field = ValueField()
                field.setAccessibleName(f"{word}: {name}")
                field.editingFinished.connect(self._edited)
                field.put_back.connect(self._show)
                self.fields[i, name] = field
                grid.addWidget(field, i + 1, k)
            way = StillList()
            way.addItems(["climb", "conventional"])
            way.setAccessibleName(f"{word}: direction")
            way.activated.connect(self._edited)
            self.ways.append(way)
            grid.addWidget(way, i + 1, len(CUT_FIELDS) + 1)
        grid.setColumnStretch(len(CUT_FIELDS) + 2, 1)

    def show_cuts(self, cuts: tuple[ListedCut, ...]) -> None:
        """These passes in the fields."""
        self._cuts = cuts
        self._show()

    def _show(self) -> None:
        units: Units = self.view.units
        for name, quantity in CUT_FIELDS:
            q = QUANTITIES[quantity]
            self.heads[name].setText(f"{q.symbol}, {q.unit_in(units)}")
        for i, cut in enumerate(self._cuts):
            for name, quantity in CUT_FIELDS:
                self.fields[i, name].setText(plain(QUANTITIES[quantity].shown(getattr(cut, name), units)))
            self.ways[i].setCurrentText(cut.direction)

    def _edited(self) -> None:
        made = []
        for i, cut in enumerate(self._cuts):
            values = {}
            for name, quantity in CUT_FIELDS:
                q, value = QUANTITIES[quantity], typed(self.fields[i, name].text())
                same = self.fields[i, name].text() == plain(q.shown(getattr(cut, name), self.view.units))
                values[name] = getattr(cut, name) if value is None or same else q.house(value, self.view.units)
            way = self.ways[i].currentText()
            made.append(ListedCut(cut.name, "conventional" if way == "conventional" else "climb", **values))
        if tuple(made) != self._cuts:
            self.edited.emit(tuple(made))
        else:
            self._show()


class PathLayout(QWidget):
    """The page's widget.  ``dropped`` carries files; the rest goes through the state."""

    dropped = Signal(object)
    choose_program = Signal()
    choose_stock = Signal()
    choose_beside = Signal()

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state, self.view = state, view
        self.setAcceptDrops(True)
        self.plan, self.strip = PathPlan(state, view), LengthStrip(state, view)
        self.place, self.worst = PlaceView(state, view), WorstList(state, view)
        self.planner, self.cuts = ShownView(view, cuts=False), ShownView(view, cuts=True)
        self.cut_fields = CutFields(view)
        self.depths = plain_label()
        self.depths.setObjectName("soft")
        self.depths.setWordWrap(True)
        self.depths.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.side = QStackedWidget()
        beside = QWidget()
        column = bare_column(beside, 4)
        column.addWidget(self.worst, 1)
        column.addWidget(self.depths)
        self.side.addWidget(beside)
        self.side.addWidget(self.planner)
        self.table = BesideTable(view)
        self.side.addWidget(self.table)
        pictures = QWidget()
        middle = QHBoxLayout()
        middle.setSpacing(8)
        middle.addWidget(self.plan, 5)
        middle.addWidget(self.place, 3)
        middle.addWidget(self.side, 3)
        stack = bare_column(pictures, 8)
        stack.addLayout(middle, 5)
        stack.addWidget(self.strip, 2)
        listed = QWidget()
        cuts = QVBoxLayout(listed)
        cuts.setContentsMargins(0, 0, 0, 0)
        cuts.addWidget(self.cut_fields)
        cuts.addWidget(self.cuts, 1)
        self.body = QStackedWidget()
        self.body.addWidget(pictures)
        self.body.addWidget(listed)
        layout = bare_column(self, 6)
        layout.addLayout(self._row())
        layout.addWidget(self.body, 1)
        self.worst.wanted.connect(state.go)

    def _row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(4, 0, 4, 0)
        row.setSpacing(6)
        group = QButtonGroup(self)
        self.sources: dict[str, QToolButton] = {}
        for id, word in SOURCES.items():
            button = QToolButton()
            button.setText(word)
            button.setCheckable(True)
            button.setProperty("source", id)
            button.clicked.connect(self._choose_source)
            group.addButton(button)
            row.addWidget(button)
            self.sources[id] = button
        self.radius_label, self.radius = plain_label("corner radius"), ValueField()
        self.radius.setAccessibleName("Corner radius")
        self.radius.setMaximumWidth(90)
        self.radius.editingFinished.connect(self._take_radius)
        self.radius.put_back.connect(self.show_choices)
        self.program, self.stock = QPushButton(), QPushButton()
        self.program.clicked.connect(self.choose_program)
        self.stock.clicked.connect(self.choose_stock)
        for each in (self.radius_label, self.radius, self.program, self.stock):
            row.addWidget(each)
        self.beside_label, self.beside = plain_label("beside"), StillList()
        self.beside.setAccessibleName("Compared with")
        self.beside.activated.connect(self._choose_beside)
        self.beside_width = ValueField()
        self.beside_width.setAccessibleName("The other stepover")
        self.beside_width.setMaximumWidth(90)
        self.beside_width.editingFinished.connect(self._take_beside_width)
        self.beside_width.put_back.connect(self.show_choices)
        beside: tuple[QWidget, ...] = (self.beside_label, self.beside, self.beside_width)
        for widget in beside:
            row.addWidget(widget)
        row.addStretch(1)
        self.quantity_label, self.quantity = plain_label("colour by"), StillList()
        self.quantity.setAccessibleName("Quantity")
        for id, word in QUANTITY_TITLES.items():
            self.quantity.addItem(word, id)
        self.quantity.activated.connect(self._choose_quantity)
        self.limit_label, self.limit = plain_label("limit"), ValueField()
        self.limit.setAccessibleName("Limit")
        self.limit.setPlaceholderText("none")
        self.limit.setMaximumWidth(90)
        self.limit.editingFinished.connect(self._take_limit)
        self.limit.put_back.connect(self.show_choices)
        for choice in (self.beside, self.quantity):
            choice.setMinimumWidth(LEAST_CHOICE)
        coloured: tuple[QWidget, ...] = (self.quantity_label, self.quantity, self.limit_label, self.limit)
        for widget in coloured:
            row.addWidget(widget)
        return row

    def _choose_source(self) -> None:
        self.state.set("source", self.sender().property("source"))

    def _fill_beside(self) -> None:
        """What the source can be compared with, and what is chosen of it."""
        s = self.state
        possible = {id: word for id, word in BESIDE.items() if id in s.beside_choices}
        if [self.beside.itemData(row) for row in range(self.beside.count())] != list(possible):
            self.beside.clear()
            for id, word in possible.items():
                self.beside.addItem(word, id)
        self.beside.setCurrentIndex(list(possible).index(s.beside_here))

    def _choose_beside(self, index: int) -> None:
        id = self.beside.itemData(index)
        if id == "program":
            self.choose_beside.emit()
        else:
            self.state.set("beside", id)
        self.show_choices()

    def _take_beside_width(self) -> None:
        if not self.beside_width.isModified():
            return
        value = typed(self.beside_width.text())
        if value is not None:
            self.state.set("beside_width", QUANTITIES["radial_width"].house(value, self.view.units))
        self.show_choices()

    def _choose_quantity(self, index: int) -> None:
        self.state.set("quantity", self.quantity.itemData(index))

    def show_choices(self) -> None:
        """Buttons and fields as the state has them."""
        s, units = self.state, self.view.units
        self.sources[s.source].setChecked(True)
        self.body.setCurrentIndex(1 if s.source == "cuts" else 0)
        self.side.setCurrentIndex(2 if s.beside_here != "nothing" else 1 if s.source == "corner" else 0)
        for each in (self.radius_label, self.radius):
            each.setVisible(s.source == "corner")
        for button, name, word in (
            (self.program, s.program_file, "Program…"),
            (self.stock, s.stock_file, "Stock…"),
        ):
            button.setVisible(s.source == "program")
            button.setText(button_text(Path(name).name if name else word, LONGEST_FILE))
            button.setToolTip(plain_hint(name or "Choose it, or drop the file here"))
        pictures = s.source != "cuts"
        self.beside_label.setVisible(pictures)
        self.beside.setVisible(pictures)
        self._fill_beside()
        self.beside.setToolTip(plain_hint(s.beside_file if s.beside_here == "program" else ""))
        self.beside_width.setVisible(s.beside_here == "width")
        q = QUANTITIES["radial_width"]
        self.beside_width.setText("" if s.beside_width is None else plain(q.shown(s.beside_width, units)))
        self.beside_width.setPlaceholderText(f"ae, {q.unit_in(units)}")
        for shown in (self.quantity_label, self.quantity, self.limit_label, self.limit):
            shown.setVisible(pictures)
        self.quantity.setCurrentIndex(list(QUANTITY_TITLES).index(s.quantity))
        q = QUANTITIES[QUANTITY_IDS[s.quantity]]
        self.limit_label.setText(f"limit, {q.unit_in(units)}")
        self.limit.setText("" if s.limit is None else plain(q.shown(s.limit, units)))

    def show_radius(self, radius_mm: float) -> None:
        """The corner radius in its field."""
        q = QUANTITIES["length"]
        self.radius_label.setText(f"corner radius, {q.unit_in(self.view.units)}")
        self.radius.setText(plain(q.shown(radius_mm, self.view.units)))

    def _take_radius(self) -> None:
        if not self.radius.isModified():
            return
        value = typed(self.radius.text())
        if value is not None:
            self.state.set("corner_radius", QUANTITIES["length"].house(value, self.view.units))
        self.state.changed.emit("radius_shown")

    def _take_limit(self) -> None:
        if not self.limit.isModified():
            return
        value = typed(self.limit.text())
        q = QUANTITIES[QUANTITY_IDS[self.state.quantity]]
        self.state.set_limit(None if value is None else q.house(value, self.view.units))
        self.show_choices()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Programs and stocks may be dropped here; anything else goes on to the window."""
        if self.files_of(event):
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take them."""
        if files := self.files_of(event):
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()
            self.dropped.emit(files)
        else:
            event.ignore()

    @staticmethod
    def files_of(event: QDropEvent) -> list[str]:
        """The dropped files that are no setup documents."""
        names = [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]
        return [name for name in names if not name.lower().endswith(".toml") or is_stock(name)]


def is_stock(name: str) -> bool:
    """Whether a document says that it is a stock, in its first lines."""
    try:
        return b"chiparc stock" in first_bytes(name, 2000)
    except DocumentError:
        return False
