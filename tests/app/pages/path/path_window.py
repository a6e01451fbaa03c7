"""A window with the Path page on top, and waiting for its results."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from app.pages.path.path_page import PathPage
from app.pages.path.path_work import PathFiles
from core.base.places import shared
from core.path.moves import Program, Stock
from core.path.whole_path import WholePath
from core.setup.setup import Setup
from tests.app.windows import ArcWindow, boss, until, window_on

PROGRAM, STOCK = str(shared("programs", "bracket-pocket.nc")), str(shared("programs", "bracket-pocket.toml"))


def path_of(window: ArcWindow) -> PathPage:
    """The Path page of a window."""
    page = window.pages.page("path")
    assert isinstance(page, PathPage)
    return page


def finished(page: PathPage) -> bool:
    """Whether everything that was asked has come."""
    return page.shown is not None and page.shown.final and page.shown.asked == page.asked(page.workbench.resolved)


def wait_for(page: PathPage) -> None:
    """Let the job come to its end."""
    until(lambda: not page.jobs.busy and finished(page))


class KeptFiles(PathFiles):
    """What was read and worked out for one window serves the next one: all is kept, not only the last of it.

    A path is known by its program and stock, so that one read again would be worked out again.
    """

    def stock(self, file: str) -> Stock:
        before = self._stocks
        found = super().stock(file)
        self._stocks = {**before, **self._stocks}
        return found

    def program(self, file: str, top_z_mm: float, setup: Setup) -> Program:
        before = self._programs
        found = super().program(file, top_z_mm, setup)
        self._programs = {**before, **self._programs}
        return found

    def _keep(self, whole: WholePath) -> None:
        self._paths[id(whole.program), id(whole.stock), whole.setup] = whole


KEPT = KeptFiles()


@contextmanager
def path_window(
    size: tuple[int, int] = (1280, 800), *, painted: bool = False, **view: Any
) -> Iterator[tuple[ArcWindow, PathPage]]:
    """A window on the boss with the Path page on top and its corner worked out.

    painted : for a test that grabs it, or is the one that comes to what is painted otherwise.
    """
    with window_on(boss(), size, painted=painted, **view) as window:
        page = path_of(window)
        page._files = KEPT
        window.turn_to("path")
        wait_for(page)
        yield window, page
