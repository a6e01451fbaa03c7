"""The page stack: one page on top; only that one works."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from app.pages.page import Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.setup.setup import Setup


class PageStack(QStackedWidget):
    """Makes a page when it first comes on top and gives the setup to none but the one that is there.

    ``turned`` comes with the page that is now on top.
    """

    turned = Signal(object)

    def __init__(
        self,
        kinds: tuple[type[Page], ...],
        workbench: Workbench,
        view: ViewState,
        remembered: dict[str, dict[str, object]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.kinds, self._workbench, self._view, self._remembered = kinds, workbench, view, remembered
        self._pages: dict[str, Page] = {}
        self.current = self._made(kinds[0].id)
        self.setCurrentWidget(self.current.widget())
        workbench.follow(self.show_setup)
        workbench.page_state_wanted.connect(self._restore)
        workbench.document_opened.connect(self._opened)

    def sizeHint(self) -> QSize:
        """What it needs: it takes what is left of the window, and what else is there has its room first."""
        return self.minimumSizeHint()

    def _made(self, id: str) -> Page:
        page = self._pages.get(id)
        if page is None:
            page = self.another(id)
            page.restore_state(dict(self._remembered.get(id, {})))
            page.stand_among(self.states, self.another)
            self._pages[id] = page
            self.addWidget(page.widget())
        return page

    def another(self, id: str) -> Page:
        """A page of that id that stands in no stack: for a page that shows another one within itself."""
        kind = next(k for k in self.kinds if k.id == id)
        return kind(self._workbench, self._view, self)

    def page(self, id: str) -> Page:
        """The page of that id, made if it has not been yet."""
        return self._made(id)

    def show_setup(self, setup: Setup) -> None:
        """The setup goes to the page on top."""
        self.current.show(setup)

    def turn_to(self, id: str) -> None:
        """Bring a page on top; it gets the setup before it is seen.  What it raises leaves the one before on top."""
        if id == self.current.id:
            return
        page = self._made(id)
        page.show(self._workbench.resolved)
        before, self.current = self.current, page
        before.left()
        self.setCurrentWidget(page.widget())
        self.turned.emit(page)

    def undo_state(self) -> object:
        """What of the page on top belongs into a step of undo."""
        return (self.current.id, self.current.undo_state())

    def opening_state(self, setup: Setup) -> object:
        """The same for a setup that is about to be opened."""
        return (self.current.id, self.current.opening_state(setup))

    def states(self) -> dict[str, dict[str, object]]:
        """What every page wants remembered: pages that were not made keep what they had."""
        return {**self._remembered, **{id: page.state() for id, page in self._pages.items()}}

    def restore_state(self, id: str, state: dict[str, object]) -> None:
        """Give a page back what it was; one that is not made yet begins so."""
        if id in self._pages:
            self._pages[id].restore_state(dict(state))
        else:
            self._remembered = {**self._remembered, id: state}

    def take_over(self, before: PageStack) -> None:
        """Each page that the stack before has made is what it was there, at the same place."""
        for id, state in before.states().items():
            self.restore_state(id, state)
        for id, page in before._pages.items():
            made = self._made(id)
            made.show(self._workbench.resolved)
            made.take_over(page)

    def leave(self) -> None:
        """The window is hidden or closed: nothing moves that nobody sees."""
        self.current.left()

    def _restore(self, wanted: object) -> None:
        if isinstance(wanted, tuple) and wanted[0] in self._pages:
            self._pages[wanted[0]].restore(wanted[1])

    def _opened(self) -> None:
        for page in self._pages.values():
            page.opened()
