"""How a document wants to be looked at: its ``[show]`` is taken when it comes, and given back when it goes.

What a person had chosen before is theirs: it comes back with the next document that says nothing, and is what the
next start remembers.  *Remember this view* writes what is seen now into the document.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject

from app.shell.page_stack import PageStack
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.setup.show import ELEMENTS, Show, Shown

NOT_KEPT = ("verdict",)
"""Elements that no document shows or hides: the answers wait until they are asked for."""


@dataclass(frozen=True, slots=True)
class Looked:
    """What was looked at, and how: the page on top, Pair, what is in sight, and the states of the pages."""

    page: str
    pair: bool
    shown: Shown
    pages: dict[str, dict[str, object]]


def _kept(own: Shown, given: Shown, now: Shown) -> Shown:
    """What is in sight by the person's own choice: what is as the document gave it is as it was before."""
    return Shown(**{n: getattr(own if getattr(now, n) == getattr(given, n) else now, n) for n in ELEMENTS})


class OpenedView(QObject):
    """Applies the view of the document on the bench; ``turn_to`` brings a page on top by its id."""

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        pages: PageStack,
        turn_to: Callable[[str], None],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._workbench, self._view, self._pages, self._turn_to = workbench, view, pages, turn_to
        self._own: Looked | None = None
        self._given: Looked | None = None
        workbench.document_opened.connect(self.take)

    def take_over(self, before: OpenedView) -> None:
        """The document is looked at as in the window before, which goes."""
        self._own, self._given = before._own, before._given

    def take(self) -> None:
        """Look at the document as it wants; at one that says nothing, as the person did."""
        show = self._workbench.setup.show
        own = self.own_view()
        if not show.given:
            if self._own is not None:
                self._own = self._given = None
                self._look(own)
            return
        self._own = own
        self._turn(show.page)
        self._view.set("pair", show.pair)
        # Where a document hides nothing, what a person has hidden stays so: a class finds the next answer hidden too.
        hidden = (*show.hidden, *NOT_KEPT)
        self._view.set("shown", Shown().without(hidden) if show.hidden else own.shown.without(hidden))
        self._pages.current.show_as(show)
        self._given = self._now()

    def own_view(self) -> Looked:
        """What the person chose: that from before the document's view, but for what was changed since."""
        now, own, given = self._now(), self._own, self._given
        if own is None or given is None:
            return now
        states = {}
        for id, state in now.pages.items():
            before, after = own.pages.get(id, {}), given.pages.get(id, {})
            states[id] = {k: before.get(k, v) if v == after.get(k) else v for k, v in state.items()}
        return Looked(
            own.page if now.page == given.page else now.page,
            own.pair if now.pair == given.pair else now.pair,
            _kept(own.shown, given.shown, now.shown),
            states,
        )

    def remember(self) -> None:
        """Write what is seen now into the document: one step of undo, saved with it."""
        setup, page = self._workbench.setup, self._pages.current
        hidden = tuple(name for name in self._view.shown.hidden if name not in NOT_KEPT)
        seen: dict[str, Any] = page.as_shown()
        show = Show(line=setup.show.line, page=page.id, pair=self._view.pair, hidden=hidden, **seen)
        self._workbench.propose(replace(setup, show=show), StepName("window", "view_step"))

    def _now(self) -> Looked:
        return Looked(self._pages.current.id, self._view.pair, self._view.shown, self._pages.states())

    def _look(self, looked: Looked) -> None:
        self._turn(looked.page)
        self._view.set("pair", looked.pair)
        self._view.set("shown", looked.shown.without(NOT_KEPT))
        for id, state in looked.pages.items():
            self._pages.restore_state(id, state)

    def _turn(self, id: str) -> None:
        if id != self._pages.current.id and any(kind.id == id for kind in self._pages.kinds):
            self._turn_to(id)
