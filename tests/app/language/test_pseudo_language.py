"""The window in a language of long words: nothing is clipped, and nothing is left in English."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QListWidget, QMenu, QWidget

from app.kit.look import theme_of
from app.kit.static_label import StaticLabel
from app.pages.page_picture import save_page
from app.shell.header import Elided
from app.shell.main_window import MainWindow
from core.documents.materials import resolved
from core.documents.setup_examples import example
from core.lesson.lesson_files import our_lessons
from tests.app.language.pseudo import pseudo_spoken
from tests.app.windows import ArcWindow, at_rest, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")

PLAIN = re.compile(r"(?<![\w.])[A-Za-z]*[aeiouyAEIOUY][A-Za-z]*(?![\w])")
"""A word without an accent."""

NAMES = {
    *("Chiparc", "mm", "min", "in", "um", "ae", "ap", "max", "kW", "rad", "deg", "HSS", "kc", "ffmpeg"),
    *("English", "Deutsch", "Pseudo", "Letter"),
    *("toml", "csv", "png", "svg", "pdf", "wav", "nc", "dxf", "json", "Inter"),
}
"""Words that every language has: units, symbols, names, endings of files."""

Found = tuple[str, str]


@pytest.fixture
def pseudo(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with pseudo_spoken(monkeypatch):
        yield


def texts(window: QWidget) -> Iterator[Found]:
    """Every text of the window's widgets and menus, with what holds it."""
    for widget in window.findChildren(QWidget):
        where = f"{type(widget).__name__} {widget.objectName()}"
        yield from ((where, t) for t in (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription()))
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
        # The curves' library has an entry of its own, which is never shown.
        if action.text() != "Export...":
            yield from (("QAction", text) for text in (action.text(), action.statusTip()))


def painted(window: MainWindow, folder: Path) -> Iterator[Found]:
    """Every text that the page on top paints."""
    file = folder / f"{window.page.id}.svg"
    save_page(window.page, window.workbench.resolved, file, QSize(1600, 1000), theme_of(window.view.theme))
    for text in re.findall(r"<text[^>]*>([^<]*)</text>", file.read_text("utf-8")):
        yield f"painted on {window.page.id}", text


def english(found: Iterable[Found], document: Iterable[str]) -> set[Found]:
    """Texts with a word that has no accent and is no name; what stands in a document is that of its writer."""
    left = set()
    for where, text in found:
        rest = text.replace("&", "")
        for own in document:
            rest = rest.replace(own, " ")
        # Markup, keys, paths of files, keys of the report.
        rest = re.sub(r"<[^>]*>|nbsp;|\(.\)|Ctrl\+\S+|/\S*/\S+|\b[a-z]+(\.\w+)+|\b\w+_\w+", " ", rest)
        if {word for word in PLAIN.findall(rest) if len(word) > 1 and word not in NAMES}:
            left.add((where, text[:160]))
    return left


def clipped(window: QWidget) -> list[tuple[str, str, int, int]]:
    """Labels and buttons in sight that have less room than their words want: wanted and given pixels."""
    found = []
    for widget in window.findChildren(QLabel) + window.findChildren(QAbstractButton):
        text = re.sub(r"<[^>]*>|&", "", widget.text())
        # One that is shortened with dots by itself, and one that stands by for a narrow window.
        if not text or not widget.isVisible() or widget.width() <= 1 or isinstance(widget, Elided):
            continue
        if isinstance(widget, StaticLabel) and widget.elided and widget.toolTip():
            # Shortened with dots; the whole comes on hover.
            continue
        if isinstance(widget, QLabel) and widget.wordWrap():
            wanted, given = widget.heightForWidth(widget.width()), widget.height()
        else:
            wanted, given = widget.fontMetrics().horizontalAdvance(text), widget.width()
        if wanted > given + 1:
            found.append((type(widget).__name__, text[:80], wanted, given))
    return found


def looked_at(window: ArcWindow) -> Iterator[str]:
    """Through the window: each page, each group of the hand-rail, the panels beside; a name for each stop."""
    for page in ("arc", "chatter", "path", "figures", "lesson"):
        window.turn_to(page)
        at_rest(window)
        yield page
        for button in window.hand_rail.group_buttons if page == "arc" else ():
            button.click()
            settle()
            yield f"arc, {button.text()}"
            button.click()
        if page == "arc":
            window.arc.shown.set("why", True)
            at_rest(window)
            yield "arc, which way"
            window.arc.shown.set("why", False)


def document_texts(window: MainWindow) -> list[str]:
    """What the shown document and our lessons say by themselves: each in its own language."""
    lessons = [text for each in our_lessons() for text in (each.title, each.about)]
    setup = window.workbench.setup
    return [setup.show.line, setup.work.material or "-", *lessons]


@pytest.mark.usefixtures("pseudo")
def test_nothing_is_left_in_english_and_nothing_is_clipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # The words of a chart are the same however finely it is drawn; usually its band takes longer than all else here.
    for speeds in ("BAND", "BAND_SLOW", "FIRST", "COARSE", "FINE"):
        monkeypatch.setattr(f"core.chatter.speed_depth.{speeds}", 3)
    setup = resolved(example("long-reach").setup())
    left: set[Found] = set()
    looked_through: set[Found] = set()
    cut: list[tuple[object, ...]] = []
    with laid_out_on(setup, (1280, 800)) as window:
        own = document_texts(window)
        for stop in looked_at(window):
            # Most stand there at every stop, and a group of the hand-rail is no part of what the page paints.
            new = set(texts(window)) - looked_through
            if stop == window.page.id or window.arc.shown.why:
                new |= set(painted(window, tmp_path))
            left |= english(new, own)
            looked_through |= new
            cut += [(stop, *each) for each in clipped(window)]
    assert left == set()
    assert cut == [], "\n".join(map(str, cut))


@pytest.mark.usefixtures("pseudo")
def test_nothing_is_clipped_on_a_small_projector() -> None:
    setup = resolved(example("facing-cast-iron").setup())
    cut: list[tuple[object, ...]] = []
    with laid_out_on(setup, (1024, 768), theme="projector", pair=True, units="inch") as window:
        for stop in looked_at(window):
            # A second line of figures, or the ladder of questions, may want more height, never more width.
            assert window.width() == 1024 and (stop != "arc" or window.height() == 768), stop
            cut += [(stop, *each) for each in clipped(window)]
    assert cut == [], "\n".join(map(str, cut))
