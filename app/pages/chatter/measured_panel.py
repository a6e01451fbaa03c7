"""The side panel of a measured response: a file is opened, read and fitted beside the window, its modes are taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QComboBox, QFileDialog, QGridLayout, QLineEdit, QPushButton, QWidget

from app.kit.bare_layouts import bare_column
from app.kit.jobs import Jobs
from app.kit.look import look
from app.kit.plain import plain_hint, plain_label
from app.pages.chatter.measured_view import paint_measured
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.file_bytes import load_bytes
from core.base.words import say
from core.chatter.frequency_response import UNITS
from core.chatter.measured_file import Measured, Reading, read_measured, with_blocks
from core.chatter.tap_record import LARGEST
from core.report.measured_words import mode_words, response_words

AXES = ("x", "y", "xy")


class MeasuredView(QWidget):
    """The charts of a measurement, or what to do."""

    def __init__(self, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.measured: Measured | None = None
        self.words = say("measured", "nothing")
        self.setMinimumSize(300, 140)
        self.setAccessibleName(say("measured", "name"))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Charts or words."""
        painter, theme = QPainter(self), look(self._view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        if self.measured is not None:
            paint_measured(painter, QRectF(self.rect()).adjusted(0, 4, 0, 0), self.measured, theme)
        else:
            painter.setFont(theme.font("text"))
            painter.setPen(theme.color("ink"))
            flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
            painter.drawText(QRectF(self.rect()).adjusted(24, 0, -24, 0), flags, self.words)
        painter.end()


class MeasuredPanel(QWidget):
    """File, how it is read, its charts and modes.  ``said`` tells what was done, ``refused`` what could not be."""

    said = Signal(str)
    refused = Signal(str)

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.jobs = Jobs(self)
        self.file: Path | None = None
        self.charts = MeasuredView(view)
        self.modes = plain_label()
        self.modes.setWordWrap(True)
        self.modes.setMargin(8)
        self.modes.setObjectName("soft")
        self.unit = self._choice([say("measured", "unit_head"), *("m/N", "mm/N", "um/N")])
        self.phase = self._choice([say("measured", "phase_head"), "deg", "rad"])
        self.axis = self._choice([say("measured", f"axis_{axis}") for axis in AXES])
        self.axis.setToolTip(plain_hint(say("measured", "axis_hint")))
        self.force = self._scale("force_scale")
        self.acceleration = self._scale("acceleration_scale")
        self.open_button = QPushButton(say("measured", "open"))
        self.open_button.clicked.connect(self.open)
        self.take_button = QPushButton(say("measured", "take"))
        self.take_button.setToolTip(plain_hint(say("measured", "take_hint")))
        self.take_button.clicked.connect(self.take)
        grid = QGridLayout()
        grid.setContentsMargins(10, 6, 10, 2)
        grid.setSpacing(6)
        for place, widget in enumerate(
            (self.open_button, self.unit, self.phase, self.force, self.acceleration, self.axis, self.take_button)
        ):
            grid.addWidget(widget, place // 3, place % 3)
        layout = bare_column(self, 0)
        layout.addLayout(grid)
        layout.addWidget(self.charts, 1)
        layout.addWidget(self.modes)
        self.jobs.came.connect(self._came)
        self.jobs.failed.connect(self._failed)
        for box in (self.unit, self.phase):
            box.activated.connect(self._again)
        for field in (self.force, self.acceleration):
            field.editingFinished.connect(self._again)
        self._show(None)

    def _choice(self, words: list[str]) -> QComboBox:
        box = QComboBox()
        box.addItems(words)
        box.setMinimumWidth(60)
        return box

    def _scale(self, word: str) -> QLineEdit:
        field = QLineEdit()
        field.setPlaceholderText(say("measured", word))
        field.setToolTip(plain_hint(say("measured", "scale_hint")))
        field.setAccessibleName(say("measured", word))
        field.setMinimumWidth(60)
        return field

    def reading(self) -> Reading:
        """How the file is to be read, as it is chosen now.  Raises ChiparcError for a scale that is no number."""
        units = (None, *UNITS)
        return Reading(
            unit=units[self.unit.currentIndex()],
            phase_unit=(None, "deg", "rad")[self.phase.currentIndex()],
            force_scale=self._number(self.force),
            acceleration_scale=self._number(self.acceleration),
        )

    def _number(self, field: QLineEdit) -> float | None:
        text = field.text().strip().replace(",", ".")
        if not text:
            return None
        try:
            return float(text)
        except ValueError:
            raise ChiparcError(
                field.accessibleName(), say("refusal", "found_text", text=text), say("measured", "number")
            ) from None

    def open(self) -> None:
        """Ask for a file and read it."""
        name, _ = QFileDialog.getOpenFileName(self, say("measured", "open_title"), "", say("measured", "files"))
        if name:
            self.open_path(Path(name))

    def open_path(self, file: Path) -> None:
        """Read and fit a file beside the window; what is wrong with it is refused in words."""
        self.file = file
        try:
            reading = self.reading()
        except ChiparcError as error:
            self._failed(error)
            return
        self._show(None)
        self.charts.words = say("measured", "working", file=file.name)
        self.jobs.ask(lambda: read_and_fit(file, reading))

    def _again(self) -> None:
        if self.file is not None:
            self.open_path(self.file)

    def _came(self, measured: object) -> None:
        assert isinstance(measured, Measured)
        self._show(measured)

    def _failed(self, error: object) -> None:
        self._show(None)
        self.charts.words = str(error)
        self.refused.emit(str(error))

    def _show(self, measured: Measured | None) -> None:
        self.charts.measured = measured
        self.charts.words = say("measured", "nothing")
        self.take_button.setEnabled(measured is not None)
        self.modes.setVisible(measured is not None)
        if measured is not None:
            modes = (mode_words(mode) for mode in measured.fit.modes)
            self.modes.setText("\n".join([response_words(measured), *modes]))
        self.charts.update()

    def take(self) -> None:
        """The fitted modes into the setup, as one step of undo."""
        measured = self.charts.measured
        if measured is None:
            return
        setup = self._workbench.setup
        blocks = with_blocks(setup.dynamics, measured.fit, AXES[self.axis.currentIndex()])
        if self._workbench.propose(replace(setup, dynamics=blocks), StepName("measured", "taken")):
            self.said.emit(say("measured", "done", count=len(measured.fit.modes), file=measured.name))

    def rest(self) -> None:
        """Nobody looks."""
        self.jobs.stop()


def read_and_fit(file: Path, reading: Reading) -> Iterator[Measured]:
    """The measurement in a file.  Raises ChiparcError for what cannot be read."""
    yield read_measured(load_bytes(str(file), LARGEST), file.name, reading)
