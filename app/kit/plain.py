"""Words that come from documents, file names or people, shown as the plain text that they are.

Qt takes a text that looks like markup for markup: it would lose words, load pictures and files.  Every label and
every hint of the window is made here; a rule test holds that.
"""

from __future__ import annotations

from html import escape

from PySide6.QtGui import Qt
from PySide6.QtWidgets import QLabel, QWidget

from core.base.visible import visible


def plain_label(text: str = "", parent: QWidget | None = None) -> QLabel:
    """A label that never takes its text for markup."""
    label = QLabel(parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setText(text)
    return label


def link_label() -> QLabel:
    """A label with links of the program's own making; no word of a document may stand in it."""
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setTextInteractionFlags(
        Qt.TextInteractionFlag.LinksAccessibleByMouse | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
    )
    return label


def visible_lines(text: str) -> str:
    """A text of one or more lines with nothing invisible in it."""
    return "\n".join(visible(line) for line in text.split("\n"))


def plain_hint(text: str) -> str:
    """A tool tip that shows exactly this text: Qt has no plain ones, so what looks like markup is escaped."""
    text = visible_lines(text)
    if Qt.mightBeRichText(text) or text[:5].lower() == "<html":
        return f"<span style='white-space:pre-wrap'>{escape(text).replace(chr(10), '<br>')}</span>"
    return text


def button_text(text: str, longest: int = 0) -> str:
    """The text of a button or menu entry: an & underlines no letter; cut at ``longest`` characters if given."""
    text = visible(text)
    if longest and len(text) > longest:
        text = text[: longest - 1] + "…"
    return text.replace("&", "&&")


__all__ = ["button_text", "link_label", "plain_hint", "plain_label", "visible_lines"]
