"""Where a person wants a file written: dialog, the ending that says what it holds, the question before a loss."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from core.base.visible import visible
from core.base.words import say


def with_ending(path: Path, ending: str, endings: tuple[str, ...]) -> Path:
    """The path with an ending that says what it holds: ``part 12.5`` is a name without one.

    Another ending of letters, such as ``.jpg`` for a picture, is left to be refused in words where there are several
    to choose from.

    >>> with_ending(Path("part 12.5"), ".toml", (".toml",)).name, with_ending(Path("a.SVG"), ".png", (".svg",)).name
    ('part 12.5.toml', 'a.SVG')
    """
    if path.suffix.lower() in endings or (len(endings) > 1 and path.suffix[1:].isalpha()):
        return path
    return path.with_name(path.name + ending) if path.name else path


def path_to_write(
    name: str, ending: str, endings: tuple[str, ...], may_replace: Callable[[Path], bool]
) -> Path | None:
    """The path meant by a name from a dialog; None where there is none, or what is there shall stay.

    The dialog asks before a file of the very name that was typed is replaced; where the ending is put to that
    name, it is asked here.
    """
    if not name:
        return None
    path = with_ending(Path(name), ending, endings)
    if path != Path(name) and os.path.lexists(path) and not may_replace(path):
        return None
    return path


def ask_replace(parent: QWidget | None, path: Path) -> bool:
    """Whether a file may be replaced; Enter and Esc both leave it as it is."""
    box = QMessageBox(parent)
    box.setWindowTitle("Chiparc")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(say("files", "replace", file=visible(path.name), folder=visible(str(path.parent))))
    replace = box.addButton(say("files", "replace_it"), QMessageBox.ButtonRole.DestructiveRole)
    keep = box.addButton(say("files", "cancel"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.setEscapeButton(keep)
    box.exec()
    chosen = box.clickedButton() is replace
    box.deleteLater()
    return chosen


def ask_path(parent: QWidget, title: str, usual: str, kinds: str, ending: str) -> Path | None:
    """Ask where a file with one ending is to be written; None for nowhere."""
    name, _ = QFileDialog.getSaveFileName(parent, title, usual, kinds)
    return path_to_write(name, ending, (ending,), lambda path: ask_replace(parent, path))
