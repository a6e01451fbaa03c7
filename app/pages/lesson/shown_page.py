"""Another page within a lesson: made when it is first wanted, and brought into the view that a scene asks for."""

from __future__ import annotations

from collections.abc import Callable

from app.pages.page import Page
from app.state.view_state import ViewState
from core.setup.setup import Setup
from core.setup.show import Show, Shown

MAIN = "arc"
"""The page that shows a scene that names none, or this one."""


class ShownPages:
    """The pages that scenes are looked at on, and the view as it was before the lesson."""

    def __init__(self, view: ViewState) -> None:
        self._view = view
        self.another: Callable[[str], Page] | None = None
        self._pages: dict[str, Page] = {}
        self._before: tuple[bool, Shown] | None = None
        self.top: Page | None = None

    def begin(self) -> None:
        """A lesson begins: remember the view."""
        if self._before is None:
            self._before = (self._view.pair, self._view.shown)

    def end(self) -> None:
        """It is over: the view is as it was."""
        self.leave()
        self._before = None

    def look(self, setup: Setup, show: Show, not_this: str) -> Page | None:
        """The page of a view on a resolved setup, in that view; None where there are no pages to show."""
        if self.another is None:
            return None
        id = MAIN if show.page == not_this else show.page
        if id not in self._pages:
            self._pages[id] = self.another(id)
        page = self._pages[id]
        if self.top is not page:
            self.leave()
            self.top = page
        self._view.set("pair", show.pair)
        self._view.set("shown", Shown().without(show.hidden))
        page.show(setup)
        page.restore(page.opening_state(setup) if show.angle_deg is None else show.angle_deg)
        if show.given:
            page.show_as(show)
        return page

    def show(self, setup: Setup) -> None:
        """The setup has changed while a page is looked at."""
        if self.top is not None:
            self.top.show(setup)

    def act(self, id: str) -> None:
        """Do what an action of the page in sight does."""
        for action in self.top.actions() if self.top is not None else ():
            if action.id == id and action.do is not None:
                action.do()

    def leave(self) -> None:
        """The page goes out of sight: nothing moves there, and the view is the person's again."""
        if self.top is not None:
            self.top.left()
            self.top = None
        if self._before is not None:
            pair, shown = self._before
            self._view.set("pair", pair)
            self._view.set("shown", shown)
