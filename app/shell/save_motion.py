"""Saves the motion of a tooth from the window: as a page for a browser, or as a film, made beside the window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.kit.look import theme_of
from app.kit.path_to_write import ask_path, path_to_write
from app.pages.film import ENCODER, KINDS, Film, encoder
from app.pages.lesson.motion_html import motion_html
from app.pages.page import Page
from app.shell.files import PICTURE_SIZE, Files
from app.shell.notice_bar import Notice, NoticeBar
from app.shell.page_stack import PageStack
from app.state.error_log import refusal_words
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.safe_write import ABSENT, stamp, write_text
from core.base.visible import visible
from core.base.words import say

NOTICE = "film"


def encoder_missing() -> bool:
    """Whether there is no program here that writes films."""
    try:
        encoder()
    except ChiparcError:
        return True
    return False


class SaveMotion(QObject):
    """``done`` tells what was saved, ``failed`` what was not and why; a film under way stands in the notices."""

    done = Signal(str)
    failed = Signal(str)

    def __init__(
        self,
        parent: QWidget,
        workbench: Workbench,
        view: ViewState,
        pages: PageStack,
        files: Files,
        notices: NoticeBar,
    ) -> None:
        """parent : where its questions stand; files : asks whether a file may be replaced."""
        super().__init__(parent)
        self._parent, self._workbench, self._view = parent, workbench, view
        self._pages, self._files, self._notices = pages, files, notices
        self._page: Page | None = None
        self.film: Film | None = None
        self._out = Path()

    def film_word(self) -> str:
        """The menu entry of films: where there is no encoder it says so."""
        return say("motion_file", "film_missing", name=ENCODER) if encoder_missing() else say("motion_file", "film")

    def film_hint(self) -> str:
        """What films are, or what to do to have them."""
        if encoder_missing():
            return say("motion_file", "film_missing_hint", name=ENCODER)
        return say("motion_file", "film_hint")

    def ask_page(self) -> None:
        """Ask for a name and write the page that plays."""
        word = say("motion_file", "page")
        if out := ask_path(self._parent, word, self._usual(".html"), say("motion_file", "page_kinds"), ".html"):
            self.save_page(out)

    def save_page(self, out: Path) -> None:
        """The motion as one file for a browser."""
        try:
            write_text(out, motion_html(self._workbench.resolved, self._view.units))
        except ChiparcError as error:
            self._tell_failure(error)
        else:
            self.done.emit(say("motion_file", "saved", file=visible(str(out))))

    def ask_film(self) -> None:
        """Ask for a name and begin a film; where there is no encoder, say what is missing."""
        if self.film is not None:
            self.failed.emit(say("motion_file", "busy"))
            return
        if encoder_missing():
            self.failed.emit(self.film_hint())
            return
        kinds = ";;".join(say("motion_file", kind.removeprefix(".")) for kind in KINDS)
        name, chosen = QFileDialog.getSaveFileName(
            self._parent, say("motion_file", "film"), self._usual(KINDS[0]), kinds
        )
        ending = next((kind for kind in KINDS if f"*{kind}" in chosen), KINDS[0])
        if (out := path_to_write(name, ending, KINDS, self._files.ask_replace)) is not None:
            self.save_film(out)

    def save_film(self, out: Path) -> None:
        """Begin a film of the cut as it is now, looked at as the window looks at it now."""
        self._out, self._page = out, self._page_as_shown()
        try:
            self.film = Film(
                self._page,
                out,
                PICTURE_SIZE,
                theme_of(self._view.theme),
                self._view.units,
                where=out.name,
                unchanged_since=stamp(out) or ABSENT,
                parent=self,
            )
        except ChiparcError as error:
            self._put_away()
            self._tell_failure(error)
            return
        self.film.went.connect(self._went)
        self.film.done.connect(self._made)
        self.film.failed.connect(self._not_made)
        self.film.start()

    def give_up(self) -> None:
        """End a film under way: no file is written, an old one stays."""
        if self.film is not None:
            self.film.give_up()
            self._put_away()
            self.done.emit(say("motion_file", "given_up", file=visible(self._out.name)))

    def _usual(self, ending: str) -> str:
        file = self._workbench.file
        return str(file.with_suffix(ending)) if file else f"motion{ending}"

    def _page_as_shown(self) -> Page:
        """The main page with a bench and a view of its own: what is done in the window meanwhile is not filmed."""
        view = ViewState()
        view.units, view.pair, view.shown = self._view.units, self._view.pair, self._view.shown
        bench, kind = Workbench(self._workbench.setup, materials=self._workbench.materials), self._pages.kinds[0]
        page = kind(bench, view)
        page.restore_state(dict(self._pages.states().get(kind.id, {})))
        page.show(bench.resolved)
        return page

    def _went(self, painted: int, count: int) -> None:
        id = "under_way" if painted < count else "finishing"
        text = say("motion_file", id, file=visible(self._out.name), painted=painted, count=count, name=ENCODER)
        self._notices.tell(Notice(NOTICE, text, ((say("motion_file", "give_up"), self.give_up),)), first=True)

    def _made(self) -> None:
        self._put_away()
        self.done.emit(say("motion_file", "saved", file=visible(str(self._out))))

    def _not_made(self, error: object) -> None:
        self._put_away()
        self._tell_failure(error)

    def _tell_failure(self, error: object) -> None:
        self.failed.emit(say("motion_file", "not_saved", reason=refusal_words(error)))

    def _put_away(self) -> None:
        self._notices.drop(NOTICE)
        if self.film is not None:
            self.film.deleteLater()
            self.film = None
        if self._page is not None:
            self._page.left()
            self._page.deleteLater()
            self._page = None
