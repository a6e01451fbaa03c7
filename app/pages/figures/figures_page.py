"""The Figures page: every figure of the setup to read, filter, copy and save, climb and conventional side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QModelIndex, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QTableView,
    QWidget,
)

from app.kit.bare_layouts import bare_column
from app.kit.jobs import Jobs
from app.kit.look import Look, look
from app.kit.plain import plain_hint, plain_label
from app.pages.figures.figures_table import FIGURE, KEY, FiguresModel, column_widths, paint_figures, with_names
from app.pages.page import Action, Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.safe_write import write_text
from core.base.words import say
from core.report.figure_row import FigureRow
from core.report.figure_words import detail, is_different
from core.report.figures import Figures, figures
from core.report.figures_csv import figures_csv
from core.setup.setup import Setup

ARC_PAGE = "arc"
"""The page that draws what has a strip."""


class FilterField(QLineEdit):
    """Where the filter is typed; Esc clears it, Enter and the arrow down go to the table."""

    left_down = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys that go elsewhere."""
        if event.key() == Qt.Key.Key_Escape:
            self.clear()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.left_down.emit()
        else:
            super().keyPressEvent(event)


class FiguresTable(QTableView):
    """The table; ``widened`` comes when it has another width."""

    widened = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, other columns."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.widened.emit()


