"""A document's words stay words: no label, hint, menu, title or picture of the window takes them for markup."""

from __future__ import annotations

import ast
import xml.etree.ElementTree as ElementTree
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QAction, Qt, QTextDocument
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QWidget

from app.kit.look import look
from app.kit.picture_file import save_painted
from app.kit.plain import plain_hint
from app.pages.page_list import PAGES
from app.pages.page_picture import save_picture_of
from app.state.view_state import ViewState
from core.base.visible import visible
from core.documents.materials import catalogue, read_materials
from core.documents.setup_examples import EXAMPLES
from tests.app.shell.test_own_materials import OWN
from tests.app.windows import ArcWindow, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")
ROOT = Path(__file__).resolve().parents[3]

EVIL = "<b>A</b>&amp;<img src='/etc/hostname'>\u202e[*]&x"
"""Markup, an entity, a picture, a mark that turns the reading direction, Qt's mark of changes, a mnemonic."""

CUTTER = f"""
[[cutter_material]]
name = "{EVIL}"
kind = "{EVIL}"
youngs_modulus_n_mm2 = {{ value = 12345.0, source = "rig" }}
[cutter_material.thermal]
conductivity_w_mk = {{ value = 50.0, source = "rig" }}
density_kg_m3 = {{ value = 8000.0, source = "rig" }}
specific_heat_j_kgk = {{ value = 400.0, source = "rig" }}
"""


class _Tags(HTMLParser):
    """Names of the tags of a rich text."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.names.add(tag)


def tags(text: str) -> set[str]:
    parser = _Tags()
    parser.feed(text)
    return parser.names


def hostile(window: ArcWindow, folder: Path) -> None:
    """Every word of the window that can come from outside is EVIL."""
    materials = OWN.replace("Our bracket iron", EVIL).replace("grey iron", EVIL).replace("our own <b>slots</b>", EVIL)
    known = catalogue().with_own(read_materials(materials + CUTTER, "own.toml"))
    assert window.workbench.take_materials(known)
    job = folder / f"{EVIL.replace('/', '_')}.toml"
    job.write_text("x")
    window.settings.used(job)
    entry = known.cutter_materials[0]
    keys = {
        "title": EVIL,
        "work.material": EVIL,
        "work.force": None,
        "cutter.youngs_modulus_n_mm2": 12345.0,
        "cutter.material": entry.thermal,
    }
    # Opened, it names a step of undo too.
    assert window.workbench.open(window.workbench.setup.with_keys(keys), None)
    window.workbench.never_saved()
    assert EVIL in window.workbench.undo_name
    settle()
    window.hand_rail.material.show_source("linear_edge.ktc")
    window.recent.fill()


def test_no_word_of_a_document_is_taken_for_markup(tmp_path: Path) -> None:
    with window_on(boss()) as window:
        hostile(window, tmp_path)
        for button in window.hand_rail.group_buttons:
            button.click()
            settle()
        labels = window.findChildren(QLabel)
        assert len(labels) > 20
        for label in labels:
            if label.textFormat() != Qt.TextFormat.PlainText and type(label).text is QLabel.text:
                # Links of the program's own making.
                assert label.textFormat() == Qt.TextFormat.RichText and tags(label.text()) <= {"a"}, label.text()
                assert "img" not in label.text()
        for widget in window.findChildren(QWidget):
            tip = widget.toolTip()
            assert tags(tip) <= {"span", "br"} or not Qt.mightBeRichText(tip), tip
        assert window.header.title.toolTip() == plain_hint(f"{EVIL} •\n{EXAMPLES[0].sentence}")
        assert window.header.title.textFormat() == Qt.TextFormat.PlainText
        assert visible(EVIL) in window.header.about.accessibleName()
        title = window.windowTitle()
        assert title == f"{visible(EVIL).replace('[*]', '[*][*]')}[*] – Chiparc"
        for action in window.findChildren(QAction):
            assert "\u202e" not in action.text() and tags(action.toolTip()) <= {"span", "br"}
        entry = window.recent.actions()[0]
        assert entry.text().replace("&&", "&").startswith("<b>A<_b>&amp;<img") and "&&x" in entry.text()
        shown = [b.text() for b in window.findChildren(QAbstractButton)]
        shown += [c.itemText(i) for c in window.findChildren(QComboBox) for i in range(c.count())]
        assert not any("\u202e" in text for text in shown)


@pytest.mark.parametrize(
    "text", [EVIL, "<b>", "a\n<i>b</i>", "x < y", "<!DOCTYPE html>", "<html>", "<?xml?>", "plain"]
)
def test_a_hint_shows_exactly_its_text(text: str) -> None:
    tip = plain_hint(text)
    document = QTextDocument()
    if Qt.mightBeRichText(tip):
        assert tags(tip) <= {"span", "br"}
        document.setHtml(tip)
    else:
        document.setPlainText(tip)
    assert document.toPlainText() == "\n".join(visible(line) for line in text.split("\n"))


@pytest.mark.parametrize("ending", [".svg", ".pdf", ".png"])
def test_pictures_of_a_hostile_setup(ending: str, tmp_path: Path) -> None:
    file = tmp_path / f"cut{ending}"
    title = EVIL + "\ufffe\u2066"
    setup = boss().with_keys({"title": title})
    save_picture_of(PAGES[0], setup, file, QSize(1000, 700), view=ViewState(), theme="light")
    if ending == ".svg":
        tree = ElementTree.fromstring(file.read_bytes())
        told = tree.find("{http://www.w3.org/2000/svg}title")
        assert told is not None and told.text == visible(title)
    assert file.stat().st_size > 5000 and [p.name for p in tmp_path.iterdir()] == [file.name]


def test_an_svg_is_well_formed_whatever_is_painted(tmp_path: Path) -> None:
    file = tmp_path / "any.svg"
    words = "a\x01\x0b\ufffe<&\"'\u202e"

    def paint(painter: object, rect: object) -> None:
        painter.setFont(look("light").font("small"))  # type: ignore[attr-defined]
        painter.drawText(10, 50, words)  # type: ignore[attr-defined]

    save_painted(paint, file, QSize(200, 100), title=words, description=words)
    ElementTree.fromstring(file.read_bytes())


def test_every_label_and_hint_is_made_by_the_one_maker() -> None:
    wrong, texts = [], {"setToolTip": 0, "showText": 1}
    for path in sorted((ROOT / "app").rglob("*.py")):
        source = path.read_text("utf-8")
        # Most files have none of these names, and need not be taken apart.
        for node in ast.walk(ast.parse(source if any(name in source for name in ("QLabel", *texts)) else "")):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name == "QLabel" and path.name != "plain.py":
                wrong.append(f"{path.name}:{node.lineno}: QLabel, not plain_label")
            if name in texts:
                text = node.args[texts[name]]
                made = isinstance(text, ast.Call) and getattr(text.func, "id", "") == "plain_hint"
                ours = isinstance(text, ast.Constant) or (isinstance(text, ast.Name) and text.id in ("told", "hint"))
                if not made and not ours:
                    wrong.append(f"{path.name}:{node.lineno}: {name} without plain_hint")
    assert not wrong
