"""The header: whose cut this is, and the switches of the view."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QLineEdit, QMenu, QToolButton, QWidget

from app.kit.debounce import once_after
from app.kit.look import theme_of
from app.kit.plain import plain_hint
from app.pages.page import Page
from app.shell.actions import key_words
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.glossary import explained
from core.base.visible import visible
from core.base.words import say
from core.documents.setup_reading import check_title
from core.report.cutter_line import cutter_line

LEAST_LETTERS = 16
"""Letters of the title, or all if it has fewer, that are read beside all pages; else the pages stand in one list."""

AFTER_WORDS = 10
"""Pixels between the words of the header and its switches."""


class Elided(QLabel):
    """A label that shortens its text with dots where there is no room; ``all_or_nothing`` leaves it out."""

    def __init__(self, *, all_or_nothing: bool = False) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self._whole, self._more = "", ""
        self._all_or_nothing = all_or_nothing
        self.setMinimumWidth(0 if all_or_nothing else 40)

    def show_text(self, text: str, more: str = "") -> None:
        """The whole text; also what a hint and a screen reader get, with ``more`` under it."""
        text, more = visible(text), visible(more)
        if (text, more) == (self._whole, self._more):
            return
        self._whole, self._more = text, more
        self.setToolTip(plain_hint(f"{text}\n{more}" if more else text))
        self.setAccessibleName(text)
        self.setAccessibleDescription(more)
        self.updateGeometry()
        self._elide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, another place for the dots."""
        super().resizeEvent(event)
        self._elide()

    def _elide(self) -> None:
        short = self.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width())
        if self._all_or_nothing and short != self._whole:
            short = ""
        if short != self.text():
            self.setText(short)

    def sizeHint(self) -> QSize:
        """Room for the whole text, if there is."""
        return QSize(self.fontMetrics().horizontalAdvance(self._whole) + 6, super().sizeHint().height())


