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
    word = {name: escape(say("window", f"help_{name}")) for name in ("hands", "keys", "cautions", "terms")}
    return (
        f"<h3>{word['hands']}</h3><p>{escape(say('window', 'hands'))}</p><h3>{word['keys']}</h3><table>{keys}</table>"
        f"<h3>{word['cautions']}</h3><p>{escape(say('report', 'cautions'))} {escape(say('report', 'advice'))}</p>"
        f"<h3>{word['terms']}</h3>{terms}"
    )


class HelpDialog(QDialog):
    """The help in a window of its own; Esc closes it."""

    def __init__(self, actions: Sequence[Action], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("window", "help_title"))
        self.text = QTextBrowser()
        self.text.setHtml(help_html(actions))
        self.text.setAccessibleName(say("action", "keys"))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.button(QDialogButtonBox.StandardButton.Close).setText(say("window", "close"))
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addWidget(self.text)
        layout.addWidget(buttons)
        self.resize(640, 620)
