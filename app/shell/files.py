"""The window's files: documents opened and saved, own materials, pictures, the report; asks, and tells refusals."""

from __future__ import annotations

import os
from collections.abc import Callable
from enum import Enum
from functools import partial
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.kit.look import look, theme_of
from app.kit.path_to_write import ask_replace, path_to_write
from app.kit.picture_file import ENDINGS
from app.kit.plain import visible_lines
from app.kit.read_beside import ReadBeside
from app.pages.page_picture import save_page
from app.shell.page_stack import PageStack
from app.state.settings import Settings, save_settings
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.error_words import in_short
from core.base.errors import ChiparcError
from core.base.safe_write import ABSENT, Stamp, stamp
from core.base.visible import visible
from core.base.words import say
from core.documents.materials import Catalogue, catalogue, load_materials
from core.documents.setup_document import load_text, read_setup, save_setup
from core.documents.setup_examples import EXAMPLES
from core.report.text_report import text_report
from core.setup.setup import Setup

T = TypeVar("T")

PICTURE_SIZE = QSize(1600, 1000)
"""Of pictures that are saved or copied from the window, logical pixels; the command takes any size."""


class Answer(Enum):
    """What a person says to the question at closing."""

    SAVE = "save"
    GIVE_UP = "give_up"
    CANCEL = "cancel"


