"""The main window: menus, header, the page.  It wires things together and decides nothing about milling."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAction,
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QHideEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLineEdit,
    QMainWindow,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import delete, isValid

from app.controls.hand_rail import HandRail
from app.controls.sentence_bar import SentenceBar
from app.kit.look import at_hand, look, theme_of, themed
from app.kit.plain import button_text, plain_hint
from app.kit.quiet_buttons import quiet_buttons
from app.pages.page import Action, Page
from app.pages.page_list import PAGES
from app.shell.actions import WALK_KEYS, shell_actions
from app.shell.again_in import again_in
from app.shell.files import Files
from app.shell.full_screen import FullScreen
from app.shell.gallery import GalleryDialog
from app.shell.header import Header
from app.shell.help import HelpDialog
from app.shell.menus import Menus
from app.shell.notice_bar import NoticeBar
from app.shell.opened_view import OpenedView
from app.shell.page_stack import PageStack
from app.shell.presenting import Presenting
from app.shell.recent_menu import RecentMenu
from app.shell.save_motion import SaveMotion
from app.shell.story_line import StoryLine
from app.shell.style import palette, style_sheet
from app.shell.unsaved import Unsaved
from app.state.error_log import failure_words
from app.state.settings import Settings, load_settings, save_settings
from app.state.step_name import DIRECTION
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.language import language
from core.base.visible import visible
from core.base.words import say
from core.setup.direction_change import with_direction

LONGEST_ENTRY = 80
"""Characters of a menu entry that names a document."""


class Ground(QWidget):
    """What holds header, page, sentence and hand-rail; a click on nothing leaves the field that was typed in."""

    empty_clicked = Signal()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """What nothing in it wanted."""
        super().mousePressEvent(event)
        self.empty_clicked.emit()


class MainWindow(QMainWindow):
    """The window over one workbench and one view state.

    ``replaced`` carries the window that has taken its place, in another language.
    """

    replaced = Signal(object)

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        settings: Settings | None = None,
        *,
        original: str | None = None,
        pages: tuple[type[Page], ...] = PAGES,
    ) -> None:
        super().__init__()
        self.workbench, self.view = workbench, view
        self._ending = self._on_a_screen = False
        self.successor: MainWindow | None = None
        self._key_for: QWidget | None = None
        self.settings = settings or load_settings()
        self.pages = PageStack(pages, workbench, view, self.settings.pages)
        self.files = Files(self, workbench, view, self.settings, self.pages, original)
        self.header = Header(workbench, view, pages)
        self.sentence = SentenceBar(workbench, view, self.page)
        self.hand_rail = HandRail(workbench, view)
        self.story = StoryLine(workbench, view)
        self.opened_view = OpenedView(workbench, view, self.pages, self.turn_to, self)
        self.notices = NoticeBar()
        self.motion_files = SaveMotion(self, workbench, view, self.pages, self.files, self.notices)
        self.unsaved = Unsaved(self, workbench, self.files, self.notices)
        self.presenting = Presenting(self, workbench, view, self.files)
        self._bars: dict[str, QWidget] = {}
        inside = Ground()
        inside.empty_clicked.connect(self._leave_field)
        inside.setObjectName("page")
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(8, 6, 8, 8)
        layout.setSpacing(6)
        layout.addWidget(self.header)
        layout.addWidget(self.story)
        layout.addWidget(self.notices)
        layout.addWidget(self.pages, 1)
        layout.addWidget(self.sentence)
        layout.addWidget(self.hand_rail)
        self.setCentralWidget(inside)
        bars = (self.menuBar(), self.header)
        self.full_screen = FullScreen(self, inside, self.pages, bars, (self.hand_rail,), self.sentence)
        self.setAcceptDrops(True)
        self._shell_actions = shell_actions(self)
        self.menus = Menus(self, self._shell_actions)
        self.recent = RecentMenu(self.settings, self.files.open_path, self)
        self.menus.menus["File"].insertMenu(self.menus.by_id["choose_materials"], self.recent)
        self.full_screen.changed.connect(self.offer_walk)
        self.presenting.told.connect(self.sentence.show_done)
        self._page_actions: tuple[Action, ...] = ()
        self._page_keys(pages)
        self.header.gallery.clicked.connect(self.show_gallery)
        self.header.theme.clicked.connect(self.menus.by_id["next_theme"].trigger)
        self.header.help.clicked.connect(self.show_help)
        self.header.page_wanted.connect(self.turn_to)
        self.pages.turned.connect(self._show_page)
        workbench.undo_changed.connect(self._show_undo)
        workbench.file_changed.connect(self._show_file)
        workbench.setup_changed.connect(self._show_file)
        workbench.materials_changed.connect(self._show_materials)
        self.files.materials_remembered.connect(self._show_materials)
        view.changed.connect(self._view_changed)
        for saver in (self.files, self.motion_files):
            saver.done.connect(self.sentence.show_done)
            saver.failed.connect(self.sentence.show_failed)
        self.menus.menus["File"].aboutToShow.connect(self._show_film)
        self._dress()
        self._show_page(self.page)
        self._show_undo()
        self._show_file()
        self._show_materials()
        quiet_buttons(self)
        self.page.widget().setFocus(Qt.FocusReason.OtherFocusReason)

    def __del__(self) -> None:
        """A window that is dropped without being closed: Qt destroys it from the event loop.

        Its parts refer to one another, so that the collector finds it, at any moment; were it destroyed then, that
        could be within the paint of another window, which does not survive it.  The timer keeps it until no paint is
        on.
        """
        application = QApplication.instance()
        if application is not None and isValid(self):
            QTimer.singleShot(0, application, partial(_destroy, self))

    @property
    def page(self) -> Page:
        """The page on top."""
        return self.pages.current

    def sizeHint(self) -> QSize:
        """Most of a common screen."""
        return QSize(1360, 860)

    def _leave_field(self) -> None:
        if isinstance(QApplication.focusWidget(), QLineEdit):
            self.page.widget().setFocus(Qt.FocusReason.MouseFocusReason)

    # Pages

    def _page_keys(self, pages: tuple[type[Page], ...]) -> None:
        """Each page's key brings it on top, where there are two."""
        for page in pages if len(pages) > 1 else ():
            # For the help; what is done is connected below, by the id that the menu entry carries.
            told = Action(
                f"page_{page.id}",
                "View",
                page.title(),
                None,
                (page.key,),
                hint=say("window", "page_hint", title=page.title()),
            )
            self._page_actions = (*self._page_actions, told)
            action = QAction(page.title(), self)
            action.setShortcut(QKeySequence(page.key))
            action.setData(page.id)
            action.triggered.connect(self._turn_to_sender)
            self.menus.menus["View"].insertAction(self.menus.by_id["pair"], action)
            self.addAction(action)

    def _turn_to_sender(self) -> None:
        sender = self.sender()
        if isinstance(sender, QAction):
            self.turn_to(str(sender.data()))

    def all_actions(self) -> tuple[Action, ...]:
        """Every command that can be given now: the shell's, those of the page on top, and to turn to a page."""
        return (*self._shell_actions, *self.page.actions(), *self._page_actions)

    def turn_to(self, id: str) -> None:
        """Bring a page on top; one that fails leaves the one before there, with a sentence."""
        try:
            self.pages.turn_to(id)
        except Exception as error:  # A page may fail in any way; the window goes on.
            self.workbench.refused.emit(failure_words(error))
            self.header.show_page(self.page, self.menus.groups)
        else:
            # Else the focus falls on whatever comes first there, such as a field that takes the letters of commands.
            self.page.widget().setFocus(Qt.FocusReason.OtherFocusReason)

    def go_on(self) -> None:
        """Bring on top the page that has something under way that was cut short, if there is one."""
        for kind in self.pages.kinds:
            if kind.was_cut_short():
                return self.turn_to(kind.id)

    def show_on_page(self, id: str, what: object) -> None:
        """Turn to another page and to what the one before has pointed to."""
        self.turn_to(id)
        if self.page.id == id:
            self.page.look_at(what)

    def give_command(self, id: str) -> None:
        """A command of the window that a page offers in a place of its own."""
        self.menus.by_id[id].trigger()

    def _say_again(self) -> None:
        """The page on top has another sentence on the same setup."""
        if self.sender() is self.page:
            self.sentence.show_setup(self.workbench.resolved)
            self.full_screen.want_below(self.page.wants_hand_rail())

    def _show_page(self, page: Page) -> None:
        """Menus, header, hand-rail and sentence follow the page on top."""
        self.menus.show_page(page)
        self.header.show_page(page, self.menus.groups)
        page.switched.connect(self._switched, Qt.ConnectionType.UniqueConnection)
        page.page_wanted.connect(self.show_on_page, Qt.ConnectionType.UniqueConnection)
        page.done.connect(self.sentence.show_done, Qt.ConnectionType.UniqueConnection)
        page.command_wanted.connect(self.give_command, Qt.ConnectionType.UniqueConnection)
        page.said.connect(self._say_again, Qt.ConnectionType.UniqueConnection)
        if page.id not in self._bars and (bar := page.bar()) is not None:
            self._bars[page.id] = bar
            self.hand_rail.row.addWidget(bar)
        self.offer_walk()
        for id, bar in self._bars.items():
            bar.setVisible(id == page.id)
        self.full_screen.want_below(page.wants_hand_rail())
        self.sentence.speaker = page
        self.sentence.show_setup(self.workbench.resolved)
        quiet_buttons(self)

    def _switched(self) -> None:
        self.menus.refresh()
        self.header.refresh()
        # What was opened or closed needs another height.
        self.sentence.refit()

    # What is shown

    def _dress(self) -> None:
        theme = look(self.view.theme)
        # The application's palette: widgets under a style sheet do not inherit that of the window.
        QApplication.setPalette(palette(theme))
        self.setStyleSheet(style_sheet(theme, at_hand(self.view.theme)))

    def _view_changed(self, name: str) -> None:
        if name == "theme":
            self._dress()
        self.menus.refresh()
        self.settings.units = self.view.units
        self.settings.reduced_motion = self.view.reduced_motion

    def choose_theme(self, theme: str) -> None:
        """A theme by the person's own choice, which is remembered."""
        self.settings.theme = theme
        self.view.set("theme", themed(theme, self.screen().size().height()))

    def fit_theme(self, _: object = None) -> None:
        """The theme for the screen that the window is on: the projector's type goes by its height."""
        self.view.set("theme", themed(theme_of(self.view.theme), self.screen().size().height()))

    def _show_undo(self) -> None:
        bench = self.workbench
        for method, name in (("undo", bench.undo_name), ("redo", bench.redo_name)):
            action = self.menus.by_id[method]
            if action.data() == name:
                # The same step goes on growing in a drag.
                continue
            title = say("action", f"{method}_step", name=name) if name else say("action", method)
            action.setData(name)
            action.setText(button_text(title, LONGEST_ENTRY))
            action.setToolTip(plain_hint(title))
            action.setEnabled(bool(name))

    def _show_file(self, _: object = None) -> None:
        bench = self.workbench
        name = bench.setup.title or (bench.file.name if bench.file else say("window", "untitled"))
        # Qt puts the mark of changes where [*] stands; doubled, it is text.
        title = f"{visible(name).replace('[*]', '[*][*]')}[*] – Chiparc"
        if self.windowTitle() != title:
            self.setWindowTitle(title)
        if self.isWindowModified() != bench.modified:
            self.setWindowModified(bench.modified)

    def _show_film(self) -> None:
        """An encoder may have come meanwhile, or gone."""
        entry = self.menus.by_id["save_film"]
        entry.setText(self.motion_files.film_word())
        entry.setStatusTip(self.motion_files.film_hint())

    def _show_materials(self, _: object = None) -> None:
        own = bool(self.workbench.materials.own or self.settings.materials)
        self.menus.by_id["drop_materials"].setEnabled(own)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Take what is being typed, ask about unsaved changes, remember settings."""
        if self._ending:
            # What is not saved stays kept, and is offered at the next start.
            self.pages.leave()
            self.motion_files.give_up()
            event.accept()
            return
        self._leave_field()
        if self.files.may_close():
            self.pages.leave()
            own = self.opened_view.own_view()
            self.settings.pages = own.pages
            # The answers of "which way" are asked for anew each time.
            self.settings.hidden = [name for name in own.shown.hidden if name != "verdict"]
            save_settings(self.settings)
            self.files.reader.drop()
            self.motion_files.give_up()
            self.unsaved.close()
            event.accept()
        else:
            event.ignore()

    def end_session(self) -> None:
        """The system ends the session: keep what is not saved, and go without a question."""
        self.unsaved.keep_now()
        self._ending = True
        self.close()
        QApplication.exit(0)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing moves that nobody sees."""
        self.pages.leave()
        super().hideEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        """Seen again: the page shows what has changed meanwhile."""
        handle = self.windowHandle()
        if handle is not None and not self._on_a_screen:
            self._on_a_screen = True
            handle.screenChanged.connect(self.fit_theme)
        self.pages.show_setup(self.workbench.resolved)
        super().showEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A document may be dropped on the window: it is read, never moved, whatever the other side proposes."""
        if event.mimeData().hasUrls():
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the dropped document."""
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            self.files.open_path(paths[0])

    # Commands

    def flip(self) -> None:
        """Climb for conventional and back; a straddling cut mirrors its offset."""
        setup = self.workbench.setup
        after = setup.opposite if setup.opposite != setup else with_direction(setup, "climb")
        self.workbench.propose(after, DIRECTION)

    def offer_walk(self) -> None:
        """The keys of the walk, in full screen or with a list; else they scroll, as they do where a page has them."""
        own = {key for action in self.page.actions() for key in action.keys}
        wanted = self.full_screen.on or self.presenting.listed
        for name, keys in WALK_KEYS.items():
            self.menus.by_id[f"walk_{name}"].setEnabled(wanted and own.isdisjoint(keys))

    def event(self, event: QEvent) -> bool:
        """Space is pressed on the button that the Tab key went to: there it is no command, such as play."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            # It comes before the key itself, which may move the focus: Enter in a field that then goes is no press.
            self._key_for = QApplication.focusWidget()
            plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
            if plain and event.key() == Qt.Key.Key_Space and isinstance(QApplication.focusWidget(), QAbstractButton):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, where nothing else wants it, presses the button with the focus; Esc then ends full screen."""
        button, self._key_for = self._key_for, None
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and isinstance(button, QAbstractButton) and button == QApplication.focusWidget():
            button.click()
            return
        if event.key() != Qt.Key.Key_Escape or not self.full_screen.leave():
            super().keyPressEvent(event)

    def change_language(self, id: str) -> None:
        """Say everything in another language from now on, and remember it."""
        self.settings.language = id
        save_settings(self.settings)
        if id != language():
            # Not from within the menu that was clicked: it goes with this window.
            QTimer.singleShot(0, self, partial(self._give_way, id))

    def _give_way(self, id: str) -> None:
        """A window built anew takes the place of this one."""
        if self.successor is None:
            self.successor = again_in(self, id)
            self.replaced.emit(self.successor)

    def retire(self) -> None:
        """Another window has taken over all that this one held: go without a question."""
        self._ending = True
        self.unsaved.close()
        self.files.reader.drop()
        self.close()
        self.deleteLater()

    def show_gallery(self) -> None:
        """Choose an example."""
        dialog = GalleryDialog(theme_of(self.view.theme), self)
        if dialog.exec() and dialog.chosen:
            self.files.open_example(dialog.chosen)

    def show_help(self) -> None:
        """Keys and terms."""
        HelpDialog(self.all_actions(), self).exec()


def _destroy(window: MainWindow) -> None:
    if isValid(window):
        delete(window)
