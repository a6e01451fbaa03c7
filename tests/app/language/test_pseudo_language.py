"""The window in a language of long words: nothing is clipped, and nothing is left in English."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QListWidget, QMenu, QToolButton, QWidget

from app.kit.look import theme_of
from app.pages.page_picture import save_page
from app.shell.header import Elided
from app.shell.main_window import MainWindow
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.lesson.lesson_files import our_lessons
from tests.app.language.pseudo import pseudo_spoken
from tests.app.windows import ArcWindow, at_rest, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

PLAIN = re.compile(r"(?<![\w.])[A-Za-z]*[aeiouyAEIOUY][A-Za-z]*(?![\w])")
"""A word without an accent."""

NAMES = {
    *("Chiparc", "mm", "min", "in", "um", "fpm", "ae", "max", "kW", "rpm", "deg"),
    *("English", "Deutsch", "Pseudo"),
    *("toml", "csv", "png", "svg", "pdf", "wav", "nc", "dxf", "Inter"),
}
"""Words that every language has: units, symbols, names, endings of files."""


@pytest.fixture
def pseudo(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with pseudo_spoken(monkeypatch):
        yield


def texts(window: MainWindow) -> Iterator[tuple[str, str]]:
    """Every text of the window's widgets and menus, with what holds it."""
    for widget in window.findChildren(QWidget):
        where = f"{type(widget).__name__} {widget.objectName()}"
        yield where, widget.toolTip()
        yield where, widget.accessibleName()
        yield where, widget.accessibleDescription()
        if isinstance(widget, QLabel | QAbstractButton):
            yield where, widget.text()
        if isinstance(widget, QMenu):
            yield where, widget.title()
        if isinstance(widget, QLineEdit):
            yield where, widget.placeholderText()
        if isinstance(widget, QComboBox) and not widget.isEditable():
            yield from ((where, widget.itemText(i)) for i in range(widget.count()))
        if isinstance(widget, QListWidget):
            yield from ((where, widget.item(i).text()) for i in range(widget.count()))
    for action in window.findChildren(QAction):
        yield "QAction", action.text()
        yield "QAction", action.statusTip()


def painted(window: MainWindow, folder: Path) -> Iterator[tuple[str, str]]:
    """Every text that the page on top paints."""
    file = folder / f"{window.page.id}.svg"
    save_page(window.page, window.workbench.resolved, file, QSize(1600, 1000), theme_of(window.view.theme))
    for text in re.findall(r"<text[^>]*>([^<]*)</text>", file.read_text("utf-8")):
        yield f"painted on {window.page.id}", text


def english(found: Iterator[tuple[str, str]], own: set[str]) -> set[tuple[str, str]]:
    """Texts with a word that has no accent and is no name."""
    left = set()
    for where, text in found:
        text = re.sub(r"<[^>]*>|&nbsp;|\([A-Z]\)|Ctrl\+\S+", " ", text.replace("&", ""))
        words = {word for word in PLAIN.findall(text) if len(word) > 1 and word not in NAMES and word not in own}
        if words:
            left.add((where, text[:120]))
    return left


def clipped(window: MainWindow) -> list[tuple[str, str, int, int]]:
    """Labels and buttons in sight that have less room than their words want."""
    found = []
    for widget in window.findChildren(QWidget):
        if not widget.isVisibleTo(window) or isinstance(widget, Elided) or not isinstance(widget, QLabel | QAbstractButton):
            continue
        text = widget.text()
        if not text or widget.width() <= 1:
            continue
        if isinstance(widget, QLabel) and widget.wordWrap():
            if widget.heightForWidth(widget.width()) > widget.height() + 1:
                found.append((type(widget).__name__, text[:80], widget.heightForWidth(widget.width()), widget.height()))
        else:
            plain = re.sub(r"<[^>]*>|&", "", text)
            wanted = widget.fontMetrics().horizontalAdvance(plain)
            if wanted > widget.width() + 1:
                found.append((type(widget).__name__, text[:80], wanted, widget.width()))
    return found


def opened(window: ArcWindow) -> None:
    """Each group of the hand-rail once, so that all of it has been seen."""
    window.arc.shown.set("charts", ("loop", "wall", "marks", "edge"))
    settle()


@pytest.mark.usefixtures("pseudo")
def test_nothing_is_left_in_english_and_nothing_is_clipped(tmp_path: Path) -> None:
    setup = resolved(example("long-reach").setup())
    left: set[tuple[str, str]] = set()
    cut: list[tuple[str, str, str, int, int]] = []
    with window_on(setup, (1280, 800)) as window:
        opened(window)
        own = {*re.findall(r"[A-Za-z]+", window.workbench.setup.work.material or "")}
        for page in ("arc", "chatter", "path", "figures", "lesson"):
            window.turn_to(page)
            at_rest(window)
            left |= english(texts(window), own) | english(painted(window, tmp_path), own)
            for button in window.hand_rail.group_buttons if page == "arc" else ():
                button.click()
                settle()
                cut += [(page, *each) for each in clipped(window)]
                left |= english(texts(window), own)
            cut += [(page, *each) for each in clipped(window)]
    told = {*(each.show.line for each in (window.workbench.setup,)), *(t for e in our_lessons() for t in (e.title, e.about))}
    left = {each for each in left if not any(text in each[1] for text in told)}
    if True:
        for l in sorted(left): print("LEFT",l)
        for l in cut: print("CUT",l)
    assert left == set()
    assert cut == []
