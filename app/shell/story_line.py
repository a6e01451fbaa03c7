"""The line of a document: what is to be seen in this cut, in one sentence, in sight wherever the sentence is."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.kit.plain import plain_label
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.visible import visible


class StoryLine(QWidget):
    """One label under the header; a document that says nothing has none.

    It tells the answer, as the sentence does: where a class is to find it, both are hidden.
    """

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.label = plain_label()
        self.label.setObjectName("story")
        self.label.setWordWrap(True)
        # Words that wrap ask for a width of their own; the window may be as narrow as the pictures allow.
        self.label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(6, 0, 6, 0)
        layout.addWidget(self.label)
        self._shown = ""
        self.hide()
        workbench.setup_changed.connect(self._show)
        view.changed.connect(self._view_changed)
        self._show()

    def minimumSizeHint(self) -> QSize:
        """As high as its words are in the width that it has: words that wrap would else ask for a line more."""
        return QSize(0, self.heightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width, perhaps other lines."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def text(self) -> str:
        """What stands there."""
        return self.label.text()

    def _show(self, _: object = None) -> None:
        line = self._workbench.setup.show.line
        if line == self._shown:
            return
        self._shown = line
        self.label.setText(visible(line))
        self.label.setAccessibleName(visible(line))
        self._come_or_go()

    def _come_or_go(self) -> None:
        self.setVisible(bool(self._shown) and self._view.shown.sentence)

    def _view_changed(self, name: str) -> None:
        if name == "shown":
            self._come_or_go()