class FiguresPage(Page):
    """A filter, the table, and what the chosen figure rests on.

    The figures of a setup take longer than a frame: while the page is on top they are worked out beside the window,
    the newest setup only, and the ones before stay until then.
    """

    id, key = "figures", "Ctrl+4"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.figures: Figures | None = None
        self._wanted: Setup | None = None
        self._in_sight = False
        self._wide: list[float] = []
        self._jobs = Jobs(self)
        self._jobs.came.connect(self._take)
        self._jobs.failed.connect(self._failed)
        self.model = FiguresModel(self)
        self.table = self._made_table()
        self.filter = FilterField()
        self.filter.setPlaceholderText(say("figures", "filter"))
        self.filter.setAccessibleName(say("figures", "filter_name"))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self._refresh)
        self.filter.left_down.connect(self._into_table)
        self.count = plain_label()
        self.count.setObjectName("soft")
        self.copy_button, self.save_button = (
            QPushButton(say("figures", "copy")),
            QPushButton(say("figures", "save_csv")),
        )
        self.copy_button.setToolTip(plain_hint(say("figures", "copy_hint")))
        self.save_button.setToolTip(plain_hint(say("figures", "save_hint")))
        self.copy_button.clicked.connect(self.copy)
        self.save_button.clicked.connect(self.save)
        self.detail = plain_label()
        self.detail.setWordWrap(True)
        self.detail.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.detail.setAccessibleName(say("figures", "detail_name"))
        self._widget = self._laid_out()
        self.view.changed.connect(self._view_changed)

    def _made_table(self) -> FiguresTable:
        table = FiguresTable()
        table.setAccessibleName(say("figures", "table_name"))
        table.setModel(self.model)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setTabKeyNavigation(False)
        table.setShowGrid(False)
        table.setWordWrap(False)
        table.verticalHeader().hide()
        head = table.horizontalHeader()
        head.setSectionsClickable(False)
        head.setHighlightSections(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        table.widened.connect(self._set_columns)
        table.activated.connect(self._go_from)
        table.selectionModel().currentChanged.connect(self._show_detail)
        return table

    def _laid_out(self) -> QWidget:
        whole = QWidget()
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.filter, 1)
        top.addWidget(self.count)
        top.addWidget(self.copy_button)
        top.addWidget(self.save_button)
        layout = bare_column(whole, 8)
        layout.addLayout(top)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.detail)
        whole.setFocusProxy(self.table)
        return whole

    # The contract

    def widget(self) -> QWidget:
        """Filter, table, what the figure rests on."""
        return self._widget

    def show(self, setup: Setup) -> None:
        """Show the setup's figures: at once when the page comes on top, beside the window while it is there."""
        if setup == self._wanted and self._in_sight:
            return
        self._wanted, materials = setup, self.workbench.materials
        if self._in_sight:

            def work() -> Iterator[object]:
                yield figures(setup, materials)

            self._jobs.ask(work)
            return
        self._jobs.drop()
        self._take(figures(setup, materials))
        self._in_sight = True

    def left(self) -> None:
        """Nothing is worked out that nobody sees."""
        self._in_sight = False
        self._jobs.stop()

    def sentence(self, setup: Setup, units: Units) -> str:
        """How many figures there are and how many of them differ."""
        found = figures(setup, self.workbench.materials) if self.figures is None else self.figures
        differ = sum(is_different(row, units) for row in found.rows)
        name = "sentence_mirrored" if found.straddling else "sentence"
        return say("figures", name, count=len(found.rows), differ=differ)

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The rows that the filter leaves, from the first on."""
        if self._wanted is None:
            return
        found = figures(self._wanted, self.workbench.materials)
        model = FiguresModel()
        model.show_figures(found, units, self.filter.text())
        title = found.setup.title or say("report", "untitled")
        paint_figures(painter, rect, theme, model, title, self.sentence(found.setup, units))

    def actions(self) -> tuple[Action, ...]:
        """Filter, copy, save, go to the picture."""
        return (
            Action("filter_figures", "Edit", say("figures", "filter_action"), self.to_filter, ("Ctrl+F",)),
            Action(
                "copy_figures",
                "Edit",
                say("figures", "copy_action"),
                self.copy,
                ("Ctrl+C",),
                hint=say("figures", "copy_action_hint"),
            ),
            Action(
                "save_figures",
                "File",
                say("figures", "save_action"),
                self.save,
                hint=say("figures", "save_action_hint"),
            ),
            Action("go_to_strip", "View", say("figures", "go_action"), self.go, hint=say("figures", "go_hint")),
        )

    # What is shown

    def _take(self, found: object) -> None:
        assert isinstance(found, Figures)
        self.figures = found
        self._refresh()

    def _failed(self, error: object) -> None:
        if isinstance(error, BaseException):
            self.workbench.put_back(error)

    def _view_changed(self, name: str) -> None:
        if name in ("units", "theme"):
            self._wide = []
            self._refresh()

    def _refresh(self, _: object = None) -> None:
        if self.figures is None:
            return
        chosen = self.chosen_key()
        theme = look(self.view.theme)
        self.model.set_look(theme)
        self.model.show_figures(self.figures, self.view.units, self.filter.text())
        place = self.model.place(chosen) if chosen else -1
        if place >= 0 and self.table.currentIndex().row() != place:
            self.table.setCurrentIndex(self.model.index(place, FIGURE))
        self._fit_columns(theme)
        told = say("figures", "shown", shown=len(self.model.rows), count=self.model.count)
        self.count.setText(told)
        self.detail.setFixedHeight(3 * self.detail.fontMetrics().lineSpacing() + 4)
        self._show_detail()

    def _fit_columns(self, theme: Look) -> None:
        """Columns only grow while figures change: they stand still under a drag."""
        self._wide = [
            max(both) for both in zip(column_widths(self.model, theme), self._wide or [0.0] * (KEY + 1), strict=True)
        ]
        self.table.verticalHeader().setDefaultSectionSize(round(theme.text * 1.7))
        self._set_columns()

    def _set_columns(self) -> None:
        if not self._wide:
            return
        room = float(self.table.viewport().width())
        for column, width in enumerate(with_names(self._wide, room, look(self.view.theme))):
            self.table.setColumnHidden(column, not width)
            if width and self.table.columnWidth(column) != int(width):
                self.table.setColumnWidth(column, int(width))

    def chosen_row(self) -> FigureRow | None:
        """The row that is chosen in the table."""
        place = self.table.currentIndex().row()
        return self.model.rows[place] if 0 <= place < len(self.model.rows) else None

    def chosen_key(self) -> str:
        """Its key; empty for none."""
        row = self.chosen_row()
        return "" if row is None else row.key

    def _show_detail(self, *_: object) -> None:
        row = self.chosen_row()
        if row is None:
            self.detail.setText("" if self.model.rows else say("figures", "none"))
            return
        go = say("figures", "go" if row.strip else "nowhere")
        self.detail.setText(f"{row.label} ({row.key}). {detail(row, self.view.units)} {go}")

    # What can be done

    def to_filter(self) -> None:
        """Type a filter."""
        self.filter.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.filter.selectAll()

    def _into_table(self) -> None:
        if self.model.rows:
            self.table.setFocus(Qt.FocusReason.TabFocusReason)
            if not self.table.currentIndex().isValid():
                self.table.setCurrentIndex(self.model.index(0, FIGURE))

    def copy(self) -> None:
        """The chosen rows to the clipboard, or all that are shown where none is chosen."""
        chosen = sorted(index.row() for index in self.table.selectionModel().selectedRows())
        places = chosen or list(range(len(self.model.rows)))
        QGuiApplication.clipboard().setText(self.model.copied(places))
        self.done.emit(say("figures", "copied", count=len(places)))

    def ask_file(self) -> Path | None:
        """Where the table shall be saved; None for nowhere.  The dialog asks before it replaces a file."""
        dialog = QFileDialog(self._widget, say("figures", "save_title"), "", say("figures", "tables"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix("csv")
        dialog.selectFile("figures.csv")
        chosen = dialog.selectedFiles() if dialog.exec() else []
        dialog.deleteLater()
        return Path(chosen[0]) if chosen else None

    def save(self) -> None:
        """The rows that are shown into a file."""
        file = self.ask_file()
        if file is None:
            return
        try:
            write_text(file, figures_csv(self.model.rows, self.view.units))
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
        else:
            self.done.emit(say("figures", "saved", file=file))

    def _go_from(self, index: QModelIndex) -> None:
        if index.isValid():
            self.go()

    def go(self) -> None:
        """To the strip or chart that draws the chosen figure."""
        row = self.chosen_row()
        if row is None:
            return
        if row.strip:
            self.page_wanted.emit(ARC_PAGE, row.strip)
        else:
            self.done.emit(say("figures", "nowhere"))
