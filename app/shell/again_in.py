"""The window in another language: built anew, on the spot, with the same document, undo steps, page and place.

Words stand in hundreds of labels, hints, menus and cached pictures; one that were missed would stay in the language
before.  A window that is built anew cannot miss any.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.shell.qt_words import let_qt_speak
from app.state.view_state import ViewState
from core.base.language import speak
from core.documents.setup_examples import in_this_language

if TYPE_CHECKING:
    from app.shell.main_window import MainWindow


def again_in(before: MainWindow, id: str) -> MainWindow:
    """Speak that language and put a new window in the place of the one before, which retires.

    Raises KeyError for a language that we do not have.
    """
    before.pages.leave()
    speak(id)
    let_qt_speak(id)
    bench = before.workbench.taking_over(in_this_language)
    view = ViewState().like(before.view)
    after = type(before)(bench, view, before.settings, original=bench.document.text, pages=before.pages.kinds)
    # The window reads how the file was then anew; it is known from when it was read.
    bench.read_as(before.workbench.document.text, before.workbench.document.stamp)
    after.pages.take_over(before.pages)
    after.opened_view.take_over(before.opened_view)
    after.presenting.take_over(before.presenting)
    after.setGeometry(before.geometry())
    after.setWindowState(before.windowState())
    after.turn_to(before.page.id)
    after.offer_walk()
    after.unsaved.keep_now()
    if before.isVisible():
        after.show()
        after.unsaved.offer_leftovers()
    before.retire()
    return after
