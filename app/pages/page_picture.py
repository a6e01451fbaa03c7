"""A page as a picture file, painted by the page itself, without a window."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import QSize

from app.kit.picture_file import look_in, save_painted
from app.pages.page import Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.safe_write import Stamp
from core.documents.materials import Catalogue
from core.setup.setup import Setup


def save_page(
    page: Page, setup: Setup, file: Path, size: QSize, theme: str, *, unchanged_since: Stamp | None = None
) -> None:
    """Let the page, as it is shown, paint itself into a file; its ending says which kind.

    unchanged_since : as in ``safe_write``.  Raises ChiparcError where that cannot be.
    """
    units, colours = page.view.units, look_in(file, theme)
    save_painted(
        lambda painter, rect: page.paint(painter, rect, colours, units),
        file,
        size,
        title=setup.title or "Chiparc",
        description=page.sentence(setup, units).replace("\n", " "),
        unchanged_since=unchanged_since,
    )


def save_picture_of(
    kind: type[Page],
    setup: Setup,
    file: Path,
    size: QSize,
    *,
    view: ViewState,
    theme: str,
    materials: Catalogue | None = None,
    state: dict[str, Any] | None = None,
    undo_state: object = None,
) -> None:
    """A page on a setup, in a state of its own, as a file; there need be no window, but a Qt application.

    state, undo_state : as :meth:`Page.state` and :meth:`Page.undo_state` give them; None leaves what the page
    begins with.  theme : any look, that for print too.  materials : the catalogue that names the setup's material,
    the project's unless given.  Raises ChiparcError where it cannot be written.
    """
    bench = Workbench(setup, materials=materials)
    page = kind(bench, view)
    try:
        page.restore_state(state or {})
        page.show(setup)
        if undo_state is not None:
            page.restore(undo_state)
        save_page(page, setup, file, size, theme)
    finally:
        # What it works out beside ends with it, refused or not.
        page.left()
        page.deleteLater()