class Files(QObject):
    """What the window reads and writes, over one workbench; ``parent`` is where its questions stand.

    ``original`` is the text that the setup was read from: its comments and order are kept when it is saved.
    ``ask`` puts the question at closing: it gets the words and the answers, and returns one of them; where nobody
    is there to answer, another may take its place; so with ``ask_replace``, which is asked before a file is replaced.
    ``done`` tells what was done that cannot be seen otherwise, ``failed`` that a save or a picture was not.
    """

    materials_remembered = Signal()
    done = Signal(str)
    failed = Signal(str)

    def __init__(
        self,
        parent: QWidget,
        workbench: Workbench,
        view: ViewState,
        settings: Settings,
        pages: PageStack,
        original: str | None = None,
    ) -> None:
        super().__init__(parent)
        self._parent, self.workbench, self.view, self.settings = parent, workbench, view, settings
        self.pages = pages
        workbench.read_as(original, stamp(workbench.file) if workbench.file else None)
        self.ask: Callable[[str, tuple[Answer, ...]], Answer] = self._ask
        self.ask_replace: Callable[[Path], bool] = partial(ask_replace, parent)
        self.reader = ReadBeside(self)

    def open_file(self) -> None:
        """Ask for a document and open it."""
        folder = str(self.workbench.file.parent) if self.workbench.file else ""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, say("files", "open_title"), folder, say("files", "documents")
        )
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path, then: Callable[[bool], object] | None = None) -> bool:
        """Open a document; a refusal is shown in the sentence bar and the last good state stays.

        Returns whether it is open now.  A large one is read beside the window and opened when it has been read.
        then : called, now or later, with whether it was opened.
        """
        materials = self.workbench.materials

        def read() -> tuple[Setup, str, Stamp | None]:
            mark = stamp(path)
            text = load_text(str(path))
            return read_setup(text, str(path), materials), text, mark

        def take(found: Callable[[], tuple[Setup, str, Stamp | None]]) -> bool:
            setup, text, mark = found()
            if not self._open(setup, path, text, mark):
                return False
            self.settings.used(path)
            save_settings(self.settings)
            return True

        return self._read(path, read, take, then)

    def _read(
        self,
        path: Path,
        read: Callable[[], T],
        take: Callable[[Callable[[], T]], bool],
        then: Callable[[bool], object] | None = None,
    ) -> bool:
        """Read a file and take what it holds; a refusal is told.  Returns whether it has been taken already."""
        taken = False

        def took(found: Callable[[], T]) -> None:
            nonlocal taken
            try:
                taken = take(found)
            except ChiparcError as error:
                self._refuse(error)
            if then is not None:
                then(taken)

        if not self.reader.read(path, read, took):
            self.done.emit(say("files", "reading", file=visible(path.name)))
        return taken

    def _refuse(self, error: ChiparcError) -> None:
        """Tell what was not taken, in one sentence."""
        self.workbench.refused.emit(in_short(error))

    def open_example(self, id: str) -> bool:
        """Open an example as a document of its own, not as the file that comes with the program."""
        example = next(e for e in EXAMPLES if e.id == id)
        return self._open(example.setup(), None, load_text(str(example.file)), None)

    def open_unsaved(self, setup: Setup, text: str) -> None:
        """Open what belongs to no file: it counts as changed until it is saved."""
        if self._open(setup, None, text, None):
            self.workbench.never_saved()

    def _open(self, setup: Setup, file: Path | None, text: str, mark: Stamp | None) -> bool:
        """One step of undo, which brings the page into the new cut and back to where it was."""
        self.workbench.check(setup)
        pages = (self.pages.undo_state(), self.pages.opening_state(setup))
        return self.workbench.open(setup, file, text, mark, pages)

    def save(self) -> bool:
        """Save to the document's file, or ask for one."""
        if self.workbench.file is None:
            return self.save_as()
        return self._save_to(self.workbench.file)

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        start = str(self.workbench.file or "setup.toml")
        name, _ = QFileDialog.getSaveFileName(
            self._parent, say("files", "save_title"), start, say("files", "documents")
        )
        path = path_to_write(name, ".toml", (".toml",), self.ask_replace)
        return path is not None and self._save_to(path)

    def _save_to(self, path: Path) -> bool:
        bench = self.workbench
        same = bench.file is not None and (path == bench.file or _same_file(path, bench.file))
        since = bench.document.stamp if same else stamp(path) or ABSENT
        try:
            text = save_setup(bench.setup, path, bench.document.text, since, bench.materials)
        except ChiparcError as error:
            self.failed.emit(say("files", "not_saved", file=path.name, found=error.found, allowed=error.allowed))
            return False
        bench.saved(path, text, stamp(path))
        self.settings.used(path)
        save_settings(self.settings)
        return True

    def choose_materials(self) -> None:
        """Ask for a file of own materials and use it."""
        folder = str(Path(self.settings.materials).parent) if self.settings.materials else ""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, say("files", "materials_title"), folder, say("files", "materials")
        )
        if name:
            self.take_materials(Path(name))

    def take_materials(self, path: Path) -> bool:
        """Use and remember a file of own materials; a refused one is reported and changes nothing.

        Returns whether they are used now: a large file is read beside the window first.
        """

        def take(found: Callable[[], Catalogue]) -> bool:
            if not self.workbench.take_materials(catalogue().with_own(found())):
                return False
            self._remember_materials(str(path.resolve()))
            return True

        return self._read(path, lambda: load_materials(path), take)

    def drop_materials(self) -> None:
        """The catalogue's own materials alone; refused while the setup names one of the person's."""
        try:
            self.workbench.take_materials(catalogue())
        except ChiparcError as error:
            self._refuse(error)
        else:
            self._remember_materials("")

    def _remember_materials(self, name: str) -> None:
        self.settings.materials = name
        save_settings(self.settings)
        self.materials_remembered.emit()

    def save_picture(self) -> None:
        """Save the page as a picture."""
        file = self.workbench.file
        start = str(file.with_suffix(".png")) if file else "cut.png"
        name, _ = QFileDialog.getSaveFileName(
            self._parent, say("files", "picture_title"), start, say("files", "pictures")
        )
        path = path_to_write(name, ".png", ENDINGS, self.ask_replace)
        if path is None:
            return
        try:
            page, setup, since = self.pages.current, self.workbench.resolved, stamp(path) or ABSENT
            save_page(page, setup, path, PICTURE_SIZE, theme_of(self.view.theme), unchanged_since=since)
        except ChiparcError as error:
            self.failed.emit(say("files", "no_picture", found=error.found, allowed=error.allowed))
        else:
            self.done.emit(say("files", "picture_saved", file=visible(str(path))))

    def copy_picture(self) -> None:
        """The page, as it is shown, to the clipboard as a picture."""
        image = QImage(PICTURE_SIZE, QImage.Format.Format_ARGB32_Premultiplied)
        painter = QPainter(image)
        theme = look(theme_of(self.view.theme))
        self.pages.current.paint(painter, QRectF(image.rect()), theme, self.view.units)
        painter.end()
        QGuiApplication.clipboard().setImage(image)
        self.done.emit(say("files", "picture_copied"))

    def copy_report(self) -> None:
        """The text report to the clipboard."""
        text = text_report(self.workbench.resolved, self.view.units)
        QGuiApplication.clipboard().setText(text)
        self.done.emit(say("files", "report_copied"))

    def may_close(self) -> bool:
        """Whether the window may be closed: nothing would be lost by it, or the person wants it so."""
        bench, losses = self.workbench, []
        if bench.modified:
            name = bench.file.name if bench.file else ""
            losses.append(say("files", "unsaved", name=name) if name else say("files", "unsaved_untitled"))
        if left := [file.name for file in bench.left_unsaved]:
            names = say("files", "and").join(left)
            losses.append(say("files", "left_one" if len(left) == 1 else "left_many", names=names))
        if not losses:
            return True
        answers = (Answer.SAVE, Answer.GIVE_UP, Answer.CANCEL)
        answer = self.ask("\n".join(losses), answers if bench.modified else answers[1:])
        return self.save() if answer is Answer.SAVE else answer is Answer.GIVE_UP

    def _ask(self, words: str, answers: tuple[Answer, ...]) -> Answer:
        """The question in a window of its own; Enter and Esc both leave everything as it is."""
        box = QMessageBox(self._parent)
        box.setWindowTitle("Chiparc")
        # A file's name may hold what looks like markup.
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setText(visible_lines(words))
        roles = {
            Answer.SAVE: QMessageBox.ButtonRole.AcceptRole,
            Answer.GIVE_UP: QMessageBox.ButtonRole.DestructiveRole,
            Answer.CANCEL: QMessageBox.ButtonRole.RejectRole,
        }
        buttons = {answer: box.addButton(say("files", answer.value), roles[answer]) for answer in answers}
        box.setDefaultButton(buttons[Answer.CANCEL])
        box.setEscapeButton(buttons[Answer.CANCEL])
        box.exec()
        clicked = box.clickedButton()
        box.deleteLater()
        return next((answer for answer, button in buttons.items() if button is clicked), Answer.CANCEL)


def _same_file(one: Path, other: Path) -> bool:
    try:
        return os.path.samefile(one, other)
    except (OSError, ValueError):
        return False
