"""The window's files: documents opened and saved, own materials, pictures, the report; asks, and tells refusals."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, QSize, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.picture import PictureOptions, save_picture
from app.settings import Settings, save_settings
from app.view_state import ViewState
from app.workbench import Workbench
from core.errors import ChiparcError
from core.materials import catalogue, load_materials
from core.safe_write import stamp
from core.setup_document import load_text, read_setup, save_setup
from core.setup_examples import EXAMPLES
from core.text_report import text_report

DOCUMENTS = "Setup documents (*.toml)"
MATERIALS = "Materials files (*.toml)"
PICTURES = "Pictures (*.png *.svg *.pdf)"


class Files(QObject):
    """What the window reads and writes, over one workbench; ``parent`` is where its questions stand.

    ``original`` is the text that the setup was read from: its comments and order are kept when it is saved.
    """

    materials_remembered = Signal()

    def __init__(
        self, parent: QWidget, workbench: Workbench, view: ViewState, settings: Settings, original: str | None = None
    ) -> None:
        super().__init__(parent)
        self._parent, self.workbench, self.view, self.settings = parent, workbench, view, settings
        self._original = original
        self._stamp = stamp(workbench.file) if workbench.file else None

    def open_file(self) -> None:
        """Ask for a document and open it."""
        if not self.may_leave():
            return
        folder = str(self.workbench.file.parent) if self.workbench.file else ""
        name, _ = QFileDialog.getOpenFileName(self._parent, "Open a setup", folder, DOCUMENTS)
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path) -> bool:
        """Open a document; a refused one is told in the sentence bar and the last good state stays."""
        try:
            mark = stamp(path)
            text = load_text(str(path))
            self.workbench.open(read_setup(text, str(path), self.workbench.materials), path)
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
            return False
        self._original, self._stamp = text, mark
        self.settings.used(path)
        save_settings(self.settings)
        return True

    def open_example(self, id: str) -> None:
        """Open an example as a document of its own, not as the file that comes with the program."""
        example = next(e for e in EXAMPLES if e.id == id)
        self.workbench.open(example.setup(), None)
        self._original, self._stamp = load_text(str(example.file)), None

    def save(self) -> bool:
        """Save to the document's file, or ask for one."""
        if self.workbench.file is None:
            return self.save_as()
        return self._save_to(self.workbench.file)

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        name, _ = QFileDialog.getSaveFileName(self._parent, "Save the setup", "setup.toml", DOCUMENTS)
        if not name:
            return False
        path = Path(name)
        return self._save_to(path if path.suffix else path.with_suffix(".toml"))

    def _save_to(self, path: Path) -> bool:
        bench = self.workbench
        since = self._stamp if path == bench.file else None
        try:
            self._original = save_setup(bench.setup, path, self._original, since, bench.materials)
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
            return False
        self._stamp = stamp(path)
        self.workbench.saved(path)
        self.settings.used(path)
        save_settings(self.settings)
        return True

    def choose_materials(self) -> None:
        """Ask for a file of own materials and use it."""
        folder = str(Path(self.settings.materials).parent) if self.settings.materials else ""
        name, _ = QFileDialog.getOpenFileName(self._parent, "Use your own materials", folder, MATERIALS)
        if name:
            self.take_materials(Path(name))

    def take_materials(self, path: Path) -> bool:
        """Use and remember a file of own materials; a refused one is told and changes nothing."""
        try:
            self.workbench.take_materials(catalogue().with_own(load_materials(path)))
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
            return False
        self._remember_materials(str(path.resolve()))
        return True

    def drop_materials(self) -> None:
        """The catalogue's own materials alone; refused while the setup names one of the person's."""
        try:
            self.workbench.take_materials(catalogue())
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
        else:
            self._remember_materials("")

    def _remember_materials(self, name: str) -> None:
        self.settings.materials = name
        save_settings(self.settings)
        self.materials_remembered.emit()

    def save_picture(self) -> None:
        """Save the page as a picture."""
        name, _ = QFileDialog.getSaveFileName(self._parent, "Save a picture of the page", "cut.png", PICTURES)
        if not name:
            return
        path = Path(name) if Path(name).suffix else Path(name).with_suffix(".png")
        view = self.view
        options = PictureOptions(view.theme, view.units, view.pair, view.angle_deg, view.strips, view.charts)  # type: ignore[arg-type]
        try:
            save_picture(self.workbench.results, path, QSize(1600, 1000), options)
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))

    def copy_report(self) -> None:
        """The text report to the clipboard."""
        text = text_report(self.workbench.results.setup, self.view.units)  # type: ignore[arg-type]
        QGuiApplication.clipboard().setText(text)

    def may_leave(self) -> bool:
        """Whether the document may be left: saved, or its changes given up by the person."""
        if not self.workbench.modified or self.workbench.file is None:
            # An example that was played with is not somebody's work to be asked about.
            return True
        buttons = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self._parent,
            "Chiparc",
            f"{self.workbench.file.name} has changes that are not saved.",
            buttons.Save | buttons.Discard | buttons.Cancel,
        )
        if answer == buttons.Save:
            return self.save()
        return answer == buttons.Discard
