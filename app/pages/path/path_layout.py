"""How the Path page is laid out: the choices, the plan with its panels, the strip; or the list of cuts."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from app.kit.bare_layouts import bare_column
from app.kit.plain import plain_label
from app.pages.path.beside_table import BesideTable
from app.pages.path.cut_fields import CutFields
from app.pages.path.length_strip import LengthStrip
from app.pages.path.path_choices import PathChoices
from app.pages.path.path_panels import PlaceView, ShownView, WorstList
from app.pages.path.path_plan import PathPlan
from app.pages.path.path_state import PathState
from app.pages.path.pictures_grid import PicturesGrid
from app.state.view_state import ViewState
from core.base.errors import DocumentError
from core.base.file_bytes import first_bytes

PICTURES, LISTED = 0, 1
"""What fills the page: pictures of a path, or the list of cuts."""

WORST, PLANNER, BESIDE_IT = 0, 1, 2
"""What stands beside the pictures."""


class PathLayout(QWidget):
    """The page's widget.  ``dropped`` carries files; the rest goes through the state."""

    dropped = Signal(object)

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state = state
        self.setAcceptDrops(True)
        self.choices = PathChoices(state, view)
        self.plan, self.strip = PathPlan(state, view), LengthStrip(state, view)
        self.place, self.worst = PlaceView(state, view), WorstList(state, view)
        self.planner, self.cuts = ShownView(view, cuts=False), ShownView(view, cuts=True)
        self.cut_fields, self.table = CutFields(view), BesideTable(view)
        self.depths = plain_label()
        self.depths.setObjectName("soft")
        self.depths.setWordWrap(True)
        self.depths.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.side, self.body = QStackedWidget(), QStackedWidget()
        for part in (self._worst_places(), self.planner, self.table):
            self.side.addWidget(part)
        pictures = PicturesGrid(view, self.plan, self.place, self.side, self.strip)
        for part in (pictures, self._list_of_cuts()):
            self.body.addWidget(part)
        layout = bare_column(self, 6)
        layout.addWidget(self.choices)
        layout.addWidget(self.body, 1)
        self.worst.wanted.connect(state.go)

    def _worst_places(self) -> QWidget:
        """The worst places over what each depth removes."""
        made = QWidget()
        column = bare_column(made, 4)
        column.addWidget(self.worst, 1)
        column.addWidget(self.depths)
        return made

    def _list_of_cuts(self) -> QWidget:
        """The fields of the passes over their pictures and figures."""
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.cut_fields)
        column.addWidget(self.cuts, 1)
        return made

    def show_choices(self) -> None:
        """Everything that is chosen, as the state has it."""
        s = self.state
        self.choices.show_choices()
        self.body.setCurrentIndex(LISTED if s.source == "cuts" else PICTURES)
        corner = PLANNER if s.source == "corner" else WORST
        self.side.setCurrentIndex(corner if s.beside_here == "nothing" else BESIDE_IT)

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
