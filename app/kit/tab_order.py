"""The way of the Tab key through what is made after its window was."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


def tab_through(panel: QWidget) -> None:
    """The Tab key goes through a panel where it stands; what was put into it later would else come last of all.

    Of panels in one place only one may be seen: each comes before those that were filled earlier.
    """
    chain = [panel]
    while (widget := chain[-1].nextInFocusChain()) is not None and widget is not panel:
        chain.append(widget)
    stops = [w for w in chain if w.focusPolicy() & Qt.FocusPolicy.TabFocus]
    inside = [w for w in stops if panel.isAncestorOf(w)]
    # The chain is a ring: its last stop is the one before the panel.
    before = next((w for w in reversed(stops) if not panel.isAncestorOf(w)), None)
    for widget in inside:
        if before is not None:
            QWidget.setTabOrder(before, widget)
        before = widget
