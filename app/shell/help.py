"""Help: the keys, the terms of the trade, the cautions; made from the same tables that the window uses."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from app.pages.page import Action
from app.shell.actions import key_rows
from core.base.glossary import glossary
from core.base.words import say


def help_html(actions: Sequence[Action]) -> str:
    """The text of the help."""
    keys = "".join(
        f"<tr><td><b>{escape(key)}</b>&nbsp;&nbsp;</td><td>{escape(does)}</td></tr>"
        for key, does in key_rows(actions)
    )
    terms = "".join(
        f"<p><b>{escape(t.word)}</b> <i>{escape(t.symbol)}</i><br>{escape(t.text)}</p>" for t in glossary().values()
    )
    hands = (
        "Drag the work's edge for the radial width, a tooth for the angle, the tip of the feed arrow for the feed "
        "per tooth, the line in the strips for the angle; click the ring at the arrow's tail to flip the direction. "
        "Esc in a drag puts it back, on a slider too; each drag is one step of undo, and so is opening a file or an "
        "example. In a field type a number, with a unit if you like (0.25 in, 6 mm, 30 %); Enter takes it and goes "
        "on to its slider."
    )
    return (
        f"<h3>Hands on the picture</h3><p>{escape(hands)}</p><h3>Keys</h3><table>{keys}</table>"
        f"<h3>Cautions</h3><p>{escape(say('report', 'cautions'))} {escape(say('report', 'advice'))}</p>"
        f"<h3>Terms</h3>{terms}"
    )


class HelpDialog(QDialog):
    """The help in a window of its own; Esc closes it."""

    def __init__(self, actions: Sequence[Action], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Chiparc: keys and terms")
        self.text = QTextBrowser()
        self.text.setHtml(help_html(actions))
        self.text.setAccessibleName("Keys and terms")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(self.text)
        layout.addWidget(buttons)
        self.resize(640, 620)