class Title(Elided):
    """The title; a click asks for its field."""

    clicked = Signal()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click on the title."""
        super().mouseReleaseEvent(event)
        if event.button() == Qt.MouseButton.LeftButton:
            self.clicked.emit()


class TitleField(QLineEdit):
    """Where the title is typed; Esc and leaving give up what was typed, Enter takes it."""

    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc gives up."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Who goes elsewhere has not pressed Enter."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.left.emit()


class Header(QWidget):
    """The pages and the title on the left, switches on the right: the shell's own and those of the page on top.

    ``page_wanted`` carries the id of a page that was clicked.  The row of pages is shown only where there are two.
    """

    page_wanted = Signal(str)

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        pages: tuple[type[Page], ...] = (),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.title, self.about, self.title_field = Title(), Elided(all_or_nothing=True), TitleField()
        self.title.setCursor(Qt.CursorShape.IBeamCursor)
        self.title_field.setAccessibleName(say("window", "title_field"))
        self.title_field.hide()
        self.title.clicked.connect(self.edit_title)
        self.title_field.returnPressed.connect(self._take_title)
        self.title_field.left.connect(self._leave_title)
        self.title.setObjectName("title")
        self.about.setObjectName("soft")
        # It gives way to the pages: a least width of its own, or else a label asks for its whole text.
        self.about.setMinimumWidth(1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(4, 0, 4, 0)
        layout.setSpacing(6)
        self._refit = once_after(self, 0, self._fit)
        self.page_row = QWidget()
        self.page_buttons = self._page_row(pages, self.page_row)
        # In its place where there is no room for all of them side by side.
        self.page_menu = self._pages_in_one(pages)
        layout.addWidget(self.page_row)
        layout.addWidget(self.page_menu)
        layout.addWidget(self.title)
        layout.addWidget(self.title_field)
        layout.addWidget(self.about)
        layout.addSpacing(AFTER_WORDS)
        layout.addStretch(1)
        self.gallery = self._button(say("window", "examples"), say("window", "examples_hint"))
        self.groups: dict[str, QToolButton] = {}
        self.pair = self._button(say("action", "pair"), explained("pair") + " (P)", checkable=True)
        self.toggles: dict[str, QToolButton] = {}
        self._page: Page | None = None
        self.metric_button = self._button("mm", say("window", "metric"), checkable=True)
        self.inch_button = self._button("in", say("window", "inch"), checkable=True)
        self.theme = self._button(say("window", "light"), say("window", "theme_hint"))
        self.help = self._button("?", say("window", "help_hint"))
        self.pair.clicked.connect(self._set_pair)
        self.metric_button.clicked.connect(self._set_metric)
        self.inch_button.clicked.connect(self._set_inch)
        self._shown_cut: tuple[object, ...] = ()
        workbench.setup_changed.connect(self._show_cut)
        workbench.file_changed.connect(self._show_cut)
        view.changed.connect(self._show)
        self._show()

    def _page_row(self, pages: tuple[type[Page], ...], row: QWidget) -> dict[str, QToolButton]:
        """A button for each page, where there are two or more."""
        buttons: dict[str, QToolButton] = {}
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 8, 0)
        layout.setSpacing(6)
        row.setVisible(len(pages) > 1)
        group = QButtonGroup(self)
        for page in pages if len(pages) > 1 else ():
            button = QToolButton()
            button.setText(page.title())
            button.setCheckable(True)
            button.setToolTip(plain_hint(f"{page.title()} ({key_words(page.key)})"))
            button.setAccessibleName(say("window", "page_name", title=page.title()))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setProperty("page", page.id)
            button.clicked.connect(self._want_page)
            group.addButton(button)
            layout.addWidget(button)
            buttons[page.id] = button
        return buttons

    def _pages_in_one(self, pages: tuple[type[Page], ...]) -> QToolButton:
        """One button that names the page on top and opens a list of all."""
        button = self._new("", say("window", "pages"))
        menu = QMenu(button)
        for page in pages:
            action = menu.addAction(page.title())
            action.setProperty("page", page.id)
            action.triggered.connect(self._want_page)
        button.setMenu(menu)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        button.hide()
        return button

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width has room for all pages side by side, or not."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Pages side by side or in one list; the cutter only where the whole title leaves room for it."""
        layout = self.layout()
        if not self.page_buttons or layout is None:
            return
        row = self.page_row.sizeHint().width()
        other = sum(
            widget.sizeHint().width() + layout.spacing()
            for i in range(layout.count())
            if (item := layout.itemAt(i)) is not None and isinstance(widget := item.widget(), QToolButton)
            if widget is not self.page_menu and not widget.isHidden()
        )
        gaps = 4 * layout.spacing() + AFTER_WORDS + layout.contentsMargins().left() + layout.contentsMargins().right()
        title = self.title.sizeHint().width()
        least = min(title, LEAST_LETTERS * self.title.fontMetrics().averageCharWidth())
        fits = row + least + gaps + other <= self.width()
        # As wide as its words: else the title beside it would take from them.
        self.page_row.setFixedWidth(row)
        self.page_row.setVisible(fits)
        self.page_menu.setVisible(not fits)
        pages = row if fits else self.page_menu.sizeHint().width()
        words = title + self.about.sizeHint().width()
        # Narrow, not hidden: a screen reader finds it still.
        self.about.setMaximumWidth(self.width() if pages + words + gaps + other <= self.width() else 1)

    def minimumSizeHint(self) -> QSize:
        """With the pages in one list: a window may become so narrow that they are."""
        least = super().minimumSizeHint()
        if not self.page_row.isHidden():
            least.setWidth(least.width() - self.page_row.width() + self.page_menu.sizeHint().width())
        return least

    def changeEvent(self, event: QEvent) -> None:
        """Another theme has other type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            self._refit.start()

    def show_page(self, page: Page, groups: dict[str, QMenu]) -> None:
        """The switches of the page on top: its groups before Pair, its own switches after it."""
        layout = self.layout()
        assert isinstance(layout, QHBoxLayout)
        for old in (*self.groups.values(), *self.toggles.values()):
            layout.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.groups, self.toggles, self._page = {}, {}, page
        if page.id in self.page_buttons:
            self.page_buttons[page.id].setChecked(True)
        self.page_menu.setText(f"{page.title()} ▾")
        for title, menu in groups.items():
            button = self._new(f"{title} ▾", page.group_hint(title))
            button.setMenu(menu)
            button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
            layout.insertWidget(layout.indexOf(self.pair), button)
            self.groups[title] = button
        for action in page.actions():
            if not action.button or action.do is None:
                continue
            keys = f" ({key_words(action.keys[0])})" if action.keys else ""
            button = self._new(action.button, (action.hint or action.word) + keys, checkable=action.is_on is not None)
            button.setProperty("command", action.id)
            button.clicked.connect(self._do_command)
            layout.insertWidget(layout.indexOf(self.pair) + 1 + len(self.toggles), button)
            self.toggles[action.id] = button
        self._fit()
        self.refresh()

    def _want_page(self) -> None:
        self.page_wanted.emit(str(self.sender().property("page")))

    def _do_command(self) -> None:
        # Looked up now: a callable given to the signal would be held by Qt, and the window with it.
        id = self.sender().property("command")
        for action in self._page.actions() if self._page is not None else ():
            if action.id == id and action.do is not None:
                action.do()
                return

    def refresh(self) -> None:
        """The page's switches as they are now."""
        for action in self._page.actions() if self._page is not None else ():
            if action.id in self.toggles and action.is_on is not None:
                self.toggles[action.id].setChecked(action.is_on())

    def _new(self, text: str, hint: str, *, checkable: bool = False) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(plain_hint(hint))
        button.setAccessibleName(hint)
        button.setCheckable(checkable)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return button

    def _button(self, text: str, hint: str, *, checkable: bool = False) -> QToolButton:
        button = self._new(text, hint, checkable=checkable)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(button)
        return button

    def edit_title(self) -> None:
        """Type another title in the place of the one that stands there."""
        self.title_field.setText(self._workbench.setup.title)
        self.title_field.setMinimumWidth(max(self.title.width(), 220))
        self.title.hide()
        self.title_field.show()
        self.title_field.selectAll()
        self.title_field.setFocus(Qt.FocusReason.OtherFocusReason)

    def _take_title(self) -> None:
        setup = self._workbench.setup
        title = self.title_field.text().strip()
        try:
            check_title(title)
        except ChiparcError as error:
            name = say("window", "title_step")
            refused = say("control", "refused", name=name, found=error.found, allowed=error.allowed)
            self._workbench.refused.emit(refused)
            return
        self._workbench.propose(replace(setup, title=title), StepName("window", "title_step"))
        self._leave_title()

    def _leave_title(self) -> None:
        if self.title_field.isVisible():
            self.title_field.hide()
            self.title.show()
            self._workbench.refusal_over.emit()

    def _set_pair(self, on: bool) -> None:
        self._view.set("pair", on)

    def _set_metric(self) -> None:
        self._view.set("units", "metric")
        self._show()

    def _set_inch(self) -> None:
        self._view.set("units", "inch")
        self._show()

    def _show_cut(self, _: object = None) -> None:
        bench, units = self._workbench, self._view.units
        setup = bench.setup
        shown = (setup.title, setup.show.line, setup.cutter, setup.work.material, bench.file, bench.modified, units)
        if shown == self._shown_cut:
            return
        self._shown_cut = shown
        name = setup.title or (bench.file.name if bench.file else say("window", "untitled"))
        self.title.show_text(name + (" •" if bench.modified else ""), setup.show.line)
        self.about.show_text(cutter_line(setup, units))
        self._refit.start()

    def _show(self, _: object = None) -> None:
        view = self._view
        self._show_cut()
        self.pair.setChecked(view.pair)
        self.metric_button.setChecked(view.units == "metric")
        self.inch_button.setChecked(view.units == "inch")
        self.theme.setText(say("window", theme_of(view.theme)))
