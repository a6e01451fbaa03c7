"""What a page is: the contract between the window and each page over the one setup.

To add a page, write a class that keeps this contract and enter it in :data:`app.pages.page_list.PAGES`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.kit.look import Look
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.base.words import say
from core.setup.setup import Setup
from core.setup.show import Show


@dataclass(frozen=True, slots=True)
class Action:
    """A command: menu, word, keys, and what it does.  Menus, keys, header and help are made from it.

    is_on : for a switch, whether it is on now.  group : the submenu that it stands in.  button : its word in the
    header, where it has a place there.  do : None for what is shown but cannot be changed.
    """

    id: str
    menu: str
    word: str
    do: Callable[[], object] | None
    keys: tuple[str, ...] = ()
    is_on: Callable[[], bool] | None = None
    hint: str = ""
    group: str = ""
    button: str = ""


class Page(QObject):
    """One page.  Subclasses set ``id`` and ``key``, have a title in the words, and override what they need.

    ``switched`` is to be emitted when a switch of its actions has changed; ``page_wanted`` carries the id of another
    page to turn to and what to look at there (see :meth:`look_at`); ``done`` tells what was done that cannot be seen;
    ``said`` that its sentence is another one now, though the setup is the same; ``command_wanted`` carries the id of
    a command of the window that is offered on the page too.
    """

    id: str = ""
    key: str = ""
    switched = Signal()
    page_wanted = Signal(str, object)
    done = Signal(str)
    said = Signal()
    command_wanted = Signal(str)

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.workbench, self.view = workbench, view

    @classmethod
    def title(cls) -> str:
        """Its name in the row of pages."""
        return say("page_title", cls.id)

    @classmethod
    def was_cut_short(cls) -> bool:
        """Whether something was ended by a crash that goes on here: the next start brings the page on top."""
        return False

    def stand_among(self, states: Callable[[], dict[str, dict[str, object]]], another: Callable[[str], Page]) -> None:
        """How to ask for the states of all pages, and for another page of one's own by its id: the window tells."""

    def widget(self) -> QWidget:
        """What is shown, made once."""
        raise NotImplementedError

    def bar(self) -> QWidget | None:
        """Small controls of the page that stand at the end of the hand-rail while it is on top."""
        return None

    def wants_hand_rail(self) -> bool:
        """Whether the controls of the cut may be seen now: they answer what a class is asked.  ``said`` asks anew."""
        return True

    def actions(self) -> tuple[Action, ...]:
        """Its commands; asked once."""
        return ()

    def group_hint(self, group: str) -> str:
        """What the header tells of a group of its actions."""
        return group

    def show(self, setup: Setup) -> None:
        """Show the resolved setup: called once a turn while the page is on top, and when it comes there.

        Whatever it raises puts the step back that led here; it is then called with the setup before.
        """
        raise NotImplementedError

    def left(self) -> None:
        """The page, or the window, is no longer in sight: stop what moves."""

    def sentence(self, setup: Setup, units: Units) -> str:
        """What the page says of the setup, in one or two sentences."""
        raise NotImplementedError

    def other_sentence(self, setup: Setup, units: Units) -> str:
        """What is said beside it in Pair, of the cut in the other direction; empty where that would be the same."""
        return "" if setup.opposite == setup else self.sentence(setup.opposite, units)

    def sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The sentence while a hand moves a figure: without what would hold the hand up."""
        return self.sentence(setup, units)

    def other_sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The same of what is said beside it in Pair."""
        return self.other_sentence(setup, units)

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The page on any painter, as it is shown now: for files and other pictures."""
        raise NotImplementedError

    def state(self) -> dict[str, Any]:
        """What shall be the same at the next start, as plain data."""
        return {}

    def restore_state(self, state: dict[str, Any]) -> None:
        """Take what :meth:`state` gave at an earlier time; what is unknown or damaged is passed over."""

    def undo_state(self) -> object:
        """What of the page belongs into a step of undo, such as the tooth angle; None for nothing."""
        return None

    def opening_state(self, setup: Setup) -> object:
        """The same for a setup that is about to be opened."""
        return None

    def restore(self, undo_state: object) -> None:
        """Back to what :meth:`undo_state` or :meth:`opening_state` gave."""

    def take_over(self, before: Page) -> None:
        """Be what the same page was in a window that goes, such as one in another language; it has the setup."""
        self.restore(before.undo_state())

    def look_at(self, what: object) -> None:
        """Show what another page has pointed to, such as the id of a strip; what is unknown is passed over."""

    def show_as(self, show: Show) -> None:
        """Look at the document as it wants, as far as it is the page's: Pair and what is hidden are the window's."""

    def as_shown(self) -> dict[str, Any]:
        """What of a :class:`Show` the page knows, as it is looked at now."""
        return {}

    def opened(self) -> None:
        """Another document has taken the place of the one before."""
